"""Ground that changes hands in a played season: what can go where, done in nature and logged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.desk.trial_choice import Change
from lattermath.desk.trial_season import Season
from lattermath.nature.replanting import set_out, sow
from lattermath.planning.replacing import (
    MINUTES_A_PLANT_PULLED,
    MINUTES_A_PLANT_SET_OUT,
    MINUTES_TO_SOW,
)
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.events import Pulling, SettingOut, Sowing
from lattermath.vocabulary.plan import Task, TaskKind
from lattermath.vocabulary.plot import Bed, Planting, Plot

PULLED_AFTER, SET_OUT_AFTER = 15.0, 25.0  # minutes after arrival at which it is written down
SICK = "sick plants last"


def bare_beds(season: Season) -> list[Bed]:
    """Beds in which nothing stands."""
    taken = {one.bed for one in season.standing()}
    return [bed for bed in season.setting.plot.beds if bed.key not in taken]


def bed_area(season: Season, bed: str) -> float:
    """Ground of a bed. [m2]"""
    return next(one.area_m2 for one in season.setting.plot.beds if one.key == bed)


def plants_on(season: Season, crop: str, bed: str) -> int:
    """How many plants of a crop a bed holds at its spacing, one at least."""
    area = bed_area(season, bed)
    return max(1, int(area / season.nature.tables.crops[crop].plant_ground_m2 + 1e-9))


def pulled(season: Season, planting: str) -> Change:
    """All plants of a planting out."""
    place = season.nature.place(planting)
    count = int(season.nature.foliage[place].stands.sum())
    minutes = max(3.0, MINUTES_A_PLANT_PULLED * count)
    return Change(_task(season, "pull", f"Take out {planting}.", minutes, planting))


def planted(season: Season, lot: str, bed: str, instead_of: str | None = None) -> Change:
    """As many young plants of a lot as the bed holds."""
    cups = season.nature.cups[lot]
    plants = min(cups.plants, plants_on(season, cups.crop, bed))
    minutes = MINUTES_A_PLANT_SET_OUT * plants
    task = _task(season, "set out", f"Set out {lot} in {bed}.", minutes, instead_of)
    return Change(task, plants, cups.crop, bed, lot)


def sown(season: Season, crop: str, bed: str, instead_of: str | None = None) -> Change:
    """Seed of a crop in a bed, at its spacing."""
    task = _task(season, "sow", f"Sow {crop} in {bed}.", MINUTES_TO_SOW, instead_of)
    return Change(task, plants_on(season, crop, bed), crop, bed)


def changes_of(season: Season, plot: Plot, tasks: Sequence[Task]) -> Iterator[Change]:
    """The changes that tasks of a plan ask for, in its order; others are passed over.

    Which lot or seed goes into which bed is what the task's id was made from.
    """
    for task in tasks:
        count = int(next((a.quantity for a in task.amounts if a.what == "plants"), 0))
        if task.kind == "pull" and task.planting is not None:
            yield Change(task, count)
        for bed in plot.beds:
            for lot in plot.lots:
                if task.id == task_id(season.today, "set out", lot.key, bed.name):
                    yield Change(task, count, lot.crop, bed.key, lot.key)
            for packet in plot.tin.packets:
                if task.id == task_id(season.today, "sow", packet.crop, bed.name):
                    room = plants_on(season, packet.crop, bed.key)
                    seeds = min(packet.seeds, max(1, int(room * _free(season, tasks, bed.key))))
                    yield Change(task, seeds, packet.crop, bed.key)


def _free(season: Season, tasks: Sequence[Task], bed: str) -> float:
    """Share of a bed that is free once tonight's pulling is done; all of it where nothing stands.

    What stays of a planting keeps the ground it had."""
    crops, area = season.nature.tables.crops, bed_area(season, bed)
    pulls = {task.planting: task for task in tasks if task.kind == "pull"}
    stays = 0.0
    for one in season.standing():
        if one.bed == bed:
            place = season.nature.place(one.key)
            left = int(season.nature.foliage[place].stands.sum())
            task = pulls.get(one.key)
            if task is not None:
                count = int(next((a.quantity for a in task.amounts if a.what == "plants"), 0))
                left = max(left - (count or left), 0)
            stays += left * crops[one.crop].plant_ground_m2
    return max(area - stays, 0.0) / area


def carry_out(season: Season, change: Change) -> bool:
    """Do one change in nature, and write it down; False where no plant of the lot is left."""
    nature, task = season.nature, change.task
    if task.kind == "pull":
        key = task.planting or ""
        nature.pull(key, change.plants or None)
        to = "bagged off the plot" if task.part == SICK else "compost"
        season.write(Pulling(key, change.plants or None, to), PULLED_AFTER)  # type: ignore[arg-type]
        return True
    plants = change.plants
    if task.kind == "set out":
        plants = min(plants, nature.cups[change.lot].plants)
    if plants < 1:
        return False
    key = f"{change.bed}-{sum(one.bed == change.bed for one in nature.plantings)}"
    new = Planting(key, key, change.crop, plants, change.bed)
    if task.kind == "set out":
        set_out(nature, new, change.lot)
        done: SettingOut | Sowing = SettingOut(key, change.crop, plants, change.bed, change.lot)
    else:
        sow(nature, new)
        done = Sowing(change.crop, plants, planting=key, bed=change.bed)
    season.write(done, SET_OUT_AFTER)
    return True


def _task(season: Season, kind: TaskKind, says: str, minutes: float, planting: str | None) -> Task:
    at = season.arrival.replace(tzinfo=season.zone)
    id_ = f"{kind} {says}"
    return Task(id_, kind, "replace", says, round(minutes), planting, starts=at, ends=at)
