from __future__ import annotations

import difflib
from datetime import date, time
from pathlib import Path
from typing import Any

import pytest

from lattermath.record.plot_facts import ONE, Around, DayTyped, MonthTyped, NotKnown
from lattermath.record.plot_file import PlotFile, read_plot_file
from lattermath.vocabulary.errors import PlotFileError
from lattermath.vocabulary.label import CropLimits, LabelLine, ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import (
    Bed,
    GardenRules,
    Household,
    Planting,
    SeedPacket,
    StandbyLot,
    Tin,
    Visiting,
    Want,
    WaterSupply,
)

TODAY = date(2026, 7, 25)
TOP = """
format = 1
[place]
latitude = 52.2
longitude = 0.1
time_zone = "Europe/London"
"""


@pytest.fixture
def read(crop_of):
    words = crop_of.__self__

    def reader(text: str, top: str = TOP) -> PlotFile:
        return read_plot_file(
            top + text,
            today=TODAY,
            crop_of=crop_of,
            near_crops=lambda word: difflib.get_close_matches(word, words, 1),
            active_of=lambda word: None if word == "moonshine" else word,
        )

    return reader


@pytest.fixture
def faults(read):
    """Each fault of a text: its place without the file, and all of it as one line."""

    def found(text: str, top: str = TOP) -> dict[str, str]:
        with pytest.raises(PlotFileError) as refused:
            read(text, top)
        return {f.where.removeprefix("plot.toml: "): str(f) for f in refused.value.faults}

    return found


def test_a_minimal_file_is_enough_and_says_what_is_missing(read) -> None:
    file = read(
        """
        usual_first_frost = "20 October"
        [[week]]
        first = 2026-07-20
        highs_c = [26, 27]
        lows_c = [14, "?"]
        [[planting]]
        crop = "courgette"
        set_out = "mid-May"
        """
    )
    assert file.facts["place", ONE] == Place("", 52.2, 0.1, "Europe/London", None, "10-20")
    assert file.facts["planting", "courgette"] == Planting(
        "courgette", "courgette", "zucchini", 1, set_out=date(2026, 5, 15), about_days=5
    )
    assert file.facts["week", "2026-07-21"] == DayTyped(date(2026, 7, 21), None, 27.0)
    gaps = {key: fact.says for (_, key), fact in file.facts.items() if isinstance(fact, NotKnown)}
    assert gaps.keys() == {
        "place.altitude_m",
        "planting.bed",
        "planting.courgette.plants",
        "planting.courgette.about_days",
        "shelf",
        "visiting.days",
        "household.want",
    }
    assert gaps["planting.courgette.about_days"] == (
        "The dates of courgette are known to 5 days either way."
    )


def test_a_full_file_leaves_nothing_unknown(read) -> None:
    text = Path(__file__).with_name("full_plot.toml").read_text("utf-8")
    file = read(text, top="")
    assert not [fact for fact in file.facts.values() if isinstance(fact, NotKnown)]
    facts = dict(file.facts)
    assert facts["place", ONE] == Place(
        "Millfield", 52.2, 0.1, "Europe/London", 20, "10-20", "GB", "europe"
    )
    assert facts["bed", "north-bed"] == Bed(
        "north-bed", "North bed", 0, 5, 4, 1.2, "sandy loam", True, 0.3
    )
    assert facts["planting", "beans-on-poles"] == Planting(
        "beans-on-poles",
        "Beans on poles",
        "pole_bean",
        16,
        "north-bed",
        sown=date(2026, 6, 15),
        variety="an old one",
        days_to_maturity=65,
        resists=("rust",),
        vigour="tired",
        wilted=True,
        in_bloom=True,
        bearing_since=date(2026, 7, 20),
        x_m=1,
        y_m=5.6,
    )
    assert facts["neighbour", "next-door"] == Planting(
        "next-door",
        "Next door",
        "eggplant",
        5,
        sown=date(2026, 4, 1),
        set_out=date(2026, 5, 28),
        neighbours_plot=True,
        x_m=-2.0,
        y_m=5.6,
    )
    assert facts["lot", "young"] == StandbyLot(
        "young", "zucchini", 4, date(2026, 7, 10), 250, "plot", "a bush one", 50, "young", "daily"
    )
    assert facts["visiting", ONE] == Visiting(
        ("tue", "sat"), time(19, 5), 60, ((date(2026, 8, 10), date(2026, 8, 17)),)
    )
    assert facts["household", ONE] == Household(
        3, (Want("tomato", 8, 1.5), Want("beans", 4, 1, ("pole_bean", "bush_bean"))), 5, 0.02, 2,
        30, 8, 0.25,
    )  # fmt: skip
    assert facts["water", ONE] == WaterSupply(8, 12, True, True)
    assert facts["garden", ONE] == GardenRules(
        True,
        False,
        True,
        False,
        time(7),
        time(21, 30),
        "closed bin",
        date(2026, 11, 15),
        "0123 456789, day and night",
    )
    assert facts["around", ONE] == Around(True)
    assert facts["tin", ONE] == Tin(
        (SeedPacket("chard", 60, "a red one", 55, ("bolting",)),), 20, 250, 15
    )
    assert facts["normals", "02"] == MonthTyped(2, 1, 8, 33)


