from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from lattermath.record.codec import to_plain
from lattermath.record.effective import effective, end_of_day, of_kind, visit_day
from lattermath.record.plot_facts import (
    ONE,
    Around,
    DayTyped,
    Holder,
    MonthTyped,
    NotKnown,
    WeatherFileNamed,
)
from lattermath.record.read_back import (
    days_typed,
    months_typed,
    plot_as_of,
    span_typed,
    treatments,
    weather_files_named,
)
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.events import (
    Care,
    Event,
    Picking,
    PlotRow,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    Treatment,
    Visit,
    Watering,
    WeatherTaken,
    Withdrawal,
)
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Bed, GardenRules, Planting, Plot, SeedPacket, StandbyLot, Tin

START = datetime(2026, 7, 20, 18, 0, tzinfo=UTC)
BED = Bed("north", "North bed", 0, 0, 4, 1.2)
BEANS = Planting(
    "beans", "beans", "pole_bean", 12, "north", sown=date(2026, 6, 10), vigour="worn", wilted=True
)
LOT = StandbyLot("cups", "zucchini", 6, date(2026, 7, 5), variety="bush", days_to_maturity=50)
SOAP = ProductLabel("soap", "Example soap", "fatty acids", "", litres_left=10.0)
TIN = Tin((SeedPacket("chard", 60, "red", 55),), cups=20, cup_ml=200, mix_litres=10)
FACTS = (
    ("place", ONE, Place("Millfield", 52.2, 0.1, "Europe/London")),
    ("bed", "north", BED),
    ("planting", "beans", BEANS),
    ("lot", "cups", LOT),
    ("shelf", "soap", SOAP),
    ("tin", ONE, TIN),
)


def on(day: int, hour: int = 18) -> datetime:
    """A time in July 2026, by day of July; 32 is 1 August."""
    return datetime(2026, 7, 1, hour, tzinfo=UTC) + timedelta(days=day - 1)


def july(day: int) -> date:
    return on(day).date()


def row(section: str, key: str, fact: object) -> PlotRow:
    return PlotRow(section, key, None if fact is None else to_plain(fact))


@pytest.fixture
def started(write):
    for fact in FACTS:
        write(row(*fact), at=START)
    return write


@pytest.fixture
def plot(journal, started):
    """The plot as of a day of July, from everything in the journal."""

    def as_of(day: int) -> Plot:
        return plot_as_of(journal.events(), july(day))

    return as_of


# Which entries count


def test_a_correction_takes_the_place_of_what_it_corrects(journal, write) -> None:
    wrong = write(Picking("beans", 12.0), at=on(21))
    other = write(Picking("peas", 1.0), at=on(22))
    right = write(Picking("beans", 1.2), at=on(21), supersedes=wrong.id)
    assert effective(journal.events()) == (right, other)
    assert len(journal.events()) == 3


def test_a_withdrawal_takes_the_whole_chain_back(journal, write) -> None:
    first = write(Picking("beans", 12.0))
    second = write(Picking("beans", 1.2), supersedes=first.id)
    write(Withdrawal("those were the neighbour's"), supersedes=second.id)
    assert effective(journal.events()) == ()


def test_as_known_reads_only_what_was_recorded_by_then(journal, write) -> None:
    first = write(Picking("beans", 12.0), at=on(21))
    late = write(Picking("peas", 1.0), at=on(20))
    right = write(Picking("beans", 1.2), at=on(21), supersedes=first.id)
    gone = write(Withdrawal(), supersedes=right.id)
    events = journal.events()
    assert effective(events, as_known=first.recorded_at) == (first,)
    assert effective(events, as_known=late.recorded_at) == (late, first)
    assert effective(events, as_known=right.recorded_at) == (late, right)
    assert effective(events, as_known=gone.recorded_at) == (late,)
    assert effective(events, as_known=first.recorded_at - timedelta(microseconds=1)) == ()


def test_what_counts_still_counts_when_asked_again(journal, write) -> None:
    first = write(Picking("beans", 12.0))
    write(Picking("beans", 1.2), supersedes=first.id)
    once = effective(journal.events())
    assert effective(once) == once


