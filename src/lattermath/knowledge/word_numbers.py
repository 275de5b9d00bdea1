"""A grower's word in both numbers and however it is parted.

`spider mites` for `spider mite`, `thrip` for `thrips`, `cabbage worms` for `cabbageworm`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
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
    """What a tidied word stands for, itself or in the other number; None where nothing.

    Where it stands for nothing as it is parted, it is read without regard to where words end.
    """
    both = tuple(either_number(key))
    found = next((names[one] for one in both if one in names), None)
    return found if found is not None else _however_parted(names, both)


def parted_otherwise(names: Mapping[str, T], key: str) -> T | None:
    """What a tidied word stands for in its own number, however it is parted."""
    return names[key] if key in names else _however_parted(names, (key,))


def joined(words: str, known: Collection[str]) -> str:
    """A saying with each two words joined that are one word of those known, in either number."""
    parts = words.split()
    for at in range(len(parts) - 2, -1, -1):
        one = "".join(parts[at : at + 2])
        if any(number in known for number in either_number(one.lower())):
            parts[at : at + 2] = [one]
    return " ".join(parts)


def _however_parted(names: Mapping[str, T], keys: Iterable[str]) -> T | None:
    whole = {_closed(name): means for name, means in names.items()}
    return next((whole[_closed(one)] for one in keys if _closed(one) in whole), None)


def _closed(key: str) -> str:
    return key.replace("_", "")
