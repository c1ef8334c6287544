"""What coaches write to each other: where it stands, who sees it, and that nothing of it is lost."""

import re
import uuid

import pytest
from django.test import Client
from django.urls import reverse

from playbook.models import ExpectedLook, Note, NoteSeen, User
from playbook.notes import queries
from playbook.notes.places import Place, read_place
from tests.playbook.hostile import TEXTS, Walk
from tests.playbook.test_access import TABLE as ACCESS
from tests.playbook.week.made import make_bare_week, make_week, put_at

HTMX = {"HTTP_HX_REQUEST": "true"}
ONE = [("10-doubles", "inside-zone")]
pytestmark = pytest.mark.django_db


def coach(name):
    return User.objects.create_user(name, role="coordinator", password="x", first_name=name.title(), last_name="Varn")


def window(user):
    client = Client()
    client.force_login(user)
    return client


def send(client, name, place, note=None, back="/", htmx=True, **fields):
    address = reverse(f"notes:{name}", args=[note.pk] if note else [])
    sent = {"place": place.token, "back": back, "key": uuid.uuid4()} | fields
    return client.post(address, sent, **(HTMX if htmx else {}))


def write(user, place, text="Box it here.", **fields):
    answer = send(window(user), "add", place, text=text, **fields)
    assert answer.status_code == 200, answer.content.decode()
    return Note.objects.latest("pk")


@pytest.fixture
def week(db):
    return make_week(pairs=ONE)


def places(week):
    look, call = week.expected_looks.get(), week.menu_calls.first().call
    return {
        "look": Place(week, look.formation, look.concept, call),
        "call": Place(week, call=call),
        "day": Place(week, day=week.days.first()),
        "week": Place(week),
    }


def pages(week):
    """Where a note of each kind must be read."""
    look, call = week.expected_looks.get(), week.menu_calls.first().call
    desk = reverse("looks:detail", args=[call.pk, look.formation_id, look.concept_id]) + f"?week={week.pk}"
    cell = f"{reverse('board:show')}?of=w{week.pk}&open=m{look.formation_id}-{look.concept_id}"
    notes, call_page = reverse("week:notes", args=[week.pk]), reverse("system:edit-call", args=[call.pk])
    day = f"{notes}?day={week.days.first().pk}"
    return {"desk": desk, "cell": cell, "notes": notes, "call": call_page, "day": day}


SHOWN = {
    "look": {"desk", "panel", "notes", "call"},
    "call": {"desk", "panel", "notes", "call"},
    "day": {"notes", "day"},
    "week": {"notes"},
}


@pytest.mark.parametrize("kind", SHOWN)
def test_a_note_is_shown_wherever_what_it_is_about_is(kind, week, staff, as_staff):
    write(coach("first"), places(week)[kind], text=f"About this {kind}")
    at = pages(week)
    board = as_staff.get(reverse("board:show"), {"of": f"w{week.pk}"}).content.decode()
    call = week.menu_calls.first().call
    cell = next(a for a in re.findall(rf'href="([^"]*open=[^"]*)"[^>]*data-away="c{call.pk}"', board))
    found = {
        "desk": at["desk"],
        "panel": reverse("board:show") + cell.replace("&amp;", "&"),
        "notes": at["notes"], "call": at["call"], "day": at["day"],
    }  # fmt: skip
    shown = {name for name, address in found.items() if f"About this {kind}" in as_staff.get(address).content.decode()}
    assert shown == SHOWN[kind]


def test_it_says_who_wrote_it_and_when(week, as_staff):
    note = write(coach("first"), places(week)["day"])
    page = as_staff.get(reverse("week:notes", args=[week.pk])).content.decode()
    said = re.search(r'<p class="said">(.*?)</p>', page, re.S)[1]
    assert "First Varn" in said and note.at.isoformat()[:10] in said and "on <a" in said and "Tuesday" in said


def test_unread_ones_are_on_the_start_page_until_they_are_seen(week, staff, as_staff):
    first = coach("first")
    note = write(first, places(week)["look"], text="Look at the end")
    write(staff, places(week)["day"], text="My own")
    start = as_staff.get("/").content.decode()
    assert "1 unread note<" in start and "Look at the end" in start and "My own" not in start
    link = re.search(r'<a href="([^"]+)">Look at the end', start)[1].replace("&amp;", "&")
    assert "1 new" in as_staff.get(reverse("week:detail", args=[week.pk])).content.decode()
    page = as_staff.get(link).content.decode()
    assert "Look at the end" in page and '<span class="tag">new</span>' in page
    assert '<span class="tag">new</span>' not in as_staff.get(link).content.decode()
    assert "unread" not in as_staff.get("/").content.decode()
    send(window(first), "answer", places(week)["look"], note, text="And so do I")
    assert "And so do I" not in window(first).get("/").content.decode(), "not his own"
    start = as_staff.get("/").content.decode()
    assert "And so do I" in start and "in answer" in start


