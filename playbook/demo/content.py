"""What the demo holds. Everybody and everything here is invented; no real school, team or person is meant."""

from __future__ import annotations

from typing import Any

COLLEGE = "Fennick Vale College"
SYSTEM = "over-quarters"
SLANT = "over-quarters-slant"
CORNERS_FORCE = "over-quarters-two"
SHORT = "over-quarters-short"

# number, first and last name, positions in the demo's system, 10- and 40-yard times
ROSTER: list[tuple[int, str, str, str, str, str]] = [
    (91, "Brannoc", "Tellweather", "E", "1.73", "4.80"),
    (97, "Marlowe", "Ashgrenfell", "E", "1.75", "4.86"),
    (58, "Jorah", "Wexcombe", "E", "1.77", "4.88"),
    (47, "Anselm", "Birkenfold", "E", "1.78", "4.91"),
    (95, "Isandro", "Quellhorst", "T", "1.85", "5.02"),
    (93, "Odhran", "Pikesbury", "T", "1.90", "5.14"),
    (99, "Thessaly", "Gruntvale", "N", "1.94", "5.28"),
    (90, "Hobart", "Lindqvarn", "N", "1.97", "5.33"),
    (54, "Tavish", "Orrowell", "M", "1.70", "4.78"),
    (52, "Evander", "Mossgreave", "M", "1.73", "4.84"),
    (44, "Corvin", "Hathersedge", "W", "1.66", "4.69"),
    (41, "Leofric", "Dunnamore", "W", "1.69", "4.74"),
    (14, "Lucan", "Harrowgeld", "NB", "1.61", "4.61"),
    (33, "Rafferty", "Stonnelow", "NB", "1.65", "4.68"),
    (22, "Silvan", "Kestermere", "SS", "1.61", "4.60"),
    (28, "Dorian", "Fallowhythe", "SS", "1.64", "4.66"),
    (9, "Caspian", "Thornaby-Vance", "FS", "1.60", "4.58"),
    (36, "Percival", "Oxenmoor", "FS", "1.63", "4.64"),
    (2, "Amiri", "Vossbrook", "CB", "1.57", "4.50"),
    (5, "Zebedee", "Cranleth", "CB", "1.58", "4.52"),
    (24, "Ignace", "Pellamoor", "CB", "1.60", "4.57"),
    (26, "Tobiah", "Rusk-Allerby", "CB", "1.61", "4.59"),
]

OPPONENTS: list[dict[str, Any]] = [
    {
        "name": "Quillmoor State Badgers",
        "short_name": "Quillmoor",
        "note": "Under centre and pistol. They run behind the fullback until you stop it.",
        "formations": ["20-pistol", "21-pro-i", "21-offset", "11-ace"],
        "concepts": ["power", "iso", "counter", "outside-zone", "buck-sweep"],
        "motions": ["trade"],
    },
    {
        "name": "Ostrand Bluffs Herons",
        "short_name": "Ostrand",
        "note": "Gun spread. The quarterback runs when the end squeezes; the bubble goes with the inside zone.",
        "formations": ["10-doubles", "10-trips", "11-doubles", "11-trips", "11-h-back"],
        "concepts": ["inside-zone", "inside-zone-rpo", "zone-read", "outside-zone", "power", "counter", "split-zone",
                     "jet-sweep", "counter-h"],
        "motions": ["jet", "orbit"],
    },
    {
        "name": "Tarnwick Tech Lamplighters",
        "short_name": "Tarnwick",
        "note": "Two tight ends, many blockers. Watch for the wing that crosses.",
        "formations": ["12-two-tight", "12-wing", "11-trey", "10-doubles"],
        "concepts": ["duo", "power", "split-zone", "pin-pull", "zone-read"],
        "motions": ["trade", "across"],
    },
]  # fmt: skip

