"""A task is found again by its first words, which never end on a word that leads on."""

from __future__ import annotations

import pytest

from lattermath.sheets.front import title


@pytest.mark.parametrize(
    ("says", "told"),
    [
        (
            "Only if the look finds 2 beetle eggs or more in all: pick off and crush by hand.",
            "Only if the look finds 2 beetle eggs",
        ),
        (
            "Soap, undersides and tops of okra as your label says.",
            "Soap, undersides and tops of okra",
        ),
        ("Feed: peppers. With what the garden allows.", "Feed: peppers"),
    ],
)
def test_a_title_ends_before_what_was_cut(says: str, told: str) -> None:
    assert title(says) == told
