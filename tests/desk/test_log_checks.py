"""What cannot have happened is refused, and what was written is said back in plain words."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk import clock
from lattermath.desk.after_picking import after_picking
from lattermath.desk.after_treatment import after_treatment
from lattermath.desk.log_names import (
    bed_key,
    ground,
    lot_key,
    planting_key,
    plot_now,
    product_key,
)
from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.look import look
from lattermath.desk.not_followed import not_followed
from lattermath.desk.start import start
from lattermath.desk.told_entries import record_of
from lattermath.doors.command import run
from lattermath.knowledge.stage_words import named_stages, stage_words
from lattermath.knowledge.tables import load_tables
from lattermath.record.plot_fold import PlotFold
from lattermath.vocabulary.errors import InputError, JournalError
from lattermath.vocabulary.events import (
    Care,
    Event,
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    Treatment,
    Visit,
    Watering,
    Withdrawal,
)
from lattermath.vocabulary.plot import Planting

PLOT = """
format = 1

[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
country = "GB"

[[bed]]
key = "a"
name = "bed A"
length_m = 3.0
width_m = 1.0

[[bed]]
key = "b"
name = "bed B"
length_m = 3.0
width_m = 1.0

[[planting]]
key = "courgettes"
name = "Courgettes"
crop = "courgette"
bed = "a"
plants = 3
set_out = 2026-06-01

[[planting]]
key = "beans-1"
name = "Pole beans by the gate"
crop = "climbing bean"
plants = 12
sown = 2026-05-15

[[planting]]
key = "beans-2"
name = "Pole beans by the shed"
crop = "climbing bean"
plants = 12
sown = 2026-05-20

[[lot]]
key = "lot-1"
name = "Spare cucumbers"
crop = "cucumber"
plants = 5
sown = 2026-07-10

[[lot]]
key = "lot-2"
name = "Spare courgettes"
crop = "courgette"
plants = 4
sown = 2026-07-12

[[week]]
first = 2026-07-20
highs_c = [24, 26, 27, 25]
lows_c = [13, 14, 15, 15]

[[shelf]]
key = "soap"
name = "Shelf soap"
active = "soap"
form = "spray"
re_entry_hours = 12

[shelf.crops.courgette]
pre_harvest_days = 3
"""
NOW = datetime(2026, 8, 1, 12, 0, tzinfo=UTC)
EVENING = datetime(2026, 7, 25, 19, 0)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: NOW)
    tmp_path.joinpath("plot.toml").write_text(PLOT, encoding="utf-8")
    start(tmp_path, datetime(2026, 7, 20, 8, 0, tzinfo=UTC))
    return tmp_path


def seen(what: str, measure: str = "count", **more: object) -> Sighting:
    return Sighting("courgettes", what, measure, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("payload", "said"),
    [
        (Picking("beans-1", 500.0), "weight: more than these plants can bear"),
        (Picking("courgettes", None, 0), "--items: a picking is one or more"),
        (Pulling("courgettes", 20), r"--plants: not that many.*Courgettes: 3 plants"),
        (Pulling("courgettes", 0), "--plants: not that many"),
        (Visit(-5), "--minutes: no stay lasts that long"),
        (Visit(1441), "--minutes: no stay lasts that long"),
        (SettingOut("new", "cucumber", 6, "b", "lot-1"), "Spare cucumbers: 5 plants"),
        (SettingOut("new", "courgette", 2, "b", "lot-1"), "holds another crop.*cucumbers"),
        (SettingOut("courgettes", "courgette", 2, "b", "lot-2"), "name already.*courgettes-2"),
        (SettingOut("Courgettes", "courgette", 2, "b"), "a planting of this name already"),
        (SettingOut("beans-1", "cucumber", 2, "b"), "a planting of this name already"),
        (Sowing("radish", 20, planting="Pole beans by the shed"), "of this name already"),
        (Sowing("radish", 20, lot="Spare cucumbers"), "a lot of this name already"),
        (Sowing("radish", 20, lot="new", cup_ml=-5.0), "--cup-ml: this is no cup"),
        (seen("whitefly", stage="bananas", counts=(3,), looked_at=1), "no such stage.*scales"),
        (seen("aphids", stage="eggs", counts=(3,), looked_at=1), "no such stage.*nymph"),
        (seen("whitefly", "severity", percent=15.0), "insect is counted.*log count courgettes"),
        (seen("mildew", counts=(3,), looked_at=1), "given in percent.*log severity"),
        (seen("whitefly", "card", counts=(3,), days=0), "--days: a card does not hang that long"),
        (seen("twospotted_spider_mite", "card", counts=(3,), days=7), "a card says nothing"),
        (seen("mildew", "card", counts=(3,), days=7), "disease is given in percent"),
        (seen("mildew", "shake", level="few", looked_at=1), "disease is given in percent"),
        (seen("whitefly", "shake", level="few", looked_at=9), "--plants: not that many"),
        (
            seen("caterpillar", "shake", level="heavy", looked_at=1),
            "do not fly up.*count courgettes cat",
        ),
        (seen("aphids", "shake", level="few", looked_at=1), "these do not fly up.*log count"),
        (seen("spider mites", "shake", level="few", looked_at=1), "these do not fly up"),
        (seen("squash bugs", "shake", level="few", looked_at=1), "these do not fly up"),
        (seen("thrips", "shake", level="few", looked_at=1), "these do not fly up"),
        (seen("whitefly", "some", total=11, looked_at=10), "more leaves had some than were looked"),
        (
            seen("mildew", "some", total=3, looked_at=10),
            "disease is given in percent.*log severity",
        ),
        (seen("mildew", "severity", percent=5.0, looked_at=-3), "--leaves: nobody looks"),
        (seen("whitefly", counts=(12037582,), looked_at=1), "no leaf holds that many.*12,0,3"),
        (seen("whitefly", counts=(3, 10**20), looked_at=2), "counts: no leaf holds that many"),
        (seen("whitefly", total=99_999, looked_at=1), r"no leaf holds.*99999 on 1 leaf"),
        (seen("whitefly", "shake", total=40_000, looked_at=2), "no plant holds that many"),
        (seen("whitefly", "card", counts=(123456,), days=7), "no card holds that many"),
        (seen("a small green thing", counts=(123456,), looked_at=1), "no leaf holds that many"),
        (seen("whitefly", counts=(3, -1), looked_at=2), "counts: nobody counts fewer than none"),
        (seen("whitefly", total=-1, looked_at=2), "counts: nobody counts fewer than none"),
        (seen("whitefly", total=0, looked_at=10**7), "--leaves: nobody looks at that many"),
    ],
)
def test_what_cannot_be_is_refused_with_its_remedy(
    folder: Path, payload: Payload, said: str
) -> None:
    with pytest.raises(InputError, match=said) as refused:
        log(folder, payload, EVENING)
    assert all(fault.remedy and fault.where for fault in refused.value.faults)
    with pytest.raises(InputError, match=said):
        log(folder, payload)


@pytest.mark.parametrize(
    "payload",
    [
        Picking("courgettes", 9.0),
        Picking("beans-1", 12.0),  # 12 plants, up to 0.34 kg each in a season of the tables
        Picking("beans-1", 2.0, 40),
        Pulling("courgettes", 3),
        Visit(1),
        Visit(),
        SettingOut("new", "cucumber", 5, "b", "lot-1"),
        SettingOut("beans-1", "climbing bean", 9),  # its own seedlings, thinned out
        Sowing("radish", 20, lot="lot-3", cup_ml=50.0),
        seen("whitefly", stage="scales", counts=(3,), looked_at=1),
        seen("whitefly", stage="Adults", counts=(3,), looked_at=1),
        seen("aphids", stage="nymphs", counts=(3,), looked_at=1),
        seen("a small green thing", stage="bananas", counts=(3,), looked_at=1),
        seen("whitefly", counts=(9000, 10_000), looked_at=2),
        seen("whitefly", total=90_000, looked_at=10),
        seen("mildew", "severity", percent=15.0),
    ],
)
def test_what_can_be_is_taken(folder: Path, payload: Payload) -> None:
    assert log(folder, payload, EVENING).serial


def test_the_bound_of_a_picking_is_three_good_seasons_of_its_plants(folder: Path) -> None:
    """The table gives 3.6 kg as the most of one courgette plant; 3 plants, 3 seasons: 32.4 kg."""
    log(folder, Picking("courgettes", 32.3), EVENING)
    with pytest.raises(InputError, match=r"more than 32\.4 kg"):
        log(folder, Picking("courgettes", 32.5), EVENING)


def test_none_found_of_a_disease_is_nothing_of_the_leaf(folder: Path) -> None:
    event = log(folder, seen("mildew", looked_at=10, total=0), EVENING)
    assert isinstance(event.payload, Sighting)
    assert (event.payload.measure, event.payload.percent) == ("severity", 0.0)
    assert event.payload.looked_at == 10


def test_a_planting_is_pulled_once(folder: Path) -> None:
    log(folder, Pulling("courgettes", 2), EVENING)
    with pytest.raises(InputError, match=r"Courgettes: 1 plant\. Leave"):
        log(folder, Pulling("courgettes", 2), EVENING)
    log(folder, Pulling("courgettes"), EVENING)
    with pytest.raises(InputError, match="it was pulled on Sat 25 Jul"):
        log(folder, Pulling("courgettes", 1), EVENING)
    log(folder, SettingOut("courgettes", "courgette", 4, "a", "lot-2"), EVENING)


def test_a_correction_is_judged_without_what_it_corrects(folder: Path) -> None:
    wrong = log(folder, Pulling("courgettes"), EVENING)
    right = log(folder, Pulling("courgettes", 1), EVENING, supersedes=str(wrong.serial))
    with pytest.raises(InputError, match="Courgettes: 3 plants"):
        log(folder, Pulling("courgettes", 4), EVENING, supersedes=str(right.serial))
    assert plot_now(folder).planting("courgettes").plants == 2


def test_a_correction_happened_when_the_entry_did_that_it_puts_right(folder: Path) -> None:
    """Counted wrong on the 25th, put right on 1 August: still of the 25th, and what follows too."""
    wrong = log(folder, seen("whitefly", counts=(3,), looked_at=1), EVENING)
    right = log(folder, seen("whitefly", counts=(5,), looked_at=1), supersedes=wrong.id)
    assert (right.happened_at, right.zone) == (wrong.happened_at, wrong.zone)
    assert right.recorded_at > right.happened_at
    said = log(
        folder, seen("whitefly", counts=(5,), looked_at=1), EVENING.replace(day=26), right.id
    )
    assert said.day == EVENING.date().replace(day=26)
    sprayed = log(folder, Treatment(("beans-1",), "", "soap"), EVENING)
    meant = log(folder, Treatment(("courgettes",), "", "soap"), supersedes=sprayed.id)
    (clear,) = after_treatment(folder, meant, plot_now(folder))
    assert clear == "Courgettes: not to be picked before Tue 28 Jul 19:00."  # the label: 3 days
    withdrawn = log(folder, Withdrawal(), supersedes=meant.id)
    assert withdrawn.happened_at == NOW


def test_a_correction_taken_back_says_that_what_was_before_stays_gone(folder: Path) -> None:
    first = log(folder, seen("whitefly", counts=(3,), looked_at=1), EVENING)
    second = log(folder, seen("whitefly", counts=(5,), looked_at=1), supersedes=first.id)
    gone = log(folder, Withdrawal(), supersedes=second.id)
    (said,) = echo(folder, gone)
    stays = f"entry {first.serial}, which it had put right, does not count again: write it down"
    assert f"entry {second.serial} taken back" in said and stays in said
    record = record_of(folder).entries
    assert stays in record[0].says and not any(one.may_undo for one in record[:3])
    third = log(folder, seen("whitefly", counts=(3,), looked_at=1), EVENING)
    fourth = log(folder, seen("whitefly", counts=(5,), looked_at=1), supersedes=third.id)
    fifth = log(folder, seen("whitefly", counts=(6,), looked_at=1), supersedes=fourth.id)
    (said,) = echo(folder, log(folder, Withdrawal(), supersedes=fifth.id))
    assert f"entries {third.serial} and {fourth.serial}, which it had put right, do not" in said
    alone = log(folder, Visit(5), EVENING)
    (said,) = echo(folder, log(folder, Withdrawal(), supersedes=alone.id))
    assert "count again" not in said


def test_a_correction_is_judged_by_the_plot_of_its_own_day(folder: Path) -> None:
    """Of three courgettes two were pulled on the 28th; what was pulled before was one of three."""
    wrong = log(folder, Pulling("courgettes", 1), EVENING)
    log(folder, Pulling("courgettes", 2), EVENING.replace(day=28))
    right = log(folder, Pulling("courgettes", 3), supersedes=wrong.id)
    assert right.day == EVENING.date()
    with pytest.raises(InputError, match="Courgettes: 3 plants"):
        log(folder, Pulling("courgettes", 4), supersedes=right.id)


def test_what_was_forgotten_is_judged_by_its_own_day(folder: Path) -> None:
    log(folder, Pulling("courgettes", 2), EVENING)
    log(folder, Pulling("courgettes", 2), EVENING.replace(day=24))  # three stood there then
    assert plot_now(folder).planting("courgettes").pulled is not None


def caution(folder: Path, planting: str, at: datetime) -> str:
    event = log(folder, Picking(planting, 0.5), at)
    return " ".join(after_picking(folder, event, plot_now(folder)))


def test_a_picking_inside_the_waiting_period_is_kept_with_a_caution(folder: Path) -> None:
    assert caution(folder, "courgettes", EVENING) == ""
    log(folder, Treatment(("courgettes",), "", "soap"), EVENING.replace(hour=20))
    assert caution(folder, "courgettes", EVENING) == ""  # an hour before the spray
    late = caution(folder, "courgettes", EVENING.replace(day=28))
    assert late.startswith("CAUTION: do not eat this picking. Courgettes, not clear yet: ")
    assert "treated Sat 25 Jul, clear Tue 28 Jul 20:00" in late  # the label: 3 days
    assert caution(folder, "courgettes", EVENING.replace(day=28, hour=20)) == ""
    log(folder, Treatment(("beans-1",), "", "soap"), EVENING.replace(hour=20))
    assert "not known when it is clear" in caution(folder, "beans-1", EVENING.replace(day=30))
    pickings = [e for e in entries(folder) if isinstance(e.payload, Picking)]
    assert len(pickings) == 5


def entries(folder: Path) -> tuple[Event, ...]:
    from lattermath.desk.wiring import folder_at, open_journal

    with open_journal(folder_at(folder)) as journal:
        return journal.events()


@pytest.mark.parametrize(
    ("find", "words", "key"),
    [
        (planting_key, "courgettes", "courgettes"),
        (planting_key, "the gate", "beans-1"),
        (planting_key, "POLE BEANS BY THE SHED", "beans-2"),
        (planting_key, "beans 2", "beans-2"),
        (lot_key, "Spare cucumbers", "lot-1"),
        (lot_key, "lot-2", "lot-2"),
        (lot_key, "cucumber", "lot-1"),
        (bed_key, "bed B", "b"),
        (product_key, "shelf soap", "soap"),
    ],
)
def test_names_are_taken_as_written(
    folder: Path, find: Callable[..., str], words: str, key: str
) -> None:
    assert find(plot_now(folder), words) == key


@pytest.mark.parametrize(
    ("find", "words", "said"),
    [
        (planting_key, "pole beans", r"beans-1 \(Pole beans by the gate\) or beans-2"),
        (lot_key, "spare", r"lot-1 \(Spare cucumbers\) or lot-2 \(Spare courgettes\)"),
        (planting_key, "bed A", "there is no such planting"),
        (lot_key, "courgettes-9", "there is no such lot.*Spare cucumbers"),
        (product_key, "courgettes", "no such product"),
        (planting_key, "", "there is no such planting"),
        (ground, "be", "more than one bed or planting"),
    ],
)
def test_a_name_that_fits_two_or_none_is_refused(
    folder: Path, find: Callable[..., str], words: str, said: str
) -> None:
    with pytest.raises(InputError, match=said):
        find(plot_now(folder), words)


@pytest.mark.parametrize(
    ("payload", "said"),
    [
        (Pulling("courgettes", 1), "1 plant of Courgettes pulled, to compost; 2 are left"),
        (Pulling("courgettes", 2), "2 plants of Courgettes pulled, to compost; 1 is left"),
        (Pulling("courgettes"), "all of Courgettes pulled, to compost"),
        (Visit(1), "a visit of 1 minute"),
        (Visit(70), "a visit of 70 minutes"),
        (Watering(20.0, bed="a"), "«20 l» of water to bed A"),
        (Picking("beans-1", 1.5, 1), "«1.5 kg» and 1 piece of Pole beans by the gate picked"),
        (Care("courgettes", "mulch"), "Courgettes: mulch"),
        (
            SettingOut("new", "cucumber", 4, "b", "lot-1"),
            "4 plants set out as new in bed B from Spare cucumbers; 1 is left",
        ),
        (Sowing("radish", 1, lot="r"), "1 seed of radish sown in cups as r"),
        (
            seen("whitefly", stage="scales", counts=(3, 1), looked_at=2),
            "4 whitefly (scales) on 2 leaves of Courgettes",
        ),
        (seen("aphids", looked_at=1, total=0), "no aphids on 1 leaf of Courgettes"),
    ],
)
def test_what_was_written_is_said_back(folder: Path, payload: Payload, said: str) -> None:
    before = plot_now(folder)
    event = log(folder, payload, EVENING)
    told = echo(folder, event, before)
    assert told == (f"Logged as entry {event.serial}: {said}, 2026-07-25 19:00.",)


def test_a_word_of_ones_own_is_kept_and_said_to_be_so(folder: Path) -> None:
    event = log(folder, seen("whitefyl", looked_at=1, counts=(3,)), EVENING)
    assert "your own word" in echo(folder, event)[1] and "whitefly?" in echo(folder, event)[1]
    strange = log(folder, seen("sunburn", looked_at=1, counts=(3,)), EVENING)
    assert "Did you mean" not in echo(folder, strange)[1]


@pytest.mark.parametrize(
    ("surface", "said"),
    [
        ("top", "15 % of the leaf tops of Courgettes"),
        ("underside", "15 % of the leaf undersides of Courgettes"),
        ("whole", "15 % of the leaf of Courgettes"),
    ],
)
def test_the_side_that_was_judged_is_read_back(folder: Path, surface: str, said: str) -> None:
    event = log(folder, seen("mildew", "severity", percent=15.0, surface=surface), EVENING)
    assert said in echo(folder, event, plot_now(folder))[0]


def test_a_class_without_leaves_asks_for_them(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["log", "count", "courgettes", "aphids", "few", "--plot", str(folder)]
    assert run(words) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "--leaves: how many leaves it is of is missing. Write it, as in --leaves 10." in told
    assert run(["log", "none", "courgettes", "aphids", "--plot", str(folder)]) == 2
    assert "how many leaves it is of is missing" in " ".join(capsys.readouterr().err.split())
    assert run([*words, "--leaves", "-3"]) == 2
    assert "too small (found: -3)" in capsys.readouterr().err


def test_what_cannot_stand_beside_an_entry_of_the_day_is_asked_about_at_once(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def say(*words: str) -> str:
        assert run(["log", *words, "--at", "2026-07-25 19:00", "--plot", str(folder)]) == 0
        return " ".join(capsys.readouterr().out.split())

    first = say("count", "courgettes", "whitefly", "1,0,2,0,1")
    assert "ASK" not in first
    again = say("count", "courgettes", "whitefly", "0,3,1")
    assert "ASK" not in again
    many = say("count", "courgettes", "whitefly", "heavy", "--leaves", "10")
    serials = [event.serial for event in entries(folder) if isinstance(event.payload, Sighting)]
    assert f"ASK: does this go with entry {serials[0]} and {serials[1]}?" in many
    assert f"log withdraw {serials[2]}, or {serials[1]}." in many


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("corgette", r"Did you mean courgette"),
        ("tomatoe", "Did you mean tomato"),
        ("qwxz", r"Known: aubergine, .*winter squash\.$"),
    ],
)
def test_a_crop_is_suggested_only_when_it_is_near(folder: Path, word: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        log(folder, Sowing(word, 3, lot="new"), EVENING)


def test_withdrawing_twice_is_refused_in_words(folder: Path) -> None:
    first = log(folder, Picking("courgettes", 1.0), EVENING)
    gone = log(folder, Withdrawal("wrong bed"), EVENING, supersedes=str(first.serial))
    taken = f"entry {first.serial} taken back (picking of Sat 25 Jul 19:00)"
    assert taken in echo(folder, gone)[0]
    with pytest.raises(JournalError) as refused:
        log(folder, Withdrawal(), EVENING, supersedes=str(first.serial))
    told = str(refused.value)
    assert f"entry {first.serial}, picking of Sat 25 Jul 19:00" in told
    assert f"Entry {gone.serial} withdrew it" in told
    assert first.id not in told and gone.id not in told


def test_a_treatment_is_logged_with_the_plot_put_together_once(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []
    begin = PlotFold.__init__

    def counted(self: PlotFold) -> None:
        made.append(1)
        begin(self)

    monkeypatch.setattr(PlotFold, "__init__", counted)
    assert run(["log", "treated", "courgettes,the gate", "soap", "--plot", str(folder)]) == 0
    assert len(made) == 2  # the plot; and, to clear pickings, what was treated


def test_a_planting_named_twice_is_treated_once(folder: Path) -> None:
    event = log(folder, Treatment(("courgettes", "courgettes"), "", "soap"), EVENING)
    assert isinstance(event.payload, Treatment) and event.payload.plantings == ("courgettes",)
    assert after_treatment(folder, event) == after_treatment(folder, event, plot_now(folder))


def test_a_class_is_kept_and_of_a_disease_it_is_of_the_leaf_taken(folder: Path) -> None:
    for what, measure, told in (
        ("whitefly", "count", "whitefly, few a leaf, on 10 leaves of Courgettes"),
        (
            "mildew",
            "severity",
            "powdery mildew of cucurbits, few, on the leaf undersides of Courgettes",
        ),
    ):
        event = log(folder, seen(what, level="few", looked_at=10), EVENING)
        assert isinstance(event.payload, Sighting)
        assert (event.payload.measure, event.payload.level) == (measure, "few")
        assert told in echo(folder, event, plot_now(folder))[0]


def test_what_was_pulled_is_asked_about_when_logged_and_refused_when_looked_at(
    folder: Path,
) -> None:
    """Three plants pulled one by one are as gone as three pulled at once."""
    for day in (21, 22, 23):
        log(folder, Pulling("courgettes", 1), datetime(2026, 7, day, 19, 0))
        entry = log(folder, seen("aphid", looked_at=2, counts=(5, 3)), EVENING)
        asks = [says for says in echo(folder, entry) if says.startswith("ASK: ")]
        assert len(asks) == (day == 23)
        log(folder, Withdrawal("slip"), EVENING, supersedes=str(entry.serial))
    assert "all of these plants were pulled" in asks[0]
    with pytest.raises(InputError, match=r"pulled on Thu 23 Jul.*Standing are: beans-1, beans-2"):
        look(folder, "courgettes", ("greenfly",), (), EVENING.date())
    assert look(folder, "courgettes", ("greenfly",), (), date(2026, 7, 23)).seen
    assert run(("look", "courgettes", "--seen", "greenfly", "--plot", str(folder))) != 0


def test_of_what_is_out_no_sheet_says_to_look(folder: Path) -> None:
    """What nobody reckons: a line while the plants stand, none when they are out."""
    noticed = Event(9, "9", "sighting", 1, NOW, "UTC", NOW, seen("greenish things"))
    stands = Planting("courgettes", "Courgettes", "courgette", 3)
    for planting, lines in ((stands, 1), (replace(stands, pulled=EVENING.date()), 0)):
        place = SimpleNamespace(lies_in="europe")
        plot = SimpleNamespace(plantings=(planting,), place=place)
        facts: Any = SimpleNamespace(events=(noticed,), plot=plot, tables=load_tables())
        permits: Any = SimpleNamespace(sick_on=lambda _key: ())
        assert len(not_followed(facts, set(), permits)) == lines


def test_what_flies_up_is_taken_of_a_shaken_plant(folder: Path) -> None:
    """By the trade's word: whiteflies, leaf beetles and small moths rise; of others nobody says."""
    for what in ("whitefly", "flea beetles", "striped cucumber beetle", "pale little flies"):
        entry = log(folder, seen(what, "shake", level="few", looked_at=1), EVENING)
        assert entry.payload.measure == "shake"  # type: ignore[attr-defined]


def test_stages_are_offered_in_plain_words_only() -> None:
    """No id of a table stands among them, and each that is offered is taken."""
    for insect in load_tables().organisms.values():
        offered = stage_words(insect.stages)
        assert offered and not any("_" in word for word in offered)
        assert all(named_stages(word, insect.stages) for word in offered)
        named = {one for word in offered for one in named_stages(word, insect.stages)}
        assert named == {*insect.stages}, insect.id