def test_a_label_line_has_three_states(read) -> None:
    file = read(
        """
        [[shelf]]
        name = "Example soap"
        active = "fatty acids"
        re_entry_hours = { value = 4, words = "Keep out until dry." }
        rain_free_hours = 0
        max_wind_m_s = "none"
        bloom = { value = "none", words = "silent" }
        [shelf.crops.courgette]
        pre_harvest_days = 1
        season_max = "none"
        """
    )
    label = file.facts["shelf", "example-soap"]
    assert isinstance(label, ProductLabel)
    assert label.re_entry_hours == LabelLine("value", 4.0, "Keep out until dry.")
    assert label.rain_free_hours == LabelLine("value", 0.0)
    assert label.max_wind_m_s == LabelLine("none")
    assert label.bloom == LabelLine("none", None, "silent")
    assert label.max_temperature_c == LabelLine("not copied")
    assert label.crops_line == "value"
    assert label.limits_for("zucchini") == CropLimits(
        "zucchini", pre_harvest_days=LabelLine("value", 1.0), season_max=LabelLine("none")
    )
    assert label.limits_for("tomato") is None


@pytest.mark.parametrize(("line", "state"), [("", "not copied"), ('crops_line = "none"', "none")])
def test_no_crops_is_not_yet_none_on_the_label(read, line: str, state: str) -> None:
    file = read(f'[[shelf]]\nname = "S"\nactive = "sulfur"\n{line}')
    label = file.facts["shelf", "s"]
    assert isinstance(label, ProductLabel)
    assert (label.crops, label.crops_line) == ((), state)


UNKNOWN_KEYS = [
    ("[holder]\nnmae = 'A'", "holder.nmae", "Did you mean name?"),
    (
        "[[planting]]\nname = 'Beans'\ncrop = 'tomato'\nsetout = 2026-06-01",
        "planting.beans.setout",
        "Did you mean set_out?",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\n[shelf.crops.tomato]\npreharvest_days = 3",
        "shelf.s.crops.tomato.preharvest_days",
        "Did you mean pre_harvest_days?",
    ),
    (
        "[[household.want]]\nfood = 'tomato'\nportions_a_week = 1\nworht = 2",
        "household.want.1.worht",
        "Did you mean worth?",
    ),
    (
        "[[tin.packet]]\ncrop = 'chard'\nseed = 3\nseeds = 3",
        "tin.packet.1.seed",
        "Did you mean seeds?",
    ),
    ("[[plantings]]\ncrop = 'tomato'", "plantings", "Did you mean planting?"),
    ("[watr]\nhose = true", "watr", "Did you mean water?"),
]


