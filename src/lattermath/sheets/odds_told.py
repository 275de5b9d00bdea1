"""A sighting that disagrees, as front and back tell it: the front without chances."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.sheets import wording as w
from lattermath.vocabulary.at_odds import Disagreement, MayBe
from lattermath.vocabulary.plan import Population


def at_odds(population: Population, *, chances: bool) -> Iterator[str]:
    """What was seen, what may explain it, and the look that would tell; none where all agrees.

    One for each planting, the worst first, all in the same words: none is certain.

    chances : how likely each is; the back says how sure it is, the front what to do.
    """
    if not population.disagrees:
        return
    worst = Disagreement(population.disagrees, population.may_be, population.to_tell)
    for one in (worst, *population.more_at_odds):
        yield _told(one, chances)


def _told(one: Disagreement, chances: bool) -> str:
    causes = ", ".join(_cause(cause, chances) for cause in one.may_be)
    told = (one.says, w.MAY_BE.format(causes=causes) if causes else "")
    return " ".join(part for part in (*told, one.to_tell) if part)


def _cause(one: MayBe, chances: bool) -> str:
    tenths = max(1, round(10 * one.chance))
    how = w.CHANCE_AT_LEAST if tenths > 9 else w.CHANCE.format(tenths=tenths)  # never certain
    return f"{one.what} ({how})" if chances else one.what
