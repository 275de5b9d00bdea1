"""What is closed, in words."""

from __future__ import annotations

from lattermath.sheets import wording as w
from lattermath.sheets.front import Teller
from lattermath.vocabulary.plan import Closed
from lattermath.vocabulary.sentence import inside


def called(closed: Closed, tell: Teller) -> str:
    """The planting, or the bed where it stood until it was pulled."""
    name = tell.name(closed.planting)
    return w.WHERE_IT_STOOD.format(bed=closed.bed, name=inside(name)) if closed.bed else name