@pytest.mark.parametrize(("text", "where", "remedy"), UNKNOWN_KEYS)
def test_an_unknown_key_is_refused_with_the_nearest_name(faults, text, where, remedy) -> None:
    found = faults(text)
    assert found.keys() == {where}
    assert "this key is not known here" in found[where]
    assert found[where].endswith(remedy)


FAULTS = [
    ("[[planting]]\ncrop = 'pole beam'", "planting.pole-beam.crop", "Did you mean pole bean?"),
    ("[[planting]]\ncrop = 'turnip'", "planting.turnip.crop", "not in the tables"),
    ("[[planting]]\ncrop = 3", "planting.3.crop", "a crop is a word"),
    ("[[planting]]\nname = 'x'", "planting.x.crop", "this is needed"),
    ("[[planting]]\ncrop = 'tomato'\nbed = 'nort'", "planting.tomato.bed", "no such bed"),
    ("[[planting]]\ncrop = 'tomato'\nset_out = 'soon'", "planting.tomato.set_out", "soon"),
    ("[[planting]]\ncrop = 'tomato'\nplants = 1.5", "planting.tomato.plants", "integer"),
    ("[[planting]]\ncrop = 'tomato'\nplants = true", "planting.tomato.plants", "integer"),
    ("[[planting]]\ncrop = 'tomato'\nplants = 0", "planting.tomato.plants", "greater"),
    ("[[planting]]\ncrop = 'tomato'\nkey = 'My Beans'", "planting.my-beans.key", "small letters"),
    (
        "[[planting]]\ncrop = 'tomato'\nsown = 2026-06-01\nset_out = 2026-05-01",
        "planting.tomato.set_out",
        "before it was sown",
    ),
    ("[planting]\ncrop = 'tomato'", "planting", "Write [[planting]]."),
    ("[[garden]]\nno_hose = true", "garden", "Write it under [garden]."),
    ("[[bed]]\nname = 'N'\nlength_m = -1\nwidth_m = 1", "bed.n.length_m", "found: -1"),
    ("[[bed]]\nname = 'N'\nlength_m = nan\nwidth_m = 1", "bed.n.length_m", "found: nan"),
    ("[[bed]]\nname = 'N'\nlength_ft = 1\nwidth_m = 1", "bed.n.length_ft", "US unit"),
    ("[[shelf]]\nname = 'S'\nactive = 'moonshine'", "shelf.s.active", "not in the tables"),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\nre_entry_hours = 'lots'",
        "shelf.s.re_entry_hours",
        "not copied",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\nre_entry_hours = -1",
        "shelf.s.re_entry_hours",
        "no amount",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\n[shelf.crops.tomato]\nrate_ml_per_l = 0",
        "shelf.s.crops.tomato.rate_ml_per_l",
        "above 0",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\n[shelf.crops.tomato]\nmax_l_per_m2 = 0",
        "shelf.s.crops.tomato.max_l_per_m2",
        "above 0",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\nbloom = 'never'",
        "shelf.s.bloom",
        "never in bloom",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\nbloom = {word = 'x'}",
        "shelf.s.bloom",
        "a value and words",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\n[shelf.crops.tomatoo]\n",
        "shelf.s.crops.tomatoo",
        "Did you mean tomato?",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\n[shelf.crops]\ncourgette = {}\nzucchini = {}",
        "shelf.s.crops.zucchini",
        "listed as courgette already",
    ),
    (
        "[[shelf]]\nname = 'S'\nactive = 'sulfur'\ncrops_line = 'none'\n[shelf.crops.tomato]\n",
        "shelf.s.crops_line",
        "Leave crops_line out",
    ),
    ("[visiting]\ndays = ['tue', 'funday']", "visiting.days.2", "funday"),
    ("[visiting]\ndays = []", "visiting.days", "at least 1"),
    ("[visiting]\ndays = ['tue']\narrive = 'late'", "visiting.arrive", "18:30"),
    (
        "[visiting]\ndays = ['tue']\naway = [[2026-08-10, 2026-08-01]]",
        "visiting.away",
        "before the start",
    ),
    (
        "[[household.want]]\nfood = 'greens'\nportions_a_week = 3",
        "household.want.1.food",
        "crops = [...]",
    ),
    (
        "[[week]]\nfirst = 2026-07-20\nhighs_c = [26]\nlows_c = [14, 15]",
        "week.2026-07-20",
        "not of one length",
    ),
    (
        "[[week]]\nfirst = 2026-07-20\nhighs_c = [12]\nlows_c = [14]",
        "week.2026-07-20.highs_c.1",
        "below the low",
    ),
    (
        "[[week]]\nfirst = 2026-07-20\nhighs_c = ['x']\nlows_c = [14]",
        "week.2026-07-20.highs_c.1",
        "no number",
    ),
    ("[normals]\nhighs_c = [1]\nlows_c = [1]", "normals.highs_c", "12"),
    ("[garden]\ntidy_by = 'x'", "garden.tidy_by", "15 November"),
    ("[garden]\npoison_number = 'ask'", "garden.poison_number", "no number to ring"),
    ("[garden]\npoison_number = 112", "garden.poison_number", "in quotes"),
]


