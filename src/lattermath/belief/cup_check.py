"""Whether a look at cups is one that was to be expected, and what may explain it if not.

As for pickings: the newest look is held against what the looks before it and the tables led one to
expect, how many came up and how the roots stand, each by a predictive tail. What may explain it is
the same model with one thing changed at a time, weighed by how usual that is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import get_args

import numpy as np
from numpy.typing import NDArray
from scipy import special

from lattermath.belief.cup_looks import LOOK_SD, PRIOR_CUPS, pace_weights, root_chance
from lattermath.belief.sighting_check import AT_ODDS, Check, normalized
from lattermath.science.root_fill import CupHeat
from lattermath.vocabulary.events import Roots
from lattermath.vocabulary.plot import CupLook

FloatArray = NDArray[np.float64]

NEW_DAYS = 7  # judgement: after a week a look is not spoken of as new any more
STAYS = 0.95  # judgement: of young plants that stood at one look, share that stands at the next
CLASSES: tuple[Roots, ...] = get_args(Roots)
NAMED_FROM = 0.05  # a class less likely than that was not to be expected
# How usual each is beforehand, beside chance alone; judgement.
USUAL = {
    "chance": 1.0,
    "late": 1.0,
    "old seed": 0.7,
    "died": 0.7,
    "eaten": 0.4,
    "other cups": 0.3,
    "two seeds": 0.7,
    "place": 0.7,
    "other size": 0.4,
    "other day": 0.3,
    "misjudged": 0.5,
}
# Share of the usual stand that is there, each equally likely within its explanation; judgement.
FEWER: Mapping[str, tuple[float, ...]] = {
    "old seed": (1 / 4, 1 / 2),
    "died": (1 / 4, 1 / 2, 3 / 4),
    "eaten": (1 / 4, 1 / 2, 3 / 4),
    "other cups": (1 / 10, 1 / 2),
}
LATE = (0.0, 1 / 3, 2 / 3)
LATE_BY = 1.5  # judgement: by half as many days more than the table has, all that comes is up
# How fast roots fill beside what is reckoned; a half or a third of the volume by its cube root.
FASTER: Mapping[str, tuple[float, ...]] = {"place": (1.4, 1.8), "other size": (1.26, 1.44)}
OTHER_DAYS = (7, 14)  # sown so much earlier, or later, than was written down. [d]
MISJUDGED_SD = 0.3  # judgement: a ball of roots called wrongly, log scale of its heat


@dataclass(frozen=True, slots=True)
class CupOdds:
    """A look at cups at odds with what was expected.

    seen     : cups with a plant of those looked at, or None; roots, or None.
    check    : for a stand the numbers that were to be expected; for roots places in `CLASSES`.
    ranked   : what may explain it and its share among what was weighed, the likeliest first.
    """

    day: date
    up: int | None
    cups: int | None
    roots: Roots | None
    check: Check
    ranked: tuple[tuple[str, float], ...]

    @property
    def expected(self) -> tuple[Roots, ...]:
        """The classes of roots that were to be expected."""
        return CLASSES[int(self.check.low) : int(self.check.high) + 1]


def cup_odds(
    looks: Sequence[CupLook],
    gathered: Sequence[float],
    heat: CupHeat,
    sown: date,
    today: date,
    usual: float,
    comes_up_days: float | None,
) -> tuple[CupOdds, ...]:
    """What the newest look at a lot shows that was not to be expected; nothing where all was.

    looks         : of the lot, oldest first.
    gathered      : the heat that the weather gave the lot by the day of each. [C d]
    usual         : stand of the table, (0 to 1). comes_up_days : of the table; None: not known.

    Stand and roots are two questions: where both are told, each is answered at half the chance.
    """
    if not looks or (today - looks[-1].day).days > NEW_DAYS:
        return ()
    found = [
        *_stand(looks, sown, usual, comes_up_days),
        *_roots(looks, gathered, heat, sown),
    ]
    return tuple(one for one in found if one.check.tail < AT_ODDS / len(found))


def _stand(
    looks: Sequence[CupLook], sown: date, usual: float, comes_up_days: float | None
) -> Iterator[CupOdds]:
    """How many came up, beside the table and the looks before."""
    new, days = looks[-1], (looks[-1].day - sown).days
    if new.up is None or not new.cups:
        return
    if comes_up_days is not None and days < comes_up_days:
        return  # nobody expects all that comes to be up
    up, down, stood = _beta(looks[:-1], new.cups, usual)
    chances = stand_chances(new.cups, up, down)
    under, at_most = float(chances[: new.up].sum()), float(chances[: new.up + 1].sum())
    sums = np.minimum(np.cumsum(chances), 1.0)
    low, high = (int(np.searchsorted(sums, share - 1e-9)) for share in (0.05, 0.95))
    check = Check.of(under, min(at_most, 1.0), low, min(high, new.cups))
    logs = {"chance": _log(float(chances[new.up]))}
    for key, shares in _fewer(days, comes_up_days, stood=stood):
        each = [_thinned(new.up, new.cups, up, down, share) for share in shares]
        logs[key] = _log(float(np.mean(each)))
    if not stood:
        each = [_thinned(new.up, new.cups, up, down, 1.0, seeds=2)]
        logs["two seeds"] = _log(each[0])
    yield CupOdds(new.day, new.up, new.cups, None, check, _ranked(logs))


def _beta(before: Sequence[CupLook], cups: int, usual: float) -> tuple[float, float, bool]:
    """Cups up and not up that the share is believed by; whether the same plants stood before."""
    told = [look for look in before if look.up is not None and look.cups]
    if told and told[-1].up == cups:
        return PRIOR_CUPS * STAYS, PRIOR_CUPS * (1 - STAYS), True
    up, of = (told[-1].up or 0, told[-1].cups or 0) if told else (0, 0)
    return PRIOR_CUPS * usual + up, max(PRIOR_CUPS * (1 - usual) + of - up, 1e-3), False


def stand_chances(cups: int, up: float, down: float) -> FloatArray:
    """Chance that 0, 1 ... of so many cups hold a plant, (cups + 1,). Beta-binomial."""
    n = np.arange(cups + 1)
    ways = special.gammaln(cups + 1) - special.gammaln(n + 1) - special.gammaln(cups - n + 1)
    log = ways + special.betaln(n + up, cups - n + down) - special.betaln(up, down)
    return np.asarray(np.exp(log))


def _thinned(seen: int, cups: int, up: float, down: float, left: float, seeds: int = 1) -> float:
    """Chance of what was seen where of each cup's usual chance only a part is left."""
    share = (np.arange(400) + 0.5) / 400
    weight = share ** (up - 1) * (1 - share) ** (down - 1)
    there = left * (1 - (1 - share) ** seeds)
    chance = special.comb(cups, seen) * there**seen * (1 - there) ** (cups - seen)
    return float((weight * chance).sum() / weight.sum())


