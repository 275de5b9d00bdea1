"""The plot of the season trial: high summer, worn early plantings, cups that wait, one bare bed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lattermath.desk.dice import dice
from lattermath.desk.season_setting import ZONE, set_up
from lattermath.desk.season_trial import Calendar
from lattermath.desk.start import start
from lattermath.desk.trial_season import Season, open_season
from lattermath.nature.replanting import warmed_as_it_was

if TYPE_CHECKING:  # handed in: the seam stands above this
    from lattermath.desk.outside_world import OutsidePlot

YEARS = tuple(range(2008, 2019))  # report years of the calibration: none mended the belief
SEED = 41_000
ORGANISMS = ("greenhouse_whitefly", "melon_aphid", "twospotted_spider_mite")
PRODUCT = "soap"
WET_EVERY_DAYS = 3  # before the trial begins, all is watered and picked this often
WARM_UP_L = 12.0  # of water a plant, then

LABEL = """
[visiting]
days = ["tue", "sat"]
arrive = 18:30:00
minutes = 100
[[shelf]]
key = "soap"
name = "Shelf soap (invented)"
active = "soap"
form = "spray"
country = "invented"
sold_to_amateurs = true
organic_input = true
re_entry_hours = 4
max_temperature_c = 30
rain_free_hours = "none"
max_wind_m_s = "none"
bloom = "evening only"
sulfur_oil_gap_days = "none"
consecutive_max = "none"
invented = true
"""
CROP_OF_LABEL = """[shelf.crops.{crop}]
pre_harvest_days = 1
retreat_days = 5
season_max = 6
rate_ml_per_l = 20
max_l_per_m2 = 0.3
plant_back_days = "none"
"""
HOUSEHOLD = """
[household]
people = 3
[[household.want]]
food = "cucumber"
portions_a_week = 8
crops = ["cucumber_slicing", "cucumber_pickling"]
[tin]
cups = 30
cup_ml = 200
mix_litres = 20
[[tin.packet]]
crop = "bean_bush"
seeds = 300
[[tin.packet]]
crop = "summer_squash"
seeds = 12
[[tin.packet]]
crop = "cucumber_slicing"
seeds = 20
"""
LOT = """
[[lot]]
key = "{key}"
name = "{key}"
crop = "{crop}"
plants = {plants}
sown = {sown}
cup_ml = {ml}
where = "home"
"""
BED = """
[[bed]]
key = "b{n}"
name = "bed {n}"
x_m = {x}
y_m = {y}
length_m = {length}
width_m = 1.2
"""
PLANTING = """[[planting]]
key = "p{n}"
vigour = "sound"
name = "{crop} {n}"
crop = "{crop}"
bed = "b{n}"
plants = {plants}
{begun} = {day}
"""


@dataclass(frozen=True, slots=True)
class Grown:
    """What stands in one bed: crop, plants, and the day it was begun, before the year's chance."""

    crop: str = ""  # "": bare
    plants: int = 0
    begun: str = "set_out"
    day: tuple[int, int] = (1, 1)
    length_m: float = 1.2


@dataclass(frozen=True, slots=True)
class Lot:
    """Young plants sown in cups on a day of the year, before the year's chance."""

    crop: str
    seeds: int
    day: tuple[int, int]
    cup_ml: float = 200.0


BEDS = (
    Grown("cucumber_slicing", 4, "set_out", (5, 18), 1.2),
    Grown("summer_squash", 3, "set_out", (5, 20), 2.3),
    Grown("bean_bush", 40, "sown", (5, 14), 1.2),
    Grown("tomato_indeterminate", 3, "set_out", (5, 26), 1.5),
    Grown("cucumber_pickling", 4, "set_out", (6, 12), 1.2),
    Grown(length_m=2.3),
)
LOTS = (
    Lot("summer_squash", 5, (6, 27)),
    Lot("cucumber_slicing", 6, (7, 4)),
    Lot("summer_squash", 5, (7, 18)),
    Lot("cucumber_slicing", 6, (7, 22)),
)
CHANCE_DAYS = 5  # beds and lots are begun up to so many days sooner or later


