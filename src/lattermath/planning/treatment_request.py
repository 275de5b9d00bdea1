"""One treatment that somebody would like to make, with every fact its ruling asks about."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime, time, timedelta
from functools import cached_property

from lattermath.planning.means import cover_of
from lattermath.planning.own_cautions import Cautions, MethodFacts
from lattermath.vocabulary.evening import Applied, Evening
from lattermath.vocabulary.label import CropLimits, ProductLabel
from lattermath.vocabulary.plot import Bed, GardenRules, OnHand, Planting, Plot

MAYBE_ITS_BED = "maybe in the same bed (which bed is not in the plot file)"
PLANTING_RADIUS_M = 0.5  # judgement: how far a planting spreads from its centre, bed not known


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A crop on the neighbour's plot. A distance of None is unknown, and counts as near."""

    crop: str
    distance_m: float | None
    ready_to_pick: bool


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What stands round the plant. A bloom of None is unknown, and counts as bloom."""

    bloom_here: bool | None = None
    bloom_near: bool | None = None
    neighbours: tuple[Neighbour, ...] = ()

    @property
    def bloom(self) -> bool | None:
        """Bloom on the plant or within drift reach; None when nobody looked somewhere."""
        looks = (self.bloom_here, self.bloom_near)
        if True in looks:
            return True
        return None if None in looks else False


@dataclass(frozen=True)
class TreatmentRequest:
    """May this planting be treated with this, at this hour? Times are aware, by local clock."""

    planting: Planting
    method: MethodFacts
    label: ProductLabel | None  # None for a method that needs none
    evening: Evening
    starts: datetime
    minutes: float = 15.0
    country: str = ""  # of the plot
    rules: GardenRules = field(default_factory=GardenRules)
    hose_ban: bool = False
    hose: bool | None = None  # None: not asked
    watered_over: datetime | None = None  # last water given over the leaves, that anybody noted
    usually_over: bool = False  # it is usually watered over the leaves
    surroundings: Surroundings = field(default_factory=Surroundings)
    applied: tuple[Applied, ...] = ()  # done, or already planned, before or after this one
    shelf: tuple[ProductLabel, ...] = ()  # labels of whatever was applied
    next_picks: tuple[datetime, ...] = ()  # picks wanted of this planting
    work_in_bed: tuple[datetime, ...] = ()  # other work wanted in this bed
    generation_days: float | None = None  # egg to adult of the organism, at expected warmth
    dry_soil: bool | None = None  # the plant wants water at that hour; None: not known
    water_first: bool = False  # whoever treats is told to water before, where it is dry
    cover: OnHand | None = None  # mesh or fleece on hand
    ground_m2: float | None = None  # that its plants take up; None: not asked

    @property
    def of_the_day(self) -> tuple[object, ...]:
        """What makes it differ, on one plot, from requests for that evening: all but what was done
        on other days or elsewhere."""
        evening, label = self.evening, self.label
        own = [getattr(self, name) for name in OWN_OF_A_REQUEST]
        hours = (evening.day, evening.arrive, evening.leave)
        product = None if label is None else label.key
        return (self.planting.key, self.method.key, product, *hours, *own, self.same_evening)

    @property
    def ends(self) -> datetime:
        """When spraying is over."""
        return self.starts + timedelta(minutes=self.minutes)

    @cached_property
    def limits(self) -> CropLimits | None:
        """The label's lines for this crop; None where there is no label or it does not list it."""
        return None if self.label is None else self.label.limits_for(self.planting.crop)

    @cached_property
    def labels(self) -> dict[str, ProductLabel]:
        """The label of every product that may have been used, by its key."""
        own = () if self.label is None else (self.label,)
        return {label.key: label for label in (*self.shelf, *own)}

    @cached_property
    def earlier(self) -> tuple[Applied, ...]:
        """Treatments that come before this one."""
        begins = self.starts.timestamp()  # as `later` compares, asked once
        return tuple(a for a in self.applied if a.at.timestamp() <= begins)

    @cached_property
    def same_evening(self) -> tuple[Applied, ...]:
        """Other treatments that this planting gets on the same day."""
        return tuple(
            a
            for a in self.applied
            if a.planting == self.planting.key and same_day(a.at, self.starts)
        )


OF_THE_PLOT = frozenset(
    ("planting", "method", "label", "evening", "country", "rules", "hose_ban", "hose",
     "usually_over", "surroundings", "applied", "shelf", "cover")
)  # fmt: skip
OWN_OF_A_REQUEST = tuple(
    one.name for one in fields(TreatmentRequest) if one.name not in OF_THE_PLOT
)


