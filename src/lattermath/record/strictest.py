"""A label copied twice: for a day between the copies, the stricter of each line.

A plan for a past day uses what is known now. A label is a matter of safety, and a row that was
written anew may mend a slip or copy a newer pack; the journal cannot tell which. So the stricter
of the line that stood then and of each copy since counts. A line not copied then was only not
copied yet: the later copy speaks. A line or crop that the latest copy no longer has is refused.
A correction of an entry (one that names what it corrects) takes its place and is no second copy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from functools import reduce
from typing import Any, NamedTuple, TypeVar

from lattermath.record.codec import from_plain
from lattermath.vocabulary.events import Event, PlotRow
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel

T = TypeVar("T", ProductLabel, CropLimits)
_MORE = frozenset(  # the longer, the stricter; every other number is a ceiling
    {
        "pre_harvest_days",
        "retreat_days",
        "plant_back_days",
        "re_entry_hours",
        "rain_free_hours",
        "sulfur_oil_gap_days",
    }
)
_BLOOM = ("no bee wording", "evening only", "never in bloom")
_OVER = ("crop", "ground", "year")
_SCOPE = ("product", "active", "group")


class Copy(NamedTuple):
    """One copy of a label, and the entry that holds it."""

    label: ProductLabel
    serial: int


@dataclass(slots=True)
class Copies:
    """Every copy of each product's label, in the order of the entries taken in."""

    of: dict[str, list[Copy]] = field(default_factory=dict)

    def take(self, event: Event) -> None:
        """Take in an entry; one that copies no label is passed over."""
        row = event.payload
        if isinstance(row, PlotRow) and row.section == "shelf" and row.row is not None:
            copy = Copy(from_plain(ProductLabel, row.row), event.serial)
            self.of.setdefault(row.key, []).append(copy)

    def number(self, product: str | None) -> int:
        """How many copies there are by now."""
        return len(self.of.get(product or "", ()))

    def since(self, product: str | None, number: int) -> Sequence[Copy]:
        """The copy that counted when there were so many, and every later one."""
        return self.of.get(product or "", [])[max(0, number - 1) :]


def strictest_of(copies: Sequence[Copy]) -> ProductLabel | None:
    """The strictest of each line of all copies; None without any.

    The newest says which lines and crops there are, as in `strictest`.
    """
    if not copies:
        return None
    labels = [copy.label for copy in reversed(copies)]
    return reduce(lambda since, then: strictest(then, since), labels)


def strictest(then: ProductLabel, since: ProductLabel) -> ProductLabel:
    """The stricter of two copies of one product's label, line by line; all else as it stood."""
    listed = {limits.crop: limits for limits in then.crops}
    crops = tuple(_crop(listed.get(now.crop, now), now) for now in since.crops)
    return replace(_lines(then, since), crops=crops, crops_line=since.crops_line)


def _crop(then: CropLimits, since: CropLimits) -> CropLimits:
    return replace(
        _lines(then, since),
        season_max_scope=max(then.season_max_scope, since.season_max_scope, key=_SCOPE.index),
        season_max_over=max(then.season_max_over, since.season_max_over, key=_OVER.index),
    )


def _lines(then: T, since: T) -> T:
    lines: dict[str, Any] = {}
    for one in fields(then):
        before, after = getattr(then, one.name), getattr(since, one.name)
        if isinstance(before, LabelLine) and isinstance(after, LabelLine):
            lines[one.name] = _line(one.name, before, after)
    return replace(then, **lines)


def _line(name: str, then: LabelLine[Any], since: LabelLine[Any]) -> LabelLine[Any]:
    if "value" not in (then.state, since.state) or not (then.known and since.known):
        return since
    if then.value is None or since.value is None:
        return since if then.value is None else then
    if name == "bloom":
        return max(then, since, key=lambda line: _BLOOM.index(line.value))
    pick = max if name in _MORE else min
    return since if pick(then.value, since.value) == since.value else then
