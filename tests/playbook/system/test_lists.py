"""Pressures, movement and motion checks: made, changed, deleted, undone; a wrong row keeps what was typed."""

import pytest
from django.urls import reverse

from playbook import convert
from playbook.models import Front, System
from tests.playbook.looks.made import the_system

pytestmark = pytest.mark.django_db
BLITZ = {"label": "Will off the edge", "note": "he comes", "source": ""}


def sent(seen, head=None, **lists):
    data = {"seen": seen, **(BLITZ if head is None else head)}
    for key in ("move", "replaces", "align", "fits", "checks"):
        rows = lists.get(key, [])
        data |= {f"{key}-TOTAL_FORMS": len(rows), f"{key}-INITIAL_FORMS": 0}
        data |= {f"{key}-{n}-{name}": value for n, row in enumerate(rows) for name, value in row.items()}
    return data


@pytest.fixture
def system(db):
    return the_system()


def goes(who="W", to="edge", **more):
    return {"who": who, "when": "", "to": to, **more}


def test_a_pressure_is_made_drawn_changed_and_deleted(as_staff, system):
    shipped = len(system.pressures)
    add = reverse("system:add-pressure", args=[system.pk])
    assert as_staff.get(add).status_code == 200
    rows = {
        "move": [goes()],
        "replaces": [{"of": "W", "duty": "pass", "by": "M"}, {"of": "W", "duty": "gap", "by": "E"}],
    }
    answer = as_staff.post(add, sent(system.version, **rows))
    page = reverse("system:pressure", args=[system.pk, shipped + 1])
    assert (answer.status_code, answer["Location"]) == (303, page)
    system.refresh_from_db()
    made = system.pressures[-1]
    assert (made["name"], made["label"]) == ("will-off-the-edge", "Will off the edge")
    assert made["move"] == [goes()]
    assert "will-off-the-edge" in convert.system_value(system).pressures
    text = as_staff.get(page).content.decode()
    assert "<svg" in text or "Not drawn" in text
    for number in range(1, shipped + 1):
        shown = as_staff.get(reverse("system:pressure", args=[system.pk, number])).content.decode()
        assert "data-drawing" in shown and "Not drawn" not in shown
    tried = as_staff.post(page, sent(system.version, **rows) | {"do": "see"}, headers={"HX-Request": "true"})
    assert tried.status_code == 200 and "<html" not in tried.content.decode()
    fit = {"id": "", "who": "M", "when": "", "fit": "my gap", "leverage": "", "say": "hold it"}
    as_staff.post(page, sent(system.version, **rows, fits=[fit]))
    system.refresh_from_db()
    assert system.pressures[-1]["fits"][0]["id"] not in ("", None)
    as_staff.post(reverse("system:delete-pressure", args=[system.pk, shipped + 1]), {"seen": system.version})
    system.refresh_from_db()
    assert len(system.pressures) == shipped


def test_what_the_engine_does_not_know_stands_beside_its_field_and_stays_typed(as_staff, system):
    before = system.pressures
    add = reverse("system:add-pressure", args=[system.pk])
    answer = as_staff.post(add, sent(system.version, move=[goes(), goes(to="to the moon")]))
    text = answer.content.decode()
    assert answer.status_code == 422 and 'value="to the moon"' in text and "xpected" in text
    system.refresh_from_db()
    assert system.pressures == before
    again = as_staff.post(add, sent(system.version, {**BLITZ, "label": before[0]["label"]}, move=[goes()]))
    assert again.status_code == 422 and "here already" in again.content.decode()
    nobody = as_staff.post(add, sent(system.version))
    assert nobody.status_code == 422 and "at least one man who moves" in nobody.content.decode()


def test_a_try_says_what_is_wrong_beside_its_field_without_identifiers(as_staff, system):
    add = reverse("system:add-pressure", args=[system.pk])
    fit = {"id": "", "who": "M", "when": "", "fit": "my gap", "leverage": "", "say": ""}
    page = as_staff.post(
        add, sent(system.version, move=[goes(to="nowhere")], fits=[fit]) | {"do": "see"}
    ).content.decode()
    assert page.count("Expected a movement") == 1 and 'value="nowhere"' in page
    assert "move[0]" not in page and ">Id</label>" not in page


