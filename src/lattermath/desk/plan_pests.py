"""What lives on the plantings of a plan, and the courses against it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from typing import TYPE_CHECKING

from lattermath.desk.covers import to_uncover
from lattermath.desk.identity import identified, told
from lattermath.desk.insect_work import insect_part, looks_of
from lattermath.desk.joint_courses import search_together
from lattermath.desk.leaf_disease_course import leaf_cases
from lattermath.desk.leaf_disease_work import leaf_part, missed_leaf_part
from lattermath.desk.not_followed import not_followed
from lattermath.desk.pest_parts import PestPart, PestPlans, PestTold, by_day, cares_of, ever_found
from lattermath.desk.pests_known import clusters_of, none_found_part, treatments
from lattermath.desk.pests_together import search_all
from lattermath.desk.pulled_pests import cleared, with_pulling
from lattermath.desk.sickening import with_sickening

SOON = timedelta(days=7)  # judgement: before it comes out, a planting is not treated any more

if TYPE_CHECKING:
    from lattermath.belief.crop_belief import CropBelief
    from lattermath.desk.identity import Identity
    from lattermath.desk.insect_cluster import Cluster, Searched
    from lattermath.desk.leaf_disease_course import LeafCase
    from lattermath.desk.permits import Permits
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.planning.fates import DrawDays


def plan_pests(
    facts: SeasonFacts, beliefs: Mapping[str, CropBelief], permits: Permits
) -> PestPlans:
    """Work out every organism that something was seen of, all together, if nothing comes out."""
    as_known, known = identified(facts)
    clusters = clusters_of(as_known, beliefs, permits)
    cases = leaf_cases(facts, beliefs, permits)
    return _planned(facts, known, clusters, cases)


def _planned(
    facts: SeasonFacts,
    known: tuple[Identity, ...],
    clusters: Sequence[Cluster],
    cases: Sequence[LeafCase],
    out: Collection[str] = (),
    start: Sequence[Searched] = (),
) -> PestPlans:
    """The courses against all that is known.

    out   : plantings that come out at the first visit; insects are followed as though they were
            clean, and are not treated there.
    start : the courses against insects where all of them stay, to begin from.
    """
    there = [one for one in clusters if ever_found(one.facts, one.belief.organism)]
    ill = [one for one in cases if ever_found(facts, one.belief.disease.id)]
    joint = search_all([cleared(one, out) for one in there], ill, search_together, start)
    insects = [insect_part(one) for one in joint.insects]
    insects = [replace(one, tell=partial(_as_known, facts, known, one.tell)) for one in insects]
    missed = (none_found_part(one, looks_of) for one in clusters if one not in there)
    clean = (missed_leaf_part(one) for one in cases if one not in ill)
    parts = (*insects, *map(leaf_part, joint.leaves), *missed, *clean)
    anew = partial(_planned, facts, known, clusters, cases, start=joint.to_begin_from)
    return PestPlans(
        parts=parts,
        sprayings=by_day((*part.sprayings, *part.shared) for part in parts),
        cares=with_sickening(facts, joint.leaves, cares_of(parts), joint.insects),
        sick=frozenset(key for part in parts for key in part.sick),
        homes=_homes(joint.insects),
        treated=_homes(one for one in joint.insects if one.found.steps),
        against=treatments(facts, joint.insects),
        if_pulled=partial(with_pulling, facts, joint.insects),
        again=anew,
    )


def told_pests(facts: SeasonFacts, pests: PestPlans, permits: Permits) -> PestPlans:
    """The same with populations, looks and warnings in words."""
    said = [part.tell() for part in pests.parts]
    works = ((*one.sprayings, *part.shared) for one, part in zip(said, pests.parts, strict=True))
    return replace(
        pests,
        parts=(),
        populations=tuple(one.population for one in said),
        sprayings=by_day(works),
        watches=tuple(watch for one in said for watch in one.watches),
        takes={of: 1 - float(left.mean()) for of, left, _ in _each(said, pests.parts)},
        kept={of: fought.mean(0) for of, _, fought in _each(said, pests.parts)},
        warnings=(
            *not_followed(facts, {one.population.organism for one in said}, permits),
            *to_uncover(facts),
        ),
        if_pulled=None,
        again=None,
    )


def _each(
    said: Sequence[PestTold], parts: Sequence[PestPart]
) -> Iterator[tuple[tuple[str, str], DrawDays, DrawDays]]:
    """What each organism leaves of each planting, by both: left alone, and with the courses."""
    for one, part in zip(said, parts, strict=True):
        for key, care in part.cares.items():
            if care.left is not None and care.fought is not None:
                yield (one.population.organism, key), care.left, care.fought


def _as_known(
    facts: SeasonFacts, known: tuple[Identity, ...], tell: Callable[[], PestTold]
) -> PestTold:
    """The same with what else its insects may be."""
    said = tell()
    return replace(said, population=told(facts, said.population, known))


def _homes(insects: Iterable[Searched]) -> frozenset[str]:
    """Plantings on which some of these live."""
    return frozenset(stand.key for one in insects for stand in one.task.belief.stands)


def without_pulled(pests: PestPlans, pulled: Mapping[str, date], today: date) -> PestPlans:
    """The same plans without work on plantings that come out, from a week before they do.

    Nothing is treated that comes out soon after.
    """

    def stays(key: str, day: date) -> bool:
        return key not in pulled or day < pulled[key] - SOON

    populations = []
    for population in pests.populations:
        steps = [
            replace(step, plantings=tuple(k for k in step.plantings if stays(k, step.day)))
            for step in population.course
        ]
        kept = tuple(step for step in steps if step.plantings)
        populations.append(replace(population, course=kept))
    sprayings = {
        day: tuple(one for one in sprays if stays(one.planting.key, day))
        for day, sprays in pests.sprayings.items()
    }
    watches = tuple(w for w in pests.watches if w.hangs or stays(w.planting.key, today))
    return replace(pests, populations=tuple(populations), sprayings=sprayings, watches=watches)
