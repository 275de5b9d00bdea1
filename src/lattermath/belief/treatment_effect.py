"""What a method does to each stage of an organism, from the efficacy rows of its table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.among_gardens import Spread, taken, widened
from lattermath.belief.deposit_wear import Wear, wear_of
from lattermath.knowledge.methods import Efficacy, Method

if TYPE_CHECKING:
    from lattermath.belief.life_figures import LifeFigures

FloatArray = NDArray[np.float64]

ROW_COVERAGE = 0.7  # coverage that field efficacy figures are taken to mean (common practice)
WETTED = (0.5, ROW_COVERAGE, 0.85)  # judgement: what a sprayer wets of leaves that a dip wets whole
PUPA_SHARE = 0.4  # judgement: kill of waxy fourth instars as a share of that of young nymphs
BLANKET = ("all", "mixed", "motile", "all motile")
INDOORS = ("lab", "under cover", "registered soap", "three sprays", "lc50", "glasshouse")
# Kinds of method that kill nobody on the plant; what a film keeps off is in keeping_off.
NO_KILL = ("physical exclusion", "monitoring", "barrier / repellent")
LEAST_KILL = 0.2  # judgement: what takes less of every stage is no treatment
YOUNG = {  # words of efficacy rows that cover the young
    "nymph": ("immature", "motile", "young"),
    "larva": ("immature", "motile", "young"),
    "pupa": ("immature",),
}
SPECIES = {  # words of efficacy rows that mean one organism and no other
    "greenhouse whitefly": "greenhouse_whitefly",
    "silverleaf whitefly": "sweetpotato_whitefly",
    "cabbage whitefly": "cabbage_whitefly",
}
RELEASED = "biological"  # kind of method: animals let out
FREE_AIR = "open plot"  # rows for releases and sprays out of doors go before all others


@dataclass(frozen=True, slots=True)
class Effect:
    """One method against one organism, at the coverage its figures mean.

    kill           : low, typical and high share killed by stage; a stage left out is spared.
    half_life_days : of the deposit; None where nothing stays.
    kill_days      : whole days on which the deposit goes on killing.
    by_surface     : True for sprays, which kill only where they wet.
    wear           : what wears the deposit down.
    dies_after     : first and last day after its contact on which an insect dies. [d]
    """

    method: str
    kill: Mapping[str, Spread]
    half_life_days: float | None = None
    kill_days: int = 0
    by_surface: bool = True
    rests_on: tuple[str, ...] = ()
    wear: Wear = field(default_factory=Wear)
    dies_after: tuple[int, int] = (0, 0)

    @property
    def lasts_days(self) -> int:
        """Days from the treatment on which some still die of it."""
        return max(self.kill_days, 1) + self.dies_after[1]

    def draws(self, stages: Sequence[str], uniform: FloatArray) -> FloatArray:
        """Share killed of each stage, one draw for each uniform number. (n_draws, n_stages)

        All stages share the draw: a soap that is strong on nymphs is strong on adults too.
        """
        out = np.zeros((len(uniform), len(stages)))
        for n, stage in enumerate(stages):
            if stage in self.kill:
                spread = self.kill[stage]
                out[:, n] = taken(uniform, spread, most=(1.0 + spread[2]) / 2)
        return np.clip(out, 0.0, 0.99)


def effect_of(
    method: Method, organism: str, words: Sequence[str], stages: Sequence[str]
) -> Effect | None:
    """The effect of a method on the stages of an organism; None where it kills nobody.

    words  : what efficacy rows call the organism, as in Crosswalk.targets.
    stages : stages of the organism, the adult last.

    Field figures go before those from laboratories and under cover.
    """
    if method.kind in NO_KILL:
        return None
    rows = [row for row in method.against(words) if _concerns(row, organism)]
    if rows and method.kind == RELEASED:  # they leave an open plot, whatever they are let out for
        rows += [row for row in method.efficacy if FREE_AIR in row.target.lower()]
    like_nymphs = any("nymph" in stage for stage in stages)  # larvae of mites are young mites
    found = {
        stage: _best(rows, _meant("nymph" if like_nymphs and stage == "larva" else stage),
                     _is_pupa(stage))
        for stage in stages
    }  # fmt: skip
    used = {stage: row for stage, row in found.items() if row is not None}
    kill = {stage: _spread(row) for stage, row in used.items()}
    if not any(middle >= LEAST_KILL for _, middle, _ in kill.values()):
        return None
    if method.is_product:
        kill |= {
            s: _of_pupa(kill[s]) for s, r in used.items() if _is_pupa(s) and "4" not in r.stage
        }
    half_life, days = _lasting(method)
    return Effect(
        method.id,
        kill,
        half_life,
        days,
        method.is_product,
        tuple(dict.fromkeys(f"table:{row.percent.address}" for row in used.values())),
        wear_of(method),
        _dying(method),
    )


def takes_what_is_counted(effect: Effect, life: LifeFigures) -> bool:
    """Does it take enough of what growers count? Eggs rubbed off treat no grub in a stem."""
    return any(
        middle >= LEAST_KILL and life.habits.is_counted(stage) and life.on_surfaces(stage)[2] > 0
        for stage, (_, middle, _) in effect.kill.items()
    )


def _lasting(method: Method) -> tuple[float | None, int]:
    """Half-life and days of killing of a deposit, or of released animals that stay and leave."""
    window = method.kill_window_days or method.stays_days
    half_life = method.half_life_days or method.half_leave_days
    if window is None or half_life is None or window.value < 1:
        return None, 0
    return half_life.value, int(window.value)


def _dying(method: Method) -> tuple[int, int]:
    """Whole days from contact to death, soonest and latest."""
    days = method.dies_after
    return (0, 0) if days is None else (round(days[0]), round(days[1]))


def without(effect: Effect, stages: Sequence[str]) -> Effect:
    """The effect with some stages spared."""
    return replace(effect, kill={s: k for s, k in effect.kill.items() if s not in stages})


def _is_pupa(stage: str) -> bool:
    return stage.startswith(("nymph4_", "pupa", "prepupa"))


def _of_pupa(kill: Spread) -> Spread:
    low, middle, high = kill
    return widened(PUPA_SHARE * low, PUPA_SHARE * middle, PUPA_SHARE * high)


def _concerns(row: Efficacy, organism: str) -> bool:
    """Is the row about this organism, and about killing rather than keeping numbers down?"""
    named = [key for words, key in SPECIES.items() if words in row.target.lower()]
    origin = row.percent.origin
    return (not named or organism in named) and "not egg kill" not in origin.note + origin.locator


def _meant(stage: str) -> Callable[[str], bool]:
    """Does a row's stage word cover this stage?"""

    def covers(word: str) -> bool:
        word = word.lower()
        if word in BLANKET:
            return True
        if stage.startswith("egg"):
            return "egg" in word
        if stage.startswith("adult"):
            return "adult" in word or "motile" in word
        kind = next((k for k in ("nymph", "larva", "pupa") if k in stage), stage)
        if not any(known in word for known in (kind, *YOUNG.get(kind, ()))):
            return False
        digits = [int(c) for c in word if c.isdigit()]
        own = [int(c) for c in stage if c.isdigit()]
        # Young nymphs outside a row's span are at least as tender as those in it.
        return not digits or not own or own[0] <= max(digits) or _is_pupa(stage)

    return covers


def _best(rows: Sequence[Efficacy], covers: Callable[[str], bool], pupa: bool) -> Efficacy | None:
    """The row to use: named stages before blanket words, the field before the laboratory."""
    fitting = [row for row in rows if covers(row.stage)]
    ranked = sorted(
        fitting,
        key=lambda row: (
            FREE_AIR not in row.target.lower(),
            pupa and "4" not in row.stage,
            any(word in row.target.lower() for word in INDOORS),
            row.stage.lower() in BLANKET,
        ),
    )
    return ranked[0] if ranked else None


def _spread(row: Efficacy) -> Spread:
    """Share killed by one application; a figure of three sprays is taken to its cube root."""
    low, high = row.percent.span
    words = row.target.lower()
    sprays = 3 if "three sprays" in words else 1
    wetted = WETTED if "dip" in words else (1.0, 1.0, 1.0)  # a dip wets all, a sprayer does not
    one = [
        share * (1 - (1 - min(pct, 100.0) / 100) ** (1 / sprays))
        for share, pct in zip(wetted, (low, row.percent.value, high), strict=True)
    ]
    return widened(*one)
