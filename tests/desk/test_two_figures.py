"""Numbers to a few significant figures, as a person writes them: never with powers of ten."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import lattermath
from lattermath.desk.did_it_work import _before_and_after
from lattermath.desk.last_counted import _found
from lattermath.planning.treated_beside import Looked
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.measure import roughly

POWERED = re.compile(r"\d\.?\d*e[+-]\d")
BARE = re.compile(
    r"(?<!float\(f\"\{kg)(?<!float\(f\"\{value):\.[0-3]g\}"
)  # told, and not read again


@pytest.mark.parametrize(
    ("number", "figures", "says"),
    [
        (131.0, 2, "130"),
        (12345.0, 2, "12000"),
        (100.0, 2, "100"),
        (99.7, 2, "100"),
        (4.21, 2, "4.2"),
        (0.0312, 2, "0.031"),
        (0.0, 2, "0"),
        (1084.0, 3, "1080"),
        (7.0, 3, "7"),
    ],
)
def test_numbers_are_told_to_so_many_figures_and_without_powers(
    number: float, figures: int, says: str
) -> None:
    assert roughly(number, figures) == says


@pytest.mark.parametrize(
    ("seen", "says"),
    [
        (Sighting("melons", "melon_aphid", "count", counts=(100, 116)), "110 a leaf"),
        (Sighting("melons", "melon_aphid", "count", looked_at=10, total=1080), "110 a leaf"),
        (Sighting("melons", "melon_aphid", "count", looked_at=10, total=41), "4.1 a leaf"),
    ],
)
def test_what_was_last_counted(seen: Sighting, says: str) -> None:
    assert _found(seen, ("leaves", "leaf")) == says


def test_what_was_counted_before_and_after() -> None:
    belief: Any = type("B", (), {"life": _by_leaf()})
    looks = [
        Looked(date(2026, 6, day), "melons", "melon", ("",), (mean,), day)
        for day, mean in ((22, 151.0), (29, 1084.0))
    ]
    says = _before_and_after(belief, *looks)
    assert says == "150 a leaf counted before, 1100 on 29 Jun"
    assert not POWERED.search(says)


def _by_leaf() -> Any:
    habits = type("H", (), {"counted_by_plant": False})
    return type("L", (), {"figures": type("F", (), {"habits": habits})})


def test_no_sentence_is_made_with_a_format_that_gives_powers() -> None:
    """Three figures or fewer turn into 1.1e+02 or 1.1e+03 in numbers a grower counts."""
    (room,) = lattermath.__path__
    bare = [
        f"{path.name}: {line.strip()}"
        for path in Path(room).rglob("*.py")
        for line in path.read_text().splitlines()
        if BARE.search(line)
    ]
    assert not bare
