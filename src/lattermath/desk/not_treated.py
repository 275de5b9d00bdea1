"""What is not treated tonight though something is there: what bars it, or that none pays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lattermath.desk.season_facts import SeasonFacts
from lattermath.desk.stand_ins import name_of
from lattermath.planning.choices_told import barred_now
from lattermath.planning.course_outcome import STAY
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import NotToday, Population
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital, inside, listed

MOST_BARS = 3  # of one organism, on the front of a sheet
NOT_WORTH = "what may be used tonight is not worth its work"
WAITING_PAYS = "what may be used tonight does better later"
HOSE = "plot:water/hose"


def not_treated(
    facts: SeasonFacts, populations: Iterable[Population], evening: Evening
) -> Iterator[NotToday]:
    """Each organism that was found and is not treated that evening, with why.

    Where something may be used and does not pay, that is the reason, and what bars the rest is
    told behind it.
    """
    for population in populations:
        bars = tuple(reason for reason in population.because if not reason.holds)
        days = [step.day for step in population.course]
        if evening.day in days:
            continue
        seen = any(here.seen for here in population.where)
        if not days and not bars and seen and not _by_knife(facts, population):
            bars = (Because(inside(population.course_says), holds=False),)
        elif bars:
            bars = _with_what_pays(population, bars, later=bool(days))
        if bars:
            first = min(days, default=None)
            when = f", first on {said(first)}" if first is not None else ""
            what = f"{name_of(population, facts.tables)}: no treatment tonight{when}"
            yield NotToday(capital(what), None, _one_a_product(bars, facts))


def cut_out(facts: SeasonFacts, populations: Iterable[Population]) -> Iterator[str]:
    """What hands do tonight about each that sits where nothing else reaches it."""
    for population in populations:
        names = [facts.plot.planting(w.planting).name for w in population.where if w.seen]
        if names and (does := _by_knife(facts, population)):
            what = capital(name_of(population, facts.tables))
            yield f"{what} in {listed(names)}: tonight {does} (common practice, without figures)."


def _by_knife(facts: SeasonFacts, population: Population) -> str:
    habits = facts.tables.habits.get(population.organism)
    return "" if habits is None else habits.by_knife


def _with_what_pays(
    population: Population, bars: tuple[Because, ...], *, later: bool
) -> tuple[Because, ...]:
    """The bars, behind the word that something else is allowed and still not done."""
    if barred_now(population.because):
        return bars
    # Nobody needs a hose for want of anything to use: it is no reason where something else is.
    others = tuple(bar for bar in bars if HOSE not in bar.rests_on)
    pays = Because(
        WAITING_PAYS if later else NOT_WORTH,
        holds=False,
        rests_on=("computed:courses on the same futures",),
    )
    by_the_hour = [bar for bar in others if bar.way_out.startswith(STAY)]
    if by_the_hour and not later:  # the same reason as its section gives, and first
        return (*by_the_hour, *(bar for bar in others if bar not in by_the_hour))
    return (pays, *others)


def _one_a_product(bars: tuple[Because, ...], facts: SeasonFacts) -> tuple[Because, ...]:
    """The first bar of each product, so that no line mixes the reasons of two."""
    first: dict[str, Because] = {}
    # A crop that is not listed says the least: the same product may be barred elsewhere by heat.
    # A hose that nobody has says less than what keeps the shelf from being used.
    for bar in sorted(bars, key=_says_little):
        name = next((one.name for one in facts.plot.shelf if one.name in bar.says), bar.says)
        first.setdefault(name, bar)
    return tuple(first.values())[:MOST_BARS]


def _says_little(bar: Because) -> tuple[bool, bool]:
    return any(a.endswith("/crops") for a in bar.rests_on), HOSE in bar.rests_on
