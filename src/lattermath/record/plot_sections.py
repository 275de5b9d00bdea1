"""The sections of plot.toml: every key that may be written, and what it may hold."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from lattermath.record.plot_words import (
    ActiveWord,
    AmountLine,
    BloomLine,
    Clock,
    ComingDay,
    CountLine,
    CropWord,
    DayOfWeek,
    DayOfYear,
    MaybeNumber,
    RateLine,
    Rough,
    ServiceAddress,
    Telephone,
    WarmthLine,
    Zone,
)
from lattermath.vocabulary.label import LabelLine, Measured, Over, Scope
from lattermath.vocabulary.place import Region
from lattermath.vocabulary.plot import OnHand, Texture, Vigour
from lattermath.vocabulary.watering import Way

Key = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]*$", max_length=60)]
Name = Annotated[str, Field(min_length=1, max_length=120)]
Length = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]
Where = Annotated[float, Field(ge=-1000, le=1000, allow_inf_nan=False)]
Amount = Annotated[float, Field(ge=0, le=1e6, allow_inf_nan=False)]
Count = Annotated[int, Field(ge=0, le=100_000)]
Cup = Annotated[float, Field(ge=5, le=20_000, allow_inf_nan=False)]
Days = Annotated[float, Field(gt=0, le=400, allow_inf_nan=False)]
NOT_COPIED: LabelLine[float] = LabelLine()
NO_COUNT: LabelLine[int] = LabelLine()
NO_WORDS: LabelLine[str] = LabelLine()


class Section(BaseModel):
    """A table of the file: unknown keys refused, no silent change of type."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class PlaceSection(Section):
    """[place]: where the plot lies."""

    latitude: Annotated[float, Field(ge=-90, le=90)]
    longitude: Annotated[float, Field(ge=-180, le=180)]
    time_zone: Zone
    name: str = ""
    altitude_m: Annotated[float, Field(ge=-450, le=6000)] | None = None
    usual_first_frost: DayOfYear | None = None
    country: str = ""
    region: Region | None = None
    far_weather: bool = False


class HolderSection(Section):
    """[holder]: whose plot it is."""

    name: str = ""
    plot: str = ""


class BedSection(Section):
    """[[bed]]: size and position in metres from the plot's south-west peg."""

    name: Name
    length_m: Length
    width_m: Length
    key: Key | None = None
    x_m: Where | None = None
    y_m: Where | None = None
    texture: Texture | None = None
    mulched: bool = False
    root_limit_m: Length | None = None
    watering: Way | None = None
    checked: bool = False  # a size that can hardly be so was looked at, and is


class GrowingSection(Section):
    """What [[planting]] and [[neighbour]] share."""

    crop: CropWord
    key: Key | None = None
    name: Name | None = None
    plants: Annotated[int, Field(ge=1, le=10_000)] | None = None
    sown: Rough | None = None
    set_out: Rough | None = None
    about_days: Annotated[int, Field(ge=0, le=60)] | None = None
    variety: str = ""
    days_to_maturity: Days | None = None
    resists: list[str] = []
    vigour: Vigour = "sound"
    wilted: bool = False
    in_bloom: bool | None = None
    bearing_since: Rough | None = None
    x_m: Where | None = None
    y_m: Where | None = None


class PlantingSection(GrowingSection):
    """[[planting]]: plants of one crop that are judged together."""

    bed: str | None = None
    checked: bool = False  # so many plants on so little ground were looked at, and are


class NeighbourSection(GrowingSection):
    """[[neighbour]]: a planting on the neighbour's plot."""

    distance_m: Length | None = None
    side: Literal["north", "east", "south", "west"] | None = None


class LotSection(Section):
    """[[lot]]: replacement plants in cups or cells, sown at one time."""

    crop: CropWord
    plants: Count
    sown: Rough
    key: Key | None = None
    name: Name | None = None
    cup_ml: Cup = 200.0
    where: Literal["home", "plot"] = "home"
    watered: Literal["twice a day", "daily", "at visits"] | None = None
    variety: str = ""
    days_to_maturity: Days | None = None


class LimitsSection(Section):
    """[shelf.crops.CROP]: what the label says for one crop."""

    pre_harvest_days: AmountLine = NOT_COPIED
    retreat_days: AmountLine = NOT_COPIED
    season_max: CountLine = NO_COUNT
    season_max_scope: Scope = "product"
    season_max_over: Over = "crop"
    rate_ml_per_l: RateLine = NOT_COPIED
    max_l_per_m2: RateLine = NOT_COPIED
    plant_back_days: AmountLine = NOT_COPIED


