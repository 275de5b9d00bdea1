"""Young plants where their pest lives beside: what it takes of them, and that it is told."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache, partial
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import NDArray

from lattermath.belief import young_beside
from lattermath.belief.cluster_plantings import Stand, leaves_of, settling, suits
from lattermath.belief.life_history import LONE_FLIGHT
from lattermath.desk.at_stake import left_of_young
from lattermath.desk.cups_beside import infested
from lattermath.desk.pests_known import treatments
from lattermath.desk.wilt import harm_on
from lattermath.planning.course_task import run_course
from lattermath.planning.fates import Care
from lattermath.planning.pest_beside import MOST_MEANS, PestNear, Treated
from lattermath.planning.treatment_request import bare, gap_m
from lattermath.science.adult_flight import points_of
from lattermath.vocabulary.plot import Bed, Planting

if TYPE_CHECKING:
    from lattermath.desk.insect_cluster import Searched
    from lattermath.desk.season_facts import SeasonFacts

FloatArray = NDArray[np.float64]
# By crop: own plantings, and what was seen there that lives on it too.
Infested: TypeAlias = Callable[[str], tuple[tuple[str, str], ...]]

MOST_RUN = 6  # judgement: beds and crops whose insects are run through, in one plan
NEAR_M = 10.0  # judgement: farther off, what lives there is not told beside young plants
BESIDE_M = 1.0  # judgement: nearer than that is beside
LEAST_SHARE = 0.01  # judgement: of what flies from the nearest; fewer that settle are not run


def with_young(
    facts: SeasonFacts, insects: Sequence[Searched], cares: Mapping[str, Care]
) -> dict[str, Care]:
    """The cares with what insects leave of clean plants in bare beds, and what lives beside.

    Cups come before seed; of the beds and crops beyond the first few only what lives beside is
    told. Courses go on as found; the new plants are not treated in it. What lives beside bars its
    hosts wherever it is not treated by the day they would go in.
    """
    found, runs = dict(cares), 0
    lots = [(lot.crop, lot.plants) for lot in facts.plot.lots]
    tin = [(packet.crop, packet.seeds) for packet in facts.plot.tin.packets]
    goes_in = dict((*reversed(tin), *reversed(lots)))
    treated, seen = treatments(facts, insects), infested_of(facts)
    for planting, bed in _places(facts):
        care = found.get(planting.key, Care())
        near = _near_each(facts, planting, goes_in, treated, seen)
        left = {}
        for crop in _lots_first(goes_in, lots) if bed is not None else ():
            if runs >= MOST_RUN or bed is None:
                break
            homes = [
                (one, young)
                for one in insects
                if (young := _young(one, facts, bed, crop, goes_in[crop])) is not None
                and _may_reach(one, young)
            ]
            if homes:
                runs += len(homes)
                shares = [_left(one, facts, young) for one, young in homes]
                left[crop] = np.asarray(np.prod(shares, axis=0))
        if near or left:
            anew = {**(care.anew or {}), **left} if left else care.anew
            found[planting.key] = replace(care, anew=anew, near=near or None)
    return found


def infested_of(facts: SeasonFacts) -> Infested:
    """What was seen that lives on a crop; the same for every bed, and looked up once a crop."""
    return cache(partial(infested, facts))


def beside_part(
    facts: SeasonFacts, bed: Bed, crops: Collection[str], treated: Treated, seen: Infested
) -> Care:
    """What lives near the part of a bed that its plantings leave, and bars its hosts there.

    What flies over is not run through for it.
    """
    return Care(near=_near_each(facts, bare(bed), crops, treated, seen) or None)


def _lots_first(goes_in: Mapping[str, int], lots: Sequence[tuple[str, int]]) -> list[str]:
    waiting = {crop for crop, _ in lots}
    return sorted(goes_in, key=lambda crop: (crop not in waiting, crop))


def _places(facts: SeasonFacts) -> Iterator[tuple[Planting, Bed | None]]:
    """Every own planting, and every bare bed as a planting of no plants with its bed."""
    for planting in facts.plot.standing():
        yield planting, None
    for bed in facts.plot.bare_beds():
        yield bare(bed), bed


def _near_each(
    facts: SeasonFacts,
    there: Planting,
    crops: Collection[str],
    treated: Treated,
    seen: Infested,
) -> dict[str, tuple[PestNear, ...]]:
    """What lives near ground and on each crop too, with the crops at hand that nothing bars."""
    every = {crop: tuple(_near(facts, there, seen(crop), treated)) for crop in crops}
    near = {crop: told for crop, told in every.items() if told}
    barred = {crop for crop, told in near.items() if any(x.beside and not x.own for x in told)}
    hand = [crop for crop in _at_hand(facts) if crop not in barred]
    names = tuple(facts.tables.crosswalk.named(crop) for crop in hand)[:MOST_MEANS]
    return {crop: tuple(replace(one, instead=names) for one in told) for crop, told in near.items()}


def _at_hand(facts: SeasonFacts) -> list[str]:
    """Crops in cups, then those in the tin."""
    held = [lot.crop for lot in facts.plot.lots if lot.plants > 0]
    held += [packet.crop for packet in facts.plot.tin.packets if packet.seeds > 0]
    return list(dict.fromkeys(held))


def _near(
    facts: SeasonFacts, there: Planting, seen: Sequence[tuple[str, str]], treated: Treated
) -> Iterator[PestNear]:
    """What was seen on plantings near by and lives on a crop too, of all that do."""
    for key, what in seen:
        other = facts.plot.planting(key)
        same = other.bed is not None and other.bed == there.bed
        gap = None if same else gap_m(facts.plot, there, other)
        if gap is not None and gap > NEAR_M:
            continue
        days, by = treated.of(key, (what, *facts.tables.crosswalk.kinds.get(what, ())))
        yield PestNear(
            key,
            other.name,
            facts.tables.named(what),
            gap,
            beside=same or (gap is not None and gap <= BESIDE_M),
            own=key == there.key,
            treated=days,
            by=by,
        )


def _may_reach(one: Searched, young: Stand) -> bool:
    """Does a share worth running of what flies settle there?"""
    reach = LONE_FLIGHT * one.task.belief.life.figures.flight_m
    return bool(settling((*one.task.belief.stands, young), reach)[:-1, -1].max() >= LEAST_SHARE)


def _young(one: Searched, facts: SeasonFacts, bed: Bed, crop: str, plants: int) -> Stand | None:
    """Clean plants of a crop in a bed from the first visit on; None where none lives on it."""
    belief, crosswalk = one.cluster.belief, facts.tables.crosswalk
    terms = belief.life.figures.host(crop, crosswalk)
    if terms is None or not facts.visits:
        return None
    room = max(int(bed.area_m2 / facts.tables.crops[crop].plant_ground_m2), 1)
    leaves, leaf_cm2 = leaves_of(crop, crosswalk)
    laying, doubt = suits(terms)
    east, north = bed.centre
    return Stand(
        bare(bed).key,
        bed.name,
        crop,
        min(plants, room),
        laying,
        leaves,
        leaf_cm2,
        bed.area_m2,
        points_of(east, north, bed.length_m, bed.width_m),
        crowded=belief.life.figures.habits.crowded_per_cm2,
        doubt=doubt,
        killed_at_c=facts.tables.crops[crop].frost_kill_c.value,
        started=facts.day_index(facts.visits[0]),
        set_out=False,
    )


def _left(one: Searched, facts: SeasonFacts, young: Stand) -> FloatArray:
    """Share of clean plants' yield there that is borne and fit to eat by coming day,
    (n_draws, n_left)."""
    belief = young_beside.with_young(one.task.belief, young)
    then = run_course(belief, one.found.steps, one.task.visits, by_chance=False)
    begun = Planting(young.key, young.name, young.crop, young.plants, set_out=facts.visits[0])
    hurts = harm_on(facts, belief, begun)
    return left_of_young(facts.tables, belief, young, hurts, then)
