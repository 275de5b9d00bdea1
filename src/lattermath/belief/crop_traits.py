"""What the tables say of one crop, as the numbers that the growth kernels take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from lattermath.knowledge.rows import Row
from lattermath.science.degree_days import clipped_average
from lattermath.science.fruit_set import SetLimits
from lattermath.science.last_planting import MarginClass, margin_class
from lattermath.science.root_fill import OverAge
from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import Figure

Establish = Literal["direct", "transplant", "either"]
Start = Literal["sown", "set out"]

REFERENCE_MEAN_C = 23.0  # ref_mean_c of the crop table (judgement): the weather of its day counts
NURSERY_MEAN_C = 25.0  # nursery_ref_mean_c of the crop table (judgement)
HALF_RANGE_C = 6.0  # the same table: a day of 29 and a night of 17 make the mean of 23
PACKET_SPREAD = 0.08  # judgement: what a packet's own days leave open, either way
# Published (unl_set: tomato upset below 55 F; ill_set: pepper below 58 F), read.
COLD_NIGHT_C = {"tomato": 13.0, "pepper": 14.0}
OTHER_LOSS_A_WEEK = 0.03  # judgement: families without a rule lose as little as brassicas
KINDS = {
    "Cucurbitaceae": "cucurbit",
    "Brassicaceae": "brassica",
    "Asteraceae": "lettuce",
    "Solanaceae": "solanaceous",
}


@dataclass(frozen=True, slots=True)
class Need:
    """Heat and days from one event to a stage, low to high, in the weather they were counted in."""

    heat: tuple[float, float]
    days: tuple[float, float]
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

    ready_heat: tuple[float, float]
    coils_heat: float
    ready_days: tuple[float, float]
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
    name: str
    family: str
    establish: Establish
    base_c: float
    upper_c: float
    from_set_out: Need | None
    from_sowing: Need | None
    full_size: Need | None  # from setting out
    fruit_heat: tuple[float, float] | None  # open flower to market size; None: no fruit
    nursery: Nursery | None
    peak_days: tuple[float, float]  # from first pick
    picking_days: tuple[float, float]
    season_kg: tuple[float, float]  # a plant
    spacing_m: tuple[float, float]  # in the row, between rows
    kill_c: float
    damage_c: float
    tender: bool
    set_limits: SetLimits | None
    portion_kg: float  # as picked
    margin: MarginClass
    addresses: Mapping[str, str]

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

    def kg_where(self, plants: int) -> tuple[float, float]:
        """Season yield of that many plants, low to high. [kg]"""
        return self.season_kg[0] * plants, self.season_kg[1] * plants

    def plants_on(self, area_m2: float) -> int:
        """How many plants the ground holds at the table's spacing; at least one."""
        return max(1, int(area_m2 / (self.spacing_m[0] * self.spacing_m[1]) + 1e-6))


def crop_traits(row: Row, rules: Row) -> CropTraits:
    """Read one crop row into traits; TableError names any figure the growth cannot do without.

    rules : the row of constants that all crops share.
    """
    base, upper = row.figure("t_base_c").value, row.figure("t_upper_c").value
    set_out = _need(row, "setout_to_first_pick", base, upper)
    sowing = _need(row, "sow_to_first_pick", base, upper)
    frost_class = row.words("frost.class")
    tender = "tender" in frost_class
    fruit = _fruit_heat(row, set_out, sowing)
    spacing = tuple(
        row.figure(f"spacing_cm.{way}").value / 100 for way in ("in_row", "between_rows")
    )
    return CropTraits(
        crop=row.id,
        name=row.words("name", row.id),
        family=row.words("family"),
        establish=_establish(row),
        base_c=base,
        upper_c=upper,
        from_set_out=set_out,
        from_sowing=sowing,
        full_size=_need(row, "setout_to_full_size", base, upper),
        fruit_heat=fruit,
        nursery=_nursery(row, rules, base, upper),
        peak_days=row.figure("first_pick_to_peak.days").span,
        picking_days=row.figure("picking.days").span,
        season_kg=row.figure("yield_per_plant_kg").span,
        spacing_m=(spacing[0], spacing[1]),
        kill_c=row.figure("frost.kill_c").value,
        damage_c=row.figure("frost.damage_c").value,
        tender=tender,
        set_limits=_set_limits(row) if fruit else None,
        portion_kg=row.figure("portion_g.as_picked").value / 1000,
        margin=margin_class(row.id, tender),
        addresses=_addresses(row),
    )


