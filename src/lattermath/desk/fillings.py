"""What goes into the sprayer at a visit: one filling a product, shared out over the plantings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from zoneinfo import ZoneInfo

from lattermath.desk.pest_parts import stand_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.bag import bag as in_the_bag
from lattermath.planning.keep_out import with_hours_out
from lattermath.planning.mixing import Mix, Part, filling
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.treatment_request import applied_to
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import OF_THE_MIX, WATER, Amount, Task, VisitPlan
from lattermath.vocabulary.sentence import inside


def filled(
    facts: SeasonFacts,
    visit: VisitPlan,
    used: Mapping[str, float],
    before: Sequence[Applied] = (),
) -> VisitPlan:
    """The visit with each product mixed once: on its first task what to measure and what for.

    Each task with a product says until when people, pets and pickers stay away.

    used   : litres of each product that the visits before this one take.
    before : treatments that those visits plan.
    """
    tasks, zone = list(visit.tasks), ZoneInfo(facts.plot.place.time_zone)
    others = (*facts.applied, *before, *planned_in(facts, visit))
    for label in facts.plot.shelf:
        places = [n for n, t in enumerate(tasks) if t.product == label.key and t.planting]
        group = _filled_with(facts, _left(label, used), [tasks[n] for n in places])
        for n, task in zip(places, group, strict=True):
            planting = facts.plot.planting(task.planting or "")
            tasks[n] = with_hours_out(
                task, planting, others, facts.plot.shelf, zone, own_cautions(facts.tables)
            )
    return replace(visit, tasks=tuple(tasks))


def planned_in(facts: SeasonFacts, visit: VisitPlan) -> tuple[Applied, ...]:
    """The treatments of a visit, as those beside and after it count them."""
    labels = {label.key: label for label in facts.plot.shelf}
    return tuple(
        applied_to(
            facts.plot.planting(task.planting),
            task.method or "",
            task.product,
            labels.get(task.product or ""),
            task.ends,
        )
        for task in visit.tasks
        if task.kind == "treat" and task.planting is not None and task.ends is not None
    )


def litres_used(visits: Iterable[VisitPlan]) -> dict[str, float]:
    """Litres of each product that these visits mix."""
    total: dict[str, float] = {}
    for visit in visits:
        for task in visit.tasks:
            for amount in task.amounts:
                if task.product is not None and amount.what == WATER:
                    total[task.product] = total.get(task.product, 0.0) + amount.quantity
    return total


def _left(label: ProductLabel, used: Mapping[str, float]) -> ProductLabel:
    if label.litres_left is None:
        return label
    return replace(label, litres_left=max(0.0, label.litres_left - used.get(label.key, 0.0)))


def _filled_with(facts: SeasonFacts, label: ProductLabel, group: Sequence[Task]) -> list[Task]:
    """Tasks of one product, in their order."""
    if not group:
        return []
    plantings = [facts.plot.planting(task.planting or "") for task in group]
    parts = [
        Part(planting.crop, stand_of(facts, planting), task.surfaces)
        for planting, task in zip(plantings, group, strict=True)
    ]
    try:
        mix = filling(label, parts)
    except InputError:
        return [replace(task, amounts=()) for task in group]
    first, *rest = mix.shares
    names = [inside(p.name) for p in plantings]
    return [
        replace(
            group[0],
            amounts=(*mix.amounts, *_of_the_mix(first if rest else None)),
            cautions=(*_said(mix, label, names, group), *group[0].cautions),
        ),
        *(
            replace(task, amounts=_of_the_mix(share))
            for task, share in zip(group[1:], rest, strict=True)
        ),
    ]


def _of_the_mix(litres: float | None) -> tuple[Amount, ...]:
    return () if litres is None else (Amount(OF_THE_MIX, round(litres, 3), "l", "judgement"),)


def _said(
    mix: Mix, label: ProductLabel, names: Sequence[str], group: Sequence[Task]
) -> tuple[str, ...]:
    """What it is shared out over, and what stands against wetting it all."""
    if mix.water_l <= 0:
        return (mix.warning,) if mix.warning else ()
    shares = zip(names, mix.shares, strict=True)
    each = ", ".join(f"{name} about {measure(share, 'l')}" for name, share in shares)
    once: tuple[str, ...] = (f"Mix once for all: {each}.",) if len(names) > 1 else ()
    waits = [name for name, task in zip(names, group, strict=True) if task.only_if]
    if len(names) > 1 and waits and mix.product is not None:
        rate = measure(mix.product / mix.water_l, label.measured_in)
        once += (f"Without {' or '.join(waits)}, less by that: {rate} in each litre.",)
    return (*once, *((mix.warning,) if mix.warning else ()))


def bag(facts: SeasonFacts, tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """Say what must be in the bag for these tasks."""
    return in_the_bag(tasks, {label.key: label.name for label in facts.plot.shelf})
