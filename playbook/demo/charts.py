"""The demo's charts: invented opponents' snaps, typed as a staff types them, with habits for a scout to find."""

from __future__ import annotations

import csv
import io
import random
from dataclasses import dataclass

from playbook.charts import services as charts
from playbook.charts import words
from playbook.models import Chart, Opponent, User

HEADER = [
    "Game", "Qtr", "Time", "Dn", "Dist", "Yd Ln", "Hash", "Pers", "Form", "Back", "Motion", "R/P", "Play", "Dir",
    "Gap", "Gain", "Result", "Our call",
]  # fmt: skip

# Their words and ours.
FORMATIONS = {
    "Dub": "10-doubles", "Trio": "10-trips", "Dub Y": "11-doubles", "Trio Y": "11-trips", "H Off": "11-h-back",
    "Pistol F": "20-pistol", "Pro": "21-pro-i", "Off": "21-offset", "Ace": "11-ace",
    "Deuce": "12-two-tight", "Deuce Wing": "12-wing", "Trey": "11-trey",
}  # fmt: skip
CONCEPTS = {
    "IZ bubble": "inside-zone-rpo", "Read": "zone-read", "IZ": "inside-zone", "OZ": "outside-zone", "Power": "power",
    "Slice": "split-zone", "Ctr": "counter", "Fly": "jet-sweep", "Lead": "iso", "Buck": "buck-sweep", "Duo": "duo",
    "Pin": "pin-pull",
}  # fmt: skip
MOTIONS = {"Fly": "jet"}
PERSONNEL = {
    "Dub": "10", "Trio": "10", "Dub Y": "1 RB, 1 TE, 3 WR", "Trio Y": "11p", "H Off": "11", "Pistol F": "20",
    "Pro": "21", "Off": "21", "Ace": "11", "Deuce": "12", "Deuce Wing": "12", "Trey": "11",
}  # fmt: skip
GAPS = {
    "Power": "BBC", "Ctr": "BC", "IZ": "AAB", "IZ bubble": "AAB", "Read": "AB", "OZ": "CCD", "Slice": "ABB", "Fly": "D",
    "Lead": "AAB", "Buck": "CD", "Duo": "AAB", "Pin": "CD",
}  # fmt: skip
PASSES = ("Stick", "Verts", "Curl-flat", "Smash", "Boot", "RB screen")


@dataclass(frozen=True, slots=True)
class Habits:
    """What one opponent likes, and what the chart of it is called.

    `formations` have weights; `favourites` the runs of each with weights; from the formations `leaning` the run goes
    away from the back far more often than elsewhere.
    """

    opponent: str
    file: str
    games: tuple[str, ...]
    seed: int
    formations: dict[str, int]
    favourites: dict[str, tuple[tuple[str, int], ...]]
    leaning: tuple[str, ...] = ()
    runs: float = 0.58  # share of runs on an ordinary down


HABITS = (
    Habits(
        "Quillmoor State Badgers",
        "badgers, three games.csv",
        ("Saltmere", "Hexmoor A&I", "Ourselves, last year"),
        1874,
        {"Pistol F": 34, "Pro": 26, "Off": 22, "Ace": 18},
        {
            "Pistol F": (("Power", 8), ("OZ", 6), ("Buck", 4)),
            "Pro": (("Lead", 7), ("Ctr", 5), ("Power", 3)),
            "Off": (("Power", 6), ("Lead", 3)),
            "Ace": (("OZ", 5), ("Ctr", 2)),
        },
        runs=0.68,
    ),
    Habits(
        "Ostrand Bluffs Herons",
        "herons, four games.csv",
        ("Quillmoor State", "Tarnwick Tech", "Saltmere", "Ourselves, last year"),
        1921,
        {"Dub": 30, "Trio": 14, "Dub Y": 26, "Trio Y": 20, "H Off": 10},
        {
            "Dub": (("IZ bubble", 9), ("Read", 7), ("OZ", 4), ("Fly", 2)),
            "Trio": (("Read", 6), ("IZ", 3), ("OZ", 2)),
            "Dub Y": (("Power", 7), ("Slice", 5), ("IZ", 3)),
            "Trio Y": (("IZ", 6), ("Ctr", 4), ("Power", 2)),
            "H Off": (("Slice", 4), ("OZ", 3)),
        },
        leaning=("Dub Y", "Trio Y"),
    ),
    Habits(
        "Tarnwick Tech Lamplighters",
        "lamplighters, two games.csv",
        ("Quillmoor State", "Ourselves, last year"),
        1938,
        {"Deuce": 26, "Deuce Wing": 30, "Trey": 30, "Dub": 14},
        {
            "Deuce": (("Duo", 7), ("Power", 3)),
            "Deuce Wing": (("Slice", 6), ("Pin", 4), ("Duo", 2)),
            "Trey": (("Duo", 6), ("Power", 5)),
            "Dub": (("Read", 4),),
        },
        runs=0.62,
    ),
)


