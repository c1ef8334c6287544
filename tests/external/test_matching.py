"""The engine's own matching, against networkx."""

import networkx
import pytest

from fits.blocking.cast import plan_concept
from fits.defense.align import align_call
from fits.derive.assign import assign_fits
from fits.derive.pipeline import prepare_play, snap_offense
from fits.errors import NotRunnable
from fits.field import LEFT, RIGHT
from fits.rules.targets import two_gap_lanes
from fits.spec import DEFAULT_PACE
from tests.fits.plays import LIB

# Reference: networkx.bipartite.maximum_matching (Hopcroft and Karp).
PLAYS = [(f, c) for i, f in enumerate(LIB.formations) for j, c in enumerate(LIB.concepts) if (i + j) % 4 == 0]


def situations(call, formation, concept):
    for to in (LEFT, RIGHT):
        offense = snap_offense(LIB.formation(formation)).offense
        alignment = align_call(LIB.call(call), offense)
        try:
            situation = prepare_play(alignment, plan_concept(LIB.concept(concept), offense, to), None, DEFAULT_PACE)[0]
        except NotRunnable:
            continue
        yield alignment, situation, assign_fits(alignment, situation)


@pytest.mark.parametrize("call", ["okie-two-gap", "okie-two-gap-sky"])
def test_two_gap_men_own_as_many_lanes_as_a_maximum_matching(call):
    seen = shared = 0
    for formation, concept in PLAYS:
        for alignment, s, done in situations(call, formation, concept):
            two = [d for d in alignment.men if done[d.name].target.duty == "two-gap"]
            if not two:
                continue
            # what was owned before the two-gap men chose: linemen, linebackers and secondary with a lane of their own
            later = {"scrape", "free", "replace"}
            others = {
                a.lane for n, a in done.items() if a.lane is not None and a.target.duty not in {"two-gap", *later}
            }
            graph = networkx.Graph()
            men = [("man", d.name) for d in two]
            graph.add_nodes_from(men)
            for d in two:
                graph.add_edges_from((("man", d.name), ("lane", i)) for i in two_gap_lanes(s, d) if i not in others)
            matched = networkx.bipartite.maximum_matching(graph, top_nodes=men)
            best = sum(kind == "man" for kind, _ in matched)
            held = {done[d.name].lane for d in two} - others
            assert len(held) == best, (formation, concept, [d.name for d in two])
            seen += 1
            shared += len({i for d in two for i in two_gap_lanes(s, d)}) < 2 * len(two)
    assert seen > 100 and shared > 20
