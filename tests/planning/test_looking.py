"""The looking plan: what decides first, then worth a minute; and what is not worth looking at."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from lattermath.desk.pest_parts import with_telling
from lattermath.planning.awaited_count import awaited
from lattermath.planning.looking import (
    LONG_AGO_DAYS,
    MINUTES_A_LOOK,
    STALE_AFTER_DAYS,
    after_looks,
    first_look,
    looking_tasks,
    not_worth_looking,
)
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting

VISIT = date(2025, 8, 5)
A_WEEK_AGO = VISIT - timedelta(days=STALE_AFTER_DAYS + 1)


def watch(key: str, minutes: float | None, **more: object) -> Watch:
    worth = None if minutes is None else LookWorth(minutes, 0.2, 12, "treat", "leave it")
    one = Watch("greenhouse_whitefly", "greenhouse whitefly", Planting(key, key.title(), "kale", 4),
                A_WEEK_AGO, suspected=True, worth=worth)  # fmt: skip
    return replace(one, **more)


def order(*watches: Watch) -> list[str | None]:
    return [task.planting for task in looking_tasks(VISIT, watches)]


def test_what_decides_comes_first_then_what_is_worth_most_a_minute() -> None:
    deciding = watch("a", 1.0, decides="the treatment")
    assert order(watch("b", 9.0), watch("c", 30.0), deciding) == ["a", "c", "b"]


def test_what_tells_why_a_sighting_did_not_fit_comes_before_what_is_worth_more() -> None:
    """It fell under "no time for" beside a look worth two minutes."""
    told = watch("kale", 0.0, tells_why=True)
    assert order(watch("beans", 90.0), told, watch("chard", 40.0)) == ["kale", "beans", "chard"]
    decides = watch("peas", 0.0, decides="soap on Tuesday")
    assert order(told, decides) == ["peas", "kale"]


def test_a_crop_given_up_for_what_nobody_saw_is_looked_at_first_and_when_time_is_short() -> None:
    """Aubergines were told as lost to aphids of the bed beside, and no look asked for any."""
    never = watch("aubergines", 0.0, hangs="whether the crop is lost", last_looked=None)
    assert order(watch("beans", 90.0), never) == ["aubergines", "beans"]
    (task,) = looking_tasks(VISIT, [never])
    assert task.must and task.says.endswith("Tells whether the crop is lost.")
    assert task.if_skipped == "nobody knows of aubergines whether the crop is lost"
    lately = replace(never, last_looked=VISIT - timedelta(days=2))
    assert order(lately) == [] and not_worth_looking(VISIT, [never]) == []


def test_it_is_looked_for_beside_what_a_treatment_waits_for_on_other_parts() -> None:
    """Four plants: beetles are looked for on the plants, aphids on leaves; both are asked for."""
    beetles = replace(
        watch("aubergines", 5.0, decides="the treatment"), organism="colorado_potato_beetle"
    )
    aphids = replace(
        watch("aubergines", 0.0, hangs="whether the crop is lost", last_looked=None),
        organism="green_peach_aphid",
    )
    (task,) = looking_tasks(VISIT, [beetles, aphids])
    assert {one.organism for one in task.wanted} == {"colorado_potato_beetle", "green_peach_aphid"}
    assert "Decides the treatment. Tells whether the crop is lost." in task.says


def test_two_things_on_one_planting_add_up() -> None:
    mites = replace(watch("b", 7.0), organism="twospotted_spider_mite")
    assert order(watch("c", 8.0), watch("b", 5.0), mites) == ["b", "c"]


def test_what_is_not_worth_its_minutes_is_said_and_not_asked_for() -> None:
    poor = watch("poor", 0.5)
    assert order(poor, watch("c", 30.0)) == ["c"]
    (said,) = not_worth_looking(VISIT, [poor, watch("c", 30.0)])
    assert said.planting == "poor" and not said.because[0].holds
    assert "worth about 0.5 min of work, and it takes 4" in said.because[0].says


def test_what_was_not_looked_at_for_long_is_looked_at_whatever_is_reckoned() -> None:
    ago = VISIT - timedelta(days=LONG_AGO_DAYS)
    assert order(watch("poor", 0.0, last_looked=ago)) == ["poor"]
    assert order(watch("new", 0.0, last_looked=None)) == ["new"]


def test_a_look_says_what_to_write_down_of_each_thing() -> None:
    many = Planting("b", "B", "kale", 12)
    mildew = watch("b", 7.0, organism="cucurbit_powdery_mildew", planting=many)
    beetles = watch("b", 7.0, organism="colorado_potato_beetle", planting=many)
    (task,) = looking_tasks(VISIT, [watch("b", 9.0, planting=many), mildew, beetles])
    asked = {(one.organism, one.says, one.stage, one.share_of) for one in task.wanted}
    assert asked == {
        ("greenhouse_whitefly", "pale scales", "scales", None),
        ("cucurbit_powdery_mildew", "% below", "", "underside"),
        ("cucurbit_powdery_mildew", "% above", "", "top"),
        ("colorado_potato_beetle", "beetles", "", None),
    }


def test_a_look_that_pays_is_asked_for_though_nothing_is_suspected() -> None:
    quiet = watch("quiet", MINUTES_A_LOOK + 1, suspected=False)
    assert order(quiet) == ["quiet"]
    assert order(replace(quiet, worth=None)) == []
    assert order(replace(quiet, last_looked=VISIT - timedelta(days=1))) == []


def test_the_sheet_says_at_which_count_to_turn() -> None:
    (task,) = looking_tasks(VISIT, [watch("c", 30.0)])
    says = [reason.says for reason in task.because]
    assert (
        "the look is worth about 30 min of work: treat from 12 in all on 10, below leave it" in says
    )


def test_the_count_to_turn_at_is_of_as_many_plants_as_there_are() -> None:
    few = watch("c", 30.0)
    assert few.worth is not None
    (task,) = looking_tasks(VISIT, [replace(few, worth=replace(few.worth, of=5))])
    assert any("treat from 12 in all on 5, below" in reason.says for reason in task.because)


def test_a_plot_nobody_looked_at_is_looked_over_once() -> None:
    """One task for all, rough and short; none where nothing stands."""
    stands = [Planting(f"p{n}", f"P{n}", "kale", 1) for n in range(9)]
    (told,) = first_look(date(2026, 7, 28), stands)
    assert told.kind == "look" and told.planting is None and not told.must
    assert (
        told.minutes <= 10 and told.minutes > first_look(date(2026, 7, 28), stands[:1])[0].minutes
    )
    assert "nothing does" in told.says  # that nothing is there is worth writing down
    assert not first_look(date(2026, 7, 28), [])


def test_what_was_looked_at_tonight_is_not_asked_for_again() -> None:
    deciding = watch("a", 30.0, decides="the treatment", decides_on=VISIT)
    assert order(deciding) == ["a"]
    assert order(replace(deciding, last_looked=VISIT)) == []
    assert order(replace(deciding, last_looked=VISIT - timedelta(days=1))) == ["a"]


def test_leaves_and_plants_are_not_counted_in_one_look_where_few_plants_stand() -> None:
    beetles = replace(watch("b", 7.0), organism="colorado_potato_beetle")
    (task,) = looking_tasks(VISIT, [watch("b", 9.0), beetles])
    assert {one.organism for one in task.wanted} == {"greenhouse_whitefly"}
    waits = replace(beetles, decides="the treatment")
    (task,) = looking_tasks(VISIT, [watch("b", 9.0), waits])
    assert {one.organism for one in task.wanted} == {"colorado_potato_beetle"}
    many = Planting("b", "B", "kale", 12)
    (task,) = looking_tasks(
        VISIT, [watch("b", 9.0, planting=many), replace(beetles, planting=many)]
    )
    assert len(task.wanted) == 2


def test_a_look_that_tells_why_one_did_not_fit_is_asked_for_once() -> None:
    """Looked at two days ago and worth next to nothing, and yet it is among the looks."""
    ago = VISIT - timedelta(days=2)
    (odd,) = with_telling([watch("kale", 0.1, last_looked=ago)], ["kale"])
    assert order(odd) == ["kale"] and not not_worth_looking(VISIT, [odd])
    (task,) = looking_tasks(VISIT, [odd])
    assert task.minutes == MINUTES_A_LOOK
    assert task.says.endswith("Tells why the last look did not fit.")
    (after,) = after_looks([odd], [(VISIT, task)])
    assert not looking_tasks(VISIT + timedelta(days=2), [after])
    (other,) = with_telling([watch("kale", 0.1, last_looked=ago)], ["beans"])
    assert order(other) == []


def soap(days_ago: int) -> dict[str, object]:
    """Soap of some days before the visit, which nobody counted since."""
    day = VISIT - timedelta(days=days_ago)
    return {"awaited": (awaited("Soap", day, 7),), "last_looked": day}


def test_a_spray_that_waits_for_a_count_is_counted_on_leaves_that_are_turned_anyway() -> None:
    """ "Count there from Tue on" stood above a look that turned ten of these leaves for mites."""
    mites = watch("kale", 9.0, organism="twospotted_spider_mite", organism_name="mites")
    (task,) = looking_tasks(VISIT, [mites, watch("kale", None, **soap(3))])
    asked = {one.organism for one in task.wanted}
    assert asked == {"greenhouse_whitefly", "twospotted_spider_mite"}
    told = f"Soap of {VISIT.day - 3} Aug"
    assert task.says.endswith(f" Tells what {told} took.")
    (why,) = [b for b in task.because if "tells what" in b.says]
    assert why.says == f"a count from {VISIT.day - 1} Aug on tells what {told} took"
    assert why.rests_on == ("event:7",)


def test_a_count_too_soon_after_a_spray_is_not_asked_for() -> None:
    assert not looking_tasks(VISIT, [watch("kale", None, **soap(1))])


def test_a_spray_that_waits_for_a_count_has_a_look_of_its_own_once() -> None:
    """Before what is worth nothing, after what decides; and not again at the visit after."""
    sprayed, poor = watch("kale", 0.0, **soap(3)), watch("beans", 0.0, last_looked=None)
    assert order(poor, sprayed) == ["kale", "beans"]
    assert order(sprayed, watch("peas", 0.0, decides="soap on Tuesday")) == ["peas", "kale"]
    (task,) = looking_tasks(VISIT, [sprayed])
    (after,) = after_looks([sprayed], [(VISIT, task)])
    assert not looking_tasks(VISIT + timedelta(days=2), [after]) and not after.awaited


def test_of_few_plants_the_count_that_a_spray_waits_for_is_not_left_out() -> None:
    beetles = watch("kale", 90.0, organism="colorado_potato_beetle")
    (task,) = looking_tasks(VISIT, [beetles, watch("kale", None, **soap(4))])
    assert {one.organism for one in task.wanted} >= {"greenhouse_whitefly"}