def test_a_day_ends_by_the_plots_own_clock() -> None:
    assert end_of_day(date(2026, 10, 25), "Europe/London") == datetime(
        2026, 10, 25, 23, 59, 59, 999999, tzinfo=UTC
    )
    assert end_of_day(date(2026, 7, 25), "Europe/London").astimezone(UTC).hour == 22


def test_work_past_midnight_belongs_to_the_visit_that_began_before(journal, write) -> None:
    zone_hour = timedelta(hours=1)  # British summer time
    begin = datetime(2026, 8, 9, 23, 20, tzinfo=UTC) - zone_hour
    write(Visit(90), at=begin)
    inside = write(Picking("beans", 1.0), at=begin + timedelta(minutes=80))
    outside = write(Picking("beans", 1.0), at=begin + timedelta(minutes=91))
    assert inside.day == date(2026, 8, 10)
    assert visit_day(inside, journal.events()) == date(2026, 8, 9)
    assert visit_day(outside, journal.events()) == date(2026, 8, 10)
    assert [visit.day for visit, _ in of_kind(journal.events(), Visit)] == [date(2026, 8, 9)]


# The plot as of a day


def test_the_plot_is_what_the_file_said(journal, plot, write) -> None:
    write(row("holder", ONE, Holder("A. Holder", "Plot 14")), at=START)
    write(row("garden", ONE, GardenRules(organic_only=True)), at=START)
    write(row("around", ONE, Around(True)), at=START)
    write(row("not known", "place.altitude_m", NotKnown("The altitude is not given.")), at=START)
    theirs = Planting("theirs", "theirs", "eggplant", 3, neighbours_plot=True)
    write(row("neighbour", "theirs", theirs), at=START)
    assert plot(20) == Plot(
        "Plot 14",
        "A. Holder",
        Place("Millfield", 52.2, 0.1, "Europe/London"),
        (BED,),
        (BEANS, theirs),
        (LOT,),
        (SOAP,),
        tin=TIN,
        rules=GardenRules(organic_only=True),
        bloom_near=True,
        rough=("The altitude is not given.",),
    )


def test_without_a_place_there_is_no_plot(journal, write) -> None:
    write(Visit())
    with pytest.raises(JournalError, match="no place"):
        plot_as_of(journal.events(), july(31))


def test_setting_out_from_a_lot_makes_a_planting_with_the_lots_own_days(started, plot) -> None:
    started(SettingOut("new-courgettes", "zucchini", 2, "north", "cups"), at=on(24))
    assert [p.key for p in plot(23).plantings] == ["beans"]
    assert plot(24).planting("new-courgettes") == Planting(
        "new-courgettes",
        "new courgettes",
        "zucchini",
        2,
        "north",
        sown=date(2026, 7, 5),
        set_out=july(24),
        variety="bush",
        days_to_maturity=50,
    )
    assert plot(24).lots == (replace(LOT, plants=4),)
    started(SettingOut("new-courgettes", "zucchini", 4, "north", "cups"), at=on(26))
    assert plot(26).planting("new-courgettes").plants == 6
    assert plot(26).planting("new-courgettes").set_out == july(24)
    assert plot(26).lots == ()


def test_own_seedlings_set_out_are_the_same_plants(started, plot) -> None:
    started(Sowing("chard", 20, planting="chard", bed="north"), at=on(21))
    assert plot(21).planting("chard").plants == 20
    started(SettingOut("chard", "chard", 8), at=on(40))
    chard = plot(40).planting("chard")
    assert (chard.plants, chard.sown, chard.set_out, chard.bed) == (8, july(21), july(40), "north")


def test_sowing_makes_a_lot_or_a_planting_and_empties_the_tin(started, plot) -> None:
    started(Sowing("chard", 12, lot="chard-cups", variety="red"), at=on(21))
    assert plot(21).lots == (
        LOT,
        StandbyLot("chard-cups", "chard", 12, july(21), 200.0, "home", "red", 55),
    )
    left = plot(21).tin
    assert (left.packets[0].seeds, left.cups) == (48, 8)
    assert left.mix_litres == pytest.approx(10 - 12 * 0.2)
    started(Sowing("chard", 60, planting="chard", bed="north"), at=on(22))
    assert plot(22).tin.packets[0].seeds == 0
    assert plot(22).tin.cups == 8  # sown in place: no cups
    assert plot(22).planting("chard").days_to_maturity == 55