@dataclass(frozen=True, slots=True)
class TrialPlot:
    """A plot to play: its beds, what will be sown in cups, and its kinds of insect."""

    beds: tuple[Grown, ...] = BEDS
    lots: tuple[Lot, ...] = LOTS
    organisms: tuple[str, ...] = ORGANISMS
    opens: tuple[int, int] = (7, 8)  # the holder begins with the program
    begins: tuple[int, int] = (6, 1)  # nature does


def calendar(year: int) -> Calendar:
    """The days of a season's trial."""
    opens = date(year, 7, 8)
    return Calendar(opens, opens, date(year, 9, 9), date(year, 10, 1))


def shelf(crops: Iterable[str]) -> str:
    """The invented label, for these crops."""
    return LABEL + "".join(CROP_OF_LABEL.format(crop=crop) for crop in dict.fromkeys(crops))


def open_trial(seam: OutsidePlot, year: int, seed: int, what: TrialPlot | None = None) -> Season:
    """Let a plot grow up to the day on which its holder starts, and start it in the seam's
    empty folder.

    The holder writes down how plantings look, since when they bear, and which lots wait.
    """
    what = what or TrialPlot()
    rng = dice(seed, f"nature {year}")("setting")
    chance = [int(n) for n in rng.integers(-CHANCE_DAYS, CHANCE_DAYS + 1, 20)]
    beds, opens = "", date(year, *what.opens)
    for n, one in enumerate(what.beds):
        beds += BED.format(n=n, x=4.0 * (n % 2), y=1.9 * (n // 2), length=one.length_m)
        if one.crop:
            day = date(year, *one.day) + timedelta(days=chance[n])
            beds += PLANTING.format(n=n, crop=one.crop, plants=one.plants, begun=one.begun,
                                    day=day.isoformat())  # fmt: skip
    crops = [one.crop for one in what.beds if one.crop] + [lot.crop for lot in what.lots]
    also = HOUSEHOLD + beds + shelf(crops)
    at = datetime(year, opens.month, opens.day, 12, tzinfo=ZoneInfo(ZONE))
    setting = set_up(seam.folder, year, rng, (), "invented", also, at, date(year, *what.begins))
    season = open_season(setting, seam, what.organisms, seed)
    days = [date(year, *lot.day) + timedelta(days=c) for lot, c in
            zip(what.lots, chance[10:], strict=False)]  # fmt: skip
    season.to_sow = [(day, f"cups-{n}", lot.crop, lot.seeds, lot.cup_ml)
                     for n, (day, lot) in enumerate(zip(days, what.lots, strict=True))]  # fmt: skip
    _grow_up(season, opens)
    _write_down(season, at + timedelta(hours=1))
    return season


def _grow_up(season: Season, opens: date) -> None:
    """Live to that day, with water and picking, and sow what is to be sown in cups by then."""
    warmed_as_it_was(season.nature)
    season.sow_lots(told=False)
    while season.today < opens:
        season.nature.step_to(season.today + timedelta(days=1))
        season.sow_lots(told=False)
        if season.nature.day % WET_EVERY_DAYS == 0:
            for one in season.standing():
                season.nature.water(one.key, WARM_UP_L * one.plants)
                season.nature.pick(one.key)


def _write_down(season: Season, at: datetime) -> None:
    file = season.setting.folder / "plot.toml"
    text = file.read_text("utf-8")
    for key, lot in season.nature.cups.items():
        text += LOT.format(key=key, crop=lot.crop, plants=lot.plants, sown=season.sown[key],
                           ml=lot.cup_ml)  # fmt: skip
    for n, one in enumerate(season.nature.plantings):
        words = f'vigour = "{season.nature.look_of(one.key)}"'
        days = (k for k, kg in enumerate(season.nature.borne) if kg[n] > 0)
        if (first := next(days, None)) is not None:
            words += f"\nbearing_since = {season.nature.sky.day(first)}"
        text = re.sub(rf'(key = "{one.key}"\n)vigour = "\w+"', rf"\g<1>{words}", text)
    file.write_text(text, "utf-8")
    start(season.setting.folder, at)
