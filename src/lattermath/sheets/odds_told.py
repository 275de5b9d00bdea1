"""A sighting that disagrees, as front and back tell it: the front without chances."""

from __future__ import annotations

from lattermath.sheets import wording as w
from lattermath.vocabulary.plan import MayBe, Population


def at_odds(population: Population, *, chances: bool) -> str:
    """What was seen, what may explain it, and the look that would tell; "" where all agrees.

    chances : how likely each is; the back says how sure it is, the front what to do.
    """
    if not population.disagrees:
        return ""
    causes = ", ".join(_cause(one, chances) for one in population.may_be)
    told = (population.disagrees, w.MAY_BE.format(causes=causes) if causes else "")
    return " ".join(part for part in (*told, population.to_tell) if part)


def _cause(one: MayBe, chances: bool) -> str:
    tenths = max(1, round(10 * one.chance))
    how = w.CHANCE_AT_LEAST if tenths > 9 else w.CHANCE.format(tenths=tenths)  # never certain
    return f"{one.what} ({how})" if chances else one.what
