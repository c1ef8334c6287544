"""Many men at once: files and typed lines, what becomes of each line, and what is written."""

from decimal import Decimal
from io import BytesIO

import pytest
from django.urls import reverse
from openpyxl import Workbook

from playbook.models import Player, System, User
from playbook.roster import reading

pytestmark = pytest.mark.django_db
ADDRESS = "/roster/take"


@pytest.fixture
def system():
    return System.objects.get(name="odd-three-safety")


def lines(system, text):
    return reading.read_lines(text, system.positions.all())


def send(client, system, text="", file=None, **more):
    data = {"system": system.pk, "text": text} | more
    if file is not None:
        upload = BytesIO(file)
        upload.name = "roster.csv"
        data["file"] = upload
    return client.post(ADDRESS, data)


def one(system, text):
    (man,) = lines(system, text)
    return man


@pytest.mark.parametrize(
    "text",
    [
        "44, Pell Ardmoor, M, Junior, 1.65, 4.70",
        "44\tPell Ardmoor\tM\tJunior\t1.65\t4,70",
        "No.;Last;First;Pos;Yr;40;10\n44;Ardmoor;Pell;M;Junior;4.70 s;1.65",
        'Jersey #,Player,Position,Class,10-yard,40 yd dash\n#44,"Ardmoor, Pell",m,Junior,1.65,4.7',
    ],
    ids=["commas", "tabs, no header", "semicolons", "quoted"],
)
def test_every_usual_shape_is_read_alike(system, text):
    man = one(system, text)
    assert (man.first_name, man.last_name, man.doubts) == ("Pell", "Ardmoor", ())
    times = {"ten_yd_s": Decimal("1.65"), "forty_yd_s": Decimal("4.70")}
    assert man.read == {"number": 44, "class_year": "Junior"} | times
    assert [position.name for position in man.positions] == ["M"]


@pytest.mark.parametrize("cell", ["M/W", "M; W", '"M, W"', "M W"])
def test_two_positions_in_a_cell(system, cell):
    mark = "\t" if ";" in cell else ","
    man = one(system, mark.join(["Name", "Pos"]) + "\n" + mark.join(["Pell Ardmoor", cell]))
    assert [position.name for position in man.positions] == ["M", "W"]


def test_one_cell_that_cannot_be_read_is_left_empty_and_said(system):
    man = one(system, "Name,No,10,40,Pos\nPell Ardmoor,144,47,fast,Q")
    assert man.read == {} and man.positions is None
    said = " ".join(man.doubts)
    assert "0 to 99, got “144”" in said and "1 to 4 seconds, got “47”" in said and "3 to 10 seconds, got “fast”" in said
    assert "no position here is called “Q”" in said and "MS" in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing to read"),
        ("No,Pos\n44,M", "No column holds the names"),
        ("Name,No\n", "no man below"),
        ("x" * 200_001, "at most 200,000"),
        ("Name\n" + "\n".join(f"Man Number{n}" for n in range(501)), "at most 500"),
        ('Name,No\n"' + "Pell Ardmoor,4\n" * 9_000, "does not close"),
    ],
    ids=["nothing", "no names", "a header only", "too long", "too many", "an open quotation mark"],
)
def test_what_is_no_roster_is_refused_in_words(as_staff, system, text, said):
    answer = send(as_staff, system, text)
    assert answer.status_code == 422 and said in answer.content.decode()


def test_a_file_of_another_kind_is_refused_in_words(as_staff, system):
    answer = send(as_staff, system, file=b"%PDF-1.7 and so on")
    assert answer.status_code == 422 and "not a roster" in answer.content.decode()


def test_first_it_is_shown_and_nothing_is_written(as_staff, system):
    Player.objects.create(first_name="PELL", last_name="Ardmoor", number=4)
    text = "Number,Name\n44,Pell Ardmoor\n7,Joss Evermoor\n9,Cher\n8,Joss Evermoor"
    page = send(as_staff, system, file=text.encode()).content.decode()
    assert "1 new, 1 changed" in page and "2 not taken" in page
    assert "number 4 → 44" in page and "a first and a last name are expected" in page
    assert "he stands in line 3 already" in page
    assert "44\tPell Ardmoor" in page, "the file is there as lines, to mend"
    assert Player.objects.count() == 1


def test_a_workbook_is_read(as_staff, system):
    book = Workbook()
    book.active.append(["First", "Last", "#", "40"])
    book.active.append(["Pell", "Ardmoor", 44, 4.7])
    out = BytesIO()
    book.save(out)
    page = send(as_staff, system, file=out.getvalue()).content.decode()
    assert "1 new" in page and "Pell\tArdmoor\t44\t4.7" in page


def test_saving_writes_all_and_keeps_what_the_list_does_not_say(as_staff, system):
    old = Player.objects.create(first_name="Pell", last_name="Ardmoor", number=4, class_year="Senior", active=False)
    other = System.objects.exclude(pk=system.pk).filter(base=None).first().positions.first()
    old.spots.create(position=other, order=0)
    text = "Number,Name,Pos\n44,pell ardmoor,M\n,Joss Evermoor,W"
    assert send(as_staff, system, text, save="1", log_ins="on").status_code == 303
    old.refresh_from_db()
    assert (old.number, old.class_year, old.active) == (44, "Senior", True)
    assert {spot.position.name for spot in old.spots.filter(position__system=system)} == {"M"}
    assert old.spots.filter(position=other).exists()
    made = Player.objects.get(last_name="Evermoor")
    assert made.user.username == "joss.evermoor" and not made.user.has_usable_password()
    assert send(as_staff, system, text, save="1", log_ins="on").status_code == 303
    assert Player.objects.count() == 2 and User.objects.filter(player__isnull=False).count() == 2


def test_two_men_of_one_name_are_left_to_the_coach(as_staff, system):
    for number in (1, 2):
        Player.objects.create(first_name="Pell", last_name="Ardmoor", number=number)
    assert "2 men on the roster have this name" in send(as_staff, system, "9, Pell Ardmoor").content.decode()


def test_user_names_are_free_and_any_letters_do(as_staff, system):
    User.objects.create_user("Joss.Evermoor")
    text = "Name\nJoss Evermoor\nŁukasz Ødegård-Ní\nВера Орлова"
    assert send(as_staff, system, text, save="1", log_ins="on").status_code == 303
    names = set(User.objects.filter(player__isnull=False).values_list("username", flat=True))
    assert names == {"joss.evermoor2", "łukasz.ødegård-ní", "вера.орлова"}


def test_ninety_men_take_few_queries_to_show(as_staff, system, django_assert_max_num_queries):
    text = "\n".join(f"{n}, First{n} Last{n}, M" for n in range(90))
    with django_assert_max_num_queries(25):
        assert "90 new" in send(as_staff, system, text).content.decode()


def test_the_roster_pages(as_staff):
    Player.objects.bulk_create(Player(first_name="Man", last_name=f"Number {n:03}") for n in range(230))
    page = as_staff.get(reverse("roster:list"), {"q": "Man"}).content.decode()
    assert "Page 1 of 3" in page and "Number 099" in page and "Number 100" not in page
    assert "Number 229" in as_staff.get(reverse("roster:list"), {"q": "Man", "page": "3"}).content.decode()
