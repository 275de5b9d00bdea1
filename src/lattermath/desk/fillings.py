"""What goes into the sprayer at a visit: one filling for each run of one product at one rate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from zoneinfo import ZoneInfo

from lattermath.desk.pest_parts import stand_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.planning.bag import bag as in_the_bag
from lattermath.planning.courses import MIX_MINUTES
from lattermath.planning.keep_out import with_hours_out
from lattermath.planning.mixing import Mix, Part, filling, rate_of
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.treating import Spraying
from lattermath.planning.treatment_request import applied_to
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import OF_THE_MIX, WATER, Amount, Task, VisitPlan
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import inside, listed


def filled(
    facts: SeasonFacts,
    visit: VisitPlan,
    used: Mapping[str, float],
    before: Sequence[Applied] = (),
) -> VisitPlan:
    """The visit with its fillings: on the first task of each what to measure and what for.

    A filling is shared by the crops that come one after the other and whose label lines give the
    same rate; another rate is another filling.

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


def by_fillings(shelf: Iterable[ProductLabel], wanted: Iterable[Spraying]) -> list[Spraying]:
    """Treatments with those of one filling one after the other, the surest first of all.

    What each further filling of a product takes to rinse and mix is added to the first of it.
    """
    labels = {label.key: label for label in shelf}
    groups: dict[object, list[Spraying]] = {}
    for one in sorted(wanted, key=lambda one: not one.sure):
        label = labels.get(one.product or "")
        own = one.planting.key, one.method  # hands want no filling
        groups.setdefault(
            own if label is None else (label.key, rate_on(label, one.planting)), []
        ).append(one)
    found: list[Spraying] = []
    begun: set[str | None] = set()
    for n, (first, *rest) in enumerate(groups.values(), start=1):
        more = MIX_MINUTES if first.product in begun else 0.0
        begun |= {first.product} - {None}
        group = (replace(first, minutes=first.minutes + more), *rest)
        found += [replace(one, filling=n) for one in group]
    return found


def rate_on(label: ProductLabel, planting: Planting) -> float | None:
    """What the label prints for a litre on this planting; None: nothing, or nobody knows."""
    try:
        return rate_of(label, planting.crop)
    except InputError:  # told by the rulings
        return None


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
    """Tasks of one product, in their order: a filling for each run of one rate."""
    try:
        rates = [rate_of(label, facts.plot.planting(t.planting or "").crop) for t in group]
    except InputError:
        return [replace(task, amounts=()) for task in group]
    runs = [
        [task for task, _ in run]
        for _, run in groupby(zip(group, rates, strict=True), key=lambda one: one[1])
    ]
    found: list[Task] = []
    for n, run in enumerate(runs):
        told = _one_filling(facts, label, run, alone=len(runs) == 1, anew=n > 0)
        label = _left(label, {label.key: sum(map(_water_of, told))})
        found += told
    return found


def _one_filling(
    facts: SeasonFacts, label: ProductLabel, group: Sequence[Task], *, alone: bool, anew: bool
) -> list[Task]:
    """Tasks that share a filling. `alone`: no other of its product; `anew`: one came before it."""
    plantings = [facts.plot.planting(task.planting or "") for task in group]
    parts = [
        Part(planting.crop, stand_of(facts, planting), task.surfaces)
        for planting, task in zip(plantings, group, strict=True)
    ]
    mix = filling(label, parts)
    first, *rest = mix.shares
    names = [inside(p.name) for p in plantings]
    apart = () if alone or mix.water_l <= 0 else _apart(names, anew=anew)
    return [
        replace(
            group[0],
            amounts=(*mix.amounts, *_of_the_mix(first if rest else None)),
            cautions=(*apart, *_said(mix, label, names, group, alone=alone), *group[0].cautions),
        ),
        *(
            replace(task, amounts=_of_the_mix(share))
            for task, share in zip(group[1:], rest, strict=True)
        ),
    ]


def _apart(names: Sequence[str], *, anew: bool) -> tuple[str, ...]:
    """That this filling is for these and no others."""
    rinse = "Rinse, then mix anew" if anew else "A filling of its own"
    return (f"{rinse}, for {listed(names)} only: your label has another rate for the others.",)


def _water_of(task: Task) -> float:
    return sum(amount.quantity for amount in task.amounts if amount.what == WATER)


def _of_the_mix(litres: float | None) -> tuple[Amount, ...]:
    return () if litres is None else (Amount(OF_THE_MIX, round(litres, 3), "l", "judgement"),)


def _said(
    mix: Mix, label: ProductLabel, names: Sequence[str], group: Sequence[Task], *, alone: bool
) -> tuple[str, ...]:
    """What it is shared out over, and what stands against wetting it all."""
    if mix.water_l <= 0:
        return (mix.warning,) if mix.warning else ()
    shares = zip(names, mix.shares, strict=True)
    each = ", ".join(f"{name} about {measure(share, 'l')}" for name, share in shares)
    what = "Mix once for all" if alone else "Shared out"
    once: tuple[str, ...] = (f"{what}: {each}.",) if len(names) > 1 else ()
    waits = [name for name, task in zip(names, group, strict=True) if task.only_if]
    if len(names) > 1 and waits and mix.product is not None:
        rate = measure(mix.product / mix.water_l, label.measured_in)
        once += (f"Without {' or '.join(waits)}, less by that: {rate} in each litre.",)
    return (*once, *((mix.warning,) if mix.warning else ()))


def bag(facts: SeasonFacts, tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """Say what must be in the bag for these tasks."""
    return in_the_bag(tasks, {label.key: label.name for label in facts.plot.shelf})
