"""A look at a planting of a plot: its record speaks, later days do not, words are told back."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from lattermath.desk import log_visit, look_by_plan
from lattermath.desk.diagnose import diagnose
from lattermath.desk.look import look
from lattermath.desk.look_by_plan import PlannedLook, odds_by_plan, water_by_plan
from lattermath.desk.look_facts import GroundWater, known_of
from lattermath.desk.look_parts import look_parts
from lattermath.desk.look_words import as_data, told, what_to_count
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.doors.command import run
from lattermath.planning.next_look import Deed
from lattermath.record.read_back import effective
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Care, Sighting, Watering
from lattermath.vocabulary.place import Place, Region

DAY = date(2024, 8, 4)
PLOT = """
format = 1
[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
region = "europe"
[[planting]]
name = "Kale"
crop = "kale"
plants = 6
set_out = 2024-06-05
[[planting]]
name = "Late lettuce"
crop = "lettuce_head"
plants = 6
set_out = 2024-07-30
[[week]]
first = 2024-07-25
highs_c = [29, 30, 31, 30, 29, 30, 31]
lows_c = [15, 16, 16, 15, 15, 16, 17]
[[week]]
first = 2024-08-01
highs_c = [30, 31, 30, 29]
lows_c = [15, 16, 16, 15]
"""


@pytest.fixture
def plot(tmp_path: Path) -> Path:
    (tmp_path / "plot.toml").write_text(PLOT, "utf-8")
    start(tmp_path)
    return tmp_path


def test_white_specks_on_kale_lead_to_a_count_and_a_course(plot: Path) -> None:
    looked = look(plot, "Kale", ("white specks fly up when I shake the kale",), (), DAY)
    lines = "\n".join(told(looked))
    assert looked.seen == ("white_insect_cloud",)
    assert "Seen: cloud of tiny white insects" in lines
    assert next(iter(looked.found.told.probabilities)) == "cabbage_whitefly"
    assert "lattermath log count kale cabbage_whitefly" in lines and "lattermath plan" in lines
    assert "grey spots on the wings" in lines and "nothing here is certain" in lines
    assert "100 %" not in lines and "  0 %" not in lines


def test_what_to_count_next_is_what_the_plan_asks_to_count(plot: Path) -> None:
    """Eggs where the next look of the plan asks eggs; scales, as growers count, where not."""
    looked = look(plot, "Kale", ("white specks fly up when I shake the kale",), (), DAY)
    eggs = {"cabbage_whitefly": "whitefly eggs"}
    asked = replace(looked, planned=(PlannedLook(DAY, "Kale: count whitefly eggs.", (), eggs),))
    usual, by_plan = ("\n".join(told(one)) for one in (looked, asked))
    assert "count pale scales: lattermath log count kale cabbage_whitefly 12,0,3 (" in usual
    assert "Then: count whitefly eggs, as the plan asks: lattermath log count kale " in by_plan
    assert "12,0,3 --stage eggs (or few --leaves 10 --stage eggs)" in by_plan
    assert "pale scales" not in by_plan


@pytest.mark.parametrize(
    ("told_as", "latitude", "longitude", "region"),
    [
        ("general", 51.5, -0.6, "europe"),
        ("general", 42.4, -76.5, "north_america"),
        ("general", -30.0, -51.2, "elsewhere"),
        ("north_america", 51.5, -0.6, "north_america"),
    ],
)
def test_whose_pests_a_place_has_is_told_or_goes_by_where_it_lies(
    told_as: Region, latitude: float, longitude: float, region: str
) -> None:
    assert Place("Here", latitude, longitude, "UTC", region=told_as).lies_in == region


def test_a_wilted_vine_of_a_plot_in_europe_is_not_given_causes_of_america(tmp_path: Path) -> None:
    """The plot file names no region; what is taken is said."""
    vines = PLOT.replace('region = "europe"\n', "").replace('crop = "kale"', 'crop = "cucumber"')
    (tmp_path / "plot.toml").write_text(vines, "utf-8")
    start(tmp_path)
    lines = "\n".join(told(look(tmp_path, "Kale", ("sudden_wilt_one_vine",), (), DAY)))
    assert "Causes of Europe are weighed, by where the plot lies" in lines
    assert "Verticillium" in lines and "bacterial wilt" not in lines and "squash bug" not in lines


def test_a_plot_on_neither_side_is_not_given_causes_of_either(tmp_path: Path) -> None:
    """The insects are named by hand: none of them lives in New South Wales."""
    for crop, seen, strangers in (
        ("sweet corn", "bored_stalk_broken_tassel", ("European corn borer",)),
        (
            "courgette",
            "sudden_wilt_one_vine",
            ("bacterial wilt", "squash vine borer", "squash bug"),
        ),
    ):
        folder = tmp_path / crop.replace(" ", "-")
        folder.mkdir()
        file = PLOT.replace('region = "europe"\n', "").replace('crop = "kale"', f'crop = "{crop}"')
        file = file.replace("latitude = 51.5", "latitude = -33.8")
        file = file.replace("longitude = -0.6", "longitude = 150.8")
        (folder / "plot.toml").write_text(file, "utf-8")
        start(folder)
        lines = "\n".join(told(look(folder, "Kale", (seen,), (), DAY)))
        assert lines.count("pests of your own region are not in the tables") == 1
        assert not [one for one in strangers if one.casefold() in lines.casefold()]
    seen_now = Sighting("kale", "squash bug", "first seen")
    event = log_visit.log(folder, seen_now, datetime(2024, 8, 4, 10))
    assert event.payload == replace(seen_now, what="squash_bug")  # nameable all the same


def test_a_cause_of_two_species_is_counted_as_their_kind(tmp_path: Path) -> None:
    """To name one of them would shut the other out before a count could tell."""
    cucumbers = '[[planting]]\nname = "Cucumbers"\ncrop = "cucumber"\nplants = 4\n[[week]]'
    (tmp_path / "plot.toml").write_text(PLOT.replace("[[week]]", cucumbers, 1), "utf-8")
    start(tmp_path)
    for seen, kind in (("white cloud", "whitefly"), ("soft_insect_clusters", "aphid")):
        looked = look(tmp_path, "Cucumbers", (seen,), (), DAY)
        cause = next(iter(looked.found.told.probabilities))
        assert len(looked.tables.crosswalk.cause_joins[cause]) == 2
        found = what_to_count(looked)
        assert found is not None and found[0] == kind
        assert f"lattermath log count cucumbers {kind} 12,0,3" in "\n".join(told(looked))
        assert set(looked.tables.crosswalk.cause_joins[cause]) <= set(
            looked.tables.crosswalk.kinds[kind]
        )


def test_without_anything_seen_it_says_where_to_look(plot: Path) -> None:
    lines = told(look(plot, "Kale", (), (), DAY))
    assert lines[1].startswith("What to look at") and len(lines) == 5


def test_the_record_answers_what_it_knows(plot: Path) -> None:
    kale, lettuce = (look(plot, name, (), (), DAY).known for name in ("Kale", "Late lettuce"))
    assert "recently_transplanted" in kale.absent and "recently_transplanted" in lettuce.present
    assert kale.factors["damping_off"] == 0 and "damping_off" not in lettuce.factors
    assert kale.factors["spray_burn"] < 1


def test_what_was_counted_on_the_plot_raises_its_cause_and_later_days_do_not_count(
    plot: Path,
) -> None:
    before = look(plot, "Kale", ("sticky leaves",), (), DAY).found.told.probabilities
    seen = Sighting("late-lettuce", "cabbage_whitefly", "count", counts=(4, 7), looked_at=2)
    log_visit.log(plot, seen, datetime(2024, 8, 2, 19, 0))
    after = look(plot, "Kale", ("sticky leaves",), (), DAY)
    assert after.found.told.probabilities["cabbage_whitefly"] > before["cabbage_whitefly"]
    assert any("found elsewhere on the plot" in says for says in after.known.says)
    earlier = look(plot, "Kale", ("sticky leaves",), (), date(2024, 8, 1))
    assert not any("found" in says for says in earlier.known.says)


def test_what_the_grower_says_outranks_the_record(plot: Path) -> None:
    looked = look(plot, "Kale", ("recently_transplanted",), (), DAY)
    assert looked.seen == ("recently_transplanted",)
    assert "recently_transplanted" in looked.known.absent  # and yet the answer is the grower's


def test_data_say_the_same_as_the_words(plot: Path) -> None:
    data = as_data(look(plot, "Kale", ("white cloud",), ("sticky leaves",), DAY))
    assert data["present"] == ["white_insect_cloud"] and data["absent"] == ["honeydew_sticky"]
    assert data["next_look"] and data["causes"][0]["cause"] == "cabbage_whitefly"


def test_unknown_words_and_plantings_are_refused(plot: Path) -> None:
    with pytest.raises(InputError) as refused:
        look(plot, "Kale", (), ("honydew sticki",), DAY)
    assert refused.value.faults[0].where == "--not"
    assert "sticky shiny honeydew on leaves" in refused.value.faults[0].remedy
    with pytest.raises(InputError):
        look(plot, "Roses", (), (), DAY)


def test_the_command_answers(plot: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ["look", "Kale", "--seen", "white cloud", "--not", "sticky leaves", "--plot", str(plot)]
    assert run([*words, "--on", "2024-08-04"]) == 0
    assert "May be behind it" in capsys.readouterr().out
    assert run([*words, "--json"]) == 0
    assert '"next_look"' in capsys.readouterr().out
    assert run(["look", "Kale", "--seen", "qqqq", "--plot", str(plot)]) == 2
    assert "not known as something seen" in capsys.readouterr().err


def test_the_parts_of_a_page_say_the_same_as_the_words(plot: Path) -> None:
    looked = look(plot, "Kale", ("white cloud",), ("sticky leaves",), DAY)
    parts, lines = look_parts(looked), "\n".join(told(looked))
    assert [(one.sign, one.answer) for one in parts.answered] == [
        ("white_insect_cloud", "seen"),
        ("honeydew_sticky", "not"),
    ]
    for cause in parts.causes:
        assert f"{cause.chance:3d} %  {cause.name}: {cause.deed}" in lines
    assert f"{parts.none_of_these:3d} %  something that is not listed" in lines
    assert not parts.untold or f"{parts.untold:3d} %  something else that is listed" in lines
    assert parts.next_look is not None
    assert f"Next look ({parts.next_look.minutes:g} min): " in lines
    assert parts.next_look.sign in {one.sign for one in parts.to_ask}
    assert not {one.sign for one in parts.to_ask} & {"white_insect_cloud", "honeydew_sticky"}
    assert parts.count is not None
    assert f"lattermath log count kale {parts.count.subject} 12,0,3" in lines
    assert not parts.hold_back
    assert look_parts(look(plot, "Kale", (), (), DAY)).nothing_seen


def test_ground_that_the_plan_reckons_moist_speaks_against_thirst_and_dry_ground_for_it(
    plot: Path,
) -> None:
    """By the odds of the tables: a factor on a prior moves the odds of its cause by so much."""
    tables, seen = look(plot, "Kale", (), (), DAY).tables, ["wilt_midday_recovers"]
    kale = look(plot, "Kale", (), (), DAY).planting
    chance = {}
    for name, left in (("dry", 10.0), ("moist", 30.0), ("full", 49.0)):
        known = known_of(kale, (), None, DAY, tables, GroundWater(DAY, left, 20.0, 50.0))
        told = diagnose(tables, "kale", "europe", seen, (), known.factors).told.probabilities
        chance[name] = (told["water_stress"], told["waterlogged_roots"])
        assert any("by the plan of 04 Aug" in says for says in known.says)
    bare = diagnose(tables, "kale", "europe", seen).told.probabilities
    assert chance["moist"][0] < bare["water_stress"] < chance["dry"][0]
    doubtful = known_of(kale, (), None, DAY, tables, GroundWater(DAY, 30.0, 20.0, 50.0, 12.0))
    assert doubtful.factors["water_stress"] == 1.0  # short in one case of ten: no word against it
    assert not any("reckoned moist enough" in says for says in doubtful.says)
    assert chance["dry"][1] < bare["waterlogged_roots"] < chance["full"][1]


def test_the_ground_is_known_by_a_plan_of_the_day_until_somebody_waters(plot: Path) -> None:
    course = {"planting": "kale", "so_far": {"median": [30.0, 12.0]}, "due": [20.0, 21.0, 22.0],
              "full": [50.0, 51.0, 52.0]}  # fmt: skip
    with open_journal(folder_at(plot)) as journal:
        serial = journal.events()[-1].serial
        kept = {
            "stamp": {"as_of": "2024-08-04T18:00:00+01:00", "serial": serial},
            "water": [course],
        }
        journal.keep_plan("a" * 64, DAY, json.dumps(kept))
        there = water_by_plan(journal, "kale", DAY)
        assert there == GroundWater(DAY, 12.0, 21.0, 51.0)
        assert water_by_plan(journal, "kale", date(2024, 8, 6)) is None
        assert water_by_plan(journal, "late-lettuce", DAY) is None
    log_visit.log(plot, Watering(20.0, planting="kale"), datetime(2024, 8, 4, 19, 0))
    with open_journal(folder_at(plot)) as journal:
        assert water_by_plan(journal, "kale", DAY) is None


def test_the_looks_of_the_newest_plan_are_told_with_how_they_are_reckoned(plot: Path) -> None:
    wanted = [
        {"organism": "cabbage_whitefly", "says": "whitefly eggs", "stage": "eggs"},
        {"organism": "green_peach_aphid", "says": "aphids", "stage": ""},
    ]

    def task(planting: str, kind: str = "look") -> dict[str, object]:
        aside = [{"says": "never looked at"}, {"says": "ten counted out", "aside": True}]
        return {"id": kind, "kind": kind, "planting": planting, "says": "stop at 9.",
                "because": aside, "wanted": wanted}  # fmt: skip

    visits = [
        {"date": "2024-08-02", "tasks": [task("kale")]},
        {"date": "2024-08-04", "tasks": [task("kale"), task("kale", "tie"), task("melon")]},
    ]
    with open_journal(folder_at(plot)) as journal:
        kept = {"visits": visits, "stamp": {"as_of": "2024-08-04T18:00", "serial": 1}}
        journal.keep_plan("b" * 64, DAY, json.dumps(kept))
    looked = look(plot, "Kale", (), (), DAY)
    assert [(one.day, one.reckoned) for one in looked.planned] == [(DAY, ("ten counted out",))]
    assert looked.planned[0].eggs == {"cabbage_whitefly": "whitefly eggs"}
    lines = told(looked)
    assert lines[1] == "By the plan, Sun 4 Aug: stop at 9." and lines[2] == "  Ten counted out."
    assert as_data(looked)["planned"][0]["reckoned"] == ["ten counted out"]


def test_words_of_a_sign_that_were_logged_are_pointed_to_a_look(
    plot: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    saying = "white specks fly up"
    assert run(["log", "seen", "kale", saying, "--plot", str(plot)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert f'`lattermath look kale --seen "{saying}"` reads it' in out
    assert look(plot, "kale", (saying,), (), DAY).seen == ("white_insect_cloud",)
    assert run(["log", "seen", "kale", "glorbs", "--plot", str(plot)]) == 0
    assert "your own word" in capsys.readouterr().out


def test_what_is_no_likelier_than_before_anybody_looked_is_not_told(plot: Path) -> None:
    """Cabbageworms make no cloud of white insects, however common they are on kale."""
    looked = look(plot, "Kale", ("white_insect_cloud", "honeydew_sticky"), (), DAY)
    names = {one.name for one in look_parts(looked).causes}
    chances = looked.found.told.probabilities
    hidden = looked.tables.causes["imported_cabbageworm"].name
    assert chances["imported_cabbageworm"] > 0 and hidden not in names
    assert hidden not in "\n".join(told(looked)).split("May be behind it")[1]
    assert looked.tables.causes["cabbage_whitefly"].name in names


def test_a_clinic_comes_after_the_next_look_and_never_beside_it(plot: Path) -> None:
    looked = look(plot, "Kale", ("mosaic",), (), DAY)
    lines = "\n".join(told(looked))
    assert looked.found.clinic and "Next look (" in lines
    assert "does not settle this" not in lines and "If that does not settle it" in lines


def test_what_was_counted_within_the_week_is_weighed_and_not_counted_again(plot: Path) -> None:
    seen = Sighting("kale", "cabbage_whitefly", "count", counts=(40, 70), looked_at=2)
    log_visit.log(plot, seen, datetime(2024, 8, 2, 19, 0))
    looked = look(plot, "Kale", ("sticky leaves",), (), DAY)
    lines, parts = "\n".join(told(looked)), look_parts(looked)
    assert "what was counted here on 02 Aug" in lines and "lattermath log count" not in lines
    assert parts.count is None and parts.counted == "02 Aug"


@pytest.mark.parametrize("sign", ["white cloud", "stunted", "yellow between the veins"])
def test_what_a_list_leaves_out_is_said(plot: Path, sign: str) -> None:
    """Causes may be there at once, so all that is told adds up to the whole and no less."""
    looked = look(plot, "Kale", (sign,), (), DAY)
    parts, lines = look_parts(looked), "\n".join(told(looked))
    whole = sum(one.chance for one in parts.causes) + parts.none_of_these + parts.untold
    assert whole >= 97  # each is rounded, and none is told as 100
    assert bool(parts.untold) == ("something else that is listed" in lines)


def test_no_more_plants_are_to_be_looked_over_than_stand_there(plot: Path) -> None:
    """Once: "look 10 plants over" for six, and "few --plants 6" beside it."""
    seen = ("slow velvety green caterpillar along a midrib",)
    looked = look(plot, "Kale", seen, (), DAY)
    for plants, words in ((6, "look all 6 plants over"), (30, "look 10 plants over")):
        of = replace(looked, planting=replace(looked.planting, plants=plants))
        assert words in "\n".join(told(of))


def test_what_a_plan_holds_at_odds_there_is_told_and_a_look_would_change_something(
    plot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Told of that planting only, by a plan of the week, and then nothing is called settled."""
    other = {"says": "Kale: 9 on 2 leaves.", "may_be": [], "to_tell": "To tell: look again."}
    odd = {
        "disagrees": "Beans: heavy on 10 leaves on 4 Aug, where 0 to 73 in all were expected.",
        "may_be": [{"what": "another insect", "chance": 0.7}, {"what": "chance", "chance": 0.2}],
        "to_tell": "To tell: turn 10 leaves.",
        "more_at_odds": [other],
    }
    at = f"{DAY.isoformat()}T16:00:00+01:00"
    kept = {"stamp": {"as_of": at, "serial": 0}, "visits": [], "populations": [odd], "water": []}
    monkeypatch.setattr(look_by_plan, "kept_sheets", lambda _journal: iter([kept]))
    journal: Any = None
    says = "Kale: 9 on 2 leaves. To tell: look again."
    assert odds_by_plan(journal, "Kale", DAY) == (f"By the plan of {short(DAY)}, {says}",)
    (beans,) = odds_by_plan(journal, "Beans", DAY + timedelta(days=7))
    assert "expected. May be another insect, chance. To tell: turn 10 leaves." in beans
    assert not odds_by_plan(journal, "Beans", DAY + timedelta(days=8))
    assert not odds_by_plan(journal, "Beans", DAY - timedelta(days=1))
    found = look(plot, "Kale", ("white specks fly up when I shake the kale",), (), DAY)
    lines = told(found)
    assert any(says in line for line in lines) and not look_parts(found).enough
    enough = "No further look would change what to do."
    settled: Any = SimpleNamespace(next_look=None, deed=Deed("treat", "aphid"))
    sure = replace(found, found=replace(found.found, verdict=settled))
    assert enough not in told(sure) and enough in told(replace(sure, at_odds=()))


def test_where_nobody_fed_a_feed_is_no_likely_burn(plot: Path) -> None:
    """Common sense: what was not given burns nothing; what was given lately may."""
    kale, tables = look(plot, "Kale", (), (), DAY).planting, look(plot, "Kale", (), (), DAY).tables
    for days, less in ((None, True), (60, True), (3, False)):
        if days is not None:
            at = datetime(2024, 8, 4, 18, 0) - timedelta(days=days)
            log_visit.log(plot, Care("kale", "fed with tomato feed"), at)
        with open_journal(folder_at(plot)) as journal:
            events = effective(journal.events())
        known = known_of(kale, events, None, DAY, tables)
        assert (known.factors.get("fertiliser_burn", 1.0) < 1.0) == less
