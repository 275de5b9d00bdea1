"""The plot: beds to scale, what grows on them, what waits in cups, and the garden's rules."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time
from typing import Literal

from lattermath.vocabulary.events import Roots
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.watering import Way

Texture = Literal[
    "sand",
    "loamy sand",
    "sandy loam",
    "loam",
    "silt loam",
    "silt",
    "silty clay loam",
    "silty clay",
    "clay",
]
Vigour = Literal["sound", "tired", "worn", "failing"]
Watered = Literal["twice a day", "daily", "at visits"]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


@dataclass(frozen=True, slots=True)
class Bed:
    """A bed in plot coordinates: metres east (x) and north (y) of the plot's south-west peg."""

    key: str
    name: str
    x_m: float
    y_m: float
    length_m: float  # along x
    width_m: float  # along y
    texture: Texture = "loam"
    mulched: bool = False
    root_limit_m: float | None = None
    watering: Way | None = None  # how it is usually given; None: as the plot's water says
    placed: bool = True  # False: nobody wrote where it lies, and it was laid in a row

    @property
    def area_m2(self) -> float:
        """Ground covered by the bed. [m2]"""
        return self.length_m * self.width_m

    @property
    def centre(self) -> tuple[float, float]:
        """Centre of the bed, metres east and north."""
        return self.x_m + self.length_m / 2, self.y_m + self.width_m / 2


@dataclass(frozen=True, slots=True)
class Planting:
    """Plants of one crop that stand, and are judged, together."""

    key: str
    name: str
    crop: str  # crop id of the tables
    plants: int
    bed: str | None = None
    sown: date | None = None
    set_out: date | None = None
    about_days: int = 0  # the dates may be off by this many days either way
    variety: str = ""
    days_to_maturity: float | None = None  # the packet's own, which outranks the table
    resists: tuple[str, ...] = ()
    vigour: Vigour = "sound"
    wilted: bool = False
    in_bloom: bool | None = None  # open flowers that bees visit; None: nobody looked
    bearing_since: date | None = None
    picked_first: date | None = None  # the first picking that was written down
    neighbours_plot: bool = False  # stands on the neighbour's plot: looked at, never treated
    x_m: float | None = None  # centre; the bed's own centre where not given
    y_m: float | None = None
    pulled: date | None = None

    @property
    def started(self) -> date | None:
        """The day it was set out, or sown where it was sown in place."""
        return self.set_out or self.sown

    @property
    def bears(self) -> bool:
        """Was it seen to bear, or picked?"""
        return self.bearing_since is not None or self.picked_first is not None


@dataclass(frozen=True, slots=True)
class CupLook:
    """What a look at a lot in cups showed."""

    day: date
    up: int | None = None  # cups with a plant
    cups: int | None = None  # looked at
    roots: Roots | None = None


@dataclass(frozen=True, slots=True)
class StandbyLot:
    """Replacement plants in cups or cells, sown at one time."""

    key: str
    crop: str
    plants: int
    sown: date
    cup_ml: float = 200.0
    where: Literal["home", "plot"] = "home"
    variety: str = ""
    days_to_maturity: float | None = None
    name: str = ""  # as the plot file writes it; the key's own words where it writes none
    watered: Watered | None = None  # None: daily at home, at the visits only on the plot
    looks: tuple[CupLook, ...] = ()  # by the journal, oldest first

    @property
    def called(self) -> str:
        """The lot as the grower calls it."""
        return self.name or self.key.replace("-", " ")

    @property
    def waterings(self) -> Watered:
        """How often somebody waters it."""
        return self.watered or ("daily" if self.where == "home" else "at visits")


@dataclass(frozen=True, slots=True)
class Visiting:
    """When the holder can come, and for how long."""

    days: tuple[Weekday, ...]
    arrive: time = time(18, 30)
    minutes: int = 75
    away: tuple[tuple[date, date], ...] = ()


@dataclass(frozen=True, slots=True)
class Want:
    """Portions of one crop group that the household can use in a week, and what they are worth."""

    food: str  # crop id, or a group of crops named in the file
    portions_a_week: float
    worth: float = 1.0
    crops: tuple[str, ...] = ()  # the crops of a group; empty where `food` is a crop id
    put_by: float = 0.0  # portions that can be kept for other weeks; reckoned, never entered
    given: float = 0.0  # worth of a portion given away, as the household has it


