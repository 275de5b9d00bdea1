"""What may have come unseen: looks at plantings for what nobody has found on them yet.

No belief is run for what was never seen. A plain rule ranks it: what a start as large as the
table's would cost the planting by the time given, each generation multiplying it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import leaves_of
from lattermath.belief.life_history import life_of
from lattermath.desk.at_stake import discarded
from lattermath.desk.insect_belief import is_strange
from lattermath.desk.kind_words import in_flowers, kind_of
from lattermath.desk.pest_parts import PestPlans
from lattermath.desk.season_facts import SeasonFacts
from lattermath.knowledge.diseases import Disease
from lattermath.knowledge.organisms import Organism
from lattermath.planning.looking import MINUTES_A_LOOK
from lattermath.planning.walk import BOTH_SIDES, wants_plants
from lattermath.planning.watch import Watch
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because

# Judgement, all of it: what stands worse than this hosts little; what takes longer than this from
# egg to adult is not on the move; what is left alone for six weeks has cost what it can; and each
# generation in a garden is ten times the one before.
REAL_HOST, SLOWEST_DAYS, LEFT_ALONE_DAYS, TIMES = 0.3, 90.0, 42.0, 10.0
LATELY_DAYS = 14  # days whose warmth counts
YOUNG_DAYS = 10  # judgement: what was set out or has come up lately was looked over then
RULE = "computed:each planting about every ten days, the quickest and costliest first (judgement)"


@dataclass(frozen=True, slots=True)
class _Could:
    """Something that could have come.

    kind   : the word growers have for it and its like.
    within : days from egg to adult, or from infection to new spores.
    cost   : of the yield of a planting on which it is left alone. [0 to 1]
    suits  : how well the crop suits it, then how common it is; tells its like from it. [0 to 1]
    """

    what: str
    kind: str
    within: float
    cost: float
    suits: tuple[float, float]
    rests_on: str


def with_unseen(facts: SeasonFacts, pests: PestPlans) -> PestPlans:
    """The plans with a watch for each thing that could have come unseen, planting by planting.

    What is followed but has no look of its own there is looked for as if it were not followed: a
    find on one planting takes no look from those beside it.
    """
    followed = {
        (watch.planting.key, kind_of(facts, watch.organism))
        for watch in pests.watches
        if watch.suspected or watch.found or (_is_host(facts, watch) and _looked_for(watch))
    }
    looks = _looks(facts)
    more = [
        _watch(facts, planting, one, looks)
        for planting in facts.plot.standing()
        if planting.plants > 0 and not _young(planting, facts.today)
        for one in _one_of_a_kind(_could_sit_on(facts, planting))
        if (planting.key, one.kind) not in followed
    ]
    instead = {(watch.planting.key, watch.organism) for watch in more}
    kept = [w for w in pests.watches if (w.planting.key, w.organism) not in instead]
    return replace(pests, watches=(*kept, *more))


def _looked_for(watch: Watch) -> bool:
    """Whether what is followed there has a look of its own coming, or had one in these weeks."""
    pays = watch.worth is not None and watch.worth.minutes >= MINUTES_A_LOOK
    asked = watch.neighbour_of_sick or watch.decides or watch.tells_why or watch.awaited
    return bool(asked) or pays or watch.last_looked is not None


def _watch(
    facts: SeasonFacts, planting: Planting, one: _Could, looks: dict[tuple[str, str], date]
) -> Watch:
    like = "plants" if wants_plants(one.what) else "leaves"
    again = "a generation" if one.what in facts.tables.organisms else "one round of spots"
    says = (
        f"{planting.name}, {one.kind}: none seen so far, and the crop suits; in this warmth "
        f"{again} takes about {counted(f'{one.within:.0f}', 'days')}"
    )
    return Watch(
        one.what,
        one.kind,
        planting,
        looks.get((planting.key, one.kind)),
        suspected=False,
        because=(Because(says, rests_on=(one.rests_on, RULE)),),
        unseen=one.cost,
        walked=looks.get((planting.key, like)),
        flowers=in_flowers(one.what, planting.crop, facts.tables),
    )


def _is_host(facts: SeasonFacts, watch: Watch) -> bool:
    """Does what is followed live there well enough to stand for its like?"""
    organism = facts.tables.organisms.get(watch.organism)
    if organism is None:
        return True
    word = facts.tables.crosswalk.host(watch.planting.crop, organism.hosts)
    return word is not None and organism.hosts[word].value >= REAL_HOST


def _could_sit_on(facts: SeasonFacts, planting: Planting) -> Iterator[_Could]:
    for organism in facts.tables.organisms.values():
        found = _insect(facts, organism, planting)
        if found is not None:
            yield found
    for name in BOTH_SIDES:
        sick = _mildew(facts, facts.tables.diseases[name], planting)
        if sick is not None:
            yield sick


def _insect(facts: SeasonFacts, organism: Organism, planting: Planting) -> _Could | None:
    """An insect that lives on the crop and is known here; None for another."""
    tables = facts.tables
    word = tables.crosswalk.host(planting.crop, organism.hosts)
    if word is None or organism.hosts[word].value < REAL_HOST or is_strange(facts, organism.id):
        return None
    habits, suits = tables.habits[organism.id], organism.hosts[word].value
    life = life_of(tables, organism.id)
    pace = float(life.pace(_warmth(facts)).mean())
    if pace <= 1 / SLOWEST_DAYS:
        return None
    leaves, leaf_cm2 = leaves_of(planting.crop, tables.crosswalk)
    eaten = max(life.figures.appetite(stage) for stage in life.stages)
    start = habits.start_per_plant * suits * habits.commonness
    feeding = start * eaten * LEFT_ALONE_DAYS / (leaves * leaf_cm2)
    per_twentieth = 1.0 / habits.days_for_5_percent.value
    if (thrown := discarded(tables, habits, planting.crop)) is not None:
        per_twentieth += 1.0 / thrown[0].value
    cost = 0.05 * feeding * per_twentieth * TIMES ** (LEFT_ALONE_DAYS * pace)
    rests_on = f"table:organisms/{organism.id}/hosts.{word}"
    kind, well = kind_of(facts, organism.id), (suits, habits.commonness)
    return _Could(organism.id, kind, 1 / pace, min(cost, 1.0), well, rests_on)


def _mildew(facts: SeasonFacts, disease: Disease, planting: Planting) -> _Could | None:
    """A disease that wants no wet leaves, so that no weather line speaks of it."""
    word = facts.tables.crosswalk.host(planting.crop, disease.hosts)
    latent, limits = disease.latent_days, disease.temp_limits_c
    loss = disease.loss_per_unit_severity
    if word is None or disease.id in planting.resists or not (latent and limits and loss):
        return None
    mean = float(_warmth(facts).mean())
    coldest, hottest = limits.span
    if not coldest <= mean <= hottest:
        return None
    suits = disease.hosts[word].value
    cost = min(suits * loss.value, 1.0)
    rests_on = f"table:diseases/{disease.id}/hosts.{word}"
    kind = kind_of(facts, disease.id)
    return _Could(disease.id, kind, latent.value, cost, (suits, 1.0), rests_on)


def _one_of_a_kind(could: Iterator[_Could]) -> list[_Could]:
    """Of each kind the species that the crop suits best: eyes do not tell the others from it."""
    best: dict[str, _Could] = {}
    for one in sorted(could, key=lambda one: (one.suits, one.cost, one.what), reverse=True):
        best.setdefault(one.kind, one)
    return list(best.values())


def _looks(facts: SeasonFacts) -> dict[tuple[str, str], date]:
    """The last count on each planting, by what was counted, and of leaves and of plants at all."""
    found: dict[tuple[str, str], date] = {}
    for event in facts.events:
        seen = event.payload
        if not isinstance(seen, Sighting) or seen.measure not in ("count", "some", "severity"):
            continue
        species = facts.tables.crosswalk.kinds.get(seen.what, (seen.what,))
        like = "plants" if wants_plants(species[0]) else "leaves"
        for word in (kind_of(facts, seen.what), like):
            found[seen.planting, word] = max(event.day, found.get((seen.planting, word), event.day))
    return found


def _young(planting: Planting, today: date) -> bool:
    return planting.started is not None and (today - planting.started).days < YOUNG_DAYS


def _warmth(facts: SeasonFacts) -> NDArray[np.float64]:
    """Mean temperature of each of the last days, (n_days,). [C]"""
    lately = slice(max(facts.today_index - LATELY_DAYS, 0), facts.today_index + 1)
    return np.asarray((facts.t_min[0, lately] + facts.t_max[0, lately]) / 2)
