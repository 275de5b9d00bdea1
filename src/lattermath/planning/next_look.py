"""Which look comes next: what it would tell of the right deed, per effort; and when to stop.

What is to be done differs by cause, so a look is worth taking when its answer could change the
deed. Weights of wrong deeds and efforts are judgement; reasons in docs/decisions/0016-diagnosis.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.diagnosis import Sign, Suspects, Told, if_denied, if_seen

Weights = NDArray[np.float64]  # (n_hypotheses,)

NOTHING_YET = ""  # the deed of holding back
HARSH = ("treat", "protect", "pull")  # deeds that do harm where nothing of the kind is there
MISTAKE = 1.0  # judgement: the wrong deed, as the measure of the others
HARSH_MISTAKE = 1.5  # judgement: spraying or pulling what has no pest and no disease
HOLDING = 0.5  # judgement: waiting while something should be done
ENOUGH = 0.75  # judgement: chance that the deed is right from which on looking may stop
WORTH_A_MINUTE = 0.01  # judgement: of a mistake, spared by one minute of looking
NAMED = 3.0  # judgement, set to the order of looks asked for in diseases 9 (decision 0016)
TO_GET_THERE_MIN = 1.0  # judgement: bending down, finding the leaf
A_DAY_S_WAIT_MIN = 3.0  # judgement: an answer that comes a day later


@dataclass(frozen=True, slots=True)
class Deed:
    """What one cause asks for: `treat`, and against what; disorders share a deed by kind alone."""

    kind: str
    against: str = ""


@dataclass(frozen=True, slots=True)
class Look:
    """One look that could be taken: the sign it answers, and what it costs."""

    sign: Sign
    minutes: float
    wait_days: float = 0.0

    @property
    def effort(self) -> float:
        """Minutes it is felt as."""
        return self.minutes + TO_GET_THERE_MIN + A_DAY_S_WAIT_MIN * self.wait_days


@dataclass(frozen=True, slots=True)
class Weighed:
    """One look, with what it would tell and what it would spare."""

    look: Look
    bits: float  # expected information about the right deed [bit]
    spared: float  # expected mistakes spared by deciding after it [1]


@dataclass(frozen=True, slots=True)
class Verdict:
    """The best deed now, how sure it is, and the looks in the order they are worth taking."""

    deed: Deed | None  # None: hold back
    chance: float  # that this deed is right for one of the causes at work
    looks: tuple[Weighed, ...]
    settled: bool  # no look is worth its minutes: the decision would no longer change
    certain_enough: bool  # settled, and the deed is likely right

    @property
    def next_look(self) -> Look | None:
        """The look to take next; None where looking may stop."""
        return None if self.certain_enough or not self.looks else self.looks[0].look


def verdict(
    told: Told,
    deeds: Mapping[str, Deed],
    disorders: Iterable[str],
    looks: Iterable[Look],
    named: Mapping[frozenset[str], str] | None = None,
) -> Verdict:
    """What to do by what is told so far, and what to look at next.

    deeds : deed by cause id. disorders : causes that are neither pest nor disease.
    named : the check that tells two causes apart, by the pair; it gains where these two lead.
    Looking stops when the best deed is likely right and no look is worth its minutes: when the
    decision would no longer change.
    """
    options, losses = _losses(told.suspects, deeds, frozenset(disorders))
    parts = _parts(told.suspects, deeds)
    open_ = [look for look in looks if look.sign.id not in told.asked]
    weighed = [_weigh(told, look, losses, parts) for look in open_]
    apart = (named or {}).get(frozenset(list(told.probabilities)[:2]), "")
    weighed.sort(key=lambda w: (-_pull(w, apart), w.look.sign.id))
    best = int(np.argmin(losses @ told.belief))
    deed = options[best]
    chance = 0.0 if deed is None else float(told.belief @ _right(told.suspects, deeds, deed))
    settled = all(w.spared <= WORTH_A_MINUTE * w.look.effort for w in weighed)
    return Verdict(deed, chance, tuple(weighed), settled, settled and chance >= ENOUGH)


def _pull(weighed: Weighed, apart: str) -> float:
    """What a look tells per effort; the check named for the two leading causes tells it surer."""
    gain = NAMED if weighed.look.sign.id == apart else 1.0
    return gain * weighed.bits / weighed.look.effort


def _right(held: Suspects, deeds: Mapping[str, Deed], deed: Deed) -> NDArray[np.bool_]:
    """Under which hypotheses a deed is right for one of the causes."""
    asks = np.array([deeds[cause] == deed for cause in held.causes], dtype=np.bool_)
    return np.asarray((held.members & asks).any(axis=1), dtype=np.bool_)


def _losses(
    held: Suspects, deeds: Mapping[str, Deed], disorders: frozenset[str]
) -> tuple[list[Deed | None], NDArray[np.float64]]:
    """The options, holding back first, and what each costs under each hypothesis."""
    distinct = sorted({deeds[c] for c in held.causes}, key=lambda d: (d.kind, d.against))
    sick = np.array([cause not in disorders for cause in held.causes], dtype=np.bool_)
    nothing_alive = ~(held.members & sick).any(axis=1)
    rows = [np.full(len(held.prior), HOLDING)]
    for deed in distinct:
        wrong = np.where(
            nothing_alive & (deed.kind in HARSH), HARSH_MISTAKE, np.full(len(held.prior), MISTAKE)
        )
        rows.append(np.where(_right(held, deeds, deed), 0.0, wrong))
    return [None, *distinct], np.vstack(rows)


def _parts(held: Suspects, deeds: Mapping[str, Deed]) -> NDArray[np.int64]:
    """A number for each hypothesis, the same where the same deeds are asked for."""
    asked = [frozenset(deeds[held.causes[n]] for n in np.flatnonzero(row)) for row in held.members]
    number: dict[frozenset[Deed], int] = {}
    return np.array([number.setdefault(part, len(number)) for part in asked], dtype=np.int64)


def _weigh(
    told: Told, look: Look, losses: NDArray[np.float64], parts: NDArray[np.int64]
) -> Weighed:
    yes, no = if_seen(told, look.sign), if_denied(told, look.sign)
    total = yes.sum() + no.sum()
    yes, no = yes / total, no / total
    before = (losses @ (yes + no)).min()
    after = (losses @ yes).min() + (losses @ no).min()
    bits = _entropy(yes + no, parts) - _entropy(yes, parts) - _entropy(no, parts)
    return Weighed(look, max(float(bits), 0.0), max(float(before - after), 0.0))


def _entropy(weights: Weights, parts: NDArray[np.int64]) -> float:
    """Entropy of the parts times the weight held; weights need not sum to 1. [bit]"""
    held = np.bincount(parts, weights=weights)
    held = held[held > 0]
    return float(held.sum() * np.log2(held.sum()) - (held * np.log2(held)).sum())
