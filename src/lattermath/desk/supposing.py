"""The facts of a plan as they would be under a supposition; nothing is written down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from lattermath.desk.frost import with_frost_visit
from lattermath.desk.season_facts import SeasonFacts, seen_anew
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.supposition import Supposition
from lattermath.weather.moved_frost import with_frost_moved


def supposed_facts(facts: SeasonFacts, supposed: Supposition) -> SeasonFacts:
    """Give the facts with what is supposed in place; draws and futures stay the same by index.

    InputError for a product that is not on the shelf.
    """
    plot = _plot(facts.plot, supposed)
    runs = with_frost_moved(facts.runs, supposed.frost_days)
    anew = with_frost_visit(seen_anew(facts, plot, runs))
    return replace(anew, left_out=_left_out(facts, supposed))


def _plot(plot: Plot, supposed: Supposition) -> Plot:
    visiting, water = plot.visiting, plot.water
    if supposed.days:
        visiting = replace(visiting, days=supposed.days)
    if supposed.minutes is not None:
        visiting = replace(visiting, minutes=supposed.minutes)
    if supposed.away is not None:
        visiting = replace(visiting, away=(*visiting.away, supposed.away))
    if supposed.cans is not None:
        water = replace(water, cans_a_visit=supposed.cans, hose=False)
    return replace(plot, visiting=visiting, water=water)


def _left_out(facts: SeasonFacts, supposed: Supposition) -> frozenset[str]:
    shelf = facts.plot.shelf
    if supposed.no_products:
        return frozenset(label.key for label in shelf)
    return frozenset(_product(word, facts) for word in supposed.without)


def _product(word: str, facts: SeasonFacts) -> str:
    """The key of a product that was named by key, name or active ingredient."""
    asked = word.strip().casefold()
    for label in facts.plot.shelf:
        if asked in _names(label.key, label.name, label.active):
            return label.key
    known = ", ".join(label.key for label in facts.plot.shelf) or "nothing"
    remedy = f"On the shelf: {known}."
    raise InputError(Fault("no such product on the shelf", "--without", word, remedy))


def _names(*words: str) -> Iterable[str]:
    return [word.casefold() for word in words]
