"""Reads a grower's sightings as evidence about one organism on the plantings of a cluster."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.card_catch import CARD_SD, LEAVES_OF_A_CARD
from lattermath.belief.cluster_plantings import EIGHT_IN_TEN, Stand
from lattermath.belief.count_likelihood import (
    LOOK_SD,
    at_most,
    level_log_likelihood,
    seen_log_likelihood,
    size_of,
    some_at_most,
    some_log_likelihood,
    some_thrown,
    total_log_likelihood,
)
from lattermath.belief.leaf_evenness import MOST_EVEN, evenness_of, look_error, within_planting
from lattermath.belief.life_figures import LifeFigures
from lattermath.knowledge.stage_words import named_stages
from lattermath.vocabulary.events import Level, Measure, Sighting

FloatArray = NDArray[np.float64]

GLANCE_LEAVES = 20  # judgement: leaves seen in passing, where a sighting does not say how many
# Judgement: share of the insects of a stage, on a leaf turned over, that a grower sees.
SEEN_SHARE = {"egg": 0.4, "nymph1": 0.4, "nymph2": 0.6, "nymph3": 0.75, "nymph4": 0.9, "adult": 0.8}
OTHER_SEEN_SHARE = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """One sighting in numbers.

    share  : of each stage's insects on the whole planting, how many were there to be seen,
             (n_stages,).
    leaves : leaves (or plants for a shake) looked at; those a card catches from.
    total  : insects counted on them; where only some or none was told, leaves with any.
    spread : what the look has wrong in common, log scale.
    evenness : clumping k from leaf to leaf beside the law's, by the counts themselves.
    """

    day: int
    place: int
    measure: Measure
    share: FloatArray
    leaves: float
    total: float | None
    level: Level | None
    serial: int
    spread: float = LOOK_SD
    evenness: float = 1.0

    @property
    def found_none(self) -> bool:
        """It was looked for, and nothing was there."""
        return self.level == "none" or self.total == 0

    @property
    def of_all_there(self) -> bool:
        """Every leaf or plant of the planting was looked at."""
        return self.evenness >= MOST_EVEN

    def log_likelihood(self, on_planting: FloatArray, detection: FloatArray) -> FloatArray:
        """Log-probability of what was seen, one figure a draw.

        on_planting : insects by stage on the planting that day, (n_draws, n_stages).
        detection   : how well this grower sees, about 1, (n_draws,).
        """
        return self.of_expected(self.expected(on_planting, detection))

    def of_expected(self, expected: FloatArray) -> FloatArray:
        """Log-probability of what was seen where so many were expected, shape as `expected`."""
        if self.total is not None and self.measure == "some":
            return some_log_likelihood(expected, self.total, self.leaves, self.spread)
        if self.total is not None:
            return total_log_likelihood(
                expected, self.total, self.leaves, self.spread, self.evenness
            )
        if self.level is not None:
            shake = self.measure == "shake"
            return level_log_likelihood(expected, self.level, self.leaves, shake=shake)
        return seen_log_likelihood(expected, self.leaves)

    def up_to(self, expected: FloatArray, total: float) -> FloatArray:
        """Chance of a total of at most that, shape as `expected`."""
        if self.measure == "some":
            return some_at_most(expected, total, self.leaves, self.spread)
        return at_most(expected, total, self.leaves, self.spread, self.evenness)

    def expected(self, on_planting: FloatArray, detection: FloatArray) -> FloatArray:
        """Insects that would be seen, (n_draws,); on a card nobody overlooks them."""
        eyes = 1.0 if self.measure == "card" else detection
        return np.asarray((on_planting @ self.share) * eyes)

    def predicted(
        self, on_planting: FloatArray, detection: FloatArray, rng: np.random.Generator
    ) -> FloatArray:
        """Totals that might have been counted, one throw a draw, (n_draws,)."""
        mean = np.maximum(self.expected(on_planting, detection), 1e-9)
        if self.measure == "some":
            return some_thrown(mean, self.leaves, self.spread, rng)
        size = size_of(mean, self.leaves, self.spread, self.evenness)
        return rng.poisson(rng.gamma(size, mean / size)).astype(np.float64)


def read_sighting(
    sighting: Sighting, day: int, serial: int, stands: Sequence[Stand], life: LifeFigures
) -> Seen | None:
    """A sighting as evidence; None where it says nothing about a planting of this cluster."""
    place = next((n for n, s in enumerate(stands) if s.key == sighting.planting), None)
    if place is None or sighting.measure == "severity":
        return None
    if sighting.measure == "card":
        return _card(sighting, day, serial, place, stands[place], life)
    shake = sighting.measure == "shake"
    total = float(sum(sighting.counts)) if sighting.counts else sighting.total
    looked = sighting.looked_at or len(sighting.counts) or (1 if shake else GLANCE_LEAVES)
    if sighting.measure in ("count", "some") and total is None and sighting.level is None:
        return None
    tapped = sighting.surface == "flowers" and life.habits.flower_holds is not None
    share = _shaken(life) if shake else _turned(life, sighting, "" if tapped else sighting.surface)
    units, spread = units_of(life, stands[place], day, tapped=tapped)
    units = stands[place].plants if shake else units
    leaf_by_leaf = sighting.measure == "count" and not tapped
    evenness = evenness_of(sighting.counts) if leaf_by_leaf else 1.0
    looked_share = min(looked / units, 1.0)
    if leaf_by_leaf:
        evenness = within_planting(evenness, looked_share)
    return Seen(
        day,
        place,
        sighting.measure,
        share * looked_share,
        float(looked),
        None if total is None else float(total),
        sighting.level,
        serial,
        look_error(spread, evenness),
        evenness,
    )


def is_tapped(life: LifeFigures, stand: Stand) -> bool:
    """Is a look asked for in flowers: does it gather there, and has the planting some?

    What was counted is of flowers only where the grower said so: a count says what it is of.
    """
    return life.habits.flower_holds is not None and stand.flowers


def units_of(life: LifeFigures, stand: Stand, day: int, *, tapped: bool) -> tuple[float, float]:
    """Leaves (or plants) of a planting, and what one look has wrong in common, log scale.

    tapped : it is counted in flowers: as many units as flowers would hold all that sits on the
             leaves.
    """
    holds = life.habits.flower_holds
    if life.habits.counted_by_plant:
        return stand.plants, LOOK_SD
    if holds is None or not tapped:
        return stand.leaves_on(day), LOOK_SD
    low, high = holds.span
    doubt = float(np.log(high / low)) / EIGHT_IN_TEN
    return stand.leaves_on(day) / holds.value, float(np.hypot(LOOK_SD, doubt))


def _card(
    sighting: Sighting, day: int, serial: int, place: int, stand: Stand, life: LifeFigures
) -> Seen | None:
    """A sticky card: adults of its middle day, for all the days that it hung."""
    if life.card_catch is None or not sighting.counts or sighting.days < 1:
        return None
    caught = life.card_catch * sighting.days * len(sighting.counts) / max(stand.plants, 1)
    share = np.array([caught if s == life.adult else 0.0 for s in life.stages])
    middle = max(day - sighting.days // 2, 0)
    leaves = LEAVES_OF_A_CARD * len(sighting.counts)
    total = float(sum(sighting.counts))
    return Seen(middle, place, "card", share, leaves, total, None, serial, CARD_SD)


def _shaken(life: LifeFigures) -> FloatArray:
    """Only adults rise, and not all of them."""
    return np.array([life.flushed if s == life.adult else 0.0 for s in life.stages])


def _turned(life: LifeFigures, sighting: Sighting, surface: str) -> FloatArray:
    """Share seen of each stage meant, on the surface looked at; "" for all within reach."""
    meant = meant_stages(sighting.stage, life.stages) if sighting.stage else _counted(life)
    return np.array(
        [_there(life, s, surface) * _seen_share(s) if s in meant else 0.0
         for s in life.stages]
    )  # fmt: skip


def _counted(life: LifeFigures) -> tuple[str, ...]:
    """What is meant where no stage is named: what growers count, and adults; never eggs alone."""
    return tuple(filter(life.habits.is_counted, life.stages))


def _there(life: LifeFigures, stage: str, surface: str | None) -> float:
    """Share of a stage that the surface looked at shows."""
    if shown := life.habits.shows(stage):
        return shown
    below, above, reach = life.on_surfaces(stage)
    return {"underside": below, "top": above}.get(surface or "", reach)


def meant_stages(word: str, stages: Sequence[str]) -> tuple[str, ...]:
    """The stages a grower's word means; all of them where no word was given or it is strange."""
    return named_stages(word, stages) or tuple(stages)


def counted_shares(life: LifeFigures) -> FloatArray:
    """Share of the insects of a planting that a count shows which names what growers count.

    Of each stage, (n_stages,): on undersides, or on whole plants where it is counted by plant; 0
    for stages that are not counted. By usual eyes, whose own share is the draw's `detection`.
    """
    surface = "" if life.habits.counted_by_plant else "underside"
    return np.array(
        [_there(life, s, surface) * _seen_share(s) if s.startswith(life.habits.counted) else 0.0
         for s in life.stages]
    )  # fmt: skip


def _seen_share(stage: str) -> float:
    return next((v for k, v in SEEN_SHARE.items() if stage.startswith(k)), OTHER_SEEN_SHARE)
