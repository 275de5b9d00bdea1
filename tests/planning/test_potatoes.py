"""Blighted potatoes: the haulm comes off at once, the tubers two weeks later. Common practice."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from lattermath.planning.care import care_tasks
from lattermath.planning.potatoes import CUT, LIFT, kept_in_the_ground, lifted_from
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import Planting

ROW = Planting("spuds", "Potatoes", "potato", 20, "a")
TOMATOES = Planting("toms", "Tomatoes", "tomato_determinate", 6, "b")
SEEN = date(2026, 8, 4)


def works(visit: date, done: dict[tuple[str, str], date], blighted=("spuds", "toms")) -> list[str]:
    return [task.says for task in care_tasks(visit, [ROW, TOMATOES], done, blighted)
            if task.planting == "spuds"]  # fmt: skip


def test_blight_cuts_the_haulm_at_this_visit_and_names_the_day_of_lifting() -> None:
    (says,) = works(SEEN, {})
    assert "haulm" in says and "18 Aug" in says
    assert works(SEEN, {}, blighted=()) == []


def test_nothing_is_lifted_before_two_weeks_and_everything_after() -> None:
    done = {("spuds", CUT): SEEN}
    for day in range(1, 14):
        assert works(SEEN + timedelta(days=day), done) == []
    (says,) = works(SEEN + timedelta(days=14), done)
    assert "lift" in says
    assert works(SEEN + timedelta(days=16), {**done, ("spuds", LIFT): SEEN}) == []


def test_cutting_stands_after_the_clean_work_and_cannot_be_left() -> None:
    cut = next(t for t in care_tasks(SEEN, [ROW], {}, ["spuds"]) if "haulm" in t.says)
    assert cut.part == "sick plants last" and cut.must
    assert any("not to compost" in caution for caution in cut.cautions)


def test_picking_says_the_day_that_the_cut_says() -> None:
    """The day of lifting stands on the front and in the picking list alike, and only of tubers."""
    (says,) = works(SEEN, {})
    lift = lifted_from(SEEN, ROW, ["spuds", "toms"], {})
    assert lift == SEEN + timedelta(days=14) and "18 Aug" in says
    assert lifted_from(SEEN, ROW, [], {}) is None
    assert lifted_from(SEEN, TOMATOES, ["toms"], {}) is None
    cut = {("spuds", CUT): SEEN}
    assert lifted_from(SEEN + timedelta(days=5), ROW, [], cut) == lift
    assert lifted_from(SEEN + timedelta(days=20), ROW, [], {**cut, ("spuds", LIFT): SEEN}) is None


def test_waiting_for_the_tubers_opens_nothing_that_a_treatment_closes() -> None:
    zone, lift = ZoneInfo("Europe/London"), date(2026, 8, 18)
    day = datetime(2026, 8, 18, tzinfo=zone)
    later = datetime(2026, 8, 20, 20, 0, tzinfo=zone)
    clear, shut, never = (
        kept_in_the_ground(Clearance("spuds", now, until), lift, zone)
        for now, until in ((True, None), (False, later), (False, None))
    )
    assert [one.clear_now for one in (clear, shut, never)] == [False] * 3
    assert (clear.safe_from, shut.safe_from, never.safe_from) == (day, later, None)
    assert not clear.barred_by[0].holds and "blight" in clear.barred_by[0].says