def request_for(
    plot: Plot,
    planting: Planting,
    method: str,
    product: str | None,
    evening: Evening,
    starts: datetime,
    cautions: Cautions,
    surroundings: Surroundings | None = None,
) -> TreatmentRequest:
    """A request with all that the plot tells; `dataclasses.replace` adds what only a plan knows.

    That is: minutes, applied, next_picks, work_in_bed, generation_days and dry_soil. A product
    that is not on the shelf gives a request without a label, which is refused. `surroundings`
    spares working them out again for a planting that is asked about often.
    """
    label = next((one for one in plot.shelf if one.key == product), None)
    facts = cautions.facts(method)
    if product is not None and not facts.needs_label:
        facts = replace(facts, needs_label=True)
    return TreatmentRequest(
        planting=planting,
        method=facts,
        label=label,
        evening=evening,
        starts=starts,
        country=plot.place.country,
        rules=plot.rules,
        hose_ban=plot.water.hose_ban,
        hose=plot.water.hose,
        usually_over=plot.usual_watering(planting) == "overhead",
        surroundings=surroundings or surroundings_of(plot, planting, cautions),
        shelf=plot.shelf,
        cover=cover_of(plot),
    )


def next_day(at: datetime) -> datetime:
    """The first minute of the day after, by the same clock."""
    return datetime.combine(at.date() + timedelta(days=1), time(), tzinfo=at.tzinfo)


def applied_to(
    planting: Planting, method: str, product: str | None, label: ProductLabel | None, at: datetime
) -> Applied:
    """A treatment that is only thought of, as the rulings count it; no label: a method without."""
    return Applied(
        at=at,
        method=method,
        product=product,
        active=method if label is None else label.active,
        group="" if label is None else label.group,
        form="" if label is None else label.form,
        planting=planting.key,
        crop=planting.crop,
        bed=planting.bed,
    )


def as_treated(a: Applied, labels: Mapping[str, ProductLabel]) -> ProductLabel | None:
    """The label by which a treatment counts; None where its product is not on the shelf.

    Of one that was done that is the strictest of its label then and of each copy since: a label
    copied anew opens nothing that an older copy closed.
    """
    now = labels.get(a.product or "")
    return now if now is None or a.label is None else a.label


def later(one: datetime, other: datetime) -> bool:
    """True when `one` is the later instant, also in the hour that comes twice in autumn."""
    return one.timestamp() > other.timestamp()


def same_day(at: datetime, local: datetime) -> bool:
    """True when both instants fall on one day by the local clock of the second."""
    return at.astimezone(local.tzinfo).date() == local.date()


def on_ground(applied: Iterable[Applied], planting: Planting) -> tuple[Applied, ...]:
    """Treatments of this planting or of its bed; a bed nobody named may be this one."""
    return tuple(
        a
        for a in applied
        if a.planting == planting.key
        or (planting.bed is not None and a.bed == planting.bed)
        or (planting.bed is None or a.bed is None)
    )


def maybe_in_its_bed(a: Applied, planting: Planting) -> str:
    """Words that a treatment on its ground was of another planting, and nobody gave a bed of one of
    the two; "" where it was surely this planting or its bed."""
    sure = a.planting == planting.key or (planting.bed is not None and a.bed == planting.bed)
    return "" if sure else MAYBE_ITS_BED


def bare(bed: Bed) -> Planting:
    """The ground of a bed as a planting of no plants, to ask what was put on it."""
    return Planting(f"bare {bed.key}", bed.name, "", 0, bed.key)


def surroundings_of(plot: Plot, planting: Planting, cautions: Cautions) -> Surroundings:
    """Read from the plot what stands within drift reach of a planting."""
    others = [p for p in plot.plantings if p.key != planting.key and p.pulled is None]
    gaps = {p.key: gap_m(plot, planting, p) for p in others}
    near = [p for p in others if _within(gaps[p.key], cautions.drift_reach_m)]
    neighbours = tuple(Neighbour(p.crop, gaps[p.key], p.bears) for p in others if p.neighbours_plot)
    return Surroundings(planting.in_bloom, _any_bloom(plot, near), neighbours)


def _any_bloom(plot: Plot, near: list[Planting]) -> bool | None:
    looks = [plot.bloom_near, *(p.in_bloom for p in near)]
    if True in looks:
        return True
    return None if None in looks else False


def _within(gap: float | None, reach: float) -> bool:
    return gap is None or gap <= reach


def gap_m(plot: Plot, one: Planting, other: Planting) -> float | None:
    """Nearest distance between two plantings; None where one has no place. [m]"""
    a, b = _extent(plot, one), _extent(plot, other)
    if a is None or b is None:
        return None
    east = max(b[0] - a[1], a[0] - b[1], 0.0)
    north = max(b[2] - a[3], a[2] - b[3], 0.0)
    return math.hypot(east, north)


def _extent(plot: Plot, planting: Planting) -> tuple[float, float, float, float] | None:
    """West, east, south and north edge: the bed's, or a little way round the centre."""
    bed: Bed | None = plot.bed_of(planting)
    if bed is not None:
        return bed.x_m, bed.x_m + bed.length_m, bed.y_m, bed.y_m + bed.width_m
    if planting.x_m is None or planting.y_m is None:
        return None
    r = PLANTING_RADIUS_M
    return planting.x_m - r, planting.x_m + r, planting.y_m - r, planting.y_m + r
