"""Who may use the documents' addresses."""

from playbook.models import Export
from tests.playbook.access_rule import Rule
from tests.playbook.week.made import make_bare_week


def make_export(**more):
    """A document that is ready."""
    fields = {"document": "install", "title": "A document", "made_by_name": "Somebody", "state": "done"}
    return Export.objects.create(**fields | {"content": b"%PDF-1.7"} | more)


TABLE = {
    "exports:list": Rule("admin"),
    "exports:add": Rule("admin", method="post", kwargs=lambda: {"week": make_bare_week().pk, "document": "call-book"}),
    "exports:detail": Rule("admin", kwargs=lambda: {"pk": make_export().pk}),
    "exports:file": Rule("admin", kwargs=lambda: {"pk": make_export().pk}),
    "exports:delete": Rule("admin", method="post", kwargs=lambda: {"pk": make_export().pk}),
}