@pytest.mark.parametrize(("text", "where", "said"), FAULTS, ids=[each[1] for each in FAULTS])
def test_a_fault_has_its_place_value_and_remedy(faults, text: str, where: str, said: str) -> None:
    found = faults(text)
    assert where in found
    assert said in found[where]


def test_all_faults_are_reported_at_once(faults) -> None:
    texts = [text for text, where, _ in FAULTS if text.startswith("[[shelf]]")]
    numbered = [text.replace("'S'", f"'S{n}'") for n, text in enumerate(texts)]
    found = faults("\n".join([*numbered, UNKNOWN_KEYS[0][0], UNKNOWN_KEYS[1][0]]))
    assert len(found) == len(texts) + 2


@pytest.mark.parametrize(
    ("change", "where", "said"),
    [
        (("format = 1", ""), "format", "Write format = 1"),
        (("format = 1", "format = 2"), "format", "found: 2"),
        (("format = 1", "format = 1\nunits = 'furlongs'"), "units", "furlongs"),
        (("format = 1", "format = 1\nseason = '2026'"), "season", "season = 2026"),
        (("format = 1", "format = 1\nweather = 'a.csv'"), "weather", '["station.csv"]'),
        (("52.2", "152.2"), "place.latitude", "152.2"),
        (("Europe/London", "Europe/Londn"), "place.time_zone", "Did you mean Europe/London?"),
        (("latitude = 52.2", ""), "place.latitude", "this is needed"),
        (("[place]", "[plaice]"), "place", "this is needed"),
    ],
)
def test_faults_at_the_top(faults, change: tuple[str, str], where: str, said: str) -> None:
    found = faults("", TOP.replace(*change))
    assert said in found[where]


def test_a_broken_line_is_named(read) -> None:
    with pytest.raises(PlotFileError, match="line 7"):
        read("name = = 3")


def test_two_of_a_crop_get_numbers_and_two_of_a_name_are_refused(read, faults) -> None:
    two = "[[planting]]\ncrop = 'tomato'\n" * 3
    file = read(two)
    keys = [key for section, key in file.facts if section == "planting"]
    assert keys == ["tomato", "tomato-2", "tomato-3"]
    named = "[[planting]]\nname = 'A'\ncrop = 'tomato'\n"
    assert faults(named * 2).keys() == {"planting.a"}


US_TOP = """
format = 1
units = "us"
[place]
latitude = 38.9
longitude = -92.3
time_zone = "America/Chicago"
altitude_ft = 1000
"""


