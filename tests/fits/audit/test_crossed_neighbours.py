"""crossed-neighbours: two men side by side play a block the wrong way round for each other."""

from fits.audit.checks import crossed_neighbours
from tests.fits.audit.paper import paper

# Common practice. Against a kick one man spills and the next is outside him, or one boxes and the next is inside.
# A box with an inside man outside it sends the ball where nobody is and leaves two men on the wrong side of it.
KICK = {"kicks": {"F": ("E", 4.4)}, "threats": (("run", "T", "inside F"),)}


def test_an_inside_fit_outside_a_box():
    men = {"E": (3.6, 1.0, "inside F", "box", "gap"), "M": (2.0, 4.5, "outside F", "inside", "scrape")}
    (finding,) = [f for f in crossed_neighbours.check(paper(men, **KICK)) if f.roles == ("E", "M")]
    assert finding.severity == "unsound"
    assert finding.text == "E boxes in inside F and M plays inside outside him: they send the ball to each other."


def test_a_box_inside_a_spill():
    men = {"E": (3.6, 1.0, "inside F", "box", "gap"), "S": (6.0, 4.0, "outside F", "spill", "gap")}
    assert any("S spills outside him" in f.text for f in crossed_neighbours.check(paper(men, **KICK)))


def test_a_box_with_nobody_inside_it():
    men = {"E": (4.8, 1.0, "outside F", "box", "gap")}
    (finding,) = crossed_neighbours.check(paper(men, **KICK))
    assert (finding.severity, finding.text) == (
        "unsound",
        "E boxes and turns the ball in to inside F, where nobody is.",
    )


def test_a_box_with_a_man_inside_it_and_a_spill_with_a_man_outside_it_fit():
    men = {"E": (4.8, 1.0, "outside F", "box", "gap"), "M": (2.0, 4.5, "inside F", "inside", "scrape")}
    assert crossed_neighbours.check(paper(men, **KICK)) == []
    men = {"E": (3.6, 1.0, "inside F", "spill", "gap"), "S": (6.0, 4.0, "outside F", "outside", "force")}
    assert crossed_neighbours.check(paper(men, **KICK)) == []
