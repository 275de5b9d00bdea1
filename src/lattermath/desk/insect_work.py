"""The course against one cluster of insects as work: treatments by visit, looks, and losses."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from lattermath.desk.at_odds import with_odds
from lattermath.desk.free_days import waits_told, with_waits
from lattermath.desk.insect_cluster import Cluster, Others, Searched, carried_on, found_there
from lattermath.desk.insect_sprayings import (
    cover_told,
    mesh_laid,
    only_if,
    own_work,
    with_worth_of_each,
)
from lattermath.desk.insect_told import told_of
from lattermath.desk.insect_watches import watches_of
from lattermath.desk.kept_courses import (
    gap_as_it_stands,
    looks_worth,
    one_bed_only,
    times_that_turn,
)
from lattermath.desk.only_together import left_out_of, pays_by_itself, with_company
from lattermath.desk.particle_film import film_sprayed, film_told
from lattermath.desk.pest_parts import PestPart, PestTold, eggs_missed, seen_on, with_telling
from lattermath.planning import (
    choices_told,
    course_task,
    courses,
    fates,
    one_bed,
    presence,
    stage_now,
    turning,
)
from lattermath.planning.looking import with_worth
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.plan import CourseStep, Population, Turn
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.season_series import DaySpan

if TYPE_CHECKING:
    from lattermath.planning.treating import Spraying
    from lattermath.planning.watch import Watch


def insect_part(searched: Searched) -> PestPart:
    """What the course found against one cluster means for the plan."""
    belief, found = searched.cluster.belief, searched.found
    if searched.task.belief is not belief:  # then the search counted more than nothing at all
        found = replace(found, without=course_task.run_course(belief, (), searched.task.visits))
    return PestPart(
        own_work(searched),
        _cares(searched, found),
        carried_on(searched.cluster),
        tuple(_shared(searched)),
        partial(_told, searched, found),
    )


def _told(searched: Searched, found: course_task.Found) -> PestTold:
    """Say it.

    found : the course with what would live there if nothing at all were done.
    """
    cluster = searched.cluster
    facts, belief = cluster.facts, cluster.belief
    first = _population(searched, found)
    says, reasons, spoiled = told_of(facts, belief, cluster.sick, cluster.task.stakes, found)
    turn = _turn(searched)
    gap = gap_as_it_stands(searched.task, found, *searched.rulings.made_from)
    bars, waits = cluster.rulings.bars, waits_told(searched)
    left_out, not_there = left_out_of(searched, [one for _, one in _taking_of_it(searched)])
    population = replace(
        first,
        turn=turn,
        says=first.says + says,
        course=_whole_course(searched, first.course),
        generation_days=cluster.rulings.generation_days,
        because=(
            *(() if bars is None else bars.told(own_work(searched))),
            *waits.values(),
            *first.because,
            *_one_bed_only(searched),
            *left_out,
            *reasons,
            *cover_told(searched),
            *film_told(searched),
            *(() if turn is None else turning.reasons((turn,))),
            *courses.gap_told(gap if found.steps else None, "cutting planes"),
        ),
        gap=gap,
        not_there=not_there,
        spoiled=spoiled,
        where=presence.where_insects_sit(belief, seen_on(facts, belief.organism)),
        so_far=presence.insects_so_far(belief, facts.today),
        hatch=_hatch(cluster),
    )
    looks = looks_of(searched)
    work = with_waits(
        _work_told(searched, first.because[:1]), waits, searched.found.steps, cluster.rulings
    )
    told = with_odds(facts, belief, population, cluster.odds)
    return PestTold(told, work, with_telling(looks, told.look_at))


def looks_of(searched: Searched) -> tuple[Watch, ...]:
    """The watches of its plantings, with what a look is worth beside the course."""
    watches = with_worth(
        watches_of(searched),
        searched.task,
        searched.cluster.visits[0],
        partial(_stage_now, searched),
        lambda due: looks_worth(searched.task, searched.found, due, *searched.rulings.made_from),
    )
    missed = eggs_missed(searched.cluster.facts, searched.cluster.belief.organism)
    return tuple(_since_eggs(watch, missed.get(watch.planting.key)) for watch in watches)


def _since_eggs(watch: Watch, missed: Event | None) -> Watch:
    """The watch, with why its look counts no eggs where the last one looked for them in vain."""
    if missed is None or watch.flowers or (watch.now is not None and watch.now.eggs):
        return watch
    why = stage_now.no_longer_eggs(missed, watch.what, watch.now)
    return replace(watch, because=(*watch.because, why))


def _work_told(searched: Searched, because: tuple[Because, ...]) -> Others:
    """Its own treatments with their reasons."""
    work = with_worth_of_each(searched, with_company(searched, own_work(searched, because)))
    bars = searched.cluster.rulings.bars
    return work if bars is None else bars.with_reasons(work)


def _stage_now(searched: Searched, place: int) -> stage_now.StageNow | None:
    """What a look at a planting would meet most of at the first visit, if nothing is done."""
    task, belief = searched.task, searched.task.belief
    return stage_now.stage_now(
        belief.life.figures,
        searched.cluster.facts.tables.organisms[belief.organism].positions,
        belief.stands,
        place,
        belief.first_day + task.visits[0],
        searched.found.without[:, place, task.visits[0] - belief.today].astype(np.float64),
        belief.unknowns.detection,
    )


def _turn(searched: Searched) -> Turn | None:
    """The number on the planting where most are seen at which the course turns."""
    number, word, unit = courses.counted_today(searched.cluster.belief)
    here = searched.cluster.sick
    stands = searched.cluster.belief.stands
    usual = np.median(number, axis=0)
    worst = max(range(len(stands)), key=lambda n: (stands[n].key in here, usual[n]))
    if usual[worst] <= 0:
        return None
    where = f"{word} a {unit} on {stands[worst].name}"
    times = times_that_turn(searched.task, searched.found, *searched.rulings.made_from)
    return turning.count_turn(searched.found, times, float(usual[worst]), where)


def _one_bed_only(searched: Searched) -> Iterator[Because]:
    """What treating one bed and not its neighbours is worse by."""
    cluster = searched.cluster
    beds = [planting.bed for planting in cluster.rulings.plantings]
    names = [stand.name for stand in cluster.belief.stands]
    return one_bed.one_bed_told(one_bed_only(searched.task, searched.found, beds), names)


def _whole_course(searched: Searched, own: tuple[CourseStep, ...]) -> tuple[CourseStep, ...]:
    """Its own steps, the cover, and what is done against others and takes of it, by day."""
    steps = list(own)
    laid = (*mesh_laid(searched), *film_sprayed(searched))
    for day, one in (*laid, *_shared(searched)):
        says = (
            one.product_name
            if (day, one) in laid
            else f"{one.product_name}, as planned against others"
        )
        steps.append(CourseStep(day, one.method, one.product, (one.planting.key,), says))
    return tuple(sorted(steps, key=lambda step: step.day))


def _population(searched: Searched, found: course_task.Found) -> Population:
    """The cluster and its course, without what the plot adds to them."""
    cluster = searched.cluster
    return courses.population_of(
        cluster.belief,
        found,
        cluster.visits,
        cluster.facts.today,
        cluster.name,
        cluster.sick,
        tuple(_treated_with(searched)),
        choices_told.Asked(
            searched.task,
            _may_be_treated(searched),
            tuple(cluster.visits),
            searched.task.stakes.lost(found.without).sum(1) if found.without.size else None,
        ),
        cluster.later,
    )


def _may_be_treated(searched: Searched) -> tuple[int, ...]:
    """Places that may be treated at all: one's own, where it was seen or is to be expected."""
    task = searched.task
    every = range(len(task.belief.stands))
    return tuple(
        place
        for place in every
        if task.belief.stands[place].treatable and (task.where is None or place in task.where)
    )


