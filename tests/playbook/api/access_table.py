"""Who may use the API."""

from tests.playbook.access_rule import Rule

TABLE = {"api:schema": Rule("everyone"), "api:token": Rule("anyone", "post")}
