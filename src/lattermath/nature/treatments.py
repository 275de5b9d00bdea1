"""What a treatment truly kills here: thrown from the range of the tables, leaf by leaf."""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lattermath.knowledge.methods import Efficacy, Method
from lattermath.knowledge.tables import Tables
from lattermath.nature.mildew import power_of
from lattermath.nature.swarm import Swarm

FloatArray = NDArray[np.float64]

MEANT_COVERAGE = 0.7  # coverage at which field figures were found (common practice)
EVENNESS = 4.0  # judgement: sum of the beta law of what is wetted of single leaves
MISSED_SD = 0.12  # judgement: how far a grower's word for the coverage is off
YOUNG_WORDS = ("nymph", "larva", "motile", "immature", "young", "mobile")
STILL = ("egg", "pupa", "nymph4", "prepupa")
FIRM = 0.5  # judgement: kill of waxy or resting stages beside that of the tender young
WORN = 0.02  # a deposit, or deaths of a day, too small to count
SPREAD_BEYOND = 0.05  # judgement: gardens lie outside the table's range by this share, sd


@dataclass(slots=True, eq=False)
class Residue:
    """A deposit that goes on killing on some plantings.

    slow    : days from its contact to death. [d]
    touched : shares of each stage that die on the days to come, by contact up to today.
    """

    organism: str
    places: tuple[int, ...]
    kill_a_day: FloatArray  # by stage
    half_life: float
    wash_off: float
    left: float = 1.0
    slow: int = 0
    touched: deque[FloatArray] = field(default_factory=deque)

    @property
    def acts(self) -> bool:
        """Whether it still kills, or what it touched is still to die."""
        return self.left > WORN or any(share.max() > WORN for share in self.touched)

    def deaths_of_a_day(self, rain_mm: float) -> FloatArray:
        """Share of each stage that dies today, after a day on the leaf, (n_stages,). [0 to 1]"""
        self.touched.append(self.kill_a_day * self.left)
        self.left *= 0.5 ** (1 / self.half_life)
        if rain_mm >= 2.0:
            self.left *= 1 - self.wash_off
        if len(self.touched) <= self.slow:
            return np.zeros_like(self.kill_a_day)
        return self.touched.popleft()


@dataclass(slots=True, eq=False)
class Powers:
    """How good each method truly is here, fixed on first use; and the deposits that still act."""

    tables: Tables
    known: dict[tuple[str, str], FloatArray] = field(default_factory=dict)
    residues: list[Residue] = field(default_factory=list)

    def kills(
        self, method: str, organism: str, stages: Sequence[str], rng: np.random.Generator
    ) -> FloatArray:
        """Share of each stage that a well-wetting treatment kills, (n_stages,). [0 to 1]"""
        key = (method, organism)
        if key not in self.known:
            rows = self.tables.methods[method].against(
                self.tables.crosswalk.targets.get(organism, ())
            )
            place, off = rng.random(), rng.normal(0, SPREAD_BEYOND)
            found = np.array([_kill(rows, stage, place) for stage in stages])
            self.known[key] = np.clip(found + off * (found > 0), 0.0, 0.99)
        return self.known[key]

    def of_colonies(self, method: str, disease: str, rng: np.random.Generator) -> float:
        """Share of a mildew's colonies that a method kills where it wets. [0 to 1]"""
        key = (method, disease)
        if key not in self.known:
            words = tuple(self.tables.crosswalk.targets.get(disease, ()))
            self.known[key] = np.array([power_of(self.tables.methods[method], words, rng)])
        return float(self.known[key][0])

    def apply(
        self,
        swarm: Swarm,
        method: str,
        places: tuple[int, ...],
        surfaces: Collection[str],
        coverage: float,
        rng: np.random.Generator,
    ) -> None:
        """Treat some plantings: what the grower wetted differs from leaf to leaf."""
        creature, held = swarm.creature, self.tables.methods[method]
        power = self.kills(method, creature.organism, creature.stages, rng)
        reached = creature.reach * _surface_share(creature.below, surfaces, held)
        true = np.clip(coverage * np.exp(rng.normal(0, MISSED_SD)), 0.05, 0.98)
        kill = np.clip(power * reached, 0, 1)
        half_life, window = held.half_life_days, held.kill_window_days
        if half_life is not None and window is not None and window.value >= 1:
            # the table's figure is that of the first week: spread over the life of the deposit
            decay = 0.5 ** (np.arange(7) / half_life.value)
            per_day = 1 - (1 - np.clip(kill * true / MEANT_COVERAGE, 0, 0.99)) ** (1 / decay.sum())
            wash = held.wash_off_fraction.value if held.wash_off_fraction else 0.3
            slow = held.dies_after
            days = 0 if slow is None else round(rng.spawn(1)[0].uniform(*slow))
            self.residues.append(
                Residue(creature.organism, places, per_day, half_life.value, wash, slow=days)
            )
            return
        _strike(swarm, places, kill / MEANT_COVERAGE, float(true), rng)

    def wear(self, swarm: Swarm, rain_mm: float, rng: np.random.Generator) -> None:
        """A day of all deposits."""
        for one in self.residues:
            if one.organism == swarm.creature.organism:
                kill = one.deaths_of_a_day(rain_mm)
                here = np.isin(swarm.place, one.places)
                swarm.spare(np.where(here, 1 - kill[swarm.stage], 1.0), rng)
        self.residues = [one for one in self.residues if one.acts]


def _strike(
    swarm: Swarm, places: tuple[int, ...], kill: FloatArray, true: float, rng: np.random.Generator
) -> None:
    """Kill at once what sits on the wetted part of each leaf."""
    here = np.isin(swarm.place, places)
    leaves = swarm.place * 1_000_000 + swarm.plant * 10_000 + swarm.leaf
    _, which = np.unique(leaves, return_inverse=True)
    wet = rng.beta(EVENNESS * true, EVENNESS * (1 - true), which.max() + 1 if len(which) else 0)
    chance = np.clip(kill[swarm.stage] * wet[which], 0, 0.99)
    swarm.spare(np.where(here, 1 - chance, 1.0), rng)


def _surface_share(below: FloatArray, surfaces: Collection[str], method: Method) -> FloatArray:
    if "whole" in surfaces or not method.is_product:
        return np.ones_like(below)
    return below * ("underside" in surfaces) + (1 - below) * ("top" in surfaces)


def _kill(rows: Sequence[Efficacy], stage: str, place: float) -> float:
    """Share killed of a stage at this place of the table's range, mean of the rows that fit."""
    fitting = [row for row in rows if _fits(row.stage.lower(), stage)]
    field_rows = [row for row in fitting if "residue" not in row.target] or fitting
    if not field_rows:
        return 0.0
    shares = []
    for row in field_rows:
        low, high = row.percent.span
        share = np.interp(place, (0.05, 0.5, 0.95), (low, row.percent.value, high)) / 100
        dipped = "dip" in row.target.lower()  # all was wet there, so it takes what is wet here
        shares.append(share * MEANT_COVERAGE if dipped else share)
    firm = FIRM if stage.startswith(STILL[1:]) else 1.0
    return float(np.clip(np.mean(shares) * firm, 0.0, 1.0))


def _fits(word: str, stage: str) -> bool:
    """Whether a row's word for a stage means this stage."""
    if word in ("all", "mixed"):
        return True
    if stage.startswith("egg"):
        return "egg" in word
    if stage.startswith("adult"):
        return "adult" in word or "motile" in word
    return any(young in word for young in YOUNG_WORDS)
