"""What fits into a visit, checked against the hours it is given."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lattermath.planning.evening_order import fit, short_of_time
from lattermath.planning.visit_plan import Ingredients, visit_plan
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import Part, Task, TaskKind

DAY = date(2025, 8, 5)
ARRIVE = datetime(2025, 8, 5, 18, 30, tzinfo=ZoneInfo("Europe/Berlin"))


def evening(stay: int) -> Evening:
    leave = ARRIVE + timedelta(minutes=stay)
    return Evening(DAY, ARRIVE, leave, None, None, None, None, None, None, None, None, None, None)


def task(key: str, kind: TaskKind, part: Part, minutes: float, must: bool = False) -> Task:
    return Task(key, kind, part, key, minutes, must=must)


SPRAY = task("spray", "treat", "last job", 10, must=True)
PICK = task("pick", "pick", "pick", 30)
LOOK = task("look", "look", "look", 15)


def test_the_wait_for_the_last_job_is_filled() -> None:
    # 40 minutes of work asked for, but the spray keeps one there for 60: 50 lie before it.
    kept = fit((PICK, LOOK, SPRAY), evening(60), 40)
    assert [t.id for t in kept.tasks] == ["pick", "look", "spray"]
    assert kept.tasks[-1].ends == ARRIVE + timedelta(minutes=60)


def test_nothing_is_added_that_would_delay_the_last_job() -> None:
    kept = fit((PICK, LOOK, SPRAY), evening(50), 40)
    assert [t.id for t in kept.left_out] == ["look"]


def test_without_a_last_job_the_minutes_asked_for_bind() -> None:
    kept = fit((PICK, LOOK), evening(60), 40)
    assert [t.id for t in kept.left_out] == ["look"]


def test_no_water_is_promised_that_nobody_has_time_to_carry() -> None:
    must = task("must", "treat", "last job", 40, must=True)
    water = task("Water at the foot: beans 2 cans.", "water", "on arrival", 10)
    found = Ingredients((must, water), water_left="2 cans to beans and 3 cans spare.")
    told = visit_plan(evening(40), 40, found).water_left
    assert told.startswith("no time for it") and "spare" not in told


def test_however_urgent_nothing_pushes_the_last_job_into_the_dark() -> None:
    urgent = task("urgent", "set out", "replace", 70, must=True)
    kept = fit((urgent, SPRAY), evening(60), 80)
    assert [t.id for t in kept.left_out] == ["urgent"]
    assert kept.tasks[-1].ends is not None
    assert kept.tasks[-1].ends <= ARRIVE + timedelta(minutes=60)


def test_what_touches_sick_plants_comes_after_all_clean_ones() -> None:
    """Clean beds before sick ones, within picking and looking, and before setting out too."""
    work = (
        replace(task("look sick", "look", "look", 5), planting="sick"),
        replace(task("look clean", "look", "look", 5), planting="clean"),
        replace(task("tie sick", "care", "care", 5), planting="sick"),
        replace(task("tie clean", "care", "care", 5), planting="clean"),
        replace(task("set out", "set out", "replace", 5), planting=None),
        replace(task("pull", "pull", "sick plants last", 5), planting="sick"),
        replace(task("pick sick", "pick", "pick", 5), planting="sick"),
        replace(task("pick clean", "pick", "pick", 5), planting="clean"),
    )
    kept = fit(work, evening(60), 60, sick={"sick"})
    assert [one.id for one in kept.tasks] == [
        *("pick clean", "pick sick", "look clean", "look sick"),
        *("tie clean", "set out", "tie sick", "pull"),
    ]


def test_what_hands_carry_a_disease_from_is_touched_after_all_else() -> None:
    """Looked at and tended after every other planting, those with a pest included."""
    work = (
        replace(task("cut", "care", "sick plants last", 5), planting="blighted"),
        replace(task("look at it", "look", "look", 5), planting="blighted"),
        replace(task("weed it", "care", "sick plants last", 5), planting=None),
        replace(task("tie lousy", "care", "care", 5), planting="lousy"),
        replace(task("look lousy", "look", "look", 5), planting="lousy"),
        replace(task("tie clean", "care", "care", 5), planting="clean"),
        replace(task("weed clean", "care", "care", 5), planting=None),
        SPRAY,
    )
    kept = fit(work, evening(90), 90, sick={"lousy", "blighted"}, carried={"blighted"})
    assert [one.id for one in kept.tasks] == [
        *("look lousy", "tie clean", "weed clean", "tie lousy"),
        *("look at it", "cut", "weed it", "spray"),
    ]


def conditional(key: str, part: Part, minutes: float, *, must: bool = False) -> Task:
    crush = task(f"crush {key}", "treat", part, minutes, must=must)
    return replace(crush, planting=key, only_if="the look finds some there")


def look_at(key: str, minutes: float = 4) -> Task:
    return replace(task(f"look {key}", "look", "look", minutes), planting=key)


def test_what_waits_for_a_look_stays_only_with_it_and_crowds_no_picking_out() -> None:
    waiting = [conditional(key, "sick plants last", 9) for key in "abc"]
    looks = [look_at(key) for key in "dabc"]
    due = replace(task("pick", "pick", "pick", 12), if_skipped="they run to marrows")
    for minutes in range(10, 70, 3):
        kept = fit((*waiting, *looks, due), evening(120), minutes)
        ids = [one.id for one in kept.tasks]
        assert "pick" in ids or minutes < 12
        for one in kept.tasks:
            if one.only_if:
                assert f"look {one.planting}" in ids
                assert ids.index(f"look {one.planting}") < ids.index(one.id)
        assert len(kept.tasks) + len(kept.left_out) == 8
    assert len(ids) == 8
    # 12 to pick, three looks that decide, one thing that hangs on them; the look at d is for itself
    assert {one.id for one in fit((*waiting, *looks, due), evening(120), 33).tasks} == {
        *("pick", "look a", "look b", "look c", "crush a"),
    }


@pytest.mark.parametrize("minutes", range(4, 40))
def test_a_look_with_its_treatment_takes_the_place_of_what_stands_and_waits(minutes: int) -> None:
    """4 and 9 minutes, before 12 of a picking of which nothing is lost and 5 of tying in.

    By hand: the two together from 13 minutes on; with less, the picking from 12, the look alone
    from 4; what is left over goes to the next of them that fits.
    """
    work = (conditional("a", "sick plants last", 9), look_at("a"),
            task("pick", "pick", "pick", 12), task("tie", "care", "care", 5))  # fmt: skip
    ids = {one.id for one in fit(work, evening(120), minutes).tasks}
    assert ("crush a" in ids) == (minutes >= 13)
    assert ("look a" in ids) == (minutes >= 13 or 4 <= minutes < 12)
    assert ("pick" in ids) == (minutes == 12 or minutes >= 25)
    assert ("tie" in ids) == (9 <= minutes < 12 or 18 <= minutes < 25 or minutes >= 30)


def test_when_time_is_short_the_look_is_named_with_the_must_that_waits_for_it() -> None:
    waiting = conditional("a", "sick plants last", 9, must=True)
    assert short_of_time((look_at("b"), look_at("a"), PICK, waiting)) == "Do 2 and 4."
    sure = replace(waiting, only_if="")
    assert short_of_time((look_at("b"), look_at("a"), PICK, sure)) == "Do 4."


def test_a_look_goes_before_what_is_hosed_on_arrival() -> None:
    jet = replace(conditional("a", "on arrival", 5), method="water_jet")
    other = replace(task("jet b", "treat", "on arrival", 5), method="water_jet", planting="b")
    kept = fit((other, jet, task("pick", "pick", "pick", 5), look_at("a")), evening(60), 60)
    assert [one.id for one in kept.tasks] == ["look a", "jet b", "crush a", "pick"]


def test_what_is_hosed_anyway_is_counted_before_it_too() -> None:
    jet = replace(task("jet b", "treat", "on arrival", 5), method="water_jet", planting="b")
    kept = fit((jet, task("pick", "pick", "pick", 5), look_at("b")), evening(60), 60)
    assert [one.id for one in kept.tasks] == ["look b", "jet b", "pick"]


def test_thirst_comes_before_what_a_spray_saves() -> None:
    """Two hours' water and spray for one hour: water has no price beside the spray's portions."""
    water = task("water", "water", "on arrival", 39, must=True)
    spray = replace(task("spray", "treat", "last job", 25, must=True), worth=9.0)
    kept = fit((spray, water), evening(50), 50)
    assert [one.id for one in kept.tasks] == ["water"]
    both = fit((spray, water), evening(70), 70)
    assert [one.id for one in both.tasks] == ["water", "spray"]


def test_a_must_that_waits_for_a_look_keeps_it() -> None:
    sure = conditional("a", "sick plants last", 30, must=True)
    kept = fit((sure, replace(look_at("a"), must=True), PICK), evening(60), 40)
    assert [one.id for one in kept.tasks] == ["look a", "crush a"]


def crushed(key: str, minutes: float, worth: float | None, *, must: bool = True) -> Task:
    return replace(conditional(key, "sick plants last", minutes, must=must), worth=worth)


def test_musts_keep_the_minutes_and_what_saves_most_a_minute_is_done() -> None:
    """26, 20 and 10 minutes with looks of 4; 1.2, 3 and 2 portions are 0.05, 0.15 and 0.2 each."""
    work = (crushed("a", 26, 1.2), crushed("b", 20, 3.0), crushed("c", 10, 2.0),
            *(replace(look_at(key), must=True) for key in "abc"))  # fmt: skip
    for minutes, done in ((13, "b"), (14, "c"), (37, "c"), (38, "bc"), (67, "bc"), (68, "abc")):
        kept = fit(work, evening(minutes + 25), minutes)
        assert kept.minutes <= minutes
        crush = {one.planting for one in kept.tasks if one.kind == "treat"}
        assert crush == (set(done) if minutes > 13 else set())


def test_what_is_only_expected_beats_a_must_that_saves_less_a_minute() -> None:
    seen, expected = crushed("a", 20, 1.0), crushed("b", 20, 2.0, must=False)
    looks = replace(look_at("a"), must=True), look_at("b")
    kept = fit((seen, expected, *looks, PICK), evening(60), 30)
    assert [one.id for one in kept.tasks] == ["look b", "look a", "crush b"]
    kept = fit((seen, replace(expected, worth=0.9), *looks), evening(60), 30)
    assert [one.id for one in kept.tasks] == ["look a", "look b", "crush a"]


def test_a_look_whose_treatment_has_no_time_makes_room_for_what_has() -> None:
    """The look at a decides 40 minutes' work: in 20 the sick plants come out first."""
    out = replace(task("out", "pull", "sick plants last", 17, must=True), planting="b")
    kept = fit((crushed("a", 40, 9.0), replace(look_at("a"), must=True), out), evening(45), 20)
    assert [one.id for one in kept.tasks] == ["out"]


