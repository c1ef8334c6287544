"""Lanes, men and sentences of a look, said in its system's own frame."""

from django import template

import fits
from fits.derive.look import Lane, PassSide
from fits.terms import Frame
from fits.words import seat, words_of

register = template.Library()


@register.filter
def lane_name(look: fits.Look, lane: Lane) -> str:
    """Returns what the lane is called."""
    return words_of(look).lane(lane)


@register.filter
def gap_names(look: fits.Look, lane: Lane) -> str:
    """Returns the static gaps that the lane spans."""
    return ", ".join(words_of(look).gap(gap) for gap in lane.gaps)


@register.filter
def man_name(look: fits.Look, role: str) -> str:
    """Returns what the man is called."""
    return words_of(look).man(role)


@register.filter
def men_names(look: fits.Look, roles: tuple[str, ...]) -> str:
    """Returns what the men are called."""
    return ", ".join(words_of(look).men(roles))


@register.filter
def fit_said(look: fits.Look, man: fits.Defender) -> str:
    """Returns where the man fits."""
    return words_of(look).fit(man)


@register.filter
def saw_said(look: fits.Look, man: fits.Defender) -> str:
    """Returns what the man saw."""
    return words_of(look).saw(man)


@register.filter
def says_said(look: fits.Look, man: fits.Defender) -> str:
    """Returns the coach's own sentence for it, if this look bears it out."""
    return words_of(look).says(man)


@register.filter
def tell(look: fits.Look, text: str) -> str:
    """Returns a sentence of the engine in the look's own words."""
    return words_of(look).retell(text)


@register.filter
def pass_said(look: fits.Look, side: PassSide) -> str:
    """Returns the pass numbers of one side."""
    return words_of(look).passes(side)


@register.filter
def toward(look: fits.Look, side: fits.Side) -> str:
    """Returns the words for that side, as a direction."""
    return words_of(look).toward(side)


@register.filter
def seat_name(role: str, frame: str) -> str:
    """Returns what the man is called where there is no look."""
    return seat(role, Frame(frame))


@register.simple_tag
def run_said(look: fits.Look) -> str:
    """Returns where the run goes and what the call is set to."""
    words = words_of(look)
    return f"Run {words.direction}; strength to {words.strength}"


@register.simple_tag
def frame_note(look: fits.Look) -> str:
    """Returns what the words for sides mean."""
    return words_of(look).note
