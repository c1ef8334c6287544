"""Who may use the first screen."""

from tests.playbook.access_rule import Rule

TABLE = {"home:start": Rule("everyone"), "home:alive": Rule("anyone")}
