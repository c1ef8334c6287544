"""Who may use the notes' addresses. A note that is not there is not found, for staff too."""

from tests.playbook.access_rule import Rule

NONE = {"method": "post", "fine": (404,), "saves": "staff"}
TABLE = {
    "notes:add": Rule("staff", **NONE),
    "notes:read": Rule("staff", method="post", saves="staff"),
    **{
        f"notes:{name}": Rule("staff", kwargs=lambda: {"pk": 9_999}, **NONE)
        for name in ("answer", "change", "settle", "delete", "restore")
    },
}
