"""One season of one plot under one policy, from seam to seam: what it cost and what was picked.

Nature, grower, missed visits and looks come from streams named by thing and day, so that every
policy meets the same season as far as it leaves it alone (common random numbers). Picking and
watering are the same for all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Protocol
from zoneinfo import ZoneInfo

from lattermath.desk.dice import Dice, dice
from lattermath.desk.outside_treating import faults_of
from lattermath.desk.season_setting import Setting
from lattermath.desk.wiring import folder_at, tables_of
from lattermath.nature.opening import open_nature
from lattermath.nature.plot_life import Nature
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import Payload, Picking, Sighting, Treatment, Watering
from lattermath.vocabulary.plan import Task

if TYPE_CHECKING:  # handed in: the seam stands above this
    from lattermath.desk.outside_world import OutsidePlot

ARRIVES = time(18, 30)
VISIT_DAYS = (1, 5)  # Tuesday and Saturday, as the plot file of the trial says
LEAVES = 10  # never more are asked for
GLANCES = 3  # judgement: plantings looked at in one evening for one kind, beside those known sick
LOOK_MINUTES = 4.0  # judgement: ten leaves of one planting, whatever is counted on them
LITRES_A_PLANT = 8.0  # judgement: at a visit, from the hose
STRIPPED = 1 / 3  # lower third of the leaves: the row of `prune_leaves`


@dataclass(frozen=True, slots=True)
class Choice:
    """What a policy does at one visit.

    tasks  : treatments to do, each for one planting.
    barred : plantings it would have treated and may not.
    left   : tasks of the plan that no trial carries out: pulling, setting out, sowing.
    faults : what the audit found in the plan itself, which was then not given.
    """

    tasks: tuple[Task, ...] = ()
    barred: int = 0
    left: int = 0
    faults: tuple[Fault, ...] = ()


@dataclass(slots=True, eq=False)
class Season:
    """A season as it is played; a policy reads `seen`, `sprayed` and the seam, and no more.

    seen    : counts of tonight, one a leaf, by organism and planting.
    sprayed : days on which a planting was sprayed.
    """

    setting: Setting
    seam: OutsidePlot
    nature: Nature
    throw: Dice
    seen: dict[tuple[str, str], tuple[int, ...]] = field(default_factory=dict)
    sprayed: dict[str, list[date]] = field(default_factory=dict)
    _known: dict[str, set[str]] = field(default_factory=dict)

    @property
    def today(self) -> date:
        """The day of the visit."""
        return self.nature.today

    @property
    def arrival(self) -> datetime:
        """The hour at which tonight's visit begins, by the plot's clock."""
        return datetime.combine(self.today, ARRIVES)

    def write(self, payload: Payload, after: float = 0.0) -> None:
        """Write down what happened so many minutes after arrival."""
        self.seam.log(payload, self.arrival + timedelta(minutes=after))

    def look(self, planting: str, organism: str) -> tuple[int, ...]:
        """Turn ten leaves of a planting and write the counts down; once an evening."""
        if (organism, planting) not in self.seen:
            counts = self.nature.look(planting, organism, LEAVES)
            self.seen[organism, planting] = counts
            if counts:
                self.write(Sighting(planting, organism, "count", counts=counts), 1.0)
            if sum(counts):
                self._known.setdefault(organism, set()).add(planting)
        return self.seen[organism, planting]

    def look_round(self) -> None:
        """Some plantings by chance, and those on which it was found before."""
        for organism in self.nature.swarms:
            home = self.nature.homes[organism]
            keys = [k for n, k in enumerate(self.nature.keys) if home.suits[n] > 0]
            some = self.throw(f"round {organism} {self.today}").permutation(len(keys))[:GLANCES]
            known = sorted(self._known.get(organism, set()) & set(keys))[:GLANCES]
            for key in dict.fromkeys([keys[n] for n in some] + known):
                self.look(key, organism)


class Policy(Protocol):
    """A way of treating. `looks`: whether its grower turns leaves at all."""

    name: str
    looks: bool

    def choose(self, season: Season) -> Choice:
        """What to do tonight, after the look round and before picking."""
        ...


@dataclass(frozen=True, slots=True)
class Outcome:
    """One season under one policy.

    kg        : picked and fit to eat, as the kitchen scale said. [kg]
    overgrown : picked too late. [kg]
    sprays    : plantings sprayed with a product, each evening counted anew.
    handwork  : plantings hosed, stripped or gone over by hand, likewise.
    hours     : treating, and turning leaves; picking and watering are alike for all. [h]
    barred    : treatments wanted and not allowed.
    shut      : pickings left out because a treatment still closed the planting.
    fed       : what sucking has cost by the end, in twentieths of the yield; mean of the plantings.
    faults    : what the audit found in what was done, or in a plan that it held back.
    """

    policy: str
    year: int
    seed: int
    visits: int
    kg: float
    overgrown: float
    sprays: int
    handwork: int
    hours: float
    barred: int
    left: int
    shut: int
    fed: float
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Calendar:
    """From when leaves are turned, from when to when treated, and until when picked."""

    looks: date
    treats: date
    stops: date
    ends: date


def open_season(setting: Setting, seam: OutsidePlot, organisms: Sequence[str], seed: int) -> Season:
    """Begin a season: nature throws its plot from this seed, the same for every policy.

    seam : the setting's plot, opened; all that is logged and asked goes through it.
    """
    throw = dice(seed, f"nature {setting.begins.year}")
    tables = tables_of(folder_at(setting.folder))
    nature = open_nature(tables, setting.plot, setting.sky, setting.begins, organisms, throw)
    return Season(setting, seam, nature, throw)


def play(season: Season, policy: Policy, calendar: Calendar, seed: int) -> Outcome:
    """Keep the visits that take place, do what the policy chooses, and add it all up."""
    total = Outcome(policy.name, season.today.year, seed, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, ())
    while season.today < calendar.ends:
        today = season.today
        if today.weekday() in VISIT_DAYS and season.nature.grower_comes():
            total = _evening(season, policy, calendar, total)
        season.nature.step_to(today + timedelta(days=1))
    return replace(total, fed=float(season.nature.eaten.mean()))


def _evening(season: Season, policy: Policy, calendar: Calendar, total: Outcome) -> Outcome:
    season.seen.clear()
    if policy.looks and calendar.looks <= season.today < calendar.stops:
        season.look_round()
    treats = calendar.treats <= season.today < calendar.stops
    choice = policy.choose(season) if treats else Choice()
    turned = len({key for _, key in season.seen})
    picked, shut = _clear(season)
    work = (*(_pick(season, key) for key in picked), *choice.tasks)
    faults = faults_of(season.seam.facts(season.today), work) if choice.tasks or shut else ()
    good, past = _harvest(season, picked)
    for task in choice.tasks:
        _carry_out(season, task)
    treating = sum(task.minutes for task in choice.tasks)
    sprays = sum(task.product is not None for task in choice.tasks)
    return replace(
        total,
        visits=total.visits + 1,
        kg=total.kg + good,
        overgrown=total.overgrown + past,
        sprays=total.sprays + sprays,
        handwork=total.handwork + len(choice.tasks) - sprays,
        hours=total.hours + (treating + LOOK_MINUTES * turned) / 60,
        barred=total.barred + choice.barred,
        left=total.left + choice.left,
        shut=total.shut + len(shut),
        faults=(*total.faults, *(str(fault) for fault in (*choice.faults, *faults))),
    )


def _clear(season: Season) -> tuple[list[str], list[str]]:
    """Plantings that may be picked on arrival, and those that a treatment still closes."""
    standing = [one.key for one in season.nature.plantings
                if one.started is not None and one.started <= season.today]  # fmt: skip
    if not season.sprayed:
        return standing, []
    facts = season.seam.facts(season.today)
    zone = ZoneInfo(facts.plot.place.time_zone)
    cautions, at = own_cautions(facts.tables), season.arrival.replace(tzinfo=zone)
    open_ = {
        key: clearance_of(
            facts.plot.planting(key), facts.applied, facts.plot.shelf, at, zone, cautions
        ).clear_now
        for key in standing
    }
    return [k for k in standing if open_[k]], [k for k in standing if not open_[k]]


def _pick(season: Season, planting: str) -> Task:
    at = season.arrival.replace(tzinfo=ZoneInfo(season.setting.plot.place.time_zone))
    return Task(f"pick {planting}", "pick", "pick", "Pick.", 0.0, planting, starts=at, ends=at)


def _harvest(season: Season, picked: Sequence[str]) -> tuple[float, float]:
    """Water what stands, and pick what is clear. [kg]"""
    good = past = 0.0
    for one in season.nature.plantings:
        if one.started is None or one.started > season.today:
            continue
        litres = LITRES_A_PLANT * one.plants
        season.nature.water(one.key, litres)
        season.write(Watering(litres, planting=one.key, way="foot"), 5.0)
        if one.key not in picked:
            continue
        kg, over = season.nature.pick(one.key)
        good, past = good + kg, past + over
        if kg > 0 or over > 0:
            season.write(Picking(one.key, round(kg, 2)), 10.0)
    return good, past


def _carry_out(season: Season, task: Task) -> None:
    """Do one treatment in nature, and write it down at the hour at which it ends."""
    key, method = task.planting, task.method
    if key is None or method is None:
        return
    sides = tuple(side for side in ("underside", "top") if side in task.surfaces)
    if method == "prune_leaves":
        season.nature.prune(key, STRIPPED)
    elif task.product is not None:
        season.nature.treat([key], method, sides or ("underside", "top"))
        season.sprayed.setdefault(key, []).append(season.today)
    else:
        season.nature.treat([key], method)
    at = season.arrival if task.ends is None else task.ends
    written = Treatment((key,), method, task.product, surfaces=sides or ("underside", "top"))
    season.seam.log(written, at)
