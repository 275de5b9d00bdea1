"""What the tables say of one crop, as the numbers that the growth kernels take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal, TypedDict

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lattermath.knowledge.crops import Crop
from lattermath.knowledge.rows import Row
from lattermath.knowledge.tables import Tables
from lattermath.science.crop_stages import NOMINAL_CHECK_DAYS
from lattermath.science.degree_days import clipped_average
from lattermath.science.fruit_set import SetLimits
from lattermath.science.last_planting import margin_class
from lattermath.science.root_fill import OverAge
from lattermath.vocabulary.errors import Fault, InputError, TableError

Establish = Literal["direct", "transplant", "either"]
Start = Literal["sown", "set out"]
Ends = tuple[float, float]  # low and high end
Warmth = tuple[float, float, float | None]  # base, upper and best mean, see `CropTraits`
Floats = NDArray[np.float64]

REFERENCE_MEAN_C = 23.0  # ref_mean_c of the crop table (judgement): the weather of its day counts
NURSERY_MEAN_C = 25.0  # nursery_ref_mean_c of the crop table (judgement)
HALF_RANGE_C = 6.0  # the same table: a day of 29 and a night of 17 make the mean of 23
PACKET_SPREAD = 0.08  # judgement: what a packet's own days leave open, either way
# Published (unl_set: tomato upset below 55 F; ill_set: pepper below 58 F), read.
COLD_NIGHT_C = {"tomato": 13.0, "pepper": 14.0}
FRESH_DAYS = 5.0  # judgement: for a crop of the plot's own tables that says nothing
BUTTONS_A_WEEK = {"cauliflower": 0.15}  # judgement: heads lost to buttoning; no other crop does
OTHER_LOSS_A_WEEK = 0.03  # judgement: families without a rule lose as little as brassicas
KINDS = {
    "Cucurbitaceae": "cucurbit",
    "Brassicaceae": "brassica",
    "Asteraceae": "lettuce",
    "Solanaceae": "solanaceous",
}
DECIDING = {  # the figures that decide most, by the word a reason uses for them
    "picking": "picking.days",
    "yield": "yield_per_plant_kg",
    "frost": "frost.kill_c",
    "first pick": "setout_to_first_pick.days",
    "sowing": "sow_to_first_pick.days",
    "nursery": "nursery.ready_days",
    "spacing": "spacing_cm.in_row",
}
# Judgement: what is lifted or cut whole and stands until then; the table has no column for it.
LIFTED = frozenset(
    {"leek", "carrot", "beet", "turnip", "cabbage", "kohlrabi", "chinese_cabbage",
     "brussels_sprouts", "onion_scallion", "potato"}
)  # fmt: skip
HEADS = ("broccoli", "cauliflower")  # heads that heat spoils while they begin (the table's notes)
# Judgement: of the heat from setting out to cutting, what passes from a head's beginning on.
HEAD_SHARE = (0.35, 0.45)


@dataclass(frozen=True, slots=True)
class Need:
    """Heat and days from one event to a stage, low to high, in the weather they were counted in."""

    heat: Ends
    days: Ends
    per_day: float  # heat of one such day
    early: bool  # the low end is likelier: counted in warmer weather than the crop's own
    address: str

    def for_packet(self, ratio: float) -> Need:
        """The need of a kind whose packet gives `ratio` times the middle of the table's days."""
        low, high = ratio * (1 - PACKET_SPREAD), ratio * (1 + PACKET_SPREAD)
        heat, days = sum(self.heat) / 2, sum(self.days) / 2
        return replace(
            self, heat=(heat * low, heat * high), days=(days * low, days * high), early=False
        )


@dataclass(frozen=True, slots=True)
class Nursery:
    """The cup: heat to ready and to coiled in the reference cup, and what over-age costs."""

    ready_heat: Ends
    coils_heat: float
    ready_days: Ends
    transplants: str  # good, fair, poor
    cost: OverAge
    address: str

    @property
    def usual_age_days(self) -> float:
        """Age at which plants are usually set out, in the nursery weather of the table. [d]"""
        return sum(self.ready_days) / 2