def test_all_can_be_marked_as_read(week, as_staff):
    for number in range(25):
        write(coach(f"c{number}"), places(week)["week"], text=f"Note {number}")
    assert "25 unread notes" in as_staff.get("/").content.decode()
    assert as_staff.post(reverse("notes:read"))["Location"] == "/"
    assert "unread" not in as_staff.get("/").content.decode()


def test_a_note_to_one_coach_is_seen_by_the_two_and_by_nobody_else(week, staff, as_staff, admin):
    first = coach("first")
    note = write(first, places(week)["call"], text="Between us", to=staff.pk)
    notes = reverse("week:notes", args=[week.pk])
    assert "Between us" in as_staff.get("/").content.decode()
    assert "Between us" in as_staff.get(notes).content.decode()
    send(as_staff, "answer", places(week)["call"], note, text="Agreed, quietly")
    mine = window(first).get(notes).content.decode()
    assert "Agreed, quietly" in mine and "only for" in mine
    for other in (window(coach("third")), window(admin)):
        for address in ("/", *pages(week).values()):
            page = other.get(address).content.decode()
            assert "Between us" not in page and "Agreed, quietly" not in page, address
        for name in ("answer", "change", "settle", "delete", "restore"):
            assert send(other, name, places(week)["call"], note, text="x", version=1).status_code == 404
    assert queries.by_day(admin, week) == {}


def test_a_note_to_a_coach_who_is_gone_is_not_for_everybody(week, staff, as_staff):
    first, second = coach("first"), coach("second")
    write(first, places(week)["week"], text="Between us", to=second.pk)
    second.delete()
    notes = reverse("week:notes", args=[week.pk])
    assert "Between us" not in as_staff.get(notes).content.decode()
    assert "Between us" in window(first).get(notes).content.decode()


def test_one_can_write_only_to_coaches(week, player):
    answer = send(window(coach("first")), "add", places(week)["week"], text="x", to=player.pk)
    assert answer.status_code == 422 and not Note.objects.exists()


def test_sent_twice_it_is_kept_once(week):
    first, key = coach("first"), uuid.uuid4()
    for _ in range(2):
        assert send(window(first), "add", places(week)["week"], text="Once", key=key).status_code == 200
    note = Note.objects.get()
    key = uuid.uuid4()
    for _ in range(2):
        send(window(first), "answer", places(week)["week"], note, text="Once more", key=key)
    assert note.replies.count() == 1


def test_too_long_or_empty_is_said_and_nothing_is_lost(week, as_staff):
    page = as_staff.get(reverse("week:notes", args=[week.pk])).content.decode()
    assert "At most 2,000 characters" in page
    answer = send(as_staff, "add", places(week)["week"], text="é" * 2_001)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Expected 2,000 characters at most, got 2,001." in page and "é" * 2_001 in page
    assert "Write something first." in send(as_staff, "add", places(week)["week"], text=" \n ").content.decode()
    whole = send(as_staff, "add", places(week)["week"], text="é" * 2_001, htmx=False)
    assert whole.status_code == 422 and "The note is not saved yet" in whole.content.decode()
    assert send(as_staff, "add", places(week)["week"], text="é" * 1_999 + "\r\n").status_code == 200


@pytest.mark.parametrize("text", [t for t in TEXTS if len(t) <= 2000 and t.strip()])
def test_any_text_is_kept_and_shown_as_it_is(text, week, as_staff):
    answer = send(as_staff, "add", places(week)["week"], text=text)
    assert answer.status_code == 200
    kept = Note.objects.get().text
    assert kept == text.strip().replace("\r\n", "\n")
    page = as_staff.get(reverse("week:notes", args=[week.pk])).content.decode()
    assert "<script>alert" not in page.replace("&lt;script", "")


def test_the_nul_character_is_refused_in_words(week, as_staff):
    answer = send(as_staff, "add", places(week)["week"], text="a\0b")
    assert answer.status_code == 422 and "Null characters" in answer.content.decode()


def test_two_windows_change_one_note_and_nothing_is_lost(week, staff, as_staff):
    note, place = write(staff, places(week)["week"], text="At first"), places(week)["week"]
    assert send(as_staff, "change", place, note, text="Then", version=1).status_code == 200
    late = send(as_staff, "change", place, note, text="Other", version=1)
    assert late.status_code == 409 and late["HX-Retarget"] == "#messages"
    assert "Then" in late.content.decode() and "Other" in late.content.decode()
    note.refresh_from_db()
    assert note.text == "Then"
    bad = send(as_staff, "change", place, note, text="x" * 3_000, version=2)
    assert bad.status_code == 422 and "x" * 3_000 in bad.content.decode()


def test_only_his_own_are_changed_and_deleted(week, as_staff):
    note, place = write(coach("first"), places(week)["week"]), places(week)["week"]
    for name in ("change", "delete"):
        assert send(as_staff, name, place, note, text="Mine now", version=1).status_code == 404
    page = as_staff.get(reverse("week:notes", args=[week.pk])).content.decode()
    assert reverse("notes:delete", args=[note.pk]) not in page
    assert reverse("notes:settle", args=[note.pk]) in page