def test_pulling_some_or_all(started, plot) -> None:
    started(Pulling("beans", 5), at=on(22))
    started(Pulling("beans"), at=on(25))
    assert plot(21).planting("beans").plants == 12
    assert plot(22).planting("beans").plants == 7
    assert plot(24).standing() == plot(24).plantings
    assert plot(25).planting("beans").pulled == july(25)
    assert plot(25).standing() == ()


def test_pulling_the_last_plants_ends_the_planting_and_a_lot_can_be_thrown_out(
    started, plot
) -> None:
    started(Pulling("beans", 12), at=on(22))
    started(Pulling("cups", 2), at=on(22))
    assert plot(22).planting("beans").pulled == july(22)
    assert plot(22).lots == (replace(LOT, plants=4),)
    started(Pulling("cups"), at=on(23))
    assert plot(23).lots == ()


def test_a_place_can_be_planted_again_under_the_same_name(started, plot) -> None:
    started(Pulling("beans"), at=on(22))
    started(Sowing("bush_bean", 30, planting="beans", bed="north"), at=on(23))
    assert plot(23).planting("beans") == Planting(
        "beans", "beans", "bush_bean", 30, "north", sown=july(23)
    )


def test_picking_watering_care_and_treatment_leave_their_mark(started, plot) -> None:
    started(Picking("beans", 0.4), at=on(21))
    started(Picking("beans", 0.6), at=on(24))
    started(Watering(20, bed="north"), at=on(22))
    started(Care("beans", "mulching"), at=on(23))
    started(Treatment(("beans",), "soap_spray", "soap", litres=4), at=on(24))
    assert plot(20).planting("beans").picked_first is None
    assert plot(24).planting("beans").picked_first == july(21)
    assert (plot(21).planting("beans").wilted, plot(22).planting("beans").wilted) == (True, False)
    assert (plot(22).beds[0].mulched, plot(23).beds[0].mulched) == (False, True)
    assert plot(23).shelf[0].litres_left == 10.0
    assert plot(24).shelf[0].litres_left == 6.0


def test_watering_another_bed_leaves_the_wilted_wilted(started, plot) -> None:
    started(Watering(20, bed="south"), at=on(22))
    started(Watering(20), at=on(22))
    assert plot(22).planting("beans").wilted


def test_work_on_what_is_not_there_changes_nothing(started, plot) -> None:
    before = plot(20)
    for payload in (
        Pulling("peas"),
        Picking("peas", 1),
        Watering(5, planting="peas"),
        Care("peas", "mulch"),
        Treatment(("peas",), "jet", "none such", litres=3),
        Sighting("peas", "aphid", "count"),
        Visit(),
    ):
        started(payload, at=on(21))
    assert plot(21) == before


def test_an_edit_of_the_file_changes_only_what_it_says_anew(started, plot) -> None:
    started(Pulling("beans", 5), at=on(22))
    started(Treatment(("beans",), "soap_spray", "soap", litres=4), at=on(22))
    started(
        row("planting", "beans", replace(BEANS, variety="climber", vigour="failing")), at=on(25)
    )
    started(row("shelf", "soap", replace(SOAP, group="X")), at=on(25))
    beans = plot(25).planting("beans")
    assert (beans.variety, beans.vigour, beans.plants) == ("climber", "failing", 7)
    assert plot(24).planting("beans").vigour == "worn"
    assert (plot(25).shelf[0].group, plot(25).shelf[0].litres_left) == ("X", 6.0)
    started(row("planting", "beans", replace(BEANS, plants=10)), at=on(26))
    assert plot(26).planting("beans").plants == 10
    started(row("shelf", "soap", replace(SOAP, litres_left=25.0)), at=on(27))
    assert plot(27).shelf[0].litres_left == 25.0
    started(row("planting", "beans", None), at=on(28))
    assert plot(28).plantings == ()
    assert plot(27).plantings != ()


