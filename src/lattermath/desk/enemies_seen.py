"""What is at work against an insect: treatments of the journal, and enemies that were counted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

import numpy as np

from lattermath.belief.clusters import ClusterBelief
from lattermath.belief.life_history import LifeHistory
from lattermath.belief.natural_enemies import AT_WORK_DAYS, METHOD, effect_of_enemy
from lattermath.belief.treatment_effect import effect_of
from lattermath.belief.treatment_kills import Application, reach_of
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.organisms import Enemy
from lattermath.planning.course_task import Candidate
from lattermath.planning.stakes import Stakes
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Event, Sighting, Treatment
from lattermath.vocabulary.ruling import Because

NAMED = 2  # of the enemies that might be there
PREY_A_LEAF = 10.0  # judgement: where the prey was not counted within three days
LEAVES_A_PLANT = 20.0  # judgement: on a plant that was looked over for enemies, as prey is counted
SAME_LOOK = timedelta(days=3)
GLANCED = {"none": 0.0, "few": 0.3, "many": 1.5, "heavy": 4.0}  # judgement: a leaf
# Judgement after the table's words on each material: share of visible enemies that one spray of a
# group takes. Nerve poisons nearly all; contact materials those they wet; the rest few.
TAKES_OF_ENEMIES = {"1A": 0.9, "1B": 0.85, "3A": 0.85, "4A": 0.6, "5": 0.4, "UN": 0.1, "11A": 0.0}
WETS_THEM = {"soap": 0.35, "mineral_oil": 0.4, "neem_oil": 0.3, "sulfur": 0.4}
OTHERS = 0.1


def all_applied(
    facts: SeasonFacts, life: LifeHistory, organism: str, keys: list[str]
) -> list[Application]:
    """Treatments of the journal and enemies that were counted, with days of the facts."""
    applied = _treated(facts, life, organism, keys)
    return applied + enemies_at_work(facts, organism, keys, life.stages)


def _treated(
    facts: SeasonFacts, life: LifeHistory, organism: str, keys: list[str]
) -> list[Application]:
    """The journal's treatments of these plantings that kill some stage of the organism."""
    found = []
    targets = facts.tables.crosswalk.targets.get(organism, ())
    for event in facts.events:
        done = event.payload
        if not isinstance(done, Treatment) or done.method not in facts.tables.methods:
            continue
        method = facts.tables.methods[done.method]
        effect = effect_of(method, organism, targets, life.stages)
        places = tuple(keys.index(key) for key in done.plantings if key in keys)
        if effect is not None and places:
            reach = reach_of(effect, done.surfaces, done.coverage, life.figures)
            day = facts.day_index(event.day)
            found.append(Application(day, effect, places, reach, event.serial))
    return found


def enemies_at_work(
    facts: SeasonFacts, organism: str, keys: Sequence[str], stages: Sequence[str]
) -> list[Application]:
    """Every count of enemies of this insect, as a mortality from that day on."""
    found = []
    for event, enemy in _counts(facts, organism):
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.planting not in keys:
            continue
        looked = seen.looked_at or len(seen.counts) or 10
        prey = _prey_a_leaf(facts, organism, event) * looked * _leaves_each(facts, organism, seen)
        rests_on = (f"event:{event.serial}", f"table:enemies/{enemy.id}/{_column(enemy)}")
        effect = effect_of_enemy(enemy, _counted(seen, looked), prey, stages, rests_on)
        if effect is not None:
            place = keys.index(seen.planting)
            reach = np.ones(len(stages))
            day = facts.day_index(event.day)
            found.append(Application(day, effect, (place,), reach, event.serial))
    return found


def _leaves_each(facts: SeasonFacts, organism: str, seen: Sighting) -> float:
    """How many of what its prey is counted on each thing looked at has: leaves of whole plants."""
    habits = facts.tables.habits.get(organism)
    on_plants = habits is not None and habits.counted_by_plant
    return LEAVES_A_PLANT if seen.surface == "whole" and not on_plants else 1.0


def enemies_told(facts: SeasonFacts, belief: ClusterBelief) -> tuple[str, tuple[Because, ...]]:
    """What is at work here, for the sheet; and what it rests on. Nothing where none was counted."""
    names = {stand.key: stand.name for stand in belief.stands}
    found: dict[str, list[str]] = {}
    reasons = []
    for event, enemy in _counts(facts, belief.organism):
        seen = event.payload
        lately = (facts.today - event.day).days <= AT_WORK_DAYS
        if not isinstance(seen, Sighting) or seen.planting not in names or not lately:
            continue
        leaves = seen.looked_at or len(seen.counts) or 10
        count = _counted(seen, leaves)
        if count > 0:
            said, where = _as_written(seen, enemy.name, names[seen.planting])
            found.setdefault(where, []).append(said)
            rests_on = (f"event:{event.serial}", f"table:enemies/{enemy.id}/{_column(enemy)}")
            reasons.append(Because(f"{said} {where}", who="grower", rests_on=rests_on))
    told = [
        f" {' and '.join(dict.fromkeys(counts))} {where} work for you."
        for where, counts in found.items()
    ]
    return "".join(told), tuple(reasons)