def test_a_deleted_note_comes_back_with_its_answers(week, staff, as_staff):
    place = places(week)["look"]
    note = write(staff, place, text="To go")
    send(window(coach("first")), "answer", place, note, text="Its answer")
    page = send(as_staff, "delete", place, note).content.decode()
    assert "You deleted" in page and reverse("notes:restore", args=[note.pk]) in page
    assert "Its answer" not in page
    notes = reverse("week:notes", args=[week.pk])
    other = window(coach("second"))
    assert "To go" not in other.get(notes).content.decode() and "Its answer" not in other.get("/").content.decode()
    assert send(other, "restore", place, note).status_code == 404
    page = send(as_staff, "restore", place, note).content.decode()
    assert "To go" in page and "Its answer" in page and "You deleted" not in page
    assert send(as_staff, "restore", place, note).status_code == 200, "twice is once"


def test_a_settled_note_folds_and_opens_again(week, as_staff):
    place, note = places(week)["week"], write(coach("first"), places(week)["week"], text="Decide")
    page = send(as_staff, "settle", place, note, settled="yes").content.decode()
    assert "1 settled" in page and "settled by" in page
    send(as_staff, "settle", place, note, settled="yes")
    note.refresh_from_db()
    assert note.version == 2, "done twice it is done once"
    assert "Decide" not in window(coach("second")).get("/").content.decode(), "settled is not unread"
    assert "1 settled" not in send(as_staff, "settle", place, note, settled="no").content.decode()


def test_without_scripts_it_goes_back_to_its_page(week, staff, as_staff):
    back = pages(week)["desk"]
    answer = send(as_staff, "add", places(week)["look"], text="Here", back=back, htmx=False)
    assert answer.status_code == 303 and answer["Location"] == f"{back}#notes"
    for elsewhere in ("https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)", ""):
        answer = send(as_staff, "add", places(week)["look"], text="Here", back=elsewhere, htmx=False)
        assert answer["Location"] == "/#notes"


def test_answers_stand_in_one_list(week, as_staff):
    place, note = places(week)["week"], write(coach("first"), places(week)["week"])
    send(as_staff, "answer", place, note, text="One")
    reply = note.replies.get()
    assert send(as_staff, "answer", place, reply, text="Under it").status_code == 404


@pytest.mark.parametrize("token", ["", "w", "w0", "x1", "w1-w1", "f1", "w1-f1", "d1", "w99999999999999999999", "w-1"])
def test_a_place_that_is_none_is_not_found(token, week, as_staff):
    assert as_staff.post(reverse("notes:add"), {"place": token, "text": "x", "key": uuid.uuid4()}).status_code == 404


def test_a_place_reads_back_what_it_says(week):
    for place in places(week).values():
        assert read_place(place.token) == place
    other = make_bare_week(7)
    assert read_place(f"w{other.pk}-d{week.days.first().pk}") is None


def test_a_note_outlives_what_it_is_about(week, staff, as_staff):
    write(staff, places(week)["day"], text="On a day")
    write(staff, places(week)["look"], text="On a look")
    week.days.all().delete()
    ExpectedLook.objects.all().delete()
    page = as_staff.get(reverse("week:notes", args=[week.pk])).content.decode()
    assert "On a day" in page and "On a look" in page and "Tuesday" in page


def test_players_never_see_one(week, player):
    put_at(player.player, "M")
    week.released = True
    week.save()
    author = coach("first")
    for number, place in enumerate(places(week).values()):
        write(author, place, text=f"Secret number {number}")
    client = window(player)
    walk = Walk(client, most=4).go("/", reverse("player:week"), reverse("quiz:mine"))
    assert walk.troubles == [] and len(walk.seen) > 3
    for address in walk.seen:
        assert b"Secret number" not in client.get(address).content, address
    for address in pages(week).values():
        assert client.get(address).status_code == 404
    assert not any("note" in name for name in walk.names)
    assert not NoteSeen.objects.filter(user=player).exists()
    assert {rule.who for name, rule in ACCESS.items() if "note" in name} == {"staff"}


def test_a_page_of_notes_takes_few_queries(week, as_staff, django_assert_max_num_queries):
    authors = [coach(f"c{n}") for n in range(4)]
    for number in range(40):
        place = list(places(week).values())[number % 4]
        note = Note.objects.create(
            **place.rows, author=authors[number % 4], author_name="x", text=f"n{number}", about=place.words
        )
        Note.objects.create(**place.rows, author=authors[0], author_name="x", text="re", answers=note)
    as_staff.get(reverse("week:notes", args=[week.pk]))
    with django_assert_max_num_queries(50):
        as_staff.get(reverse("week:notes", args=[week.pk]))