def test_a_row_for_what_the_journal_made_adds_what_it_says(started, plot) -> None:
    started(SettingOut("courgettes", "zucchini", 3, "north", "cups"), at=on(22))
    said = Planting("courgettes", "By the gate", "zucchini", 3, resists=("mildew",))
    started(row("planting", "courgettes", said), at=on(24))
    planting = plot(24).planting("courgettes")
    assert (planting.name, planting.resists) == ("By the gate", ("mildew",))
    assert (planting.set_out, planting.bed, planting.plants) == (july(22), "north", 3)
    # asked for a day between, what the journal made is not doubled by the row written later
    assert plot(23).planting("courgettes").plants == 3


def test_a_day_before_the_file_was_written_is_answered_and_marked_rough(started, plot) -> None:
    plot_before = plot(15)
    assert plot_before.planting("beans") == replace(BEANS, vigour="sound", wilted=False)
    assert plot_before.lots == (LOT,)
    assert plot_before.rough == (
        "Nothing was written by 15 Jul of any planting: they are shown as first written down on "
        "20 Jul.",
    )
    assert plot(4).lots == ()  # sown on the 5th
    assert plot_as_of_june(plot) == ()
    started(row("planting", "peas", Planting("peas", "Peas", "pea_fall", 9)), at=on(24))
    assert plot(22).rough == (
        "Nothing was written by 22 Jul of some plantings (Peas): they are shown as first written "
        "down on 24 Jul.",
    )


def test_what_was_edited_since_a_day_is_named_and_not_plantings_only(started, plot) -> None:
    """A country and a label line entered today: asked for a day before, the sheet said nothing."""
    place = Place("Millfield", 52.2, 0.1, "Europe/London")
    started(row("place", ONE, replace(place, country="GB")), at=on(24))
    started(row("shelf", "soap", replace(SOAP, litres_left=25.0)), at=on(25))
    [said] = [one for one in plot(23).rough if "plot.toml" in one]
    assert said == (
        f"Put otherwise in plot.toml since 23 Jul, and not as it is now in this plan: the place, "
        f"{SOAP.name}. Of a label the stricter of each line counts."
    )
    [said] = [one for one in plot(24).rough if "plot.toml" in one]
    assert "the place" not in said
    assert not [one for one in plot(25).rough if "plot.toml" in one]


def plot_as_of_june(plot) -> tuple[Planting, ...]:
    return plot(1 - 22).plantings  # 9 June: a day before the beans were sown


def test_what_is_not_known_of_a_pulled_planting_no_longer_matters(started, plot) -> None:
    for address in ("planting.beans.plants", "planting.bed", "lot.beans.sown"):
        started(row("not known", address, NotKnown(address)), at=START)
    started(Pulling("beans"), at=on(22))
    assert plot(21).rough == ("planting.beans.plants", "planting.bed", "lot.beans.sown")
    assert plot(22).rough == ("planting.bed", "lot.beans.sown")


def test_weather_taken_in_answers_for_the_weather_until_it_is_withdrawn(started, plot) -> None:
    started(row("not known", "weather", NotKnown("No weather of the place is given.")), at=START)
    assert plot(21).rough == ("No weather of the place is given.",)
    taken = started(WeatherTaken("s.csv", "diary", "ab", july(1), july(2), 2), at=on(21))
    assert plot(21).rough == ()
    started(Withdrawal("of another place"), at=on(21), supersedes=taken.id)
    assert plot(21).rough == ("No weather of the place is given.",)


def test_corrections_reach_the_plot(journal, started, plot) -> None:
    wrong = started(Pulling("beans"), at=on(22))
    started(Pulling("beans", 2), at=on(22), supersedes=wrong.id)
    assert plot(22).planting("beans").plants == 10
    before = effective(journal.events(), as_known=wrong.recorded_at)
    assert plot_as_of(before, july(22)).planting("beans").pulled == july(22)