def none_reckoned(facts: SeasonFacts, organism: str) -> Iterator[Because]:
    """That nothing is reckoned to eat an insect, because nobody wrote any down, and what might."""
    lately = facts.today - timedelta(days=AT_WORK_DAYS)
    might = [one for one in facts.tables.enemies.values() if organism in one.prey][:NAMED]
    if might and not any(event.day >= lately for event, _ in _counts(facts, organism)):
        names = " or ".join(one.name for one in might)
        yield Because(
            f"no {names} were written down, so none are reckoned; where they are, they take many",
            rests_on=tuple(f"table:enemies/{one.id}/looks" for one in might),
        )


def _as_written(seen: Sighting, enemy: str, planting: str) -> tuple[str, str]:
    """How many were seen, and on what, in the words of the entry: it may give no number."""
    of = ("plants", "plant") if seen.surface == "whole" else ("leaves", "leaf")
    leaves = counted(seen.looked_at or len(seen.counts), *of)
    if seen.measure == "some":
        return enemy, f"on {seen.total:g} of {leaves} of {planting}"
    if seen.counts or seen.total is not None:
        return f"{_counted(seen, 0):g} {enemy}", f"on {leaves} of {planting}"
    return f"{seen.level} {enemy}" if seen.level else enemy, f"on {planting}"


def worth_of_enemies(belief: ClusterBelief, stakes: Stakes) -> float:
    """What the enemies at work spare the plot from here on. [portions]"""
    at_work = [one for one in belief.applied if one.effect.method == METHOD]
    if not at_work:
        return 0.0
    without = replace(
        belief, applied=tuple(one for one in belief.applied if one.effect.method != METHOD)
    )
    costs = [
        float(stakes.lost(run.sums).sum(axis=1).mean()) for run in (belief.ahead(), without.ahead())
    ]
    return max(costs[1] - costs[0], 0.0)


def share_undone(method: str, group: str) -> float:
    """Share of the enemies that one spray of a material takes. [0 to 1]"""
    if method in WETS_THEM:
        return WETS_THEM[method]
    words = group.replace("/", " ").replace("(", " ").split()
    return max((TAKES_OF_ENEMIES[w] for w in words if w in TAKES_OF_ENEMIES), default=OTHERS)


def _counts(facts: SeasonFacts, organism: str) -> Iterator[tuple[Event, Enemy]]:
    for event in facts.events:
        seen = event.payload
        if isinstance(seen, Sighting) and seen.what in facts.tables.enemies:
            enemy = facts.tables.enemies[seen.what]
            if organism in enemy.prey:
                yield event, enemy


def _column(enemy: Enemy) -> str:
    """The cell that a reckoning of this enemy rests on."""
    return "looks" if enemy.is_a_share else "eats_a_day"


def _counted(seen: Sighting, leaves: int) -> float:
    if seen.counts:
        return float(sum(seen.counts))
    if seen.total is not None:  # of leaves with some one each at the least
        return float(seen.total)
    return GLANCED[seen.level or "few"] * leaves


def _prey_a_leaf(facts: SeasonFacts, organism: str, at: Event) -> float:
    """The insect's own count on that planting nearest to that day."""
    near: list[tuple[timedelta, float]] = []
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or not isinstance(at.payload, Sighting):
            continue
        if seen.measure == "some":
            continue
        if seen.what == organism and seen.planting == at.payload.planting:
            total = float(sum(seen.counts)) if seen.counts else seen.total
            leaves = seen.looked_at or len(seen.counts)
            if total is not None and leaves and abs(event.day - at.day) <= SAME_LOOK:
                near.append((abs(event.day - at.day), total / leaves))
    return min(near)[1] if near else PREY_A_LEAF


def dearer_for_enemies(
    candidates: Sequence[Candidate],
    facts: SeasonFacts,
    belief: ClusterBelief,
    stakes: Stakes,
) -> tuple[Candidate, ...]:
    """The candidates, each with what it would undo of the enemies' work as part of its cost."""
    spared = worth_of_enemies(belief, stakes)
    if spared <= 0:
        return tuple(candidates)
    return tuple(
        replace(one, hazard=one.hazard + spared * _undone(one, facts)) for one in candidates
    )


def _undone(one: Candidate, facts: SeasonFacts) -> float:
    return share_undone(one.method, facts.tables.methods[one.method].group) if one.product else 0.0