def _need(row: Row, column: str, base: float, upper: float) -> Need | None:
    """The table's days and heat, the heat re-summed as the weather's is: extremes clipped.

    The table made its totals from daily means; re-made on its own reference day they agree.
    """
    days = row.find(f"{column}.days")
    if days is None:
        return None
    mean_c = row.find(f"{column}.mean_c")
    mean = REFERENCE_MEAN_C if mean_c is None else mean_c.value
    per_day = float(clipped_average(mean - HALF_RANGE_C, mean + HALF_RANGE_C, base, upper))
    low, high = days.span
    return Need(
        heat=(low * per_day, high * per_day),
        days=(low, high),
        per_day=per_day,
        early=mean == REFERENCE_MEAN_C,
        address=days.address,
    )


def _fruit_heat(row: Row, set_out: Need | None, sowing: Need | None) -> tuple[float, float] | None:
    """Heat from open flower to market size: first pick less first flower, both ends alike."""
    flower = row.find("first_flower.days")
    if flower is None:
        return None
    need = sowing if row.words("first_flower.from") == "sow" else set_out
    if need is None:
        return None
    low, high = flower.span
    return (
        max(need.days[0] - low, 0.0) * need.per_day,
        max(need.days[1] - high, 0.0) * need.per_day,
    )


def _nursery(row: Row, rules: Row, base: float, upper: float) -> Nursery | None:
    """The cup of this crop; None where it is never transplanted."""
    days, heat, bound = (
        row.find(f"nursery.{name}") for name in ("ready_days", "dd_ready", "pot_bound_days")
    )
    if days is None or heat is None or bound is None:
        return None
    per_day = min(NURSERY_MEAN_C, upper) - base
    return Nursery(
        ready_heat=heat.span,
        coils_heat=max(bound.value * per_day, heat.span[1]),
        ready_days=days.span,
        transplants=row.words("nursery.transplants"),
        cost=_cost(row, rules, per_day),
        address=days.address,
    )


def _cost(row: Row, rules: Row, per_day: float) -> OverAge:
    """What a week of over-age costs this family, from the shared rules."""
    kind = KINDS.get(row.words("family"), "other")
    loss = rules.find(f"overage_early_yield_loss_per_week.{kind}")
    return OverAge(
        delay_days_a_week=rules.figure(f"overage_delay_days_per_week.{kind}").value,
        early_loss_a_week=OTHER_LOSS_A_WEEK if loss is None else loss.value,
        degree_days_a_week=7 * per_day,
    )


def _set_limits(row: Row) -> SetLimits:
    return SetLimits(
        day_max_c=row.figure("heat.day_max_c").value,
        night_min_c=_value(row.find("heat.night_min_c")),
        mean_c=_value(row.find("heat.mean_c")),
        cold_night_c=COLD_NIGHT_C.get(row.id.split("_")[0]),
    )


def _establish(row: Row) -> Establish:
    word = row.text("establish")
    if word == "direct":
        return "direct"
    return "transplant" if word == "transplant" else "either"


def _value(figure: Figure | None) -> float | None:
    return None if figure is None else figure.value


def _addresses(row: Row) -> dict[str, str]:
    """Where the figures that decide stand, so that a reason can point at them."""
    wanted = {
        "picking": "picking.days",
        "yield": "yield_per_plant_kg",
        "frost": "frost.kill_c",
        "first pick": "setout_to_first_pick.days",
        "sowing": "sow_to_first_pick.days",
        "nursery": "nursery.ready_days",
        "spacing": "spacing_cm.in_row",
    }
    found = {name: row.find(column) for name, column in wanted.items()}
    return {name: f"table:{f.address}" for name, f in found.items() if f is not None and f.address}
