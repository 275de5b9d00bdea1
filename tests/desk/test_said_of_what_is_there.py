"""What a sheet says of what lives there: named where it takes, and by looks that were taken."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from lattermath.desk.did_it_work import _looked_over
from lattermath.desk.leaf_disease_answers import _told
from lattermath.knowledge.tables import load_tables
from lattermath.planning import courses
from lattermath.planning.courses import gap_told
from lattermath.planning.leaf_disease_told import _says
from lattermath.planning.sick_leaves import SickLeaves
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import CourseStep, Population, Presence, Span, Verdict
from lattermath.vocabulary.tenths import about, span_of, tenths

NONE = Span(0.0, 0.0, 0.0, "")
EVENING = datetime(2026, 7, 24, 18, 0, tzinfo=UTC)


STEP = CourseStep(date(2026, 7, 24), "soap", "Soap", ("chives",), "Soap")
BARRED = "Nothing that takes of it may be used. Look again at the next visit."
NO_WORTH = "Nothing that may be used is worth its work now. Look again at the next visit."


RUN = Verdict("leeks", "let run", "leave", (), NONE, 0.0, 0.0, None, "let run")
HERE = (replace(STEP, plantings=("leeks",)),)
MILDEW, ON_IT = "cucurbit_powdery_mildew", "; powdery mildew of cucurbits is on it, "
NO_PAY = "Treatment does not pay now: left alone it costs about 2 portions."


def lives(what: str, says: str = NO_WORTH, course: tuple[CourseStep, ...] = (), *,
          seen: bool = True) -> Population:  # fmt: skip
    return Population(
        *(what, ("leeks",), "", (), course, says, NONE), where=(Presence("leeks", seen, NONE),)
    )  # fmt: skip


def told(takes: dict[str, float], *living: Population, ill: tuple[str, ...] = (),
         says: str = "let run") -> Verdict:  # fmt: skip
    """What is decided of leeks let run, of which each thing takes a share if left alone."""
    pests: Any = SimpleNamespace(
        cares={}, populations=living, takes={(what, "leeks"): n for what, n in takes.items()}
    )
    tables = load_tables()
    sick = [
        SickLeaves("leeks", what, tables.diseases[what].name, date(2026, 7, 20), 3) for what in ill
    ]
    permits: Any = SimpleNamespace(sick_on=lambda key: sick)
    plot: Any = SimpleNamespace(planting=lambda key: SimpleNamespace(crop="leek"))
    facts: Any = SimpleNamespace(tables=tables, plot=plot)
    return _told(facts, replace(RUN, says=says), pests, permits)


def decided(
    left: float, *, seen: bool, says: str = NO_WORTH, course: tuple[CourseStep, ...] = ()
) -> Verdict:
    """Leeks let run, of which insects leave a share; thrips were seen there, or are believed."""
    return told({"onion_thrips": 1 - left}, lives("onion_thrips", says, course, seen=seen))


def test_what_takes_of_a_planting_that_is_let_run_is_named_with_why_it_is_left() -> None:
    taken = decided(0.6, seen=True)
    on_it = "let run; onion thrips are on it, "
    assert taken.says == on_it + "and nothing that may be used is worth its work now"
    assert taken.minds
    barred = decided(0.6, seen=True, says=BARRED)
    assert barred.says == on_it + "and nothing that takes of it may be used"
    beside = decided(0.6, seen=True, says="One visit's work holds it down.", course=(STEP,))
    assert beside.says == on_it + "treated on other plantings only"
    why = lives("onion_thrips", course=(STEP,))
    why = replace(why, not_there=(("leeks", "here it saves no more than its work"),))
    assert told({"onion_thrips": 0.4}, why).says == (
        on_it + "treated on other plantings only, since here it saves no more than its work"
    )
    assert decided(0.99, seen=True).says == "let run"
    assert decided(0.6, seen=False).says == "let run"


def test_what_is_treated_is_named_also_where_a_disease_is_left_alone() -> None:
    """Cucumbers full of mites, jetted that week: only the mildew on them was named."""
    mites = lives("twospotted_spider_mite", "It holds it down.", HERE)
    mildew = lives(MILDEW, NO_PAY)
    takes = {"twospotted_spider_mite": 0.5, MILDEW: 0.1}
    assert told(takes, mildew, mites, ill=(MILDEW,)).says == (
        f"let run, with the course against twospotted spider mite{ON_IT}"
        "and treatment does not pay now"
    )
    fleece = told(takes, mildew, mites, says="let run, with fleece on cold nights").says
    assert fleece == "let run, with fleece on cold nights and the course against twospotted " \
        "spider mite"  # fmt: skip


def test_of_several_what_was_found_comes_first_and_of_the_rest_the_worst() -> None:
    whitefly = lives("greenhouse_whitefly", "It holds it down.", HERE, seen=False)
    mites = lives("twospotted_spider_mite", "It holds it down.", HERE)
    thrips, aphids = lives("onion_thrips"), lives("melon_aphid", BARRED)
    takes = {"greenhouse_whitefly": 0.6, "twospotted_spider_mite": 0.2, "onion_thrips": 0.1,
             "melon_aphid": 0.3, MILDEW: 0.15}  # fmt: skip
    assert told(takes, whitefly, thrips, mites, aphids).says == (
        "let run, with the course against twospotted spider mite and greenhouse whitefly; melon "
        "aphid is on it, and nothing that takes of it may be used"
    )
    mildew = lives(MILDEW, NO_PAY)
    left = told(takes, thrips, mildew, aphids, ill=(MILDEW,)).says
    assert left == (
        "let run; melon aphid is on it, and nothing that takes of it may be used"
        f"{ON_IT}and treatment does not pay now"
    )


@pytest.mark.parametrize(
    ("course", "says", "why"),
    [
        ((), "Treatment does not pay now: left alone it costs about 1 portions, and what may be "
         "used is not worth its work.", f"{ON_IT}and treatment does not pay now"),
        ((), "Nothing on hand takes of it; left alone it costs about 1 portions.",
         f"{ON_IT}and nothing on hand takes of it"),
        ((STEP,), "Treating at 2 visits slows it.",
         f"{ON_IT}treated on other plantings only"),
        (HERE, "Treating slows it.", ", with the course against powdery mildew of cucurbits"),
    ],
)  # fmt: skip
def test_a_leaf_disease_on_a_planting_that_is_let_run_is_named_alike(
    course: tuple[CourseStep, ...], says: str, why: str
) -> None:
    mildew = lives(MILDEW, says, course)
    assert told({MILDEW: 0.1}, mildew, ill=(MILDEW,)).says == f"let run{why}"


@pytest.mark.parametrize(
    ("seen", "day", "tells"),
    [
        (Sighting("leeks", "onion_thrips", "some", looked_at=10, total=8), 24, True),
        (Sighting("leeks", "onion_thrips", "count", looked_at=10, level="few"), 24, True),
        (Sighting("leeks", "onion_thrips", "count", counts=(1, 2)), 22, False),
        (Sighting("chives", "onion_thrips", "some", looked_at=10, total=8), 24, False),
        (Sighting("leeks", "melon_aphid", "some", looked_at=10, total=8), 24, False),
    ],
)
def test_leaves_with_any_count_as_a_look_after_a_treatment(
    seen: Sighting, day: int, *, tells: bool
) -> None:
    at = EVENING.replace(day=day)
    event = Event(7, "7", "sighting", 1, at, "UTC", at, seen)
    facts: Any = SimpleNamespace(events=(event,))
    found = _looked_over(facts, "onion_thrips", {"leeks"}, date(2026, 7, 21))
    assert found == ((7,) if tells else ())


def test_no_treatment_takes_ten_of_ten() -> None:
    assert [tenths(share) for share in (0.02, 0.8, 0.97)] == [
        "hardly any", "8 in 10", "nearly all",
    ]  # fmt: skip
    assert [about(share) for share in (0.8, 0.97)] == ["about 8 in 10", "nearly all"]
    assert span_of(0.62, 0.9) == " (6 to 9)"
    assert span_of(0.62, 0.99) == " (6 in 10 to nearly all)"
    assert not span_of(0.88, 0.93)


def test_both_sides_of_a_leaf_are_told_with_their_range() -> None:
    state = np.zeros((100, 1, 2))
    state[:, 0, 0] = np.linspace(0.0, 0.10, 100)
    state[:, 0, 1] = np.linspace(0.10, 0.30, 100)
    belief: Any = SimpleNamespace(
        state=state,
        stands=(SimpleNamespace(name="Melon"),),
        disease=SimpleNamespace(scout_threshold=None),
    )
    assert "5 % of the leaf on top (1 to 9) and 20 % underneath (12 to 28)." in _says(
        belief, 0, "mildew"
    )


def test_a_little_of_a_disease_is_not_told_as_none() -> None:
    """A colony on one leaf of a thousand is there; where there is none, none is told."""
    state = np.zeros((100, 1, 2))
    state[:, 0, 0] = np.linspace(0.001, 0.004, 100)
    belief: Any = SimpleNamespace(
        state=state,
        stands=(SimpleNamespace(name="Melon"),),
        disease=SimpleNamespace(scout_threshold=None),
    )
    told = _says(belief, 0, "mildew")
    assert "most on Melon, under 1 % of the leaf on top (0 to 0) and 0 % underneath" in told


@pytest.mark.parametrize(
    ("gap", "says"),
    [(0.004, "at most 1 %"), (0.31, "at most 31 %"), (1.0, "is not known"), (0.96, "is not known")],
)
def test_a_bound_that_leaves_all_open_gives_no_figure(gap: float, says: str) -> None:
    (told,) = gap_told(gap, "cutting planes")
    assert told.says.endswith(says) and ("100 %" not in told.says)


def test_where_more_are_likely_unseen_the_range_is_told_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """By the tenths of evenly spread draws, and not a bare number nobody counted."""
    spread = np.linspace(0.0, 1000.0, 101)
    number = np.column_stack([np.full(101, 2.0), spread])
    stands = (SimpleNamespace(key="beans", name="Beans"), SimpleNamespace(key="c", name="Cucumber"))
    belief: Any = SimpleNamespace(stands=stands)
    for name, value in (("threshold_said", ""), ("_flower_said", "")):
        monkeypatch.setattr(courses, name, lambda *_, value=value: value)
    monkeypatch.setattr(courses, "counted_today", lambda _: (number, "aphids", "leaf"))
    says = courses._says(belief, "melon aphid", {"beans"})
    assert says.endswith("More are likely on Cucumber: about 500 (100 to 900).")
