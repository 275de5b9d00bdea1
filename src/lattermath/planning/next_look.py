"""Which look comes next: what it would tell of the right deed, per effort; and when to stop.

What is to be done differs by cause, so a look is worth taking when its answer could change the
deed. Weights of wrong deeds and efforts are judgement; reasons in docs/decisions/0016-diagnosis.md.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lattermath.belief.diagnosis import Sign, Suspects, Told, if_denied, if_seen

Weights = NDArray[np.float64]  # (n_hypotheses,)

NOTHING_YET = ""  # the deed of holding back
HARSH = ("treat", "protect", "pull")  # deeds that do harm where nothing of the kind is there
MISTAKE = 1.0  # judgement: the wrong deed, as the measure of the others
HARSH_MISTAKE = 1.5  # judgement: spraying or pulling what has no pest and no disease
KIN_MISTAKE = 0.25  # judgement: the deed against another species of the same kind
HOLDING = 0.5  # judgement: waiting while something should be done
ENOUGH = 0.75  # judgement: chance that the deed is right from which on looking may stop
WORTH_A_MINUTE = 0.01  # judgement: of a mistake, spared by one minute of looking
MAY_CHANGE = 1e-3  # judgement: of a mistake; a look that spares less leaves the deed as it is
NAMED = 3.0  # judgement, set to the order of looks asked for in diseases 9 (decision 0016)
TO_GET_THERE_MIN = 1.0  # judgement: bending down, finding the leaf
A_DAY_S_WAIT_MIN = 3.0  # judgement: an answer that comes a day later


@dataclass(frozen=True, slots=True)
class Deed:
    """What one cause asks for: `treat`, and against what; disorders share a deed by kind alone.

    species_of : the kind that it is a species of; whoever treats one whitefly for another errs
    little.
    """

    kind: str
    against: str = ""
    species_of: str = ""

    def is_kin(self, other: Deed) -> bool:
        """Whether it is the same work against another species of one kind."""
        same = (self.kind, self.species_of) == (other.kind, other.species_of)
        return bool(self.species_of) and same


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
    bears: bool = True  # on what may have made what was seen


@dataclass(frozen=True, slots=True)
class Verdict:
    """The best deed now, how sure it is, and the looks in the order they are worth taking."""

    deed: Deed | None  # None: hold back
    chance: float  # that this deed is right for one of the causes at work
    looks: tuple[Weighed, ...]
    settled: bool  # no look is worth its minutes: the decision would no longer change
    certain_enough: bool  # settled, and the deed is likely right
    begun: bool  # something was answered

    @property
    def worth_taking(self) -> tuple[Weighed, ...]:
        """The looks that could change what is done, in their order; empty where looking may stop.

        Those worth their minutes; where none is and the deed is open, those that could change it
        at all; before the first answer, every look.
        """
        worth = tuple(w for w in self.looks if _is_worth(w))
        if worth or self.certain_enough:
            return worth
        could = tuple(w for w in self.looks if w.bears and w.spared > MAY_CHANGE)
        return could if could or self.begun else self.looks

    @property
    def next_look(self) -> Look | None:
        """The look to take next; None where looking may stop."""
        return next((weighed.look for weighed in self.worth_taking), None)


def verdict(
    told: Told,
    deeds: Mapping[str, Deed],
    disorders: Iterable[str],
    looks: Iterable[Look],
    named: Mapping[frozenset[str], str] | None = None,
    makers: Collection[str] = (),
) -> Verdict:
    """What to do by what is told so far, and what to look at next.

    deeds : deed by cause id. disorders : causes that are neither pest nor disease.
    named : the check that tells two causes apart, by the pair; it gains where these two lead.
    makers : causes that make some of what was seen on the plant; empty for no such bound.
    Where something was seen, only looks that tell of what may have made it are asked for.
    Looking stops when the best deed is likely right and no look is worth its minutes: when the
    decision would no longer change.
    """
    options, losses, right = _losses(told.suspects, deeds, frozenset(disorders))
    parts = _parts(told.suspects, deeds)
    open_ = [look for look in looks if look.sign.id not in told.asked]
    weighed = [_weigh(told, look, losses, parts) for look in open_]
    apart = (named or {}).get(frozenset(list(told.probabilities)[:2]), "")
    raised = _raised(told)
    raised = raised & frozenset(makers) or raised
    weighed = [replace(w, bears=_bears_on(w.look, raised)) for w in weighed]
    weighed.sort(key=lambda w: (not w.bears, -_pull(w, apart), w.look.sign.id))
    best = int(np.argmin(losses @ told.belief))
    deed = options[best]
    chance = 0.0 if deed is None else float(told.belief @ right[best])
    settled, enough = not any(map(_is_worth, weighed)), chance >= ENOUGH
    return Verdict(deed, chance, tuple(weighed), settled, settled and enough, bool(told.asked))


def _raised(told: Told) -> frozenset[str]:
    """The causes that what was seen has made likelier; empty where nothing was seen."""
    held = told.suspects
    if not told.seen:
        return frozenset()
    gain = (told.belief - held.prior) @ held.members
    return frozenset(c for c, more in zip(held.causes, gain, strict=True) if more > 0)


def _bears_on(look: Look, raised: frozenset[str]) -> bool:
    """Whether a look tells of one of these causes; what else is common on the crop is no answer."""
    sign = look.sign
    return not raised or any(sign.chances.get(c, sign.leak) != sign.leak for c in raised)


def _is_worth(weighed: Weighed) -> bool:
    """Whether a look spares more mistakes than its minutes are worth."""
    return weighed.bears and weighed.spared > WORTH_A_MINUTE * weighed.look.effort


def _pull(weighed: Weighed, apart: str) -> float:
    """What a look tells per effort; the check named for the two leading causes tells it surer."""
    gain = NAMED if weighed.look.sign.id == apart else 1.0
    return gain * weighed.bits / weighed.look.effort


def _asked(held: Suspects, asks: Iterable[bool]) -> NDArray[np.bool_]:
    """Under which hypotheses one of the causes asks for it."""
    wanted = np.array(list(asks), dtype=np.bool_)
    return np.asarray((held.members & wanted).any(axis=1), dtype=np.bool_)


def _losses(
    held: Suspects, deeds: Mapping[str, Deed], disorders: frozenset[str]
) -> tuple[list[Deed | None], NDArray[np.float64], NDArray[np.bool_]]:
    """The options, holding back first; what each costs, and where it is right or nearly so."""
    distinct = sorted({deeds[c] for c in held.causes}, key=lambda d: (d.kind, d.against))
    sick = np.array([cause not in disorders for cause in held.causes], dtype=np.bool_)
    nothing_alive = ~(held.members & sick).any(axis=1)
    rows, near = [np.full(len(held.prior), HOLDING)], [np.zeros(len(held.prior), dtype=np.bool_)]
    for deed in distinct:
        right = _asked(held, (deeds[cause] == deed for cause in held.causes))
        kin = _asked(held, (deed.is_kin(deeds[cause]) for cause in held.causes))
        wrong = np.where(
            nothing_alive & (deed.kind in HARSH), HARSH_MISTAKE, np.full(len(held.prior), MISTAKE)
        )
        rows.append(np.where(right, 0.0, np.where(kin, KIN_MISTAKE, wrong)))
        near.append(right | kin)
    return [None, *distinct], np.vstack(rows), np.vstack(near)


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
