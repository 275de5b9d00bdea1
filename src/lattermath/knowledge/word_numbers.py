"""A grower's word in both numbers: `spider mites` for `spider mite`, `thrip` for `thrips`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeVar

T = TypeVar("T")

ENDINGS = (  # of one, of many: of the last word, and of what stands before an `of`
    ("fly", "flies"),
    ("mouse", "mice"),
    ("louse", "lice"),
    ("larva", "larvae"),
    ("pupa", "pupae"),
    ("aphid", "aphides"),
    ("y", "ies"),
    ("", "es"),
    ("", "s"),
)
OF = "_of_"


def either_number(key: str) -> Iterator[str]:
    """A tidied word, then the same of one and of many; what no tongue has is among them."""
    yield key
    head, of, rest = key.partition(OF)
    for one, many in ENDINGS:
        if head.endswith(many):
            yield f"{head.removesuffix(many)}{one}{of}{rest}"
        if head.endswith(one):
            yield f"{head[: len(head) - len(one)]}{many}{of}{rest}"


def found_in(names: Mapping[str, T], key: str) -> T | None:
    """What a tidied word stands for, itself or in the other number; None where nothing."""
    return next((names[one] for one in either_number(key) if one in names), None)
