"""Keep or replace: the same futures under every fate of one planting, and until when it matters."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.crop_belief import CropBelief
from lattermath.belief.crop_growth import GrowingSeason
from lattermath.belief.lot_belief import LotBelief
from lattermath.planning import verdict_words
from lattermath.planning.fates import KEEPING, Choices, FateOutlook, GoesIn, keeping
from lattermath.planning.last_visit import last_still_better
from lattermath.planning.new_plants import may_begin, replacing_at
from lattermath.planning.waiting import Waited, later_visits, waited, words_at
from lattermath.planning.worth import DrawWeeks, Weeks, cost, eaten, lifted_later, want_for
from lattermath.science.plant_recovery import bearing_if_left
from lattermath.vocabulary.plan import Option, Span, Verdict, Verdict_
from lattermath.vocabulary.plot import Household

Draws = NDArray[np.float64]  # (n_draws,)
Again = Callable[[GrowingSeason], tuple[CropBelief, tuple[LotBelief, ...]]]

NO_DIFFERENCE = 0.05  # portions; the gap that counts as none (design, joint search)
STAYS = ("fight", "let run")
CLOSER = 5  # times the draws, when two fates lie close
CLOSE_ERRORS = 2.0  # a mean difference within two standard errors asks for more draws
LEADERS = 2  # replacements followed when looking for the last day


@dataclass(frozen=True, slots=True)
class Table:
    """What the household wants, and what it eats besides: portions by food, (n_draws, n_weeks).

    eaten : of fates weighed before, where they are weighed again at other prices; (n_draws,) each.
    """

    household: Household
    others: Mapping[str, DrawWeeks] = field(default_factory=dict)
    eaten: dict[FateOutlook, Draws] | None = None

    def at_price(self, worth_of_hour: float) -> Table:
        """The same with another price of an hour. [portions]"""
        return replace(self, household=replace(self.household, worth_of_hour=worth_of_hour))

    def food_of(self, outlook: FateOutlook, weeks: Weeks) -> Draws:
        """What the household eats of a fate, whatever work costs, (n_draws,). [portions]"""
        if self.eaten is None:
            return eaten(outlook.parts, self.others, self.household, weeks)
        if outlook not in self.eaten:
            self.eaten[outlook] = eaten(outlook.parts, self.others, self.household, weeks)
        return self.eaten[outlook]


@dataclass(frozen=True, slots=True)
class Weighed:
    """One fate with its worth to the household in every draw. [portions]"""

    outlook: FateOutlook
    value: Draws

    @property
    def mean(self) -> float:
        """Mean worth over the draws."""
        return float(self.value.mean())


@dataclass(frozen=True, slots=True)
class Settled:
    """What one planting was found best to get, and between what.

    keep, rival : the best way of keeping, and the one that new plants were held against.
    swap        : the best replacement begun at the next visit or when its lot is ready.
    difference  : worth of swap less that of rival, (n_draws,). [portions]
    waits       : replacing tonight would pay, and waiting for a second look pays better.
    """

    chosen: Weighed
    keep: Weighed
    rival: Weighed
    swap: Weighed | None
    kept: tuple[Weighed, ...]
    new: tuple[Weighed, ...]
    difference: Draws
    waits: Waited | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """A verdict, what it would have put in the ground, and whether more draws are wanted."""

    verdict: Verdict
    chosen: FateOutlook
    replacement: FateOutlook | None  # the best of them, chosen or not
    close: bool
    weighed: tuple[Weighed, ...] = ()  # every fate at the next visit, mostly without its yields
    waits: bool = False  # for a second look


def decide(
    choices: Choices,
    table: Table,
    again: Again | None = None,
    *,
    dated: bool = True,
    given: FateOutlook | None = None,
) -> Decision:
    """Weigh every fate of one planting on the same draws, and say which to choose.

    The chance that replacing is better is the share of draws with a positive difference between
    the best replacement and the best way of keeping.

    again : works planting and lots out afresh under a season of more draws. Where it is given and
            the mean difference is within two standard errors, the two best are weighed again on
            five times the draws.
    dated : find the last day on which replacing still pays, which takes most of the time.
    given : what was found best for it together with its neighbours, when lots were exchanged; it is
            taken, unless a second look is worth more.
    """
    found = settle(choices, table, again)
    if given is not None:
        found = _as_given(choices, table, found, given)
    chosen, swap, difference = found.chosen, found.swap, found.difference
    chance = 0.0 if swap is None else float((difference > 0).mean())
    verdict = Verdict(
        planting=choices.belief.planting.key,
        verdict=word_of(chosen.outlook),
        choice=chosen.outlook.fate,
        options=options_of([*found.kept, *found.new]),
        difference=span(difference, "portions"),
        chance_replacing_better=chance,
        chance_error=float(np.sqrt(chance * (1 - chance) / len(difference))),
        decide_by=_decide_by(choices, table, found) if dated and swap is not None else None,
        says=verdict_words.says(choices, chosen.outlook, table.household, found.waits is not None),
        because=verdict_words.because(
            choices,
            chosen.outlook,
            None if swap is None else swap.outlook,
            float(difference.mean()),
            None if found.waits is None else found.waits.turns,
        ),
    )
    close = swap is not None and is_close(difference)
    replacement = None if swap is None else swap.outlook
    told = (chosen.outlook, replacement)
    everything = tuple(
        one if one.outlook in told else replace(one, outlook=one.outlook.without_yields())
        for one in (*found.kept, *found.new)
    )
    waits = found.waits is not None
    return Decision(verdict, chosen.outlook, replacement, close, everything, waits)


def settle(
    choices: Choices,
    table: Table,
    again: Again | None = None,
    among: Collection[GoesIn] | None = None,
) -> Settled:
    """Choose the fate of the highest mean worth; replace tonight only where waiting is worth less.

    Where what pests take of clean plants is not reckoned, sound ones that do not bear yet are held
    against them without pests too: whatever took their place would meet the same.

    among : only these crops and lots; None: whatever cups and tin allow.
    """
    kept = weigh(keeping(choices), choices, table)
    visit = choices.visits[0] if choices.visits else choices.today
    judged = choices.unharmed() if choices.young else choices
    new = _of_each(weigh(replacing_at(judged, visit, among), judged, table))
    keep, swap = best(kept), best(new) if new else None
    rival = keep if judged is choices else best(weigh(keeping(judged), judged, table))
    difference = -rival.value if swap is None else swap.value - rival.value
    if swap is not None and again is not None and is_close(difference):
        difference = _difference_again(judged, table, rival, swap, again)
    chosen = keep if swap is None or difference.mean() <= 0 else swap
    found = Settled(chosen, keep, rival, swap, tuple(kept), tuple(new), difference)
    if swap is None or chosen is not swap or choices.care.must_go is not None:
        return found
    return _or_later(judged, table, found)


def look_first(choices: Choices, table: Table) -> bool:
    """Would it stay if only what somebody saw on it lived there? Then a look comes first."""
    care = choices.care
    if care.seen is None or care.must_go is not None:
        return False
    return word_of(settle(replace(choices, care=care.as_seen()), table).chosen.outlook) in STAYS


def until_seen(choices: Choices, table: Table) -> Choices:
    """The choices without taking it out, where that would be for insects nobody saw on it."""
    if not look_first(choices, table) or word_of(settle(choices, table).chosen.outlook) in STAYS:
        return choices
    return replace(choices, care=replace(choices.care, look_first=True))


def _as_given(choices: Choices, table: Table, found: Settled, given: FateOutlook) -> Settled:
    """The same choices with that one taken, and the best replacement held against keeping."""
    judged = choices.unharmed() if choices.young else choices
    if given.fate in KEEPING:
        keep = next((one for one in found.kept if one.outlook.fate == given.fate), found.keep)
        return replace(found, chosen=keep, waits=None)
    swap = weigh([given], judged, table)[0]
    same = (given.crop, given.lot)
    new = [one for one in found.new if (one.outlook.crop, one.outlook.lot) != same]
    difference = swap.value - found.rival.value
    taken = replace(
        found, chosen=swap, swap=swap, new=(*new, swap), difference=difference, waits=None
    )
    if given.begins != choices.visits[0] or choices.care.must_go is not None:
        return taken
    return _or_later(judged, table, taken)


def _or_later(choices: Choices, table: Table, found: Settled) -> Settled:
    """The same, or to keep, to set out what is not ready yet, or to begin one of the best later,
    where that is worth more."""
    later = later_visits(choices)
    if not later:
        return found
    tonight = [one for one in found.new if one.outlook.begins == choices.visits[0]]
    among = {(one.outlook.crop, one.outlook.lot) for one in _leaders(found.new)}
    ways = [found.rival, *(one for one in found.new if one.outlook.begins != choices.visits[0])]
    for visit in later:
        ways += weigh(replacing_at(choices, visit, among), choices, table)
    what = waited([way.value for way in ways], words_at(choices, later[0]))
    now = best(tonight).mean if tonight else -np.inf
    if any(found.chosen is one for one in tonight):  # by as many draws as were asked
        now = found.rival.mean + float(found.difference.mean())
    if what.value <= now:
        return found
    top = ways[what.plain]
    chosen = found.keep if top is found.rival else top
    return replace(found, chosen=chosen, waits=what if tonight else None)


def _of_each(weighed: Sequence[Weighed]) -> list[Weighed]:
    """Of each crop and lot, all plants or the worst half: whichever is worth more."""
    found: dict[GoesIn, Weighed] = {}
    for one in weighed:
        key = (one.outlook.crop, one.outlook.lot)
        if key not in found or one.mean > found[key].mean:
            found[key] = one
    return list(found.values())


def _leaders(new: Sequence[Weighed]) -> list[Weighed]:
    return sorted(new, key=lambda one: -one.mean)[:LEADERS]


def rest_of_plot(
    beliefs: Sequence[CropBelief],
    besides: str,
    household: Household,
    season: GrowingSeason,
    decided: Mapping[str, FateOutlook] | None = None,
    filled: Sequence[FateOutlook] = (),
) -> dict[str, DrawWeeks]:
    """Portions by food that the rest of the plot gives, (n_draws, n_weeks).

    decided : what was chosen already for some plantings; all others are let run.
    filled  : what goes into bare ground.
    """
    weather = season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    parts = [part for outlook in filled for part in outlook.parts]
    for belief in beliefs:
        key = belief.planting.key
        if key != besides and decided is not None and key in decided:
            parts += decided[key].parts
        elif key != besides:
            kg = belief.kg[:, weather.today :]
            parts.append((belief.traits, kg * bearing_if_left(belief.condition, kg.shape[1])))
    portions: dict[str, DrawWeeks] = {}
    for traits, kg in parts:
        food = want_for(traits.crop, household).food
        weekly = weeks.sums(kg) / traits.portion_kg
        portions[food] = portions[food] + weekly if food in portions else weekly
    return portions


def weigh(outlooks: Sequence[FateOutlook], choices: Choices, table: Table) -> list[Weighed]:
    """The worth of each fate: food used, less minutes, litres and treatments."""
    weather = choices.season.weather
    weeks = Weeks.of(weather.day(weather.today), weather.n_days - weather.today)
    return [Weighed(outlook, _value(outlook, table, weeks)) for outlook in outlooks]


def best(weighed: Sequence[Weighed]) -> Weighed:
    """The fate of the highest mean worth; of those whose worth differs by less than counts, the one
    that gives most kilograms, and the first of equals.

    Keeping and replacing are not tied so: plants are not taken out for a difference of nothing. Nor
    is what pays tied with what does not.
    """
    top = max(weighed, key=lambda w: w.mean)
    tied = [
        one
        for one in weighed
        if top.mean - one.mean < NO_DIFFERENCE
        and (one.mean > 0) == (top.mean > 0)
        and (one.outlook.fate in KEEPING) == (top.outlook.fate in KEEPING)
    ]
    return (
        top if len(tied) == 1 else max(tied, key=lambda w: (float(w.outlook.kg().mean()), w.mean))
    )


def span(values: Draws, unit: str) -> Span:
    """10th, 50th and 90th percentile of the draws."""
    low, median, high = np.percentile(values, (10, 50, 90))
    return Span(float(low), float(median), float(high), unit)


def _value(outlook: FateOutlook, table: Table, weeks: Weeks) -> Draws:
    household = table.household
    spent = cost(household, outlook.minutes, outlook.litres, outlook.treatments)
    beside = 0.0 if outlook.saves is None else outlook.saves
    later = lifted_later(outlook.after, household)
    return table.food_of(outlook, weeks) - spent + beside + later


def _decide_by(choices: Choices, table: Table, found: Settled) -> date | None:
    """The last coming visit at which the best replacement begun then still beats keeping.

    Only the replacements that are best today, and the one chosen, are followed. Visits at which
    nothing may go in before an absence are no end of it, and it is never before the day chosen.
    """
    judged = choices.unharmed() if choices.young else choices
    leaders, keep, chosen = _leaders(found.new), found.rival, found.chosen.outlook
    among = {(w.outlook.crop, w.outlook.lot) for w in leaders}
    if chosen.begins is not None:
        among.add((chosen.crop, chosen.lot))

    def still(visit: int) -> bool:
        if visit == judged.visits[0]:
            return leaders[0].mean > keep.mean
        begun = weigh(replacing_at(judged, visit, among), judged, table)
        return bool(begun) and best(begun).mean > keep.mean

    last = last_still_better(may_begin(judged), still)
    if chosen.begins is not None:
        last = max(chosen.begins, chosen.begins if last is None else last)
    return None if last is None else judged.day(last)


def _difference_again(
    choices: Choices, table: Table, keep: Weighed, swap: Weighed, again: Again
) -> Draws:
    """The best replacement less the best keeping, on five times the draws."""
    season = choices.season.widened(CLOSER)
    wide = choices.widened(season, *again(season), CLOSER)
    others = {food: np.tile(portions, (CLOSER, 1)) for food, portions in table.others.items()}
    wide_table = Table(table.household, others)
    kept = [f for f in keeping(wide) if f.fate == keep.outlook.fate]
    into = {(swap.outlook.crop, swap.outlook.lot)}
    visit = choices.visits[0] if choices.visits else choices.today
    new = [f for f in replacing_at(wide, visit, into) if bool(f.keeps) == bool(swap.outlook.keeps)]
    if not new:
        return swap.value - keep.value
    values = weigh([kept[0], new[0]], wide, wide_table)
    return values[1].value - values[0].value


def is_close(difference: Draws) -> bool:
    """Tell whether a mean difference lies within two standard errors of nothing."""
    error = float(difference.std()) / np.sqrt(len(difference))
    return bool(abs(float(difference.mean())) < CLOSE_ERRORS * error)


def word_of(outlook: FateOutlook) -> Verdict_:
    """The verdict that a fate amounts to."""
    if outlook.fate == "fight":
        return "fight"
    if outlook.fate == "pull":
        return "pull"
    return "let run" if outlook.fate in KEEPING else "replace"


def options_of(weighed: Sequence[Weighed]) -> tuple[Option, ...]:
    """Every fate with its yield, its worth, and the share of draws in which it is the best."""
    values = np.array([w.value for w in weighed])
    winners = values.argmax(axis=0)
    options = [
        Option(
            w.outlook.fate,
            w.outlook.says,
            span(w.outlook.kg(), "kg"),
            span(w.value, "portions"),
            float((winners == k).mean()),
        )
        for k, w in enumerate(weighed)
    ]
    order = sorted(range(len(options)), key=lambda k: -weighed[k].mean)
    return tuple(options[k] for k in order)
