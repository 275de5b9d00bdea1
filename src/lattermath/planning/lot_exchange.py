"""Which ground gets which plants from cups, and when: a few places are asked together.

Given one after another, a lot goes to whoever is asked first, also where another place would gain
more by it. Here two places together look through everything that they may do with the lots that no
third one has: keep what stands, set out some lot tonight or at a later visit, sow. What is worth
most to the household, all its ground together, is taken, and it is gone on until no two places
gain any more; where few want the same, no three.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from itertools import combinations, permutations

import numpy as np

from lattermath.planning.fates import Choices, FateOutlook, keeping
from lattermath.planning.new_plants import replacing_at
from lattermath.planning.waiting import LONGEST_DAYS, later_visits
from lattermath.planning.worth import (
    DrawWeeks,
    Weeks,
    cost,
    food_value,
    lifted_later,
    want_for,
    with_store,
)
from lattermath.vocabulary.plot import Household, Want

LEAST_GAIN = 0.05  # judgement: for less than a twentieth of a portion nothing is moved
MOST_DATES = 4  # judgement: days on which one lot may go to one place, all of it or the half
FEW = 6  # judgement: up to so many sites, three at a time are asked
MOST_ROUNDS = 4  # through all pairs; the second mostly finds nothing more
Lots = Mapping[str, int]  # plants by lot


@dataclass(frozen=True, slots=True)
class Site:
    """A piece of ground, everything that may be done with it, and what was decided for it.

    choices : with every lot that nobody outside the exchange has.
    bare    : nothing stands there: it may rest, and nothing else is kept.
    """

    key: str
    choices: Choices
    now: FateOutlook
    bare: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """One thing that may be done with a site, and what it gives.

    outlook  : without what it gives day by day, which takes much room (`Exchange.whole`).
    offered  : plants of its lot that were free when it was told.
    portions : by food, (n_draws, n_weeks).
    besides  : mean of what it saves at the neighbours, less what it costs. [portions]
    """

    outlook: FateOutlook
    portions: Mapping[str, DrawWeeks]
    besides: float
    wants: Mapping[str, Want]
    offered: int = 0

    @property
    def takes(self) -> Lots:
        """Plants taken from a lot."""
        lot = self.outlook.lot
        return {} if lot is None else {lot: self.outlook.plants}


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """What else the plot gives, by food, (n_draws, n_weeks), and what is eaten of that alone."""

    portions: Mapping[str, DrawWeeks]
    _eaten: dict[str, float] = field(default_factory=dict)

    def adds(self, food: str, weekly: DrawWeeks, want: Want, weeks: Weeks) -> float:
        """Mean worth that so much more of a food adds. [portions]"""
        held = self.portions.get(food)
        if held is None:
            return float(food_value(weekly, want, weeks).mean())
        if food not in self._eaten:
            self._eaten[food] = float(food_value(held, want, weeks).mean())
        return float(food_value(held + weekly, want, weeks).mean()) - self._eaten[food]


@dataclass(slots=True)
class Exchange:
    """The sites among which lots are exchanged, and what all other ground gives.

    lots : plants in each lot that these sites may have.
    rest : portions by food of everything else on the plot, (n_draws, n_weeks).
    """

    sites: Sequence[Site]
    lots: Lots
    household: Household
    rest: Mapping[str, DrawWeeks]
    _ways: dict[tuple[str, str, int], tuple[Way, ...]] = field(default_factory=dict)
    _kept: dict[str, tuple[Way, ...]] = field(default_factory=dict)

    def among(self, sites: Sequence[Site], rest: Mapping[str, DrawWeeks]) -> Exchange:
        """The same between some of the sites; the others have none of the lots."""
        return Exchange(sites, self.lots, self.household, rest, self._ways, self._kept)

    @property
    def weeks(self) -> Weeks:
        """The weeks from today to the end of the weather."""
        weather = self.sites[0].choices.season.weather
        return _weeks(weather.day(weather.today), weather.n_days - weather.today)

    def ways(self, site: Site, free: Lots) -> tuple[Way, ...]:
        """Everything that may be done with one site while so many plants of each lot are free."""
        if site.key not in self._kept:
            self._kept[site.key] = tuple(map(self.way_of, _without_cups(site)))
        found = list(self._kept[site.key])
        for lot, plants in free.items():
            if plants > 0:
                found += self._cups(site, lot, plants)
        return tuple(found)

    def _cups(self, site: Site, lot: str, plants: int) -> tuple[Way, ...]:
        """Ways of one lot; with fewer plants than it has room for, on the days it had with all."""
        whole = (site.key, lot, self.lots[lot])
        if whole not in self._ways:
            visits = (site.choices.visits[0], *days_asked(site.choices))
            self._ways[whole] = tuple(self.from_cups(site, lot, self.lots[lot], visits))
        room = max((way.outlook.plants for way in self._ways[whole]), default=0)
        if plants >= room:
            return self._ways[whole]
        key = (site.key, lot, plants)
        if key not in self._ways:
            days = (way.outlook.begins for way in self._ways[whole])
            visits = tuple(dict.fromkeys(day for day in days if day is not None))
            self._ways[key] = tuple(self.from_cups(site, lot, plants, visits))
        return self._ways[key]

    def begun(self, site: Site) -> Way:
        """What was decided for a site, as the search reckons it."""
        same = (way for way in self.ways(site, {}) if same_way(way.outlook, site.now))
        return next(same, None) or self.way_of(site.now)

    def way_of(self, outlook: FateOutlook) -> Way:
        """One outlook of a site, with what it gives by food and week."""
        household, weeks = self.household, self.weeks
        portions: dict[str, DrawWeeks] = {}
        wants: dict[str, Want] = {}
        for traits, kg in outlook.parts:
            want = with_store(want_for(traits.crop, household), traits, household)
            weekly = weeks.sums(kg) / traits.portion_kg
            before = portions.get(want.food)
            portions[want.food] = weekly if before is None else before + weekly
            wants[want.food] = _roomier(wants.get(want.food), want)
        spent = cost(household, outlook.minutes, outlook.litres, outlook.treatments)
        saved = 0.0 if outlook.saves is None else float(outlook.saves.mean())
        saved += float(np.mean(lifted_later(outlook.after, household)))
        return Way(outlook.without_yields(), portions, saved - spent, wants)

    def worth(self, ways: Collection[Way], rest: Beside | None = None) -> float:
        """Mean worth that these add to the rest of the plot. [portions]"""
        held = Beside(self.rest) if rest is None else rest
        weeks = self.weeks
        total: dict[str, DrawWeeks] = {}
        wants: dict[str, Want] = {}
        for way in ways:
            for food, weekly in way.portions.items():
                total[food] = total[food] + weekly if food in total else weekly
                wants[food] = _roomier(wants.get(food), way.wants[food])
        eaten = sum(held.adds(food, weekly, wants[food], weeks) for food, weekly in total.items())
        return sum(way.besides for way in ways) + eaten

    def most(self) -> float:
        """What no sharing out goes beyond: each site has its best beside nothing of the others.

        A full table only takes from what is added, and no lot is given once only. [portions]
        """
        rest = Beside(self.rest)
        return sum(
            max(self.worth((way,), rest) for way in self.ways(site, self.lots))
            for site in self.sites
        )

    def whole(self, site: Site, way: Way) -> FateOutlook:
        """The outlook of a way with what it gives day by day."""
        lean = way.outlook
        if same_way(lean, site.now):
            return site.now
        told: Iterable[FateOutlook] = _without_cups(site)
        if lean.lot is not None and lean.begins is not None:
            told = replacing_at(_with_only(site.choices, lean.lot, way.offered), lean.begins)
        return next(one for one in told if same_way(one, lean) and one.minutes == lean.minutes)

    def from_cups(self, site: Site, lot: str, plants: int, visits: Sequence[int]) -> Sequence[Way]:
        """Set out as many of one lot as there is room for: tonight, or at a later visit.

        Only the best days are asked further: days matter to other ground less than the lot does.
        """
        choices = _with_only(site.choices, lot, plants)
        found: dict[tuple[int | None, int, float], Way] = {}
        for visit in visits:
            for outlook in replacing_at(choices, visit):
                key = (outlook.begins, outlook.keeps, outlook.minutes)
                if key not in found:
                    found[key] = replace(self.way_of(outlook), offered=plants)
        rest = Beside(self.rest)
        return sorted(found.values(), key=lambda w: -self.worth((w,), rest))[:MOST_DATES]


def days_asked(choices: Choices) -> tuple[int, ...]:
    """Columns of the later visits at which a lot may go out: every second of those waited for."""
    return later_visits(choices)[1::2]


def resting() -> FateOutlook:
    """Bare ground on which nothing is begun."""
    return FateOutlook("leave", "leave it bare", ())


def exchanged(asked: Exchange) -> dict[str, FateOutlook]:
    """What each site gets when no two of them gain by exchanging lots, days or ways any more.

    Begins with what was decided; what comes of it is never worth less. Where few stand in one
    another's way, three at a time are asked too: one may need what two others must give up.
    """
    ways = {site.key: asked.begun(site) for site in asked.sites}
    _until_nothing_moves(asked, ways, 2)
    if 2 < len(asked.sites) <= FEW:
        _until_nothing_moves(asked, ways, 3)
    for site in asked.sites:
        ways[site.key] = _best_day(asked, ways, site)
    return {site.key: asked.whole(site, ways[site.key]) for site in asked.sites}


def _until_nothing_moves(asked: Exchange, ways: dict[str, Way], at_once: int) -> None:
    """Ask so many sites together, round after round, and change what is better."""
    stirred = {site.key for site in asked.sites}
    for _ in range(MOST_ROUNDS):
        moved: set[str] = set()
        for group in combinations(asked.sites, at_once):
            if not stirred & {site.key for site in group}:
                continue
            better = _Together(asked, ways, group).best()
            if better is not None:
                ways.update(better)
                moved |= set(better)
        if not moved:
            break
        stirred = moved


class _Together:
    """The best that some sites do together while all others stay as they are.

    Branch and bound: together they are never worth more than each beside nothing of the others, for
    a full table only takes from what is added.
    """

    def __init__(self, asked: Exchange, ways: Mapping[str, Way], group: Sequence[Site]) -> None:
        names = {site.key for site in group}
        others = [way for key, way in ways.items() if key not in names]
        self._asked, self._group = asked, group
        self._free = left_of(asked.lots, others)
        self._rest = Beside(beside(asked.rest, others))
        self._alone: dict[int, float] = {}
        self._best = asked.worth([ways[site.key] for site in group], self._rest) + LEAST_GAIN
        self._found: dict[str, Way] | None = None
        self._most = {
            site.key: max(self._gain(way) for way in asked.ways(site, self._free)) for site in group
        }

    def best(self) -> dict[str, Way] | None:
        """What each gets; None where nothing is better than what they have."""
        for order in permutations(self._group):
            self._on(order, self._free, {})
        return self._found

    def _gain(self, way: Way) -> float:
        if id(way) not in self._alone:
            self._alone[id(way)] = self._asked.worth((way,), self._rest)
        return self._alone[id(way)]

    def _on(self, order: Sequence[Site], free: Lots, taken: dict[str, Way]) -> None:
        site, *after = order
        can = sum(self._most[later.key] for later in after)
        can += sum(self._gain(way) for way in taken.values())
        for way in sorted(self._asked.ways(site, free), key=self._gain, reverse=True):
            if can + self._gain(way) <= self._best:
                return
            now = {**taken, site.key: way}
            if after:
                self._on(after, left_of(free, (way,)), now)
                continue
            worth = self._asked.worth(tuple(now.values()), self._rest)
            if worth > self._best:
                self._best, self._found = worth, now


def _best_day(asked: Exchange, ways: Mapping[str, Way], site: Site) -> Way:
    """The same lot at the same place on the best of all coming visits, the rest as it is."""
    now = ways[site.key]
    if now.outlook.lot is None:
        return now
    others = [way for key, way in ways.items() if key != site.key]
    rest = Beside(beside(asked.rest, others))
    today, *later = site.choices.visits
    near = [visit for visit in later if visit - today <= LONGEST_DAYS]
    found = asked.from_cups(site, now.outlook.lot, now.outlook.plants, (today, *near))
    return max((now, *found), key=lambda way: asked.worth((way,), rest))


def left_of(lots: Lots, ways: Collection[Way]) -> dict[str, int]:
    """Plants of each lot that these leave."""
    left = dict(lots)
    for way in ways:
        for lot, plants in way.takes.items():
            left[lot] = left.get(lot, 0) - plants
    return left


def beside(rest: Mapping[str, DrawWeeks], ways: Collection[Way]) -> dict[str, DrawWeeks]:
    """The rest of the plot with these added, portions by food."""
    total = dict(rest)
    for way in ways:
        for food, weekly in way.portions.items():
            total[food] = total[food] + weekly if food in total else weekly
    return total


def contested(asked: Exchange) -> list[Site]:
    """The sites that have a lot or would be better off with one, where two or more want the same.

    Empty where nobody stands in another's way: then each has what is best for it.
    """
    ways = {site.key: asked.begun(site) for site in asked.sites}
    wanted: dict[str, list[Site]] = {}
    for site in asked.sites:
        others = [way for key, way in ways.items() if key != site.key]
        rest = Beside(beside(asked.rest, others))
        has = asked.worth((ways[site.key],), rest)
        for lot in asked.lots:
            better = site.now.lot == lot or any(
                asked.worth((way,), rest) > has + LEAST_GAIN
                for way in asked.ways(site, {lot: asked.lots[lot]})
                if way.outlook.lot == lot
            )
            if better:
                wanted.setdefault(lot, []).append(site)
    keys = {site.key for sites in wanted.values() if len(sites) > 1 for site in sites}
    holders = {site.key for site in asked.sites if site.now.lot is not None and keys}
    return [site for site in asked.sites if site.key in keys | holders]


@cache
def _weeks(first: date, n_days: int) -> Weeks:
    return Weeks.of(first, n_days)


def _without_cups(site: Site) -> Iterator[FateOutlook]:
    """Keep what stands, or sow tonight."""
    if site.bare:
        yield resting()
    else:
        yield from keeping(_judged(site.choices))
    yield from replacing_at(replace(_judged(site.choices), lots=()), site.choices.visits[0])


def _with_only(choices: Choices, lot: str, plants: int) -> Choices:
    """The same with nothing to set out or sow but so many plants of one lot."""
    held = [one for one in choices.lots if one.lot.key == lot]
    only = tuple(replace(one, lot=replace(one.lot, plants=plants)) for one in held)
    return replace(_judged(choices), lots=only, packets=())


def _judged(choices: Choices) -> Choices:
    """Young plants are held against new ones without pests, as where each is decided alone."""
    return choices.unharmed() if choices.young else choices


def _roomier(one: Want | None, other: Want) -> Want:
    return other if one is None or other.put_by > one.put_by else one


def same_way(one: FateOutlook, other: FateOutlook) -> bool:
    """Do two outlooks tell of the same thing done at the same visit?"""
    first, second = ((w.fate, w.crop, w.lot, w.plants, w.begins, w.keeps) for w in (one, other))
    return first == second