@dataclass(frozen=True, slots=True)
class CropTraits:
    """One crop, as the growth of a planting needs it."""

    crop: str
    name: str  # as the table has it
    one: str  # as a sheet says it
    many: str
    family: str
    establish: Establish
    base_c: float
    upper_c: float
    best_c: float | None  # mean of the day above which it grows no faster; None: none
    from_set_out: Need | None
    from_sowing: Need | None
    full_size: Need | None  # from setting out
    fruit_heat: Ends | None  # open flower to market size; None: no fruit
    head_heat: Ends | None  # the head's beginning to its cutting; None: no head that heat spoils
    nursery: Nursery | None
    peak_days: Ends  # from first pick
    picking_days: Ends
    picking_heat: float  # of one day of the weather in which picking days were counted
    season_kg: Ends  # a plant
    spacing_m: Ends  # in the row, between rows
    kill_c: float
    damage_c: float
    tender: bool
    set_limits: SetLimits | None
    portion_kg: float  # as picked
    margin_days: float  # of bearing before frost, to be worth planting
    hangs_days: float | None  # fruit at size stays fit to eat on the plant; None: it waits
    slows: float  # share of bearing lost while fruit past size hangs
    fresh_days: float  # in the cool, once picked
    store_weeks: float  # in cellar, clamp or loft; 0: not stored
    puts_by: str  # freezer, jars, jars or freezer, no
    addresses: Mapping[str, str]

    @property
    def most_a_day(self) -> float:
        """Most heat that one day gives this crop, however warm. [C d]"""
        return float(self.heat(self.upper_c, self.upper_c))

    def heat(self, t_min: ArrayLike, t_max: ArrayLike) -> Floats:
        """Heat that days of these extremes give this crop, of their shape. [C d]"""
        return _heat(t_min, t_max, self.base_c, self.upper_c, self.best_c)

    def counted(self, plants: int) -> str:
        """So many plants, as a sheet says it: `4 cucumbers`."""
        return f"{plants} {self.one if plants == 1 else self.many}"

    def need(self, start: Start) -> Need:
        """Heat and days to first pick from sowing or setting out; TableError when unknown."""
        found = self.from_sowing if start == "sown" else self.from_set_out
        if found is None:
            column = "sow_to_first_pick" if start == "sown" else "setout_to_first_pick"
            where = f"crops/{self.crop}/{column}"
            remedy = "Use the other start, or give the packet's own days."
            raise TableError(
                Fault("no days to first pick are known for that start", where, start, remedy)
            )
        return found

    def growth_need(self, start: Start) -> Need:
        """The same, reckoned through the days in the cup where the table knows the other start.

        Setting out costs a check of four days and saves the days in the cup. TableError for a
        crop that is never grown in cups.
        """
        found = self.from_sowing if start == "sown" else self.from_set_out
        other = self.from_set_out if start == "sown" else self.from_sowing
        if found is not None or other is None or self.nursery is None:
            return self.need(start)
        in_cup = self.nursery.usual_age_days - NOMINAL_CHECK_DAYS
        low, high = (max(d + (in_cup if start == "sown" else -in_cup), 0.0) for d in other.days)
        heat = (low * other.per_day, high * other.per_day)
        return replace(other, days=(low, high), heat=heat)

    def with_packet(self, days_to_maturity: float | None) -> CropTraits:
        """The same crop, of a kind whose packet gives its own days to maturity.

        Packets count from setting out for crops that are always set out, else from sowing.
        """
        if days_to_maturity is None:
            return self
        basis = self.from_set_out if self.establish == "transplant" else self.from_sowing
        basis = basis or self.from_set_out or self.from_sowing
        if basis is None:
            return self
        ratio = days_to_maturity / (sum(basis.days) / 2)
        return replace(
            self,
            from_set_out=self.from_set_out and self.from_set_out.for_packet(ratio),
            from_sowing=self.from_sowing and self.from_sowing.for_packet(ratio),
        )

    def kg_where(self, plants: int) -> Ends:
        """Season yield of that many plants, low to high. [kg]"""
        return self.season_kg[0] * plants, self.season_kg[1] * plants

    def plants_on(self, area_m2: float) -> int:
        """How many plants the ground holds at the table's spacing; at least one."""
        return max(1, int(area_m2 / (self.spacing_m[0] * self.spacing_m[1]) + 1e-6))


