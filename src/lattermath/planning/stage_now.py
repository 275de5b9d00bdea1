"""Which stage a look meets most of now, and where on the plant the tables say that it sits."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.cluster_plantings import Stand
from lattermath.belief.coming_look import coming_look
from lattermath.belief.life_figures import LifeFigures
from lattermath.knowledge.stage_words import stage_said
from lattermath.planning.ten_leaves import LEAVES
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.ruling import Because

FloatArray = NDArray[np.float64]

# Judgement: where a look of ten leaves would meet less than this, no stage tells more than another;
# and eggs are counted only where it would meet so many times more of them than of the rest.
LEAST_SEEN, EGGS_INSTEAD = 0.5, 3.0
# Words of the position rows for how high on the plant the leaves are; the first named is the first
# to be looked at.
HEIGHTS = {"low": r"low|old|base", "middle": r"mid", "young": r"top|young|upper"}
# The crops whose leaves go down into a neck; the rows of thrips are those of onions, and on any
# other crop they are on the leaves, from memory.
WITH_NECK = frozenset({"onion_scallion", "leek", "garlic"})
ON_LEAVES = "on the leaves"
_HEIGHT = re.compile("|".join(f"(?P<{name}>{words})" for name, words in HEIGHTS.items()))


@dataclass(frozen=True, slots=True)
class StageNow:
    """What a look at one planting meets most of.

    eggs    : whether its eggs are counted, since there is hardly anything else to count.
    height  : of the leaves: "low", "middle", "young"; "" where the table does not say.
    place   : where it sits, in the table's words.
    because : the same as a reason.
    """

    eggs: bool
    height: str
    place: str
    because: Because


def stage_now(
    life: LifeFigures,
    positions: Mapping[str, str],
    stands: Sequence[Stand],
    place: int,
    day: int,
    there: FloatArray,
    detection: FloatArray,
) -> StageNow | None:
    """The stage that ten leaves (or plants) would show most of; None where they show hardly any.

    Weighed by the eyes and surfaces of looks, as belief weighs counts.

    positions : where each stage sits in the table's words; `all` for every stage.
    there     : insects by stage on the planting that day, (n_draws, n_stages).
    detection : how well this grower sees, (n_draws,).
    """
    shown = {
        stage: float(
            coming_look(
                life, stands, place, day, there, detection, LEAVES, stage=stage
            ).expected.mean()
        )
        for stage in life.stages
    }
    counted = {s: n for s, n in shown.items() if s.startswith(life.habits.counted)}
    eggs = {s: n for s, n in shown.items() if s.startswith("egg") and s not in counted}
    instead = sum(eggs.values()) > EGGS_INSTEAD * sum(counted.values())
    meant = eggs if instead else counted
    if not meant or sum(meant.values()) < LEAST_SEEN:
        return None
    stage = max(meant, key=lambda one: meant[one])
    key = max((k for k in positions if stage.startswith(k)), key=len, default="all")
    if key not in positions:
        return None
    sits = positions[key]
    if "neck" in sits and stands[place].crop not in WITH_NECK:
        sits = ON_LEAVES
    says = f"most of what a look meets there now: {stage_said(stage)}, {sits}"
    rests_on = (f"table:organisms/{life.organism}/position.{key}",)
    where = re.split(r" \(|;", sits)[0]
    return StageNow(instead, height_of(sits), where, Because(says, rests_on=rests_on))


def no_longer_eggs(missed: Event, word: str, now: StageNow | None) -> Because:
    """Why a look counts something else than the last, which looked for eggs and found none.

    word : what is counted now; now : what the look would meet most of, None where hardly any.
    """
    instead = f"a look would rather meet {word}" if now else f"{word} are what growers count"
    says = (
        f"on {short(missed.day)} eggs were looked for there and none found, so few are likely now: "
        f"{instead}"
    )
    return Because(says, rests_on=(f"event:{missed.serial}",))


def height_of(position: str) -> str:
    """How high on the plant a position row puts the leaves; "" where it does not say."""
    found = _HEIGHT.search(position)
    return "" if found is None or found.lastgroup is None else found.lastgroup
