"""Looks for the tests of the audit: the library's own, and what one of its calls makes of other rules."""

import fits
from fits.blocking.concepts import Option
from tests.fits.plays import LIB

LEFT, RIGHT = fits.Side.LEFT, fits.Side.RIGHT


def derive(call, formation, concept, to, *options, **how):
    """A look of the shipped library, or of a call that a test made."""
    call = LIB.call(call) if isinstance(call, str) else call
    chosen = tuple(o if isinstance(o, Option) else LIB.option(o) for o in options)
    return fits.derive_look(call, LIB.formation(formation), LIB.concept(concept), to=to, options=chosen, **how)


def found(look, code):
    """The findings of that code."""
    return [f for f in look.findings if f.code == code]


def codes(look):
    """The codes of the findings that make the look unsound."""
    return {f.code for f in look.findings if f.severity == "unsound"}


def lane(look, finding):
    """The lane that finding is about."""
    return look.lanes[finding.lane]


def with_fit(system, change):
    """The first call of a shipped system with each fit rule's target as `change(rule)` says."""
    data = LIB.systems[system].as_dict()
    for part in (*data["front"], *data["coverage"]):
        for rule in part["fits"]:
            rule["fit"] = change(rule)
    return next(iter(fits.build_system(data, "test", LIB.schemes).calls().values()))
