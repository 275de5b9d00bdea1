"""The typed loaders: every named property of every row, and what an absence looks like."""

from __future__ import annotations

import subprocess
import sys

import pytest

from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import TableError
from lattermath.vocabulary.figure import Figure

TABLES = load_tables()
KINDS = ("crops", "organisms", "diseases", "disorders", "methods", "rules", "folk_practices",
         "germination", "soils")  # fmt: skip
HELD = [(kind, key) for kind in KINDS for key in getattr(TABLES, kind)]


@pytest.mark.parametrize(("kind", "key"), HELD)
def test_every_property_of_every_row_can_be_read(kind, key):
    held = getattr(TABLES, kind)[key]
    for name in (n for n, p in vars(type(held)).items() if isinstance(p, property)):
        value = getattr(held, name)
        if isinstance(value, Figure):
            table, row, column = value.address.split("/", 2)
            assert TABLES.rows[table][row].figure(column) is value
    assert held.id == key


def test_as_many_rows_as_the_trade_files_hold():
    assert [len(getattr(TABLES, kind)) for kind in KINDS] == [41, 17, 12, 9, 38, 24, 7, 22, 9]


def test_a_figure_that_is_not_there_is_refused_with_the_nearest_named():
    row = TABLES.crops["kale"].row
    assert row.find("kc.middle") is None
    with pytest.raises(TableError) as refusal:
        row.figure("kc.mids")
    (fault,) = refusal.value.faults
    assert fault.where == "crops/kale/kc.mids" and "kc.mid" in fault.remedy
    with pytest.raises(TableError):
        row.text("colour")
    assert row.words("colour") == "" and row.listed("colour") == ()


def test_an_address_leads_back_to_its_row():
    figure = TABLES.organisms["melon_aphid"].lower_c
    assert TABLES.at(figure.address).figure("lower_c") is figure
    assert TABLES.at("table:" + figure.address).id == "melon_aphid"
    with pytest.raises(TableError, match="no such row"):
        TABLES.at("organisms/unicorn/lower_c")


def test_crop_figures_a_planner_asks_for():
    cucumber = TABLES.crops["cucumber_pickling"]
    assert cucumber.family == "Cucurbitaceae" and cucumber.establish == "either"
    assert cucumber.nursery_ready_days.span == (12, 16) and cucumber.pot_bound_days.value == 18
    assert [f.value for f in cucumber.stage_days] == [20, 30, 40, 15]
    assert cucumber.emergence_days[25.0].value == 4 and cucumber.germination_row == "cucumber"
    kale = TABLES.crops["kale"]
    assert kale.germination_row == "cabbage" and kale.germination_by_proxy
    assert TABLES.crops["basil"].germination_row is None
    assert TABLES.crops["carrot"].nursery_ready_days is None  # never moved


def test_organism_figures_a_population_asks_for():
    whitefly, aphid = (TABLES.organisms[k] for k in ("greenhouse_whitefly", "melon_aphid"))
    assert whitefly.stages[0] == "egg" and whitefly.stages[-1] == "adult"
    assert not whitefly.live_bearing and aphid.live_bearing
    assert whitefly.positions["egg"].startswith("underside of youngest")
    assert whitefly.survival_by_t[22.0].value == 0.87
    assert aphid.lifetime_eggs.value == 60 and aphid.female_fraction is None
    assert TABLES.organisms["squash_vine_borer"].total_dd is None
    assert "uncertainty" not in TABLES.organisms["sweetpotato_whitefly"].hosts


def test_durations_measured_for_several_stages_at_once_are_taken_apart():
    moth = TABLES.organisms["diamondback_moth"].durations
    at_20 = {d.stage: d.days.value for d in moth if d.temperature and d.temperature.value == 20}
    assert at_20 == {"egg": 4.0, "larva": 11.3, "pupa": 6.3, "egg_adult": 21.6}
    worm = TABLES.organisms["imported_cabbageworm"].durations[0]
    assert (worm.stage, worm.when, worm.temperature) == ("larva", "August", None)
    assert worm.days.span == (11, 33)


def test_method_figures_a_ruling_asks_for():
    spinosad, soap = TABLES.methods["spinosad"], TABLES.methods["soap"]
    words = TABLES.crosswalk.hosts_of
    assert spinosad.pre_harvest(words("bean_bush")).high == 28
    assert spinosad.pre_harvest(words("sweet_corn")).high == 21
    assert spinosad.pre_harvest(words("okra")) is None  # not named: unknown, never free
    assert soap.pre_harvest(words("okra")).high == 1
    assert soap.pre_harvest(words("kale")).high == 7
    assert soap.is_product and not TABLES.methods["hand_pick"].is_product
    assert soap.against(["whitefly"])[0].percent.unit == "%"
    assert TABLES.rules["bloom"].hard and not TABLES.rules["repeat_timing"].hard
    assert "spinosad" in TABLES.rules["bloom"].row.listed("evening_only_if_label_permits")
    assert TABLES.folk_practices["bag_and_dust"].verdict == "refuse"


def test_a_target_called_the_same_is_given_its_name():
    for method in TABLES.methods.values():
        for efficacy in method.efficacy:
            assert not efficacy.target.startswith("same")


def test_disease_figures_an_epidemic_asks_for():
    mildew = TABLES.diseases["cucurbit_powdery_mildew"]
    assert mildew.temp_limits_c.span == (10, 32) and mildew.free_water_needed is False
    assert TABLES.diseases["late_blight"].free_water_needed is None
    assert TABLES.diseases["late_blight"].infection["Topt"].value == 18
    assert not mildew.infection
    assert TABLES.disorders["sunscald"].pathogen == ""


def test_tables_load_in_a_new_process_without_reading_toml_tables():
    """The quick copy is used: in a fresh interpreter no table text is parsed as TOML."""
    code = (
        "import tomllib\n"
        "calls = []\n"
        "real = tomllib.loads\n"
        "tomllib.loads = lambda text: calls.append(len(text)) or real(text)\n"
        "from lattermath.knowledge.tables import load_tables\n"
        "tables = load_tables()\n"
        "assert len(tables.crops) == 41\n"
        "print(calls)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_field_figure_is_not_taken_down_twice():
    """The pest table says of some survivals that they are the field's, with enemies and rain."""
    noted = {
        name for name, habits in TABLES.habits.items()
        if "already stands for the field" in habits.row.texts["survival_is"].origin.note
    }  # fmt: skip
    assert {"imported_cabbageworm", "hornworms", "squash_vine_borer"} <= noted
    assert noted == {n for n, habits in TABLES.habits.items() if habits.survives_as_in_the_field}
    assert "melon_aphid" not in noted and "greenhouse_whitefly" not in noted
