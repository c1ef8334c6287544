"""Who may use the pages of opponents."""

from playbook.models import Concept, Formation, Motion, Option
from tests.playbook.access_rule import Rule
from tests.playbook.looks.made import make_opponent


def _opponent():
    return {"pk": make_opponent().pk}


def _formation():
    return {"pk": Formation.objects.first().pk}


def _concept():
    return {"pk": Concept.objects.first().pk}


TABLE = {
    **{
        f"opponent:{name}": Rule("staff")
        for name in ("list", "library", "add", "add-formation", "add-concept", "add-motion", "add-option")
    },
    **{f"opponent:{name}": Rule("staff", kwargs=_opponent) for name in ("detail", "edit", "menu")},
    "opponent:delete": Rule("staff", "post", kwargs=_opponent),
    **{
        f"opponent:{prefix}{model._meta.model_name}": Rule(
            "staff", method, kwargs=lambda model=model: {"pk": model.objects.first().pk}
        )
        for model in (Motion, Option)
        for prefix, method in (("", "get"), ("delete-", "post"))
    },
    "opponent:check-formation": Rule("staff", "post"),
    "opponent:formation": Rule("staff", kwargs=_formation),
    "opponent:delete-formation": Rule("staff", "post", kwargs=_formation),
    "opponent:try-concept": Rule("staff", "post"),
    "opponent:concept": Rule("staff", kwargs=_concept),
    "opponent:delete-concept": Rule("staff", "post", kwargs=_concept),
}