def test_rows_are_added_moved_and_taken_out_before_they_are_saved(as_staff, system):
    add = reverse("system:add-pressure", args=[system.pk])
    data = sent(system.version, move=[goes("W"), goes("M", "typed so far")])
    text = as_staff.post(add, data | {"do": "up move 1"}).content.decode()
    assert text.index("typed so far") < text.index('value="W"')
    assert 'name="move-2-who"' in as_staff.post(add, data | {"do": "add move"}).content.decode()
    assert "typed so far" not in as_staff.post(add, data | {"do": "drop move 1"}).content.decode()


def test_the_second_who_saves_sees_both(as_staff, system):
    page = reverse("system:pressure", args=[system.pk, 1])
    system.save_version(system.version, source="somebody else")
    answer = as_staff.post(page, sent(system.version - 1, move=[goes()]))
    assert answer.status_code == 409
    assert "Will off the edge" in answer.content.decode() and system.pressures[0]["label"] in answer.content.decode()


def test_a_pressure_is_undone(as_staff, system):
    before = system.pressures
    as_staff.post(reverse("system:delete-pressure", args=[system.pk, 1]), {"seen": system.version})
    page = as_staff.get(reverse("system:changes", args=[system.pk])).content.decode()
    undo = next(part.split('"')[0] for part in page.split('action="')[1:] if part.split('"')[0].endswith("/undo"))
    assert as_staff.post(undo).status_code == 303
    assert System.objects.get(pk=system.pk).pressures == before


@pytest.mark.parametrize("what", ["front", "coverage"])
def test_movement_and_checks_of_a_part_are_saved(as_staff, system, what):
    part = getattr(system, f"{what}s").first()
    page = reverse("system:movement", args=[what, part.pk])
    assert as_staff.get(page).status_code == 200
    man = "M" if what == "front" else "MS"
    checks = [{"who": man, "when": "", "does": "stay", "say": "stay put", "takes": ""}]
    move = [goes("N", "A gap", say="to the strong A")] if what == "front" else []
    answer = as_staff.post(page, sent(part.version, {}, checks=checks, move=move))
    assert answer.status_code == 303, answer.content.decode()[-3000:]
    part.refresh_from_db()
    assert part.checks == [{"who": man, "when": "", "does": "stay", "say": "stay put"}]
    if what == "front":
        assert part.move == move
    wrong = as_staff.post(page, sent(part.version, {}, checks=[{**checks[0], "does": "hide"}], move=move))
    assert wrong.status_code == 422 and 'value="hide"' in wrong.content.decode()
    stale = as_staff.post(page, sent(part.version - 1, {}, checks=checks, move=move))
    assert stale.status_code == 409
    assert Front.objects.count()


def test_techniques_become_the_systems_own_and_are_undone(as_staff, system):
    page = reverse("system:techniques", args=[system.pk])
    assert "Other systems share this numbering" in as_staff.get(page).content.decode()
    shared = system.scheme
    rows = list(shared.techniques.values("label", "man", "shade", "gap"))

    def form(found, label="Our numbers"):
        seen = as_staff.get(page).context["seen"]
        data = {"label": label, "source": "", "seen": seen, "technique-INITIAL_FORMS": 0}
        data["technique-TOTAL_FORMS"] = len(found)
        return data | {f"technique-{n}-{k}": v for n, row in enumerate(found) for k, v in row.items()}

    more = [*rows, {"label": "Z", "man": "tackle", "shade": "wide", "gap": "C"}]
    assert as_staff.post(page, form(more)).status_code == 303
    system.refresh_from_db()
    assert system.scheme != shared and str(system.scheme) == "Our numbers"
    assert "Z" in convert.system_value(system).scheme.techniques
    assert "Z" not in set(shared.techniques.values_list("label", flat=True))
    gone = as_staff.post(page, form([row for row in more if row["label"] != "5"]))
    assert gone.status_code == 422, "a rule plays it"
    twice = as_staff.post(page, form([*more, more[-1]]))
    assert twice.status_code == 422 and "there twice" in twice.content.decode()
    stale = as_staff.post(page, form(more) | {"seen": "0"})
    assert stale.status_code == 409
    history = as_staff.get(reverse("system:changes", args=[system.pk])).content.decode()
    undo = next(part.split('"')[0] for part in history.split('action="')[1:] if part.split('"')[0].endswith("/undo"))
    assert as_staff.post(undo).status_code == 303
    assert System.objects.get(pk=system.pk).scheme == shared


PART = {"HX-Request": "true"}


