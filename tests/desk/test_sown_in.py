"""Where seed went, from as little as a grower says: crop and bed, or cups, or neither."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pytest

from lattermath.desk.log_names import Sown, sown_in
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, Planting, Plot

AT = datetime(2026, 7, 9, 18, 0)
BEDS = (Bed("a", "bed A", 0, 0, 4, 1), Bed("b", "bed B", 0, 2, 4, 1))
CHARD = Planting("leaf-row", "Leaf row", "chard", 8, bed="a")
PLOT = Plot("Plot", "Holder", Place("Nowhere", 47.0, 8.0, "Europe/Zurich"), BEDS, (CHARD,))
STANDING = replace(PLOT, plantings=(replace(CHARD, sown=date(2026, 5, 1)),))
TWO = replace(PLOT, plantings=(CHARD, replace(CHARD, key="other", name="Other", bed="b")))


@pytest.mark.parametrize(
    ("plot", "said", "went"),
    [
        (PLOT, "cups", Sown(lot="chard 9 Jul")),
        (PLOT, "In Cups", Sown(lot="chard 9 Jul")),
        (PLOT, "bed A", Sown(planting="leaf-row", bed="a")),  # declared there and not begun
        (PLOT, "bed B", Sown(planting="chard 9 Jul", bed="b")),
        (PLOT, "leaf row", Sown(planting="leaf-row")),
        (PLOT, "", Sown(planting="leaf-row")),  # nothing else can be meant
        (TWO, "bed B", Sown(planting="other", bed="b")),
        (STANDING, "bed A", Sown(planting="chard 9 Jul", bed="a")),  # a second sowing
    ],
)
def test_crop_and_place_are_enough(plot: Plot, said: str, went: Sown) -> None:
    for crop in ("chard", "swiss chard") if went.planting == "leaf-row" else ("chard",):
        assert sown_in(plot, crop, said, at=AT) == went


@pytest.mark.parametrize(("plot", "names"), [(STANDING, "cups, bed A"), (TWO, "Leaf row, Other")])
def test_it_asks_where_that_is_not_clear(plot: Plot, names: str) -> None:
    with pytest.raises(InputError) as asked:
        sown_in(plot, "chard", at=AT)
    assert names in asked.value.faults[0].remedy and "log sown chard 8" in str(asked.value)


def test_names_made_up_are_new_ones() -> None:
    there = replace(STANDING, plantings=(replace(CHARD, key="chard 9 Jul", sown=date(2026, 7, 9)),))
    assert sown_in(there, "chard", "bed B", at=AT).planting == "chard 9 Jul 2"
