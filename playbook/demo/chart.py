"""The demo's chart: an invented opponent's snaps, typed as a staff types them, with habits for a scout to find."""

from __future__ import annotations

import csv
import io
import random

from playbook.models import Chart, Opponent, User
from playbook.scouting import charts, words

OPPONENT = "Ostrand Bluffs Herons"
FILE = "herons, four games.csv"
HEADER = [
    "Game", "Qtr", "Time", "Dn", "Dist", "Yd Ln", "Hash", "Pers", "Form", "Back", "Motion", "R/P", "Play", "Dir",
    "Gap", "Gain", "Result", "Our call",
]  # fmt: skip
GAMES = ("Quillmoor State", "Tarnwick Tech", "Saltmere", "Ourselves, last year")

# Their words and ours.
FORMATIONS = {
    "Dub": "10-doubles",
    "Trio": "10-trips",
    "Dub Y": "11-doubles",
    "Trio Y": "11-trips",
    "H Off": "11-h-back",
}
CONCEPTS = {"IZ bubble": "inside-zone-rpo", "Read": "zone-read", "IZ": "inside-zone", "OZ": "outside-zone",
            "Power": "power", "Slice": "split-zone", "Ctr": "counter", "Fly": "jet-sweep"}  # fmt: skip
PERSONNEL = {"Dub": "10", "Trio": "10", "Dub Y": "1 RB, 1 TE, 3 WR", "Trio Y": "11p", "H Off": "11"}
FAVOURITES = {
    "Dub": (("IZ bubble", 9), ("Read", 7), ("OZ", 4), ("Fly", 2)),
    "Trio": (("Read", 6), ("IZ", 3), ("OZ", 2)),
    "Dub Y": (("Power", 7), ("Slice", 5), ("IZ", 3)),
    "Trio Y": (("IZ", 6), ("Ctr", 4), ("Power", 2)),
    "H Off": (("Slice", 4), ("OZ", 3)),
}
GAPS = {
    "Power": "BBC",
    "Ctr": "BC",
    "IZ": "AAB",
    "IZ bubble": "AAB",
    "Read": "AB",
    "OZ": "CCD",
    "Slice": "ABB",
    "Fly": "D",
}
PASSES = ("Stick", "Verts", "Curl-flat", "Smash", "Boot", "RB screen")


def load_chart(coach: User) -> Chart | None:
    """Makes the chart, reads it and says what its words mean, unless the opponent has one already."""
    opponent = Opponent.objects.filter(name=OPPONENT).first()
    if opponent is None or opponent.charts.exists():
        return None
    text = io.StringIO()
    csv.writer(text).writerows([HEADER, *snaps()])
    data = text.getvalue().encode()
    chart = charts.add_chart(opponent, FILE, len(data), [data], coach)
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    meanings = {("formation", word): ours for word, ours in FORMATIONS.items()}
    words.save_words(opponent, meanings | {("concept", word): ours for word, ours in CONCEPTS.items()})
    return chart


def snaps() -> list[list[str]]:
    """Returns the rows, always the same ones; two of them cannot be read, as in life."""
    dice = random.Random(1921)
    rows = []
    for game in GAMES:
        for number in range(70):
            rows.append(_snap(dice, game, 1 + number * 4 // 70))
    rows[17][3] = "5"
    rows[140][15] = "6?"
    return rows


def _snap(dice: random.Random, game: str, quarter: int) -> list[str]:
    down = dice.choices((1, 2, 3, 4), (42, 33, 21, 4))[0]
    distance = 10 if down == 1 else dice.choice((1, 2, 3, 4, 5, 6, 7, 8, 8, 10, 12))
    if down == 4 and dice.random() < 0.7:
        return _row(game, quarter, dice, down, distance, kind="Punt")
    form = dice.choices(list(FORMATIONS), (30, 14, 26, 20, 10))[0]
    strength, back = dice.choice(("Rt", "Lt")), dice.choice(("Rt", "Lt"))
    run = dice.random() < (0.22 if down == 3 and distance > 6 else 0.8 if distance <= 3 else 0.58)
    if not run:
        play, gain = dice.choice(PASSES), round(dice.choice((0, 0, 0, 4, 6, 9, 13, -6)) * dice.uniform(0.7, 1.4))
        result = "Incomplete" if gain == 0 else "Sack" if gain < 0 else "Complete"
        return _row(game, quarter, dice, down, distance, form, strength, back, "P", play, "", gain, result)
    names, weights = zip(*FAVOURITES[form], strict=True)
    play = dice.choices(names, weights)[0]
    away = {"Rt": "Lt", "Lt": "Rt"}[back]
    # Their habit: with a tight end, the run goes away from the back.
    leaning = 0.86 if form in ("Dub Y", "Trio Y") else 0.6
    way = away if dice.random() < leaning else back
    return _row(
        game, quarter, dice, down, distance, form, strength, back, "R", play, way, round(dice.gauss(4.2, 3.6)), "Rush"
    )


def _row(
    game: str, quarter: int, dice: random.Random, down: int, distance: int, form: str = "", strength: str = "",
    back: str = "", kind: str = "", play: str = "", way: str = "", gain: int | None = None, result: str = "",
) -> list[str]:  # fmt: skip
    spot = dice.randint(-49, 49) or 50
    call = (
        dice.choice(("odd-three-safety", "odd-three-safety", "odd-three-safety-slant"))
        if game == GAMES[-1] and form
        else ""
    )
    motion = "Fly" if play == "Fly" else dice.choice(("", "", "", "Across"))
    gap = dice.choice(GAPS[play]) if play in GAPS else ""
    return [
        game, str(quarter), f"{dice.randint(0, 14)}:{dice.randint(0, 59):02}", str(down), str(distance), str(spot),
        dice.choice("LMMR"), PERSONNEL.get(form, ""), f"{form} {strength}".strip(), back, motion if form else "", kind,
        play, way, gap, "" if gain is None else str(gain), result, call,
    ]  # fmt: skip
