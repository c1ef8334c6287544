"""Who may search."""

from tests.playbook.access_rule import Rule

TABLE = {"search:results": Rule("everyone")}
