"""Which causes may be behind what was seen on a planting: single causes and pairs, weighed.

Every cause alone, every pair of causes, *none of those listed*, and such a trouble beside one
cause are hypotheses. Causes come independently: one that is there makes another neither likelier
nor less likely. An answer is
told of each hypothesis by noisy-or; a sign nobody looked for enters nowhere. Answers of one group
are signs of the same thing: of those seen the least expected one counts whole and each further one
by half, of those denied only the most expected one counts. A trouble that is not listed may make
whatever is seen; of what is looked for in vain it makes no more than the leak.
Reasons in docs/decisions/0016-diagnosis.md, 0058-causes-come-independently.md and
0072-a-second-sign-counts-by-half.md.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Weights = NDArray[np.float64]  # (n_hypotheses,)

# Judgement: how much a further sign seen of one group counts; 0 for nothing, 1 for as much as one
# of another group.
FURTHER = 0.5
PAIRS = 1.0  # judgement: how often two are there at once, where independent causes are so once


@dataclass(frozen=True, slots=True)
class Sign:
    """One question that is answered yes or no: a symptom, or what a check looks for."""

    id: str
    group: str  # signs of one group tell of the same thing
    leak: float  # chance of a yes where no listed cause makes the sign
    chances: Mapping[str, float]  # cause id -> chance of a yes, with that cause alone
    unlisted: float = 0.0  # chance that a trouble which is not listed has made it, where it is seen


@dataclass(frozen=True, slots=True)
class Suspects:
    """The hypotheses about one planting: an unlisted trouble, each cause alone, each pair of these.

    unlisted : whether a trouble that nobody lists is there, alone (the first) or beside a cause.
    """

    causes: tuple[str, ...]
    members: NDArray[np.bool_]  # (n_hypotheses, n_causes)
    unlisted: NDArray[np.bool_]  # (n_hypotheses,)
    prior: Weights  # sums to 1


@dataclass(frozen=True, slots=True)
class Told:
    """What the answers so far tell, by hypothesis.

    `seen` holds, for each group asked about, the chance of the least expected sign seen and the
    product of all their chances; `denied` the chance of the most expected sign denied.
    """

    suspects: Suspects
    weights: Weights  # prior times likelihood, not normalised
    seen: Mapping[str, tuple[Weights, Weights]]
    denied: Mapping[str, Weights]
    asked: frozenset[str]  # ids of the signs answered

    @property
    def belief(self) -> Weights:
        """Probability of each hypothesis."""
        return np.asarray(self.weights / self.weights.sum(), dtype=np.float64)

    @property
    def probabilities(self) -> Mapping[str, float]:
        """Probability that each cause is at work, the likeliest first; two may be at once."""
        chance = self.belief @ self.suspects.members
        order = sorted(range(len(chance)), key=lambda n: (-chance[n], self.suspects.causes[n]))
        return {self.suspects.causes[n]: float(chance[n]) for n in order}

    @property
    def other(self) -> float:
        """Probability that a trouble is there which is none of the causes listed."""
        return float(self.belief[self.suspects.unlisted].sum())

    def besides(self, causes: Collection[str]) -> float:
        """Probability that none of these causes is there, nor a trouble that nobody lists."""
        told = np.array([one in causes for one in self.suspects.causes], dtype=np.bool_)
        some = (self.suspects.members & told).any(axis=1) | self.suspects.unlisted
        return float(self.belief[~some].sum())


def suspects(priors: Mapping[str, float], other: float, pairs: float = PAIRS) -> Suspects:
    """The hypotheses for causes with these priors, which are odds: there against not there.

    other : odds of *none of those listed*, a trouble that nobody lists.
    pairs : how often two are there at once, as a share of what independent causes would be.

    A pair weighs as the product of its two odds, so that seeing one cause for certain leaves the
    other the odds it had.
    """
    causes = tuple(priors)
    n = len(causes)
    odds = np.array([priors[c] for c in causes], dtype=np.float64)
    two = np.array(list(combinations(range(n), 2)), dtype=np.int64).reshape(-1, 2)
    single = np.eye(n, dtype=np.bool_)
    both = single[two[:, 0]] | single[two[:, 1]]
    members = np.vstack((np.zeros((1, n), dtype=np.bool_), single, single, both))
    unlisted = np.zeros(len(members), dtype=np.bool_)
    unlisted[0] = unlisted[1 + n : 1 + 2 * n] = True
    beside, at_once = odds * other * pairs, odds[two[:, 0]] * odds[two[:, 1]] * pairs
    weights = np.concatenate(([other], odds, beside, at_once))
    return Suspects(causes, members, unlisted, weights / weights.sum())


def reported(held: Suspects, sign: Sign) -> Weights:
    """Chance of a yes under each hypothesis. [1]

    The listed chance is that with the cause alone, the leak included; so two causes together give
    1 - (1 - p)(1 - r) / (1 - leak). Causes that make a sign rarer never push it below the lowest
    chance listed.
    """
    listed = np.array([sign.chances.get(c, sign.leak) for c in held.causes], dtype=np.float64)
    spared = np.log((1 - listed) / (1 - sign.leak))
    chance = 1 - (1 - sign.leak) * np.exp(held.members @ spared)
    lowest = min(sign.leak, listed.min(initial=sign.leak))
    return np.asarray(np.maximum(chance, lowest), dtype=np.float64)


def _seen(held: Suspects, sign: Sign) -> Weights:
    """Chance of a sign that is seen: a trouble that is not listed may be what made it. [1]"""
    chance = reported(held, sign)
    return np.where(held.unlisted, np.maximum(chance, sign.unlisted), chance)


def ask(held: Suspects, answers: Iterable[tuple[Sign, bool]]) -> Told:
    """What answers tell: each a sign, and whether it was seen or was looked for in vain."""
    told = Told(held, held.prior, {}, {}, frozenset())
    for sign, yes in answers:
        told = with_answer(told, sign, yes)
    return told


def with_answer(told: Told, sign: Sign, yes: bool) -> Told:
    """What is told with one answer more."""
    weights = if_seen(told, sign) if yes else if_denied(told, sign)
    held, group = told.suspects, sign.group
    seen, denied = dict(told.seen), dict(told.denied)
    if yes:
        seen[group] = _with_sign(told, sign)
    else:
        denied[group] = np.maximum(denied.get(group, 0.0), reported(held, sign))
    return Told(told.suspects, weights, seen, denied, told.asked | {sign.id})


def if_seen(told: Told, sign: Sign) -> Weights:
    """The weights if this sign is seen too: the least expected of its group counts whole."""
    before = _of_group(*told.seen[sign.group]) if sign.group in told.seen else 1.0
    chance = _of_group(*_with_sign(told, sign))
    return np.asarray(told.weights * chance / before, dtype=np.float64)


def _with_sign(told: Told, sign: Sign) -> tuple[Weights, Weights]:
    """The least chance and the product of the signs seen of a group, with one more."""
    chance = _seen(told.suspects, sign)
    least, product = told.seen.get(sign.group, (np.ones_like(chance), np.ones_like(chance)))
    return np.minimum(least, chance), product * chance


def _of_group(least: Weights, product: Weights) -> Weights:
    """Chance of the signs seen of one group together: between those of one mistake and of many."""
    return np.asarray(least ** (1 - FURTHER) * product**FURTHER, dtype=np.float64)


def if_denied(told: Told, sign: Sign) -> Weights:
    """The weights if this sign is looked for in vain: in its group the most expected counts."""
    before = told.denied.get(sign.group, 0.0)
    missed = 1 - np.maximum(before, reported(told.suspects, sign))
    return np.asarray(told.weights * missed / (1 - before), dtype=np.float64)