def crop_traits(tables: Tables, crop: str) -> CropTraits:
    """What the tables say of one crop.

    InputError for a crop they do not hold; TableError names any figure growth cannot do without.
    """
    if crop not in tables.crops:
        near = tables.crosswalk.crop(crop)
        remedy = f"Say {near}." if near else "Use an id of the crop table."
        raise InputError(Fault("no such crop in the tables", "crop", crop, remedy))
    row, rules = tables.crops[crop], tables.constants["rules"]
    base, upper = row.t_base.value, row.t_upper.value
    best = None if row.t_best is None else row.t_best.value
    warmth = (base, upper, best)
    set_out = _need(row.row, "setout_to_first_pick", warmth)
    sowing = _need(row.row, "sow_to_first_pick", warmth)
    tender = "tender" in row.row.words("frost.class")
    margin = margin_class(crop, tender)
    fruit = _fruit_heat(row, set_out, sowing)
    return CropTraits(
        crop=crop,
        name=row.name,
        one=tables.crosswalk.named(crop, 1),
        many=tables.crosswalk.named(crop),
        family=row.family,
        establish=_establish(row),
        base_c=base,
        upper_c=upper,
        best_c=best,
        from_set_out=set_out,
        from_sowing=sowing,
        full_size=_need(row.row, "setout_to_full_size", warmth),
        fruit_heat=fruit,
        head_heat=(head := _head_heat(row, set_out)),
        nursery=_nursery(row, rules, base, upper),
        peak_days=row.first_pick_to_peak_days.span,
        picking_days=row.picking_days.span,
        picking_heat=_picking_heat(sowing, set_out, warmth),
        season_kg=row.yield_per_plant_kg.span,
        spacing_m=(row.spacing_in_row_cm.value / 100, row.spacing_between_rows_cm.value / 100),
        kill_c=row.frost_kill_c.value,
        damage_c=row.frost_damage_c.value,
        tender=tender,
        set_limits=_set_limits(row) if fruit or head else None,
        portion_kg=row.row.figure("portion_g.as_picked").value / 1000,
        margin_days=rules.figure(f"count_back_margin_days.{margin}").value,
        **_keeping(tables.produce.get(crop)),
        addresses=_addresses(row.row),
    )


class _Keeping(TypedDict):
    hangs_days: float | None
    slows: float
    fresh_days: float
    store_weeks: float
    puts_by: str


def _keeping(row: Row | None) -> _Keeping:
    """How long the crop hangs, keeps and stores; a crop without a row is eaten within the week."""
    if row is None:
        return _Keeping(
            hangs_days=None, slows=0.0, fresh_days=FRESH_DAYS, store_weeks=0.0, puts_by="no"
        )
    hangs, slows = row.find("hangs_days"), row.find("slows")
    return _Keeping(
        hangs_days=None if hangs is None else hangs.value,
        slows=0.0 if slows is None else slows.value,
        fresh_days=row.figure("fresh_days").value,
        store_weeks=row.figure("store_weeks").value,
        puts_by=row.text("puts_by"),
    )


def _need(row: Row, column: str, warmth: Warmth) -> Need | None:
    """The table's days and heat, the heat re-summed as the weather's is: extremes clipped.

    The table made its totals from daily means; re-made on its own reference day they agree.
    """
    days = row.find(f"{column}.days")
    if days is None:
        return None
    mean_c = row.find(f"{column}.mean_c")
    mean = REFERENCE_MEAN_C if mean_c is None else mean_c.value
    per_day = _day_heat(mean, warmth)
    low, high = days.span
    return Need(
        heat=(low * per_day, high * per_day),
        days=(low, high),
        per_day=per_day,
        early=mean == REFERENCE_MEAN_C,
        address=days.address,
    )