def test_what_is_ready_is_picked_before_the_spray_that_closes_it() -> None:
    spray = replace(SPRAY, planting="a", product="soap", minutes=10.0)
    pick = replace(task("pick a", "pick", "pick", 20), planting="a")
    kept = fit((spray, look_at("c", 15), replace(PICK, planting="b"), pick), evening(35), 35)
    assert [one.id for one in kept.tasks] == ["pick a", "spray"]


def test_what_dies_tonight_is_kept_and_its_minutes_told() -> None:
    frost = [replace(task(key, "pick", "pick", 25, must=True), says=f"{key}: before the frost.",
                     dies=True) for key in ("Beans", "Basil")]  # fmt: skip
    late = replace(SPRAY, minutes=30.0)
    told = visit_plan(evening(65), 40, Ingredients((late, PICK, *frost)))
    assert [one.id for one in told.tasks] == ["Beans", "Basil"]
    assert told.warning == "10 minutes more than you have: stay longer, or leave out basil"
    assert {*told.no_time} == {"spray", "pick"}
    fits = visit_plan(evening(75), 50, Ingredients((late, PICK, *frost)))
    assert not fits.warning


def test_what_fills_the_wait_for_a_last_job_is_told() -> None:
    told = visit_plan(evening(60), 40, Ingredients((PICK, LOOK, SPRAY)))
    assert told.minutes == 55
    assert told.short_of_time == (
        "Do 3. 15 of these minutes are beyond your 40: the last job waits for its hour."
    )


def test_what_follows_is_done_with_what_comes_out_or_neither() -> None:
    """14 and 10 minutes: where 20 are free, others get them, and none is spent on half a change."""
    out = replace(task("out", "pull", "replace", 14), planting="a")
    sow = replace(task("sow", "sow", "replace", 10), planting="a")
    kept = fit((out, sow, replace(PICK, minutes=18.0)), evening(60), 20)
    assert [one.id for one in kept.tasks] == ["pick"]
    kept = fit((out, sow, replace(PICK, minutes=18.0)), evening(60), 30)
    assert [one.id for one in kept.tasks] == ["out", "sow"]


@pytest.mark.parametrize(
    ("says", "told"),
    [
        ("pick off and crush by hand: cucumbers.", "Cucumbers: pick off and crush by hand."),
        (
            "shelf soap (invented), undersides and tops of pole beans as your label says.",
            "Pole beans: shelf soap (invented).",
        ),
    ],
)
def test_a_treatment_left_out_names_its_plants(says: str, told: str) -> None:
    waiting = replace(conditional("a", "last job", 30), says=f"Only if the look finds some: {says}")
    waiting = replace(waiting, only_if="the look finds some")
    assert visit_plan(evening(20), 20, Ingredients((waiting,))).left_out == (told,)
