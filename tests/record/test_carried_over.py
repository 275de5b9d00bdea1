"""A treatment bars its ground under whatever name the plot file gives it since.

Expected are the barred plantings as the grower would name them; nothing here asks how.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.record.test_read_back import BEANS, BED, FACTS, SOAP, july, on, row

from lattermath.record.read_back import gone_treated, plot_as_of, treatments
from lattermath.vocabulary.events import Pulling, Treatment
from lattermath.vocabulary.label import CropLimits, LabelLine
from lattermath.vocabulary.plot import Bed, Planting

SOUTH = Bed("south", "South bed", 0, 3, 4, 1.2)
KALE = Planting("kale", "Kale", "kale", 6, "north", sown=date(2026, 6, 1))
OTHER = replace(BEANS, key="cordon", name="Cordon beans")


@pytest.fixture
def standing(write):
    for fact in (*FACTS, ("bed", "south", SOUTH), ("planting", "kale", KALE)):
        write(row(*fact), at=on(10))
    return write


@pytest.fixture
def sprayed(standing):
    standing(Treatment(("beans",), "soap", "soap"), at=on(22))
    return standing


def treated(journal) -> set[str]:
    return {a.planting for a in treatments(journal.events()) if a.planting}


def renamed(write, *new: Planting, key: str = "beans") -> None:
    """One edit: new rows first, then what is gone, as `differences` writes them."""
    for one in new:
        write(row("planting", one.key, one), at=on(23))
    write(row("planting", key, None), at=on(23))


def test_the_same_plants_under_another_key(journal, sprayed) -> None:
    renamed(sprayed, OTHER)
    assert treated(journal) == {"beans", "cordon"}
    ((was, done),) = gone_treated(journal.events())
    assert (was.name, len(done)) == ("beans", 1)
    other = next(a for a in treatments(journal.events()) if a.planting == "cordon")
    assert (other.bed, other.crop, other.of) == ("north", "pole_bean", "beans")


def test_named_as_before_it_is_settled(journal, sprayed) -> None:
    renamed(sprayed, OTHER)
    renamed(sprayed, BEANS, key="cordon")
    assert treated(journal) == {"beans"}
    assert gone_treated(journal.events()) == ()


def test_what_was_pulled_first_is_ended(journal, sprayed) -> None:
    sprayed(Pulling("beans"), at=on(22, 19))
    renamed(sprayed, OTHER)
    assert treated(journal) == {"beans"}
    assert gone_treated(journal.events()) == ()


@pytest.mark.parametrize(
    ("other", "barred"),
    [
        (replace(OTHER, crop="kale"), True),  # perhaps it was never beans
        (replace(OTHER, bed="south"), True),  # perhaps the bed was a slip
        (replace(OTHER, bed=None), True),
        (replace(OTHER, sown=None), True),
        (replace(OTHER, crop="kale", bed="south"), False),
        (replace(OTHER, sown=july(23)), False),  # sown the day after
        (replace(OTHER, sown=july(23), about_days=3), True),
    ],
)
def test_what_may_be_it(journal, sprayed, other: Planting, barred: bool) -> None:
    renamed(sprayed, other)
    assert ("cordon" in treated(journal)) is barred


@pytest.mark.parametrize(("bed", "barred"), [("north", True), ("south", False)])
def test_two_rows_made_one(journal, standing, bed: str, barred: bool) -> None:
    """What stood beside it all along is it only where the same crop stands in the same bed."""
    standing(row("planting", "cordon", replace(OTHER, bed=bed)), at=on(11))
    standing(Treatment(("beans",), "soap", "soap"), at=on(22))
    renamed(standing)
    assert treated(journal) == ({"beans", "cordon"} if barred else {"beans"})


def test_two_names_exchanged(journal, sprayed) -> None:
    sprayed(row("planting", "cordon", replace(OTHER, bed="south")), at=on(11))
    sprayed(row("planting", "beans", replace(BEANS, bed="south")), at=on(23))
    sprayed(row("planting", "cordon", OTHER), at=on(23))
    assert treated(journal) == {"beans", "cordon"}


def beds(journal, planting: str = "beans") -> set[str | None]:
    return {a.bed for a in treatments(journal.events()) if planting in (a.planting, a.of)}


def test_a_bed_under_another_name(journal, sprayed) -> None:
    sprayed(row("bed", "top", replace(BED, key="top")), at=on(23))
    sprayed(row("planting", "beans", replace(BEANS, bed="top")), at=on(23))
    sprayed(row("bed", "north", None), at=on(23))
    assert beds(journal) == {"top"}
    assert gone_treated(journal.events()) == ()


@pytest.mark.parametrize(("x_m", "bed"), [(0.0, "top"), (1.0, None)])
def test_bed_and_planting_under_other_names(journal, sprayed, x_m: float, bed: str | None) -> None:
    """Told by where it lies; where that was changed too, nobody knows which bed it was."""
    sprayed(row("bed", "top", replace(BED, key="top", x_m=x_m)), at=on(23))
    sprayed(row("bed", "north", None), at=on(23))
    renamed(sprayed, replace(OTHER, bed="top"))
    own = next(a for a in treatments(journal.events()) if a.planting == "beans")
    assert own.bed == bed
    assert treated(journal) == {"beans", "cordon"}
    told = [what.name for what, _ in gone_treated(journal.events())]
    assert told == (["beans"] if bed else ["beans", "North bed"])


def test_a_planting_written_into_another_bed_bars_both(journal, sprayed) -> None:
    sprayed(row("planting", "beans", replace(BEANS, bed="south")), at=on(23))
    assert beds(journal) == {"north", "south"}


def label(days: float | None, hours: float = 4.0):
    line: LabelLine[float] = LabelLine() if days is None else LabelLine("value", days)
    limits = CropLimits("pole_bean", pre_harvest_days=line)
    return replace(SOAP, crops=(limits,), re_entry_hours=LabelLine("value", hours))


@pytest.mark.parametrize(
    ("copies", "counts"),
    [
        ((7, 0), 7),
        ((0, 7), 7),
        ((7, None, 0), 7),
        ((7, 0, 3), 7),
        ((None, 2), 2),
        ((7, None), None),
    ],
)
def test_a_label_copied_anew(journal, sprayed, copies, counts) -> None:
    """The longest wait of the copy that stood then and of each since; none at last: unknown."""
    sprayed(row("shelf", "soap", label(copies[0])), at=on(21))
    for n, days in enumerate(copies[1:]):
        sprayed(row("shelf", "soap", label(days)), at=on(23, 10 + n))
    (done,) = treatments(journal.events())
    limits = done.label.limits_for("pole_bean")
    assert limits.pre_harvest_days.value == counts
    assert len(done.copies) == len(copies) - 1
    assert plot_as_of(journal.events(), july(24)).shelf[0].limits_for("pole_bean") is not None


def test_a_copy_made_before_the_treatment_bars_nothing(journal, sprayed) -> None:
    sprayed(row("shelf", "soap", label(9)), at=on(20))
    sprayed(row("shelf", "soap", label(2)), at=on(21))
    (done,) = treatments(journal.events())
    assert done.label.limits_for("pole_bean").pre_harvest_days.value == 2
    assert done.copies == ()
