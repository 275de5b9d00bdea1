"""What happened: the kinds of journal entry and their payloads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal
from zoneinfo import ZoneInfo

from lattermath.vocabulary.watering import Way

Surface = Literal["underside", "top", "stem", "soil", "whole"]
LookedAt = Literal["underside", "top", "stem", "soil", "whole", "flowers"]
Measure = Literal["count", "some", "shake", "severity", "first seen", "card"]
Level = Literal["none", "few", "many", "heavy"]
How = Literal["as written", "otherwise", "not done"]
Roots = Literal["few", "filling", "coiled"]
Destination = Literal["bagged off the plot", "compost", "garden waste"]


@dataclass(frozen=True, slots=True)
class PlotRow:
    """A fact of plot.toml. `row` is the table row as data; None withdraws it."""

    section: str
    key: str
    row: Mapping[str, Any] | None


@dataclass(frozen=True, slots=True)
class Visit:
    """One stay at the plot; it belongs to the local date on which it began."""

    minutes: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sighting:
    """Something seen or counted; never a diagnosis."""

    planting: str
    what: str  # organism or disease id, or the grower's word for it
    measure: Measure
    stage: str = ""
    surface: LookedAt = "underside"
    looked_at: int = 0  # leaves (plants for a shake test, cards for a card, flowers where tapped)
    counts: tuple[int, ...] = ()  # one a leaf, or one a card
    total: int | None = None  # where only the sum was noted; of `some`, leaves with any
    level: Level | None = None
    percent: float | None = None  # severity
    note: str = ""
    days: int = 0  # that a sticky card hung

    @property
    def found_none(self) -> bool:
        """It was looked for, and nothing was there."""
        none = self.level == "none" or self.total == 0 or self.percent == 0
        return none or (bool(self.counts) and not any(self.counts))


@dataclass(frozen=True, slots=True)
class Treatment:
    """A treatment done: a product of the shelf, or a method that needs none."""

    plantings: tuple[str, ...]
    method: str  # method id of the treatment tables
    product: str | None = None  # shelf key
    against: str = ""
    litres: float | None = None
    surfaces: tuple[Surface, ...] = ("underside", "top")
    coverage: float = 0.7  # share of those surfaces wetted
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sowing:
    """Seed sown, in cups (a standby lot) or in place (a planting)."""

    crop: str
    seeds: int
    lot: str | None = None
    planting: str | None = None
    bed: str | None = None
    cup_ml: float = 200.0
    variety: str = ""


@dataclass(frozen=True, slots=True)
class CupCheck:
    """A look at a lot in cups: how many came up, and how the roots stand in a cup turned out."""

    lot: str
    up: int | None = None
    cups: int | None = None  # looked at for it
    roots: Roots | None = None  # few: the ball falls apart; filling: it holds; coiled: they circle
    note: str = ""


@dataclass(frozen=True, slots=True)
class SettingOut:
    """Plants moved from a standby lot to a bed, making a planting."""

    planting: str
    crop: str
    plants: int
    bed: str | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True)
class Pulling:
    """Plants taken out. `plants` None: all of them."""

    planting: str
    plants: int | None = None
    to: Destination = "compost"


@dataclass(frozen=True, slots=True)
class Picking:
    """Produce taken."""

    planting: str
    kg: float | None = None
    items: int | None = None


@dataclass(frozen=True, slots=True)
class Watering:
    """Water given to a bed, or to one planting."""

    litres: float
    bed: str | None = None
    planting: str | None = None
    way: Way | None = None  # None: as the bed is watered, if the plot file says so


@dataclass(frozen=True, slots=True)
class Care:
    """Tending: tying, hoeing, side-shooting, mulching, feeding, stripping leaves."""

    planting: str
    work: str


@dataclass(frozen=True, slots=True)
class WeatherTaken:
    """A weather file taken in; its readings stand beside the journal under their digest."""

    file: str
    form: str
    digest: str  # of the file
    first: date
    last: date
    days: int
    readings_digest: str = ""  # of the readings taken from it; filled in as they are kept
    latitude: float | None = None  # where its station stands, if the file says [degrees]
    longitude: float | None = None
    altitude_m: float | None = None


@dataclass(frozen=True, slots=True)
class TaskDone:
    """A task of a sheet ticked, changed or left."""

    task: str
    how: How
    note: str = ""


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture that goes with an entry; its file stands beside the journal under its digest."""

    of: str  # id of the entry
    file: str  # SHA-256 of its bytes in hex, and .jpg
    width: int  # dots
    height: int
    size_bytes: int


@dataclass(frozen=True, slots=True)
class Withdrawal:
    """Takes an earlier entry back; the entry stays in the journal and no longer counts."""

    why: str = ""


Payload = (
    PlotRow
    | Visit
    | Sighting
    | Treatment
    | Sowing
    | CupCheck
    | SettingOut
    | Pulling
    | Picking
    | Watering
    | Care
    | WeatherTaken
    | TaskDone
    | Photo
    | Withdrawal
)

KINDS: dict[str, type] = {
    "plot row": PlotRow,
    "visit": Visit,
    "sighting": Sighting,
    "treatment": Treatment,
    "sowing": Sowing,
    "cup check": CupCheck,
    "setting out": SettingOut,
    "pulling": Pulling,
    "picking": Picking,
    "watering": Watering,
    "care": Care,
    "weather taken": WeatherTaken,
    "task done": TaskDone,
    "photo": Photo,
    "withdrawal": Withdrawal,
}


@dataclass(frozen=True, slots=True)
class Event:
    """One entry of the journal, as read back. Times are aware; `happened_at` is in UTC."""

    serial: int
    id: str  # UUIDv7
    kind: str
    version: int
    happened_at: datetime
    zone: str  # IANA zone of the plot
    recorded_at: datetime
    payload: Payload
    supersedes: str | None = None  # id of the entry this one corrects or withdraws

    @property
    def local(self) -> datetime:
        """When it happened by the plot's own clock."""
        return self.happened_at.astimezone(ZoneInfo(self.zone))

    @property
    def day(self) -> date:
        """The local date it belongs to."""
        return self.local.date()