# formation, concept, hash, share of their runs, and what else there is to say
WEEKS: list[dict[str, Any]] = [
    {
        "number": 1,
        "opponent": "Quillmoor State Badgers",
        "released": True,
        "note": "Opened with two backs as expected. Grade every fit before Monday.",
        "looks": [
            ("20-pistol", "power", "middle", 0.24, {"pinned": True}),
            ("20-pistol", "outside-zone", "left", 0.18, {}),
            ("21-pro-i", "iso", "middle", 0.16, {}),
            ("21-pro-i", "counter", "right", 0.12, {}),
            ("21-offset", "power", "left", 0.10, {}),
            ("20-pistol", "buck-sweep", "right", 0.08, {}),
        ],
        "menu": [
            (SYSTEM, 1, None, None, "", "20", "Base. Backers read the guards, then the tackles."),
            (CORNERS_FORCE, 2, 7, 10, "", "", ""),
            (SLANT, 3, 1, 3, "", "", "Line goes weak: nothing inside."),
        ],
    },
    {
        "number": 2,
        "opponent": "Ostrand Bluffs Herons",
        "released": True,
        "note": "They change the read side with motion. Rest the older corners on Wednesday.",
        "looks": [
            ("10-doubles", "inside-zone-rpo", "middle", 0.22, {"pinned": True, "note": "Bubble with it: feet still."}),
            ("10-doubles", "zone-read", "left", 0.17, {}),
            ("11-doubles", "power", "right", 0.13, {"note": "Tight end into the boundary."}),
            ("11-trips", "inside-zone", "left", 0.11, {}),
            ("10-doubles", "outside-zone", "right", 0.09, {}),
            ("11-doubles", "split-zone", "right", 0.08, {}),
            ("11-trips", "counter", "middle", 0.07, {}),
            ("10-trips", "zone-read", "middle", 0.06, {"options": ["bubble"]}),
            ("10-doubles", "jet-sweep", "middle", 0.04, {"motion": "jet"}),
            ("11-h-back", "counter", "middle", None, {"guess": True, "note": "They have the man for it."}),
        ],
        "menu": [
            (SYSTEM, 1, None, None, "", "10", "Base against four wide."),
            (SYSTEM, 1, None, None, "", "11", "Tell the end: tight end on his side, play inside him."),
            (CORNERS_FORCE, 2, 7, None, "open field", "", ""),
            (SLANT, 2, 1, 3, "", "", "Line goes weak."),
            (SYSTEM, 3, 4, 6, "", "", ""),
            (SLANT, 3, 1, 3, "red zone", "", "No cutback."),
            (SHORT, None, None, None, "goal line", "", ""),
        ],
    },
    {
        "number": 3,
        "opponent": "Tarnwick Tech Lamplighters",
        "released": False,
        "note": "First draft; the wing formations come after Saturday.",
        "looks": [
            ("11-trey", "duo", "middle", 0.20, {"pinned": True}),
            ("11-trey", "power", "left", 0.15, {}),
            ("12-wing", "split-zone", "middle", 0.12, {}),
            ("12-two-tight", "duo", "right", 0.10, {}),
            ("12-wing", "pin-pull", "middle", None, {"guess": True}),
        ],
        "menu": [(SYSTEM, 1, None, None, "", "12", "Talk it over: who has the wing?")],
    },
]  # fmt: skip

# day, days before the game, note, entries: group, what, minutes, contact, which look of the week
DAYS: list[tuple[str, int, str, list[tuple[str, str, int | None, str, int | None]]]] = [
    ("Monday", 5, "Film and walk-through. No helmets.", [
        ("", "Film: last game, then their two favourite runs", 40, "", None),
        ("line", "Stance and first step on air", 15, "air", None),
        ("linebacker", "Guard reads, walking", 15, "air", 0),
        ("secondary", "Counting receivers from the outside in", 15, "air", None),
    ]),
    ("Tuesday", 4, "Shells.", [
        ("line", "Hands and pad level on sleds", 15, "bags", None),
        ("line", "Kicked out: wrong-arm it, the ball bounces to help", 10, "control", 2),
        ("linebacker", "Over the top of the pull, just inside him", 12, "control", 2),
        ("secondary", "Tight end blocks: down now, be the force", 12, "control", 2),
        ("", "Inside run, first eleven against the scout team", 18, "thud", 0),
    ]),
    ("Wednesday", 3, "Full pads.", [
        ("line", "Two on one: hold, do not lose ground", 12, "thud", 3),
        ("linebacker", "Fill with eyes up, near shoulder, head to the side", 10, "control", 1),
        ("secondary", "Angle tackling on bags, head across behind", 10, "bags", None),
        ("", "Team run, their five first looks", 15, "live", 1),
    ]),
    ("Thursday", 2, "Shells, short.", [
        ("", "Whole call menu at walking speed", 25, "air", None),
        ("secondary", "Motion: who goes, who bumps", 12, "air", None),
        ("", "Tempo: five calls, no huddle", 10, "control", 4),
    ]),
    ("Friday", 1, "Walk-through, no contact.", [
        ("", "Every look once, everybody says his fit aloud", 30, "air", None),
    ]),
]  # fmt: skip

# player's number, snap, look of the week, right fit, right leverage, effort, correction
GRADES: list[tuple[int, int, int, bool, bool, int, str]] = [
    (54, 11, 0, False, True, 2, "The guard pulled and you stayed home: over the top with him at once."),
    (54, 27, 1, True, False, 2, "Right lane, wrong shoulder: stay inside him."),
    (54, 41, 2, True, True, 3, ""),
    (91, 11, 0, True, True, 3, ""),
    (91, 19, 4, False, False, 2, "Kicked out: wrong-arm it from inside, do not run up the field."),
    (9, 11, 0, True, True, 3, ""),
    (22, 33, 3, True, False, 1, "Come down under control, eyes up."),
]
