"""A sheet says once what is true of several bare beds, and of each what holds for it alone."""

from __future__ import annotations

from dataclasses import replace

from lattermath.sheets.bare_beds import bare_told
from lattermath.sheets.visit_sheet import text_sheet
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.plan import Plan

LATE = "Nothing begun now pays: it is too late. Lay mulch."
CLOSED = "Nothing may be planted yet: nobody may enter. Nobody works there before."
BEANS, KALE = "Next spring no beans or peas there.", "Next spring no cabbages there."


def bed(name: str, alike: str = LATE, spring: str = "", *, whole: bool = True) -> BareGround:
    says = " ".join(part for part in (f"Bed {name}: bare.", alike, spring) if part)
    return BareGround(f"bed {name}", 2.0, whole, False, says, (), (), alike, spring)


def told(*beds: BareGround) -> list[str]:
    return list(bare_told(beds, str))


def test_one_bed_is_told_as_the_plan_has_it() -> None:
    assert told(bed("A", spring=BEANS)) == [f"Bed A: bare. {LATE} {BEANS}"]


def test_beds_of_one_kind_are_told_once_with_what_must_not_follow_in_each() -> None:
    assert told(bed("A", spring=BEANS), bed("B", spring=KALE), bed("C", spring=BEANS)) == [
        f"Bed A, bed B and bed C: bare. {LATE} Bed A and bed C: {BEANS} Bed B: {KALE}"
    ]
    assert told(bed("A", spring=KALE), bed("B", spring=KALE)) == [
        f"Bed A and bed B: bare. {LATE} {KALE}"
    ]
    assert told(bed("A", spring=KALE), bed("B")) == [f"Bed A and bed B: bare. {LATE} Bed A: {KALE}"]


def test_a_closed_bed_and_a_part_of_one_are_never_lumped_with_the_rest() -> None:
    part = bed("D", whole=False)
    assert told(bed("A"), bed("B", CLOSED), part) == [
        f"Bed A: bare. {LATE}",
        f"Bed B: bare. {CLOSED}",
    ]


def test_the_sheet_says_the_paragraph_once(plan: Plan) -> None:
    late = replace(plan, bare=tuple(bed(name) for name in "ABCDEFG"))
    words = " ".join(text_sheet(late, "Plot 14").split())
    assert words.count(LATE) == 1 and "bed F and bed G: bare." in words
