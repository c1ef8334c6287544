"""Who may use the fit board."""

from tests.playbook.access_rule import Rule

TABLE = {"board:show": Rule("staff")}
