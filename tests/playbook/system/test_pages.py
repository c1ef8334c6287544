"""Lists, parts, calls, positions and files of systems."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from playbook import convert
from playbook.models import Call, System
from tests.playbook.looks.made import CALL, the_system

pytestmark = pytest.mark.django_db


def to(name, *args):
    return reverse(f"system:{name}", args=args)


def test_the_list_and_a_system_show_what_they_hold(as_staff):
    assert b"Odd, three safeties" in as_staff.get(to("list")).content
    page = as_staff.get(to("detail", the_system().pk)).content
    assert b"Middle safety" in page and b"Odd, one high" in page and CALL.encode() + b"<" not in page


def test_a_system_whose_rows_do_not_read_says_so(as_staff):
    the_system().fronts.first().fitrules.first().__class__.objects.filter(front__system=the_system()).update(
        when="rain"
    )
    page = as_staff.get(to("detail", the_system().pk))
    assert page.status_code == 200 and b"No look can be derived" in page.content


def test_players_strangers_and_wrong_methods(client, player, staff):
    addresses = [to("list"), to("detail", the_system().pk), to("import"), to("changes", the_system().pk)]
    assert {client.get(address).status_code for address in addresses} == {302}
    client.force_login(player)
    assert {client.get(address).status_code for address in addresses} == {404}
    client.force_login(staff)
    assert client.put(addresses[0]).status_code == 405
    assert client.get(to("delete", the_system().pk)).status_code == 405


def test_the_phrasebook_has_every_phrase_of_the_engine(as_staff):
    from fits.rules.conditions import CONDITIONS
    from fits.rules.targets import TARGETS

    page = as_staff.get(to("phrasebook")).content.decode()
    for entry in [*CONDITIONS.listing(), *TARGETS.listing()]:
        assert entry["example"] in page


def test_a_front_is_added_with_the_rules_of_another_and_called(as_staff):
    system = the_system()
    front, coverage = system.fronts.first(), system.coverages.first()
    data = {"label": "Odd, slanted", "strength": "field", "copy": front.pk}
    assert as_staff.post(to("add-front", system.pk), data).status_code == 303
    made = system.fronts.get(name="odd-slanted")
    assert made.fitrules.count() == front.fitrules.count()
    call = {"label": "Mine", "front": made.pk, "coverage": coverage.pk, "note": ""}
    assert as_staff.post(to("add-call", system.pk), call).status_code == 303
    assert "mine" in convert.calls_of(System.objects.select_related("scheme").get(pk=system.pk))
    taken = as_staff.post(to("add-call", system.pk), call)
    assert taken.status_code == 422


def test_a_call_of_an_empty_front_is_refused_by_the_engine(as_staff):
    system = the_system()
    as_staff.post(to("add-front", system.pk), {"label": "Empty", "strength": "run", "copy": ""})
    data = {"label": "X", "front": system.fronts.get(name="empty").pk, "coverage": system.coverages.first().pk}
    page = as_staff.post(to("add-call", system.pk), data)
    assert page.status_code == 422 and b"an alignment rule for" in page.content
    assert not Call.objects.filter(label="X").exists()


def test_what_a_call_uses_is_not_deleted(as_staff):
    front = the_system().calls.first().front
    as_staff.post(to("delete-front", front.pk))
    assert the_system().fronts.filter(pk=front.pk).exists()
    assert b"still used" in as_staff.get(to("detail", the_system().pk)).content


def test_two_people_renaming_the_same_front(as_staff):
    front = the_system().fronts.first()
    seen = {"label": "Mine", "strength": front.strength, "version": front.version}
    front.save_version(front.version, label="Theirs")
    page = as_staff.post(to("edit-front", front.pk), seen)
    assert page.status_code == 409 and b"Mine" in page.content and b"Theirs" in page.content


def test_positions_are_renamed_with_their_rules(as_staff):
    system = the_system()
    data, seen = {}, as_staff.get(to("positions", system.pk)).context
    rows = seen["rows"]
    data = {
        f"{rows.prefix}-TOTAL_FORMS": len(rows),
        f"{rows.prefix}-INITIAL_FORMS": rows.initial_form_count(),
        "seen": seen["seen"],
    }
    for form in rows:
        for name in (*form.fields,):
            value = form[name].value()
            data[form.add_prefix(name)] = "" if value in (None, False) else value
    first = next(form for form in rows if form.initial.get("was") == "N")
    data[first.add_prefix("name")] = "NT"
    page = as_staff.post(to("positions", system.pk), data)
    assert page.status_code == 303, page.context["refused"]
    value = convert.system_value(System.objects.select_related("scheme").get(pk=system.pk))
    assert "NT" in [p.name for p in value.positions]
    front = system.fronts.first()
    assert front.fitrules.filter(who="NT").exists() and not front.fitrules.filter(who="N").exists()
    stale = as_staff.post(to("positions", system.pk), data)
    assert stale.status_code == 409


def test_ten_men_are_refused(as_staff):
    system = the_system()
    seen = as_staff.get(to("positions", system.pk)).context
    rows = seen["rows"]
    data = {
        f"{rows.prefix}-TOTAL_FORMS": len(rows),
        f"{rows.prefix}-INITIAL_FORMS": rows.initial_form_count(),
        "seen": seen["seen"],
    }
    for form in rows:
        data |= {form.add_prefix(n): "" if form[n].value() in (None, False) else form[n].value() for n in form.fields}
    data[rows.forms[2].add_prefix("drop")] = "on"
    page = as_staff.post(to("positions", system.pk), data)
    assert page.status_code == 422 and b"Not saved" in page.content
    assert system.positions.count() == rows.initial_form_count()


def test_export_and_import_give_the_same_system_back(as_staff):
    system = the_system()
    text = as_staff.get(to("export", system.pk)).content
    before = convert.system_dict(system)
    system.fronts.first().fitrules.first().delete()
    upload = SimpleUploadedFile("odd.toml", text)
    assert as_staff.post(to("import"), {"file": upload}).status_code == 303
    assert convert.system_dict(System.objects.get(pk=system.pk)) == before


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b"[system]\nname = ", "line 2"),
        (b"\xff\xfe", "UTF-8"),
        (b'[system]\nname = "x"\ntechniques = "none such"\n', "one of"),
        (b"", "empty"),
    ],
)
def test_a_bad_file_changes_nothing_and_is_told_where(as_staff, text, words):
    before = {s.pk: s.revision for s in System.objects.all()}
    page = as_staff.post(to("import"), {"file": SimpleUploadedFile("bad.toml", text)})
    assert page.status_code == 422 and words in page.content.decode()
    assert {s.pk: s.revision for s in System.objects.all()} == before


def test_a_phrase_wrong_inside_a_file_names_its_line(as_staff):
    text = as_staff.get(to("export", the_system().pk)).content.decode()
    lines = text.replace('fit = "frontside A"', 'fit = "the moon"', 1).splitlines()
    line = next(i for i, row in enumerate(lines, 1) if "the moon" in row)
    page = as_staff.post(to("import"), {"file": SimpleUploadedFile("odd.toml", "\n".join(lines).encode())})
    assert page.status_code == 422 and f"line {line}" in page.content.decode()


def test_a_variant_is_made_and_deleted(as_staff):
    system = the_system()
    data = {"label": "Odd for week 3"}
    assert as_staff.post(to("variant", system.pk), data).status_code == 303
    made = System.objects.get(name="odd-for-week-3")
    assert made.base == system and made.calls.count() == system.calls.count()
    assert as_staff.post(to("variant", system.pk), data).status_code == 422
    as_staff.post(to("delete", made.pk))
    assert not System.objects.filter(name="odd-for-week-3").exists()


def test_renaming_a_system(as_staff):
    system = the_system()
    assert as_staff.get(to("edit", system.pk)).status_code == 200
    data = {"label": "Our odd", "source": "own", "frame": "own", "version": system.version}
    assert as_staff.post(to("edit", system.pk), data).status_code == 303
    assert as_staff.post(to("edit", system.pk), data).status_code == 409


def test_a_deleted_shipped_system_is_offered_and_taken_in_again(as_staff):
    assert b"not in your list" not in as_staff.get(to("list")).content
    System.objects.get(name="over-quarters").delete()
    page = as_staff.get(to("list")).content
    assert b"not in your list" in page and b"Over, quarters" in page
    made = as_staff.post(to("take-whole"), {"name": "over-quarters"})
    assert made.headers["Location"] == to("detail", System.objects.get(name="over-quarters").pk)
    as_staff.post(to("take-whole"), {"name": "over-quarters"})
    assert b"in the list already" in as_staff.get(to("list")).content
    assert System.objects.filter(name="over-quarters").count() == 1
