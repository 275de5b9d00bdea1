"""The labels on the shelf line by line, as the grower copied them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from typing import Any

from lattermath.sheets import page_words as p
from lattermath.sheets.label_words import LABEL_LINES
from lattermath.vocabulary.label import LabelLine, ProductLabel


def shelf_lines(shelf: Iterable[ProductLabel]) -> list[dict[str, Any]]:
    """For each product its name, first aid, and lines as (name, value, the label's own words)."""
    return [
        {"name": label.name, "first_aid": label.first_aid, "lines": list(_lines(label))}
        for label in shelf
    ]


def first_aid(shelf: Iterable[ProductLabel], poison_number: str) -> list[str]:
    """Whom to ring, and what each label says of first aid, or that it was not copied."""
    number = p.POISON_NUMBER.format(number=poison_number) if poison_number else p.NO_POISON_NUMBER
    return [f"{p.POISON} {number}", *(_aid(label) for label in shelf)]


def _aid(label: ProductLabel) -> str:
    if not label.first_aid.strip():
        return p.NO_FIRST_AID.format(name=label.name)
    return p.FIRST_AID_OF.format(name=label.name, says=label.first_aid)


def _lines(label: ProductLabel) -> Iterator[tuple[str, str, str]]:
    for name, line in _of(label):
        yield (LABEL_LINES[name], _said(line), line.words)
    for limits in label.crops:
        for name, line in _of(limits):
            crop = limits.crop.replace("_", " ")
            said = p.LABEL_FOR_CROP.format(line=LABEL_LINES[name], crop=crop)
            yield (said, _said(line), line.words)


def _of(record: Any) -> Iterator[tuple[str, LabelLine[Any]]]:
    """The fields of a label or of its limits for a crop that are lines of print."""
    for one in fields(record):
        held = getattr(record, one.name)
        if isinstance(held, LabelLine):
            yield one.name, held


def _said(line: LabelLine[Any]) -> str:
    if line.state == "value":
        return f"{line.value:g}" if isinstance(line.value, (int, float)) else str(line.value)
    return p.LABEL_NONE if line.state == "none" else p.LABEL_NOT_COPIED