def _picking_heat(sowing: Need | None, set_out: Need | None, warmth: Warmth) -> float:
    """Heat of one day of picking: in the weather in which the row's other days were counted."""
    counted = sowing or set_out
    return _day_heat(REFERENCE_MEAN_C, warmth) if counted is None else counted.per_day


def _day_heat(mean_c: float, warmth: Warmth) -> float:
    """Heat of one day of that mean, 6 C either way. [C d]"""
    return float(_heat(mean_c - HALF_RANGE_C, mean_c + HALF_RANGE_C, *warmth))


def _heat(
    t_min: ArrayLike, t_max: ArrayLike, base_c: float, upper_c: float, best_c: float | None
) -> Floats:
    """Degree-days with the extremes clipped, and no more than a day of the best mean gives."""
    heat = clipped_average(t_min, t_max, base_c, upper_c)
    if best_c is None:
        return heat
    return np.minimum(heat, _day_heat(best_c, (base_c, upper_c, None)))


def _fruit_heat(row: Crop, set_out: Need | None, sowing: Need | None) -> Ends | None:
    """Heat from open flower to market size: first pick less first flower, at both ends."""
    flower = row.first_flower_days
    need = sowing if row.row.words("first_flower.from") == "sow" else set_out
    if flower is None or need is None:
        return None
    low, high = flower.span
    return (
        max(need.days[0] - low, 0.0) * need.per_day,
        max(need.days[1] - high, 0.0) * need.per_day,
    )


def _head_heat(row: Crop, set_out: Need | None) -> Ends | None:
    """Heat from the beginning of a head, unseen in the leafy plant, to its cutting."""
    if row.id not in HEADS or set_out is None:
        return None
    return HEAD_SHARE[0] * set_out.heat[0], HEAD_SHARE[1] * set_out.heat[1]


def _nursery(row: Crop, rules: Row, base: float, upper: float) -> Nursery | None:
    """The cup of this crop; None where it is never transplanted."""
    days, heat, bound = row.nursery_ready_days, row.nursery_ready_dd, row.pot_bound_days
    if days is None or heat is None or bound is None:
        return None
    per_day = min(NURSERY_MEAN_C, upper) - base
    return Nursery(
        ready_heat=heat.span,
        coils_heat=max(bound.value * per_day, heat.span[1]),
        ready_days=days.span,
        transplants=row.row.words("nursery.transplants"),
        cost=_cost(row, rules, per_day),
        address=days.address,
    )


def _cost(row: Crop, rules: Row, per_day: float) -> OverAge:
    """What a week of over-age costs this family, from the shared rules; cauliflower buttons too."""
    kind = KINDS.get(row.family, "other")
    loss = rules.find(f"overage_early_yield_loss_per_week.{kind}")
    family_loss = OTHER_LOSS_A_WEEK if loss is None else loss.value
    return OverAge(
        delay_days_a_week=rules.figure(f"overage_delay_days_per_week.{kind}").value,
        early_loss_a_week=BUTTONS_A_WEEK.get(row.id, family_loss),
        degree_days_a_week=7 * per_day,
    )


def _set_limits(row: Crop) -> SetLimits:
    night, mean = row.heat_night_min_c, row.heat_mean_c
    return SetLimits(
        day_max_c=row.heat_day_max_c.value,
        night_min_c=None if night is None else night.value,
        mean_c=None if mean is None else mean.value,
        cold_night_c=COLD_NIGHT_C.get(row.id.split("_")[0]),
    )


def _establish(row: Crop) -> Establish:
    if row.establish == "direct":
        return "direct"
    return "transplant" if row.establish == "transplant" else "either"


def _addresses(row: Row) -> dict[str, str]:
    """Where the figures that decide stand, so that a reason can point at them."""
    found = {name: row.find(column) for name, column in DECIDING.items()}
    return {name: f"table:{f.address}" for name, f in found.items() if f is not None and f.address}