def table(page):
    """The rows of a page's lists, as they would be sent."""
    found = {}
    for key, rows in page.context["sets"].items():
        found |= {f"{key}-TOTAL_FORMS": len(rows.forms), f"{key}-INITIAL_FORMS": 0}
        for n, row in enumerate(rows):
            found |= {f"{key}-{n}-{name}": row[name].value() or "" for name in row.fields}
    return found


def test_a_man_is_sent_from_the_drawing_and_what_he_leaves_is_given_to_others(as_staff, system):
    add = reverse("system:add-pressure", args=[system.pk])
    page = as_staff.get(add)
    assert page.context["nobody"] and len(page.context["men"]) == 11
    head = {"label": "Mike through A", "note": "", "source": "", "seen": system.version}
    picked = as_staff.post(add, head | table(page) | {"do": "man M"}, headers=PART)
    assert (
        picked.context["man"].role == "M"
        and 'data-jobs="d" hx-sync="main:replace" data-man="M"' in picked.content.decode()
    )
    job = {
        "do": "job",
        "man": "M",
        "job-who": "M",
        "job-word": "A gap",
        "job-to": "weak",
        "job-when": "",
        "job-say": "go",
    }
    sent_ = as_staff.post(add, head | table(picked) | job, headers=PART)
    assert sent_.context["sets"]["move"][0]["to"].value() == "A gap to weak"
    assert 'name="job-word" form="editor-form" value="A gap" checked' in sent_.content.decode()
    given = as_staff.post(add, head | table(sent_) | job | {"job-pass": "W", "job-gap": "MS"}, headers=PART)
    taken = [(row["of"].value(), row["duty"].value(), row["by"].value()) for row in given.context["sets"]["replaces"]]
    assert taken == [("M", "pass", "W"), ("M", "gap", "MS")]
    late = job | {"job-when": "tight end on my side", "job-word": "edge", "job-to": ""}
    two = as_staff.post(add, head | table(given) | late, headers=PART)
    assert [row["to"].value() for row in two.context["sets"]["move"]] == ["edge", "A gap to weak"]
    back = as_staff.post(add, head | table(two) | late | {"job-word": ""}, headers=PART)
    assert [row["to"].value() for row in back.context["sets"]["move"]] == ["A gap to weak"]
    changed = as_staff.post(add, head | table(given) | {"impact": "1"}, headers=PART)
    assert changed.context["impact"].total and b"better" in changed.content
    assert changed.context["impact"].changed, "the call without it is another look"
    as_staff.post(add, head | table(given) | {"save": "1"})
    system.refresh_from_db()
    assert system.pressures[-1]["label"] == "Mike through A"


def test_a_pressure_that_nobody_can_line_up_is_not_saved_as_if_all_were_well(as_staff, system):
    add = reverse("system:add-pressure", args=[system.pk])
    rows = {"move": [goes("W", "A gap"), goes("S", "A gap"), goes("M", "edge")]}
    page = as_staff.get(as_staff.post(add, sent(system.version, **rows))["Location"])
    (said,) = list(page.context["messages"])
    assert said.tags in ("error", "warning") and " against " in str(said) and "no replacement is named" in str(said)
    tried = as_staff.post(add, sent(system.version, **rows) | {"impact": "1"}, headers=PART)
    assert "no replacement is named" in tried.content.decode()


def test_a_check_is_chosen_from_the_drawing_with_a_motion(as_staff, system):
    part = system.coverages.first()
    page_ = reverse("system:movement", args=["coverage", part.pk])
    page = as_staff.get(page_)
    assert page.context["over"].motion and page.context["look"].motion
    assert page.context["check"]["word"] in ("rotate", "bump", "rock", "run with him"), "as it is saved"
    head = {"seen": part.version, "check-who": "CB", "check-when": "motion across", "check-say": "go with him"}
    tried = as_staff.post(page_, head | table(page) | {"do": "job", "check-word": "run with him"}, headers=PART)
    first = tried.context["sets"]["checks"][0 if not part.checks else len(part.checks)]
    assert (first["who"].value(), first["does"].value(), first["when"].value()) == (
        "CB",
        "run with him",
        "motion across",
    )
    assert as_staff.post(page_, table(tried) | {"seen": part.version}).status_code == 303
    part.refresh_from_db()
    assert any(row["who"] == "CB" and row["does"] == "run with him" for row in part.checks)
