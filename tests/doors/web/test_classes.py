"""A class in place of a count: on the form, in pencil and from a program it is one sighting."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from lattermath.doors.web.api_entries import Counted
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.log_forms import BY_KEY, Asked
from lattermath.doors.web.pencilled import Line, entries_of
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Planting, Plot

PLOT = Plot(
    "Here",
    "",
    Place("Here", 40.0, -105.0, "America/Denver"),
    plantings=(Planting("melon", "Melons", "melon", 3, set_out=date(2011, 6, 1)),),
)
MANY = Sighting("melon", "whitefly", "count", "", "underside", 10, level="many")
ID = "019cdb6d-0000-7000-8000-000000000001"


def read(*fields: tuple[str, str]) -> object:
    told = (("planting", "melon"), ("what", "whitefly"), *fields)
    return BY_KEY["counted"].read(Filled(told), Asked(PLOT, "metric", {}))


def test_the_class_is_asked_for_before_the_leaves_and_either_is_enough() -> None:
    blanks = [one.name for one in BY_KEY["counted"].blanks(Asked(PLOT, "metric", {}))]
    assert blanks.index("level") < blanks.index("counts")
    assert read(("level", "many"), ("leaves", "10")) == MANY
    counted = read(("level", "many"), ("leaves", "10"), ("counts", "12"), ("counts", "0"))
    assert counted == Sighting(
        "melon", "whitefly", "count", looked_at=2, counts=(12, 0)
    )  # counts outrank the class
    for wrong in ((), (("level", "some"), ("leaves", "10")), (("level", "many"), ("leaves", "0"))):
        with pytest.raises(InputError):
            read(*wrong)


def test_a_program_gives_one_of_the_two() -> None:
    told = {"kind": "counted", "id": ID, "planting": "Melons", "what": "whitefly"}
    assert Counted.model_validate({**told, "level": "many", "leaves": 10}).payload(PLOT) == MANY
    for wrong in ({}, {"level": "few"}, {"level": "few", "leaves": 9, "counts": [1]}):
        with pytest.raises(InputError):
            Counted.model_validate({**told, **wrong}).payload(PLOT)


def test_a_class_may_stand_in_the_blank_of_a_printed_look() -> None:
    wanted = {"organism": "whitefly", "stage": "", "says": "pale scales", "share_of": ""}
    task = {"kind": "look", "planting": "melon", "wanted": [wanted]}
    line = Line(task, {}, "as-written", {"seen 0": "Many"})
    assert entries_of(line, Asked(PLOT, "metric", {})) == (MANY,)


SOME = replace(MANY, measure="some", level=None, total=7, stage="scales")


@pytest.mark.parametrize("typed", ["7", "7 of 10"])
def test_leaves_with_any_are_read_from_a_look_that_asks_for_them(typed: str) -> None:
    wanted = {"organism": "whitefly", "stage": "scales", "says": "leaves with pale scales",
              "share_of": "", "some": True}  # fmt: skip
    task = {"kind": "look", "planting": "melon", "wanted": [wanted]}
    line = Line(task, {}, "as-written", {"seen 0": typed, "Leaves": "10"})
    assert entries_of(line, Asked(PLOT, "metric", {})) == (SOME,)


def test_a_program_gives_leaves_with_any() -> None:
    told = {"kind": "counted", "id": ID, "planting": "Melons", "what": "whitefly"}
    given = {**told, "with_some": 7, "leaves": 10, "stage": "scales"}
    assert Counted.model_validate(given).payload(PLOT) == SOME
    with pytest.raises(InputError):
        Counted.model_validate({**given, "counts": [1]}).payload(PLOT)


@pytest.mark.parametrize("form", ["counted", "none-seen"])
def test_every_label_is_true_of_leaves_plants_and_flowers(form: str) -> None:
    """A look may be at whole plants, or at flowers tapped: no label calls them leaves turned."""
    blanks = BY_KEY[form].blanks(Asked(PLOT, "metric", {}))
    labels = [one.label for one in blanks]
    assert not [label for label in labels if "lea" in label.lower() or "turned" in label.lower()]
    assert all(len(label) <= 20 for label in labels)  # one line on a phone of 320 px


def test_flowers_can_be_said_on_the_form_in_pencil_and_by_a_program() -> None:
    """A count of flowers is one wherever it is written, and a count of leaves is none."""
    tapped = replace(MANY, what="thrips", surface="flowers")
    told = (("what", "thrips"), ("surface", "flowers"), ("level", "many"), ("leaves", "10"))
    form = Filled((("planting", "melon"), *told))
    assert BY_KEY["counted"].read(form, Asked(PLOT, "metric", {})) == tapped
    given = {"kind": "counted", "id": ID, "planting": "Melons", "what": "thrips", "leaves": 10}
    program = Counted.model_validate({**given, "level": "many", "surface": "flowers"})
    assert program.payload(PLOT) == tapped
    wanted = {"organism": "thrips", "stage": "", "says": "thrips in flowers", "share_of": ""}
    task = {"kind": "look", "planting": "melon", "wanted": [{**wanted, "flowers": True}]}
    line = Line(task, {}, "as-written", {"seen 0": "Many"})
    assert entries_of(line, Asked(PLOT, "metric", {})) == (tapped,)
    (none,) = [one for one in BY_KEY["none-seen"].blanks(Asked(PLOT, "metric", {}))
               if one.name == "surface"]  # fmt: skip
    assert "flowers" in dict(none.options)
