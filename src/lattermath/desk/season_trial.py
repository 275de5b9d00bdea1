"""One season of one plot under one policy, from seam to seam: what it cost and what was picked.

Nature, grower, missed visits and looks come from streams named by thing and day, so that every
policy meets the same season as far as it leaves it alone (common random numbers). Picking and
watering are the same for all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Protocol

from lattermath.desk.outside_treating import faults_of
from lattermath.desk.trial_choice import Choice
from lattermath.desk.trial_ground import carry_out
from lattermath.desk.trial_harvest import used, weekly
from lattermath.desk.trial_season import Season
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.vocabulary.events import Picking, Treatment, Watering
from lattermath.vocabulary.plan import Task

VISIT_DAYS = (1, 5)  # Tuesday and Saturday, as the plot file of the trial says
LOOK_MINUTES = 4.0  # judgement: ten leaves of one planting, whatever is counted on them
LITRES_A_PLANT = 8.0  # judgement: at a visit, from the hose
STRIPPED = 1 / 3  # lower third of the leaves: the row of `prune_leaves`


class Policy(Protocol):
    """A way of keeping a plot. `looks`: whether its grower turns leaves at all."""

    name: str
    looks: bool

    def choose(self, season: Season) -> Choice:
        """What to do tonight, after the look round and before picking."""
        ...


@dataclass(frozen=True, slots=True)
class Outcome:
    """One season under one policy.

    kg        : picked and fit to eat, as the kitchen scale said. [kg]
    used      : of that, what the household can use in the week: all up to its want, 0.3 of as much
                again, nothing beyond. [kg]
    portions  : the same as the household's portions, which is what the plan is to serve.
    overgrown : picked too late. [kg]
    sprays    : plantings sprayed with a product, each evening counted anew.
    handwork  : plantings hosed, stripped or gone over by hand, likewise.
    changes   : pullings, settings out and sowings.
    hours     : treating, changing ground and turning leaves; picking and watering are alike. [h]
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
    used: float = 0.0
    portions: float = 0.0
    changes: int = 0
    weeks: tuple[tuple[str, float], ...] = ()  # Monday, and kilograms picked


@dataclass(frozen=True, slots=True)
class Calendar:
    """From when leaves are turned, from when to when treated, and until when picked."""

    looks: date
    treats: date
    stops: date
    ends: date


def play(season: Season, policy: Policy, calendar: Calendar, seed: int) -> Outcome:
    """Keep the visits that take place, do what the policy chooses, and add it all up."""
    total = Outcome(policy.name, season.today.year, seed, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, ())
    while season.today < calendar.ends:
        today = season.today
        if today.weekday() in VISIT_DAYS and season.nature.grower_comes():
            total = _evening(season, policy, calendar, total)
        season.nature.step_to(today + timedelta(days=1))
    eaten = season.nature.eaten[: len(season.setting.plot.plantings)]
    kg, portions = used(season)
    fed = float(eaten.mean())
    return replace(total, fed=fed, used=kg, portions=portions, weeks=weekly(season))


def _evening(season: Season, policy: Policy, calendar: Calendar, total: Outcome) -> Outcome:
    season.seen.clear()
    season.sow_lots(told=True)
    if policy.looks and calendar.looks <= season.today < calendar.stops:
        season.look_round()
    treats = calendar.treats <= season.today < calendar.stops
    choice = policy.choose(season) if treats else Choice()
    turned = len({key for _, key in season.seen})
    picked, shut = _clear(season)
    moved = tuple(change.task for change in choice.changes)
    work = (*(_pick(season, key) for key in picked), *moved, *choice.tasks)
    bound = choice.tasks or moved or shut
    faults = faults_of(season.facts(), work) if bound else ()
    good, past = harvest(season, picked)
    changed = sum(carry_out(season, change) for change in choice.changes)
    for task in choice.tasks:
        _carry_out(season, task)
    treating = sum(task.minutes for task in (*choice.tasks, *moved))
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
        left=total.left + choice.left + len(moved) - changed,
        changes=total.changes + changed,
        shut=total.shut + len(shut),
        faults=(*total.faults, *(str(fault) for fault in (*choice.faults, *faults))),
    )


def _clear(season: Season) -> tuple[list[str], list[str]]:
    """Plantings that may be picked on arrival, and those that a treatment still closes."""
    standing = [one.key for one in season.standing()]
    if not season.sprayed:
        return standing, []
    facts = season.facts()
    zone, cautions = season.zone, own_cautions(facts.tables)
    at = season.arrival.replace(tzinfo=zone)
    open_ = {
        key: clearance_of(
            facts.plot.planting(key), facts.applied, facts.plot.shelf, at, zone, cautions
        ).clear_now
        for key in standing
    }
    return [k for k in standing if open_[k]], [k for k in standing if not open_[k]]


def _pick(season: Season, planting: str) -> Task:
    at = season.arrival.replace(tzinfo=season.zone)
    return Task(f"pick {planting}", "pick", "pick", "Pick.", 0.0, planting, starts=at, ends=at)


def harvest(season: Season, picked: Sequence[str]) -> tuple[float, float]:
    """Water what stands, and pick what is clear. [kg]"""
    good = past = 0.0
    for one in season.standing():
        litres = LITRES_A_PLANT * one.plants
        season.nature.water(one.key, litres)
        season.write(Watering(litres, planting=one.key, way="foot"), 5.0)
        if one.key not in picked:
            continue
        kg, over = season.nature.pick(one.key)
        good, past = good + kg, past + over
        season.picked.append((season.today, one.crop, kg))
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
