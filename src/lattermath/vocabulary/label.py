"""Limits as printed on the pack in the grower's hand: the label is the law."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Generic, Literal, TypeVar

T = TypeVar("T")
State = Literal["value", "none", "not copied"]
Scope = Literal["product", "active", "group"]
Over = Literal["crop", "ground", "year"]
Measured = Literal["ml", "g"]
BloomWords = Literal["never in bloom", "evening only", "no bee wording"]


@dataclass(frozen=True, slots=True)
class LabelLine(Generic[T]):
    """One line of a label: a value, `label gives none (I looked)`, or `not copied`."""

    state: State = "not copied"
    value: T | None = None
    words: str = ""  # the label's own wording, as the grower typed it

    def __post_init__(self) -> None:
        """A line with a value has one; the other two states have none."""
        if (self.state == "value") != (self.value is not None):
            raise ValueError(f"a label line in state {self.state!r} has value {self.value!r}")

    @property
    def known(self) -> bool:
        """True when the grower looked: a value, or none printed."""
        return self.state != "not copied"


@dataclass(frozen=True, slots=True)
class CropLimits:
    """What one label says for one crop."""

    crop: str  # crop id as the plot uses it
    pre_harvest_days: LabelLine[float] = field(default_factory=LabelLine)
    retreat_days: LabelLine[float] = field(default_factory=LabelLine)
    season_max: LabelLine[int] = field(default_factory=LabelLine)
    season_max_scope: Scope = "product"
    season_max_over: Over = "crop"
    rate_ml_per_l: LabelLine[float] = field(default_factory=LabelLine)  # `measured_in` a litre
    max_l_per_m2: LabelLine[float] = field(default_factory=LabelLine)
    plant_back_days: LabelLine[float] = field(default_factory=LabelLine)


@dataclass(frozen=True, slots=True)
class ProductLabel:
    """One product on the shelf, with the limits copied from its own label."""

    key: str
    name: str
    active: str  # ISO common name; a method id of the treatment tables
    group: str  # IRAC number or FRAC code; "" where not classified
    form: Literal["spray", "dust", "bait", "granule"] = "spray"
    crops: tuple[CropLimits, ...] = ()
    crops_line: State = "not copied"  # were the label's crops copied at all?
    re_entry_hours: LabelLine[float] = field(default_factory=LabelLine)
    max_temperature_c: LabelLine[float] = field(default_factory=LabelLine)
    rain_free_hours: LabelLine[float] = field(default_factory=LabelLine)
    max_wind_m_s: LabelLine[float] = field(default_factory=LabelLine)
    bloom: LabelLine[BloomWords] = field(default_factory=LabelLine)
    sulfur_oil_gap_days: LabelLine[float] = field(default_factory=LabelLine)
    consecutive_max: LabelLine[int] = field(default_factory=LabelLine)  # uses in a row, any crop
    country: str = ""
    sold_to_amateurs: bool | None = None
    organic_input: bool | None = None
    measured_in: Measured = "ml"  # powders are weighed
    litres_left: float | None = None  # spray mix that what is left still makes
    first_aid: str = ""
    invented: bool = False

    def limits_for(self, crop: str) -> CropLimits | None:
        """The limits for a crop, or None when the label does not list it."""
        return next((limits for limits in self.crops if limits.crop == crop), None)
