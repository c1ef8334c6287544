"""Charts made up for the tests: an invented opponent's snaps in any shape a staff may have them."""

from __future__ import annotations

import random
from pathlib import Path

from openpyxl import Workbook

HEADER = ("Qtr", "Time", "Dn", "Dist", "Yard Ln", "Hash", "Pers", "Off Form", "Backfield", "Motion", "R/P", "Play",
          "Dir", "Gain", "Result", "Def Call")  # fmt: skip


def season(rows: int, seed: int = 7) -> list[list[str]]:
    """Returns rows with leanings a scout should find: the back away from a tight end means a run away."""
    dice = random.Random(seed)
    made = []
    for _ in range(rows):
        down = dice.choices((1, 2, 3, 4), (44, 32, 20, 4))[0]
        distance = 10 if down == 1 else dice.randint(1, 12)
        personnel, formation = dice.choice((("11", "Trips Rt"), ("11", "Trips Lt"), ("12", "Ace Rt"), ("21", "Pro Lt")))
        back = dice.choice(("Left", "Right"))
        run = dice.random() < (0.3 if down == 3 and distance > 5 else 0.55)
        play = dice.choice(("IZ", "OZ", "Power", "Ctr")) if run else dice.choice(("Curl", "Flood", "Screen"))
        direction = ("Rt" if back == "Left" else "Lt") if dice.random() < 0.7 else dice.choice(("Rt", "Lt"))
        spot = dice.randint(-49, 49) or 50
        gain = round(dice.gauss(4, 5))
        made.append(
            [
                str(dice.randint(1, 4)),
                f"{dice.randint(0, 14)}:{dice.randint(0, 59):02}",
                str(down),
                str(distance),
                str(spot),
                dice.choice("LMR"),
                personnel,
                formation,
                back,
                dice.choice(("", "", "Jet", "Orbit")),
                "R" if run else "P",
                play,
                direction,
                str(max(-20, gain)),
                "Rush" if run else dice.choice(("Complete", "Incomplete")),
                "Odd 3",
            ]
        )
    return made


def write_csv(path: Path, rows: list[list[str]], header=HEADER, delimiter=",", encoding="utf-8", end="\n") -> Path:
    lines = [delimiter.join(cells) for cells in (header, *rows)]
    path.write_bytes((end.join(lines) + end).encode(encoding))
    return path


def write_xlsx(path: Path, rows: list[list[object]], header=HEADER, title: str = "") -> Path:
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Snaps")
    if title:
        sheet.append([title])
        sheet.append([])
    for cells in (header, *rows):
        sheet.append(list(cells))
    book.save(path)
    return path
