"""Who may use the pages of the installation."""

from tests.playbook.access_rule import Rule

TABLE = {
    "installation:keep": Rule("admin"),
    "installation:show": Rule("admin"),
    "installation:first": Rule("anyone"),
    "installation:step": Rule("admin", kwargs=lambda: {"step": "name"}),
}
