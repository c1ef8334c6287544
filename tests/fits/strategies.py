"""Formations and motions for the tests: the shipped ones, and drawn ones of any shape."""

import tomllib
from pathlib import Path

from hypothesis import strategies as st

import fits.offense.build
from fits.offense.build import build_formation
from fits.offense.formation import Formation
from fits.offense.motion import Motion, build_motion

LIBRARY = Path(fits.offense.build.__file__).parents[1] / "library"


def read_entries(noun: str) -> list[dict]:
    """The entries of a shipped file as they stand in it."""
    return tomllib.loads((LIBRARY / f"{noun}s.toml").read_text(encoding="utf-8"))[noun]


def shipped_formations() -> list[Formation]:
    return [build_formation(entry, "formations.toml") for entry in read_entries("formation")]


def shipped_motions() -> list[Motion]:
    return [build_motion(entry, "motions.toml") for entry in read_entries("motion")]


FORMATIONS = {f.name: f for f in shipped_formations()}
MOTIONS = {m.name: m for m in shipped_motions()}

yards = st.integers(-200, 200).map(lambda tenths: tenths / 10)
depths = st.integers(-90, -6).map(lambda tenths: tenths / 10)


@st.composite
def formation_entries(draw: st.DrawFn) -> dict:
    """Any entry with a quarterback and five others: of the right shape, legal or not."""
    roles = draw(st.lists(st.sampled_from("TFYUHXZRKJ"), min_size=5, max_size=5, unique=True))
    kinds = {r: "back" if r in "TF" else "tight end" if r in "YUH" else "receiver" for r in roles}
    players = [{"role": "QB", "kind": "quarterback", "x": 0, "y": draw(depths)}]
    players += [{"role": r, "kind": kinds[r], "x": draw(yards), "y": draw(depths)} for r in roles]
    return {
        "name": draw(st.text("abc-0123", min_size=1, max_size=8)),
        "note": draw(st.text("lr ~", max_size=8)),
        "source": "drawn",
        "players": draw(st.permutations(players)),
    }


@st.composite
def formations(draw: st.DrawFn) -> Formation:
    """A shipped formation or a drawn one, as it is or seen in a mirror."""
    built = draw(st.one_of(st.sampled_from(list(FORMATIONS.values())), formation_entries().map(build_formation)))
    return built if draw(st.booleans()) else built.mirrored()


def with_player(formation: Formation, who: str, /, **changes: object) -> dict:
    """The formation's entry with one man changed."""
    entry = formation.as_dict()
    players = [p | changes if p["role"] == who else p for p in entry["players"]]
    kept = {k: v for k, v in entry.items() if k != "personnel"}
    return kept | {"players": players}