class ShelfSection(Section):
    """[[shelf]]: one product, with the limits copied from its own label."""

    name: Name
    active: ActiveWord
    group: str = ""
    key: Key | None = None
    form: Literal["spray", "dust", "bait", "granule"] = "spray"
    crops: dict[str, LimitsSection] = {}
    crops_line: Literal["none"] | None = None
    re_entry_hours: AmountLine = NOT_COPIED
    max_temperature_c: WarmthLine = NOT_COPIED
    rain_free_hours: AmountLine = NOT_COPIED
    max_wind_m_s: AmountLine = NOT_COPIED
    bloom: BloomLine = NO_WORDS
    sulfur_oil_gap_days: AmountLine = NOT_COPIED
    consecutive_max: CountLine = NO_COUNT
    country: str = ""
    sold_to_amateurs: bool | None = None
    organic_input: bool | None = None
    measured_in: Measured = "ml"
    litres_left: Amount | None = None
    first_aid: str = ""
    invented: bool = False


class VisitingSection(Section):
    """[visiting]: when the holder can come, and for how long."""

    days: Annotated[list[DayOfWeek], Field(min_length=1)]
    arrive: Clock | None = None
    minutes: Annotated[int, Field(ge=5, le=720)] | None = None
    away: list[Annotated[list[ComingDay], Field(min_length=2, max_length=2)]] = []


class WantSection(Section):
    """[[household.want]]: portions of one crop, or one group of crops, in a week."""

    food: Name
    portions_a_week: Annotated[float, Field(gt=0, le=200)]
    worth: Annotated[float, Field(gt=0, le=100)] = 1.0
    crops: list[CropWord] = []


class HouseholdSection(Section):
    """[household]: who eats, and what time, water and risk are worth."""

    people: Annotated[int, Field(ge=1, le=100)] = 2
    want: list[WantSection] = []
    worth_of_hour: Amount | None = None
    worth_of_litre: Amount | None = None
    worth_of_treatment: Amount | None = None
    worth_of_given_away: Annotated[float, Field(ge=0, le=1)] | None = None
    freezer_litres: Amount | None = None
    jars: Count | None = None


class WaterSection(Section):
    """[water]: what water there is at a visit."""

    can_litres: Annotated[float, Field(gt=0, le=1000)] | None = None
    cans_a_visit: Count | None = None
    hose: bool = False
    hose_ban: bool = False
    watering: Way | None = None


class GardenSection(Section):
    """[garden]: the garden's own rules, and what is in flower about the plot."""

    organic_only: bool | None = None
    no_sprays: bool | None = None
    no_hose: bool | None = None
    no_fires: bool | None = None
    gate_opens: Clock | None = None
    gate_closes: Clock | None = None
    waste: str | None = None
    tidy_by: ComingDay | None = None
    poison_number: Telephone | None = None
    bloom_near: bool | None = None


class PacketSection(Section):
    """[[tin.packet]]: seed in the tin."""

    crop: CropWord
    seeds: Count
    variety: str = ""
    days_to_maturity: Days | None = None
    resists: list[str] = []


class TinSection(Section):
    """[tin]: seed, cups and mix on hand."""

    packet: list[PacketSection] = []
    cups: Count | None = None
    cup_ml: Cup = 200.0
    mix_litres: Amount | None = None


class MeansSection(Section):
    """[means]: what is there against insects beside the shelf."""

    on_hand: list[OnHand] = []


class WeekSection(Section):
    """[[week]]: highs, lows and rain day by day from a first day on; "?" where not known."""

    first: date
    highs_c: Annotated[list[MaybeNumber], Field(min_length=1, max_length=366)]
    lows_c: Annotated[list[MaybeNumber], Field(min_length=1, max_length=366)]
    rain_mm: list[MaybeNumber] = []
    checked: bool = False  # what can hardly be true was looked at, and is


class NormalsSection(Section):
    """[normals]: twelve usual highs, lows and rain totals, January to December."""

    highs_c: Annotated[list[float], Field(min_length=12, max_length=12)]
    lows_c: Annotated[list[float], Field(min_length=12, max_length=12)]
    rain_mm: Annotated[list[float], Field(min_length=12, max_length=12)] | None = None


class ForecastSection(Section):
    """[forecast]: a weather service that is asked, which nobody is unless it stands here."""

    service: ServiceAddress
    days: Annotated[int, Field(ge=1, le=16)] = 7
    past_days: Annotated[int, Field(ge=0, le=31)] = 7


SINGLE: dict[str, type[Section]] = {
    "place": PlaceSection,
    "holder": HolderSection,
    "visiting": VisitingSection,
    "household": HouseholdSection,
    "water": WaterSection,
    "garden": GardenSection,
    "tin": TinSection,
    "means": MeansSection,
    "normals": NormalsSection,
    "forecast": ForecastSection,
}
MANY: dict[str, type[Section]] = {
    "bed": BedSection,
    "planting": PlantingSection,
    "neighbour": NeighbourSection,
    "lot": LotSection,
    "shelf": ShelfSection,
    "week": WeekSection,
}
TOP_KEYS = ("format", "units", "season", "weather")