@dataclass(frozen=True, slots=True)
class Household:
    """What the household eats, and what its time, water and risk are worth to it."""

    people: int = 2
    wants: tuple[Want, ...] = ()
    worth_of_hour: float = 4.0  # in portions
    worth_of_litre: float = 0.01
    worth_of_treatment: float = 1.0  # hazard of one chemical treatment, in portions
    freezer_litres: float = 0.0  # room in it for what the plot gives
    jars: int = 0  # of half a litre, empty and waiting
    worth_of_given_away: float = 0.0  # a portion that neighbours get, against one eaten


@dataclass(frozen=True, slots=True)
class WaterSupply:
    """What water there is at a visit."""

    can_litres: float = 10.0
    cans_a_visit: int | None = None  # None: as many as time allows
    hose: bool = False  # False also where nobody wrote of one
    hose_ban: bool = False
    watering: Way | None = None  # how water is usually given; None: nobody said


@dataclass(frozen=True, slots=True)
class GardenRules:
    """The garden's own rules; they bind like the label."""

    organic_only: bool = False
    no_sprays: bool = False
    no_hose: bool = False
    no_fires: bool = True
    gate_opens: time | None = None
    gate_closes: time | None = None
    waste: str = ""
    tidy_by: date | None = None
    poison_number: str = ""  # whom to ring when something was swallowed; "" is not written down


@dataclass(frozen=True, slots=True)
class SeedPacket:
    """Seed in the tin; the packet's own days outrank the table."""

    crop: str
    seeds: int
    variety: str = ""
    days_to_maturity: float | None = None
    resists: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tin:
    """Seed, cups and mix on hand."""

    packets: tuple[SeedPacket, ...] = ()
    cups: int | None = None
    cup_ml: float = 200.0
    mix_litres: float | None = None


OnHand = Literal[
    "vacuum",
    "bags",
    "fine mesh",
    "mesh",
    "fleece",
    "predatory mites",
    "lacewing larvae",
    "ladybirds",
    "whitefly wasps",
    "yellow cards",
]


@dataclass(frozen=True, slots=True)
class Means:
    """What the grower has against insects that is no product: covers, a vacuum, animals to let out.

    Hands, a knife, a bag and a board cost nothing and are taken to be there; a hose is written
    under water. Mesh is fine from 0.35 mm down.
    """

    on_hand: tuple[OnHand, ...] = ()


@dataclass(frozen=True, slots=True)
class Plot:
    """The plot as declared and as the journal has changed it, as of one day."""

    name: str
    holder: str
    place: Place
    beds: tuple[Bed, ...] = ()
    plantings: tuple[Planting, ...] = ()
    lots: tuple[StandbyLot, ...] = ()
    shelf: tuple[ProductLabel, ...] = ()
    visiting: Visiting = field(default_factory=lambda: Visiting(("tue", "thu", "sat")))
    household: Household = field(default_factory=Household)
    water: WaterSupply = field(default_factory=WaterSupply)
    rules: GardenRules = field(default_factory=GardenRules)
    tin: Tin = field(default_factory=Tin)
    means: Means = field(default_factory=Means)
    bloom_near: bool | None = None  # weeds in flower, or honeydew with bees, within drift reach
    rough: tuple[str, ...] = ()  # what is not known, so that the sheet can say so

    def planting(self, key: str) -> Planting:
        """The planting of that key; KeyError when there is none."""
        return next(p for p in self.plantings if p.key == key)

    def bed_of(self, planting: Planting) -> Bed | None:
        """The bed a planting stands in, if it was given one."""
        return next((bed for bed in self.beds if bed.key == planting.bed), None)

    def usual_watering(self, planting: Planting) -> Way | None:
        """How water is usually given to a planting; None where the plot file does not say."""
        bed = self.bed_of(planting)
        return (bed.watering if bed is not None else None) or self.water.watering

    def standing(self) -> tuple[Planting, ...]:
        """Own plantings that have not been pulled."""
        return tuple(p for p in self.plantings if p.pulled is None and not p.neighbours_plot)

    def bare_beds(self) -> tuple[Bed, ...]:
        """Beds in which nothing stands."""
        taken = {planting.bed for planting in self.standing()}
        return tuple(bed for bed in self.beds if bed.key not in taken)