def test_us_units_become_metric_at_the_door(read) -> None:
    file = read(
        """
        [[bed]]
        name = "Long"
        x_ft = 10
        y_ft = 0
        length_ft = 20
        width_m = 1.2
        root_limit_in = 12
        [[week]]
        first = 2026-07-20
        highs_f = [86, "?"]
        lows_f = [50, 41]
        rain_in = [1, 0]
        [[shelf]]
        name = "S"
        active = "sulfur"
        max_temperature_f = { value = 90.5, words = "Not above 90 F." }
        max_wind_mph = 10
        gallons_left = 2
        [shelf.crops.tomato]
        rate_fl_oz_per_gal = 2.5
        max_gal_per_1000_sq_ft = "none"
        [tin]
        cup_fl_oz = 8
        mix_gallons = 1
        """,
        US_TOP,
    )
    place, bed = file.facts["place", ONE], file.facts["bed", "long"]
    label, tin = file.facts["shelf", "s"], file.facts["tin", ONE]
    assert isinstance(place, Place) and place.altitude_m == pytest.approx(304.8)
    assert isinstance(bed, Bed)
    assert (bed.x_m, bed.length_m, bed.width_m) == pytest.approx((3.048, 6.096, 1.2))
    assert bed.root_limit_m == pytest.approx(0.3048)
    assert file.facts["week", "2026-07-20"] == DayTyped(date(2026, 7, 20), 10.0, 30.0, 25.4)
    assert file.facts["week", "2026-07-21"] == DayTyped(date(2026, 7, 21), 5.0, None, 0.0)
    assert isinstance(label, ProductLabel)
    assert label.max_temperature_c == LabelLine("value", 32.5, "Not above 90 F.")
    assert label.max_wind_m_s.value == pytest.approx(4.4704)
    assert label.litres_left == pytest.approx(7.570823568)
    limits = label.limits_for("tomato")
    assert limits is not None
    assert limits.rate_ml_per_l.value == pytest.approx(2.5 / 128 * 1000)  # 128 fl oz a gallon
    assert limits.max_l_per_m2 == LabelLine("none")
    assert isinstance(tin, Tin)
    assert (tin.cup_ml, tin.mix_litres) == pytest.approx((236.5882365, 3.785411784))


def test_a_fault_in_us_units_is_said_in_the_growers_own_names(faults) -> None:
    found = faults(
        "[[bed]]\nname = 'N'\nlength_ft = -3\nwidth_ft = 1\nwidth_m = 1\nwidht_ft = 2", US_TOP
    )
    assert "found: -3" in found["bed.n.length_ft"]
    assert "two units" in found["bed.n.width_ft"]
    assert "Did you mean width_ft?" in found["bed.n.widht_ft"]


def test_a_neighbour_stands_beyond_the_outermost_bed_of_its_side(read) -> None:
    beds = "[[bed]]\nname = 'B'\nx_m = 1\ny_m = 2\nlength_m = 4\nwidth_m = 1\n"
    centres = {}
    for side in ("north", "east", "south", "west"):
        planting = f"[[neighbour]]\ncrop = 'tomato'\ndistance_m = 3\nside = '{side}'"
        fact: Any = read(beds + planting).facts["neighbour", "tomato"]
        centres[side] = (fact.x_m, fact.y_m)
    assert centres == {"north": (3, 6), "east": (8, 2.5), "south": (3, -1), "west": (-2, 2.5)}


def test_beds_without_a_position_do_not_overlap(read) -> None:
    bed = "[[bed]]\nname = '{}'\nlength_m = 3\nwidth_m = 1\n"
    file = read("".join(bed.format(name) for name in "abc"))
    beds = [fact for fact in file.facts.values() if isinstance(fact, Bed)]
    assert [bed.x_m for bed in beds] == [0.0, 3.5, 7.0]


def test_southern_dates_fall_in_the_southern_season(crop_of) -> None:
    text = (
        TOP.replace("format = 1", "format = 1\nseason = 2026").replace("52.2", "-37.8")
        + "[[planting]]\ncrop = 'tomato'\nsown = 'mid-September'\nset_out = 'early January'"
    )
    fact: Any = read_plot_file(text, today=date(2027, 2, 1), crop_of=crop_of).facts[
        "planting", "tomato"
    ]
    assert (fact.sown, fact.set_out) == (date(2026, 9, 15), date(2027, 1, 5))
