"""A plan for a past day never rests on a laxer label than the one known then or now."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from lattermath.record.codec import to_plain
from lattermath.record.effective import effective, end_of_day
from lattermath.record.read_back import plot_as_of
from lattermath.record.strictest import strictest
from lattermath.vocabulary.events import PlotRow
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.place import Place

PLACE = Place("Plot", 52.2, 0.1, "Europe/London")


def at(day: int) -> datetime:
    return datetime(2026, 7, day, 12, 0, tzinfo=UTC)


def value(number: object) -> LabelLine:
    return LabelLine("value", number)


def label(days: float | None, **lines: object) -> ProductLabel:
    phi = LabelLine() if days is None else value(days)
    return ProductLabel("soap", "Soap", "soap", "", crops=(CropLimits("bean_pole", phi),), **lines)


def row(section: str, key: str, fact: object) -> PlotRow:
    return PlotRow(section, key, to_plain(fact))


@pytest.fixture
def copied(journal, write):
    """The days before picking on a day, of a label copied on the 10th and again on the 20th."""

    def days(then: float | None, since: float | None, day: int, supersedes: bool = False) -> object:
        write.now = at(10)
        write(row("place", "plot", PLACE), at=at(10))
        first = write(row("shelf", "soap", label(then)), at=at(10))
        write.now = at(20)
        write(
            row("shelf", "soap", label(since)),
            at=at(20),
            supersedes=first.id if supersedes else None,
        )
        (found,) = plot_as_of(journal.events(), date(2026, 7, day)).shelf
        return found.crops[0].pre_harvest_days.value

    return days


@pytest.mark.parametrize(
    ("then", "since", "day", "found"),
    [
        (3, 10, 15, 10),  # a mistake mended, or a stricter pack: the stricter
        (10, 3, 15, 10),
        (10, 3, 20, 3),  # from the day of the new copy on, the new copy
        (3, 10, 5, 10),  # before either was written
        (None, 7, 15, 7),  # not copied yet
        (7, None, 15, None),  # no longer copied: refused
    ],
)
def test_the_stricter_copy_holds_for_a_past_day(copied, then, since, day, found) -> None:
    assert copied(then, since, day) == found


def test_a_correction_takes_the_place_of_what_it_corrects(copied) -> None:
    assert copied(10, 3, 25, supersedes=True) == 3


def test_as_known_then_keeps_to_what_was_recorded_then(journal, copied) -> None:
    copied(3, 10, 15)
    then = effective(journal.events(), end_of_day(date(2026, 7, 15), "Europe/London"))
    (found,) = plot_as_of(then, date(2026, 7, 15)).shelf
    assert found.crops[0].pre_harvest_days.value == 3


# Which way each line is strict, by what a label means by it.
@pytest.mark.parametrize(
    ("name", "lax", "strict"),
    [
        ("re_entry_hours", 4, 24),
        ("max_temperature_c", 35, 30),
        ("rain_free_hours", 2, 6),
        ("max_wind_m_s", 5, 3),
        ("sulfur_oil_gap_days", 14, 30),
        ("consecutive_max", 3, 2),
        ("bloom", "evening only", "never in bloom"),
        ("bloom", "no bee wording", "evening only"),
    ],
)
def test_each_line_has_its_strict_side(name, lax, strict) -> None:
    one, other = label(3, **{name: value(lax)}), label(3, **{name: value(strict)})
    none = label(3, **{name: LabelLine("none")})
    for a, b in ((one, other), (other, one), (none, other), (other, none)):
        assert getattr(strictest(a, b), name).value == strict


@pytest.mark.parametrize(
    ("name", "lax", "strict"),
    [
        ("retreat_days", 7, 14),
        ("season_max", 6, 2),
        ("rate_ml_per_l", 20.0, 10.0),
        ("max_l_per_m2", 0.2, 0.1),
        ("plant_back_days", 0, 30),
    ],
)
def test_each_line_of_a_crop_has_its_strict_side(name, lax, strict) -> None:
    one, other = (
        replace(label(3), crops=(CropLimits("bean_pole", **{name: value(v)}),))
        for v in (lax, strict)
    )
    for a, b in ((one, other), (other, one)):
        assert getattr(strictest(a, b).crops[0], name).value == strict


def test_a_crop_struck_from_the_label_is_refused() -> None:
    assert strictest(label(3), replace(label(3), crops=())).crops == ()