def _treated_with(searched: Searched) -> Iterator[str]:
    """What is done besides its own steps and takes of it, in words."""
    if searched.mesh:
        yield "the cover"
    if searched.film:
        yield "the particle film"
    names = dict.fromkeys(one.target_name for _, one in _taking_of_it(searched))
    if names:
        yield f"the course against {' and '.join(names)}"


def _shared(searched: Searched) -> Iterator[tuple[date, Spraying]]:
    """Treatments against others that take of this one where it was seen: one work for both.

    What waits for a look waits for what the look finds of this one here, not of the other. What
    was found here lately makes it sure only where it is worth its work for this one alone.
    """
    cluster = searched.cluster
    places = {stand.key: place for place, stand in enumerate(cluster.belief.stands)}
    work = tuple(_taking_of_it(searched))
    pays: dict[str, bool] = {}
    for day, one in work:
        waits = only_if(cluster, places[one.planting.key], day) if one.only_if else ""
        here = one.planting.key
        asked = bool(one.only_if) and not waits
        if asked and here not in pays:
            there = tuple((on, o) for on, o in work if o.planting.key == here and o.only_if)
            pays[here] = pays_by_itself(searched, there)
        yield (
            day,
            replace(
                one,
                target=cluster.belief.organism,
                target_name=cluster.name,
                generation_days=cluster.rulings.generation_days,
                because=(),
                only_if=waits,
                sure=True,
                beside=asked and not pays[here],
            ),
        )


def _taking_of_it(searched: Searched) -> Iterator[tuple[date, Spraying]]:
    """The same as they are planned against the others."""
    cluster = searched.cluster
    effects = cluster.treating([one.method for _, one in searched.others])
    for day, one in searched.others:
        here = one.planting.key in cluster.sick and day in cluster.visits
        if one.method in effects and here:
            yield day, one


def _cares(searched: Searched, found: course_task.Found) -> dict[str, fates.Care]:
    """Share of the yield that is there and fit to eat, with and without the course."""
    course, stakes, cares = searched.cluster, searched.cluster.task.stakes, {}
    left, fought = (stakes.kept(run) for run in (found.without, found.with_it))
    seen = found_there(course)
    for place, stand in enumerate(course.belief.stands):
        if not stand.treatable:
            continue
        used = [step.candidate for step in found.steps if place in step.places]
        used += course.later_uses(place)
        cares[stand.key] = fates.Care(
            left=left[:, place],
            fought=fought[:, place],
            work=sum(course.rulings.minutes(candidate, place) for candidate in used),
            treatments=course_task.hazards(used, course.facts.plot.household.worth_of_treatment),
            seen=None if stand.key in seen else _not_sure(course, stand.key),
        )
    return cares


def _not_sure(course: Cluster, planting: str) -> fates.Seen:
    """What is not sure to live there: nobody saw it, or what was counted is doubted."""
    if planting in course.doubted:
        return fates.Seen(doubted=(course.name,))
    return fates.Seen((course.name,))


def _hatch(cluster: Cluster) -> DaySpan | None:
    facts, left = cluster.facts, slice(cluster.facts.today_index, None)
    low, high = facts.t_min[:, left], facts.t_max[:, left]
    return presence.hatch(cluster.belief.life, low, high, facts.today)
