"""Beds and numbers of plants that can hardly be so are asked about, and taken when looked at."""

from __future__ import annotations

from datetime import date

import pytest

from lattermath.record.plot_file import read_plot_file
from lattermath.vocabulary.errors import Fault, PlotFileError

PLACE = '[place]\nlatitude = 52.2\nlongitude = 0.1\ntime_zone = "Europe/London"\n'


def faults(body: str, top: str = "") -> tuple[Fault, ...]:
    text = f"format = 1\n{top}\n{PLACE}\n{body}"
    try:
        read_plot_file(
            text,
            today=date(2026, 7, 25),
            crop_of=lambda word: word,
            ground_of=lambda crop: {"courgette": 0.8, "carrot": 0.01}.get(crop),
        )
    except PlotFileError as refused:
        return refused.faults
    return ()


def bed(length: str, width: str = "width_m = 1.2", more: str = "") -> str:
    return f'[[bed]]\nname = "B"\n{length}\n{width}\n{more}\n'


@pytest.mark.parametrize(
    ("length", "value", "meant"),
    [
        ("length_m = 400", "400 m", "4.00 m"),
        ("length_m = 120", "120 m", "1.20 m"),
        ("length_m = 0.04", "0.04 m", "4.00 m"),
    ],
)
def test_a_bed_of_a_slipped_point_is_asked_about(length: str, value: str, meant: str) -> None:
    (fault,) = faults(bed(length))
    assert fault.where == "plot.toml: bed.b.length_m" and fault.value == value
    assert f"Did you mean {meant}?" in fault.remedy and "checked = true" in fault.remedy
    assert not faults(bed(length, more="checked = true"))


def test_width_and_feet_are_asked_about_in_their_own_words() -> None:
    (fault,) = faults(bed("length_ft = 12", "width_ft = 400"), 'units = "us"')
    assert fault.where.endswith("width_ft") and fault.value == "400 ft"
    assert "4.00 ft" in fault.remedy


@pytest.mark.parametrize("length", ["length_m = 60", "length_m = 0.1", "length_m = 30"])
def test_a_bed_that_can_be_is_taken(length: str) -> None:
    assert not faults(bed(length))


@pytest.mark.parametrize(
    ("crop", "plants", "asked"),
    [("courgette", 6, False), ("courgette", 600, True), ("carrot", 900, False)],
)
def test_plants_that_no_bed_holds_are_asked_about(crop: str, plants: int, asked: bool) -> None:
    planting = f'[[planting]]\ncrop = "{crop}"\nplants = {plants}\nbed = "B"\n'
    found = faults(bed("length_m = 4") + planting)
    assert bool(found) == asked
    if asked:
        assert found[0].where == f"plot.toml: planting.{crop}.plants" and found[0].value == "600"
        assert "about 6 fit" in found[0].what  # 4 m by 1.2 m at 0.8 m2 a plant
        assert not faults(bed("length_m = 4") + planting + "checked = true\n")
