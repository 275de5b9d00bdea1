"""Forms of the kernels of what a treatment leaves behind."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from pydantic import Field

from lattermath.desk.kernel_forms import (
    Answer,
    Asked,
    Form,
    Instant,
    NotNegative,
    Positive,
    Share,
    Whole,
    Word,
    refuse,
    zone_named,
)
from lattermath.planning.mixing import Part, Stand, fillings
from lattermath.planning.picking_clearance import Interval, clearance
from lattermath.science.spray_kill import residue
from lattermath.vocabulary.events import Surface as Wetted
from lattermath.vocabulary.label import CropLimits, LabelLine, Measured, ProductLabel

MOST_DAYS = 3660


class ResidueAsked(Asked):
    """Half-life on the leaf, days to follow; rain of day 0, 1 ..., mm; share a wet day washes."""

    half_life_days: Positive
    days: Annotated[Whole, Field(ge=0, le=MOST_DAYS)]
    rain_mm: list[NotNegative] | None = None
    wash_off_fraction: Share | None = None


class Residue(Answer):
    """Share of the deposit left after 0, 1 ... `days` days."""

    fraction: list[float]


def _residue(asked: ResidueAsked) -> Residue:
    left = residue(asked.half_life_days, asked.days, asked.rain_mm, asked.wash_off_fraction or 0.0)
    return Residue(fraction=left.tolist())


class Treated(Asked):
    """One treatment: when, and what its label prints. Left out or null: not known."""

    at: Instant
    pre_harvest_days: Annotated[NotNegative, Field(le=MOST_DAYS)] | None = None
    re_entry_hours: Annotated[NotNegative, Field(le=24 * MOST_DAYS)] | None = None


class ClearanceAsked(Asked):
    """Treatments of one planting, and the hour asked about.

    Hours with their offset; or all without one, by a single clock that is never changed.
    """

    treatments: list[Treated]
    now: Instant
    time_zone: Word | None = None


class Bar(Answer):
    """One treatment that still bars picking, and until when; null: not known."""

    says: str
    until: datetime | None
    who: str


class Clearance(Answer):
    """The hour from which picking is clear, null where that is not known; what bars it now."""

    safe_from: datetime | None
    barred_by: list[Bar]


def _clearance(asked: ClearanceAsked) -> Clearance:
    naive = _naive(asked)
    zone = None if asked.time_zone is None else zone_named(asked.time_zone)

    def aware(when: datetime) -> datetime:
        return when.replace(tzinfo=zone or UTC) if naive else when

    def told(when: datetime | None) -> datetime | None:
        return when.replace(tzinfo=None) if naive and zone is None and when else when

    safe, bars = clearance(
        [Interval(aware(t.at), t.pre_harvest_days, t.re_entry_hours) for t in asked.treatments],
        aware(asked.now),
        zone,
    )
    return Clearance(
        safe_from=told(safe),
        barred_by=[Bar(says=bar.says, until=told(bar.lapses), who=bar.who) for bar in bars],
    )


def _naive(asked: ClearanceAsked) -> bool:
    """True when no hour has an offset; refuses a mixture."""
    naive = asked.now.tzinfo is None
    for place, one in enumerate(asked.treatments):
        if (one.at.tzinfo is None) != naive:
            remedy = "Give every hour its offset, or none."
            raise refuse("some hours have an offset", f"treatments[{place}].at", one.at, remedy)
    return naive


class WettedAsked(Asked):
    """One planting: plants, ground of one, share of full leaf, surfaces, the label's two lines.

    A line left out or null: the label prints none. `bed_m2`: the most ground that all may take.
    """

    plants: Annotated[Whole, Field(ge=0, le=100_000)]
    ground_m2_per_plant: NotNegative
    leaf: Share = 1.0
    bed_m2: Positive | None = None
    surfaces: Annotated[list[Wetted], Field(min_length=1)]
    rate_per_l: Positive | None = None
    max_l_per_m2: Positive | None = None


class MixAsked(Asked):
    """Plantings to be treated; `measured_in` is the unit of the label's rates."""

    parts: Annotated[list[WettedAsked], Field(min_length=1)]
    measured_in: Measured = "ml"
    litres_left: NotNegative | None = None


class OneFilling(Answer):
    """The places of its parts, water, product in the unit asked, litres a part; what would wet
    all; a warning."""

    parts: list[int]
    water_l: float
    product: float | None
    shares_l: list[float]
    wanted_l: float
    warning: str


class Mixed(Answer):
    """One filling for each rate among the parts, in the order in which the rates first come."""

    fillings: list[OneFilling]


def _mix(asked: MixAsked) -> Mixed:
    crops = [f"part {place}" for place in range(len(asked.parts))]
    label = ProductLabel(
        "product",
        "product",
        "",
        "",
        crops=tuple(
            CropLimits(crop, rate_ml_per_l=_line(p.rate_per_l), max_l_per_m2=_line(p.max_l_per_m2))
            for crop, p in zip(crops, asked.parts, strict=True)
        ),
        measured_in=asked.measured_in,
        litres_left=asked.litres_left,
    )
    parts = [
        Part(crop, Stand(p.plants, p.ground_m2_per_plant, p.leaf, p.bed_m2), tuple(p.surfaces))
        for crop, p in zip(crops, asked.parts, strict=True)
    ]
    return Mixed(
        fillings=[
            OneFilling(
                parts=list(places),
                water_l=mix.water_l,
                product=mix.product,
                shares_l=list(mix.shares),
                wanted_l=mix.wanted_l,
                warning=mix.warning,
            )
            for places, mix in fillings(label, parts)
        ]
    )


def _line(value: float | None) -> LabelLine[float]:
    return LabelLine("none") if value is None else LabelLine("value", value)


FORMS: dict[str, Form[Any]] = {
    "residue": Form(ResidueAsked, Residue, _residue, "What is left of a deposit."),
    "mix": Form(MixAsked, Mixed, _mix, "What goes into the sprayer."),
    "clearance": Form(ClearanceAsked, Clearance, _clearance, "From when picking is clear."),
}
