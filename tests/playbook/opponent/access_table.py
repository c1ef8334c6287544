"""Who may use the pages of opponents."""

from playbook.models import Concept, Formation
from tests.playbook.access_rule import Rule
from tests.playbook.looks.made import make_opponent


def _opponent():
    return {"pk": make_opponent().pk}


def _formation():
    return {"pk": Formation.objects.first().pk}


def _concept():
    return {"pk": Concept.objects.first().pk}


TABLE = {
    **{f"opponent:{name}": Rule("staff") for name in ("list", "library", "add", "add-formation", "add-concept")},
    **{f"opponent:{name}": Rule("staff", kwargs=_opponent) for name in ("detail", "edit", "menu")},
    "opponent:delete": Rule("staff", "post", kwargs=_opponent),
    "opponent:check-formation": Rule("staff", "post"),
    "opponent:formation": Rule("staff", kwargs=_formation),
    "opponent:delete-formation": Rule("staff", "post", kwargs=_formation),
    "opponent:try-concept": Rule("staff", "post"),
    "opponent:concept": Rule("staff", kwargs=_concept),
    "opponent:delete-concept": Rule("staff", "post", kwargs=_concept),
}