def test_entries_apply_in_the_order_they_happened_not_in_which_they_were_logged(
    started, plot
) -> None:
    started(Pulling("beans"), at=on(25))
    started(Picking("beans", 1.0), at=on(22))
    assert plot(25).planting("beans").picked_first == july(22)
    assert plot(25).planting("beans").pulled == july(25)


# Treatments and weather


def test_treatments_carry_crop_bed_and_active_for_each_planting(journal, started) -> None:
    event = started(Treatment(("beans", "theirs"), "soap_spray", "soap"), at=on(22))
    jet = started(Treatment(("beans",), "water_jet"), at=on(23))
    first = Applied(
        event.local,
        "soap_spray",
        "soap",
        "fatty acids",
        "",
        "spray",
        "beans",
        "pole_bean",
        "north",
        event.serial,
    )
    assert treatments(journal.events()) == (
        first,
        replace(first, planting="theirs", crop="", bed=None),
        Applied(
            jet.local,
            "water_jet",
            None,
            "water_jet",
            "",
            "",
            "beans",
            "pole_bean",
            "north",
            jet.serial,
        ),
    )
    assert treatments(journal.events())[0].at.utcoffset() == timedelta(hours=1)


def test_a_treatment_keeps_the_shelf_of_its_time(journal, started) -> None:
    started(Treatment(("beans",), "soap_spray", "soap"), at=on(10))  # before the file was written
    started(Treatment(("beans",), "soap_spray", "soap"), at=on(22))
    started(row("shelf", "soap", replace(SOAP, active="pyrethrins", group="3A")), at=on(23))
    started(Treatment(("beans",), "soap_spray", "soap"), at=on(24))
    actives = [(applied.active, applied.group) for applied in treatments(journal.events())]
    assert actives == [("fatty acids", ""), ("fatty acids", ""), ("pyrethrins", "3A")]


def test_weather_typed_in_is_read_up_to_the_day(journal, started) -> None:
    days = [DayTyped(july(day), 14.0, 25.0 + day) for day in (18, 19, 20)]
    for day in reversed(days):
        started(row("week", day.day.isoformat(), day), at=START)
    for month in (2, 1):
        started(row("normals", f"{month:02}", MonthTyped(month, 1, 7)), at=START)
    started(row("weather", "station.csv", WeatherFileNamed("station.csv")), at=START)
    events: Iterable[Event] = journal.events()
    assert days_typed(events, july(20)) == tuple((day, july(20)) for day in days)
    assert days_typed(events, july(19)) == tuple((day, july(20)) for day in days[:2])
    assert months_typed(events, july(20)) == (MonthTyped(1, 1, 7), MonthTyped(2, 1, 7))
    assert weather_files_named(events, july(20)) == ("station.csv",)


def test_a_day_typed_before_it_came_is_what_was_told_then(journal, started) -> None:
    told, came = DayTyped(july(24), 14.0, 30.0), DayTyped(july(24), 12.0, 21.0)
    started(row("week", "2026-07-24", told), at=on(22))
    started(row("week", "2026-07-24", came), at=on(25))
    events = journal.events()
    assert days_typed(events, july(21)) == ()  # nobody had typed it yet
    assert days_typed(events, july(22)) == ((told, july(22)),)
    assert days_typed(events, july(24)) == ((came, july(25)),)  # it had come: as known now
    assert span_typed(events) == (july(24), july(24))


def test_what_begins_after_the_day_asked_about_is_said_with_its_day(journal, write) -> None:
    """Written down later, and begun later still: not shown, and not passed over in silence."""
    write(row("place", ONE, FACTS[0][2]), at=START)
    kale = Planting("kale", "Kale", "kale", 3, set_out=date(2026, 9, 5))
    write(row("planting", "kale", kale), at=datetime(2026, 11, 26, 9, tzinfo=UTC))
    found = plot_as_of(journal.events(), july(27))
    assert not found.standing()
    (words,) = found.rough
    assert "Not begun yet by 27 Jul" in words and "Kale on Sat 5 Sep 2026" in words
    assert "Nothing was written" not in words  # it is not shown as written later
    then = plot_as_of(journal.events(), date(2026, 9, 6))
    assert then.standing() and not [one for one in then.rough if "Not begun" in one]
