"""Who may use the pages of systems."""

from uuid import uuid4

from tests.playbook.access_rule import Rule
from tests.playbook.looks.made import the_system


def _system():
    return {"pk": the_system().pk}


def _front():
    return {"pk": the_system().fronts.first().pk}


def _coverage():
    return {"pk": the_system().coverages.first().pk}


def _call():
    return {"pk": the_system().calls.first().pk}


def _new_rule():
    return _front() | {"what": "front", "kind": "fits"}


def _rule():
    front = the_system().fronts.first()
    return {"pk": front.pk, "what": "front", "kind": "fits", "rule": front.fitrules.first().pk}


OF_A_SYSTEM = [
    "detail", "edit", "variant", "export", "positions", "changes", "add-front", "add-coverage", "add-call"
]  # fmt: skip
TABLE = {
    "system:list": Rule("staff"),
    "system:import": Rule("staff"),
    "system:phrasebook": Rule("staff"),
    **{
        f"system:{name}": Rule("staff", kwargs=_system)
        for name in (
            "detail",
            "edit",
            "variant",
            "export",
            "positions",
            "changes",
            "techniques",
            "add-pressure",
            "shipped",
            "add-front",
            "add-coverage",
            "add-call",
        )
    },
    "system:take-whole": Rule("staff", "post"),
    "system:delete": Rule("staff", "post", kwargs=_system),
    **{f"system:{name}-shipped": Rule("staff", "post", kwargs=_system) for name in ("try", "take", "leave")},
    "system:drawn": Rule("staff", kwargs=lambda: _system() | {"change": uuid4()}, fine=(303,)),
    "system:undo": Rule("staff", "post", kwargs=lambda: _system() | {"change": uuid4()}),
    "system:pressure": Rule("staff", kwargs=lambda: _system() | {"number": 1}),
    "system:delete-pressure": Rule("staff", "post", kwargs=lambda: _system() | {"number": 1}),
    "system:movement": Rule("staff", kwargs=lambda: {"what": "front"} | _front()),
    "system:front": Rule("staff", kwargs=_front),
    "system:knows": Rule("staff", kwargs=lambda: {"what": "front"} | _front()),
    "system:edit-front": Rule("staff", kwargs=_front),
    "system:delete-front": Rule("staff", "post", kwargs=_front),
    "system:coverage": Rule("staff", kwargs=_coverage),
    "system:edit-coverage": Rule("staff", kwargs=_coverage),
    "system:delete-coverage": Rule("staff", "post", kwargs=_coverage),
    "system:edit-call": Rule("staff", kwargs=_call),
    "system:delete-call": Rule("staff", "post", kwargs=_call),
    "system:try-new-rule": Rule("staff", "post", kwargs=_new_rule),
    "system:save-new-rule": Rule("staff", "post", kwargs=_new_rule),
    "system:try-rule": Rule("staff", "post", kwargs=_rule),
    "system:save-rule": Rule("staff", "post", kwargs=_rule),
    "system:move-rule": Rule("staff", "post", kwargs=_rule, fine=(404,)),
    "system:delete-rule": Rule("staff", "post", kwargs=_rule, fine=(404,)),
}