def load_charts(coach: User) -> None:
    """Makes the charts, reads them and says what their words mean, for opponents that have none."""
    for habits in HABITS:
        opponent = Opponent.objects.filter(name=habits.opponent).first()
        if opponent is not None and not opponent.charts.exists():
            _load(habits, opponent, coach)


def _load(habits: Habits, opponent: Opponent, coach: User) -> None:
    text = io.StringIO()
    csv.writer(text).writerows([HEADER, *snaps(habits)])
    data = text.getvalue().encode()
    chart: Chart = charts.add_chart(opponent, habits.file, len(data), [data], coach)
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    plays = {play for favourites in habits.favourites.values() for play, _ in favourites}
    meanings = {("formation", word): FORMATIONS[word] for word in habits.formations}
    meanings |= {("motion", word): MOTIONS[word] for word in MOTIONS if word in plays}
    words.save_words(opponent, meanings | {("concept", word): CONCEPTS[word] for word in CONCEPTS if word in plays})


def snaps(habits: Habits) -> list[list[str]]:
    """Returns the rows, always the same ones; two of them cannot be read, as in life."""
    dice = random.Random(habits.seed)
    rows = [_snap(dice, habits, game, 1 + number * 4 // 70) for game in habits.games for number in range(70)]
    rows[17][3] = "5"
    rows[120][15] = "6?"
    return rows


def _snap(dice: random.Random, habits: Habits, game: str, quarter: int) -> list[str]:
    ours = game == habits.games[-1]
    down = dice.choices((1, 2, 3, 4), (42, 33, 21, 4))[0]
    distance = 10 if down == 1 else dice.choice((1, 2, 3, 4, 5, 6, 7, 8, 8, 10, 12))
    if down == 4 and dice.random() < 0.7:
        return _row(dice, game, ours, quarter, down, distance, kind="Punt")
    form = dice.choices(list(habits.formations), list(habits.formations.values()))[0]
    strength, back = dice.choice(("Rt", "Lt")), dice.choice(("Rt", "Lt"))
    run = dice.random() < (0.22 if down == 3 and distance > 6 else 0.8 if distance <= 3 else habits.runs)
    if not run:
        play, gain = dice.choice(PASSES), round(dice.choice((0, 0, 0, 4, 6, 9, 13, -6)) * dice.uniform(0.7, 1.4))
        result = "Incomplete" if gain == 0 else "Sack" if gain < 0 else "Complete"
        return _row(dice, game, ours, quarter, down, distance, form, strength, back, "P", play, "", gain, result)
    names, weights = zip(*habits.favourites[form], strict=True)
    play = dice.choices(names, weights)[0]
    away = {"Rt": "Lt", "Lt": "Rt"}[back]
    way = away if dice.random() < (0.86 if form in habits.leaning else 0.6) else back
    gain = round(dice.gauss(4.2, 3.6))
    return _row(dice, game, ours, quarter, down, distance, form, strength, back, "R", play, way, gain, "Rush")


def _row(
    dice: random.Random, game: str, ours: bool, quarter: int, down: int, distance: int, form: str = "",
    strength: str = "", back: str = "", kind: str = "", play: str = "", way: str = "", gain: int | None = None,
    result: str = "",
) -> list[str]:  # fmt: skip
    spot = dice.randint(-49, 49) or 50
    call = dice.choice(("Over quarters", "Over quarters", "Over slant")) if ours and form else ""
    motion = "Fly" if play == "Fly" else dice.choice(("", "", "", "Across"))
    gap = dice.choice(GAPS[play]) if play in GAPS else ""
    return [
        game, str(quarter), f"{dice.randint(0, 14)}:{dice.randint(0, 59):02}", str(down), str(distance), str(spot),
        dice.choice("LMMR"), PERSONNEL.get(form, ""), f"{form} {strength}".strip(), back, motion if form else "", kind,
        play, way, gap, "" if gain is None else str(gain), result, call,
    ]  # fmt: skip