def _fewer(
    days: int, comes_up_days: float | None, *, stood: bool
) -> Iterator[tuple[str, tuple[float, ...]]]:
    """What may leave fewer; plants that stood did come up."""
    if not stood and (comes_up_days is None or days < LATE_BY * comes_up_days):
        yield "late", LATE
    yield from ((k, shares) for k, shares in FEWER.items() if not stood or k != "old seed")


def _roots(
    looks: Sequence[CupLook], gathered: Sequence[float], heat: CupHeat, sown: date
) -> Iterator[CupOdds]:
    """How far the roots are, beside the heat there was and the looks before."""
    new, there = looks[-1], gathered[-1]
    if new.roots is None:
        return
    before = [
        (h, look.roots) for look, h in zip(looks[:-1], gathered[:-1], strict=True) if look.roots
    ]
    weights = pace_weights(before, heat)

    def chance(times: float, seen: Roots, look_sd: float = LOOK_SD) -> float:
        return float(weights @ root_chance(there * times, seen, heat, look_sd))

    each = np.array([chance(1.0, seen) for seen in CLASSES])
    at = CLASSES.index(new.roots)
    likely = np.flatnonzero(each >= NAMED_FROM)
    check = Check.of(
        float(each[:at].sum()), min(float(each[: at + 1].sum()), 1.0), likely[0], likely[-1]
    )
    days = max((new.day - sown).days, 1)
    shifts = tuple((days + more) / days for more in OTHER_DAYS)
    changed = {**FASTER, "other day": shifts}
    logs = {"chance": _log(each[at])}
    for key, sizes in changed.items():
        times = sizes if check.more else tuple(1 / one for one in sizes)
        logs[key] = _log(float(np.mean([chance(one, new.roots) for one in times])))
    logs["misjudged"] = _log(chance(1.0, new.roots, MISJUDGED_SD))
    yield CupOdds(new.day, None, None, new.roots, check, _ranked(logs))


def _log(chance: float) -> float:
    return float(np.log(max(chance, 1e-300)))


def _ranked(logs: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    weighed = np.array([log + np.log(USUAL[key]) for key, log in logs.items()])
    ranked = zip(logs, normalized(weighed).tolist(), strict=True)
    return tuple(sorted(ranked, key=lambda one: -one[1]))
