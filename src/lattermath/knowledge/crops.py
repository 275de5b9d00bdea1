"""What the tables say of one crop; every figure with its origin."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from lattermath.knowledge.rows import OfRow
from lattermath.vocabulary.figure import Figure


@dataclass(frozen=True, slots=True)
class Crop(OfRow):
    """One crop of the tables. A None is a figure the table lacks; temperatures in C, days, kg, m.

    Degree-days (`_dd`) are C d above `t_base` of the daily mean, never above `t_upper`.
    """

    @property
    def name(self) -> str:
        """Plain name."""
        return self.row.text("name")

    @property
    def family(self) -> str:
        """Botanical family."""
        return self.row.text("family")

    @property
    def establish(self) -> str:
        """How it is started: transplant, direct or either."""
        return self.row.text("establish")

    @property
    def t_base(self) -> Figure:
        """Temperature below which it does not develop. [C]"""
        return self.row.figure("t_base_c")

    @property
    def t_upper(self) -> Figure:
        """Temperature above which development gains nothing more. [C]"""
        return self.row.figure("t_upper_c")

    @property
    def t_best(self) -> Figure | None:
        """Mean of the day above which it grows no faster; None: none but `t_upper`. [C]"""
        return self.row.find("t_best_c")

    @property
    def nursery_ready_days(self) -> Figure | None:
        """Days from sowing in cups until ready to set out, at a mean of 25 C. [d]"""
        return self.row.find("nursery.ready_days")

    @property
    def nursery_ready_dd(self) -> Figure | None:
        """Heat from sowing in cups until ready to set out. [C d]"""
        return self.row.find("nursery.dd_ready")

    @property
    def pot_bound_days(self) -> Figure | None:
        """Age at which roots coil in a usual cup. [d]"""
        return self.row.find("nursery.pot_bound_days")

    @property
    def setout_to_first_pick_days(self) -> Figure | None:
        """Days from setting out to the first pick. [d]"""
        return self.row.find("setout_to_first_pick.days")

    @property
    def setout_to_first_pick_dd(self) -> Figure | None:
        """Heat from setting out to the first pick. [C d]"""
        return self.row.find("setout_to_first_pick.dd")

    @property
    def sow_to_first_pick_days(self) -> Figure | None:
        """Days from sowing in place to the first pick. [d]"""
        return self.row.find("sow_to_first_pick.days")

    @property
    def sow_to_first_pick_dd(self) -> Figure | None:
        """Heat from sowing in place to the first pick. [C d]"""
        return self.row.find("sow_to_first_pick.dd")

    @property
    def first_flower_days(self) -> Figure | None:
        """Days to the first flower, counted from `first_flower.from`. [d]"""
        return self.row.find("first_flower.days")

    @property
    def setout_to_full_size_days(self) -> Figure | None:
        """Days from setting out to a plant of full size. [d]"""
        return self.row.find("setout_to_full_size.days")

    @property
    def setout_to_full_size_dd(self) -> Figure | None:
        """Heat from setting out to a plant of full size. [C d]"""
        return self.row.find("setout_to_full_size.dd")

    @property
    def first_pick_to_peak_days(self) -> Figure:
        """Days from the first pick to the best week. [d]"""
        return self.row.figure("first_pick_to_peak.days")

    @property
    def picking_days(self) -> Figure:
        """Days over which it can be picked. [d]"""
        return self.row.figure("picking.days")

    @property
    def yield_per_plant_kg(self) -> Figure:
        """Yield of one plant over its picking, as picked. [kg]"""
        return self.row.figure("yield_per_plant_kg")

    @property
    def yield_per_m_row_kg(self) -> Figure:
        """Yield of a metre of row over its picking, as picked. [kg/m]"""
        return self.row.figure("yield_per_m_row_kg")

    @property
    def peak_week_per_plant_kg(self) -> Figure | None:
        """Yield of one plant in its best week. [kg]"""
        return self.row.find("peak_week_per_plant_kg")

    @property
    def spacing_in_row_cm(self) -> Figure:
        """Distance between plants in the row. [cm]"""
        return self.row.figure("spacing_cm.in_row")

    @property
    def spacing_between_rows_cm(self) -> Figure:
        """Distance between rows. [cm]"""
        return self.row.figure("spacing_cm.between_rows")

    @property
    def plant_ground_m2(self) -> float:
        """Ground that one plant takes at this spacing. [m2]"""
        return self.spacing_in_row_cm.value * self.spacing_between_rows_cm.value / 10_000

    @property
    def kc_ini(self) -> Figure:
        """Crop coefficient of the initial stage. [1]"""
        return self.row.figure("kc.ini")

    @property
    def kc_mid(self) -> Figure:
        """Crop coefficient of mid-season. [1]"""
        return self.row.figure("kc.mid")

    @property
    def kc_end(self) -> Figure:
        """Crop coefficient at the end of the late season. [1]"""
        return self.row.figure("kc.end")

    @property
    def kcb_ini(self) -> Figure:
        """Basal crop coefficient of the initial stage. [1]"""
        return self.row.figure("kcb.ini")

    @property
    def kcb_mid(self) -> Figure:
        """Basal crop coefficient of mid-season. [1]"""
        return self.row.figure("kcb.mid")

    @property
    def kcb_end(self) -> Figure:
        """Basal crop coefficient at the end of the late season. [1]"""
        return self.row.figure("kcb.end")

    @property
    def height_m(self) -> Figure:
        """Height of the full-grown crop. [m]"""
        return self.row.figure("kc.h_m")

    @property
    def stage_days(self) -> tuple[Figure, Figure, Figure, Figure]:
        """Lengths of the initial, development, mid and late stages in the source's season. [d]"""
        figure = self.row.figure
        return (
            figure("stage_days.ini"),
            figure("stage_days.dev"),
            figure("stage_days.mid"),
            figure("stage_days.late"),
        )

    @property
    def root_max_m(self) -> Figure:
        """Greatest root depth. [m]"""
        return self.row.figure("root_m.max")

    @property
    def depletion_fraction(self) -> Figure:
        """Share of available water that may go before the crop suffers, at 5 mm a day. [1]"""
        return self.row.figure("p")

    @property
    def frost_kill_c(self) -> Figure:
        """Air temperature that kills it. [C]"""
        return self.row.figure("frost.kill_c")

    @property
    def frost_damage_c(self) -> Figure:
        """Air temperature that harms it. [C]"""
        return self.row.figure("frost.damage_c")

    @property
    def heat_day_max_c(self) -> Figure:
        """Daily maximum above which set or quality falls. [C]"""
        return self.row.figure("heat.day_max_c")

    @property
    def heat_night_min_c(self) -> Figure | None:
        """Night minimum above which set falls. [C]"""
        return self.row.find("heat.night_min_c")

    @property
    def heat_mean_c(self) -> Figure | None:
        """Daily mean above which set falls. [C]"""
        return self.row.find("heat.mean_c")

    @property
    def weeks_after_first_frost(self) -> Figure:
        """Weeks it can still be picked after the first frost. [weeks]"""
        return self.row.figure("weeks_after_first_frost")

    @property
    def portion_g(self) -> Figure:
        """Edible weight of one portion. [g]"""
        return self.row.figure("portion_g")

    @property
    def refuse_fraction(self) -> Figure:
        """Share of the picked weight thrown away in the kitchen. [1]"""
        return self.row.figure("portion_g.refuse")

    @property
    def emergence_t_base(self) -> Figure | None:
        """Base temperature of the emergence line, which holds at 10 to 25 C. [C]"""
        return self.row.find("emergence.t_base_c")

    @property
    def emergence_dd(self) -> Figure | None:
        """Heat to emergence above that base, in soil. [C d]"""
        return self.row.find("emergence.dd")

    @property
    def emergence_days(self) -> Mapping[float, Figure]:
        """Days to emergence read at single soil temperatures [C] in the crop's own row. [d]"""
        found = {}
        for key, figure in self.row.under("emergence").items():
            if match := re.fullmatch(r"days_at_(\d+)c", key):
                found[float(match[1])] = figure
        return dict(sorted(found.items()))

    @property
    def germination_row(self) -> str | None:
        """Row of the germination tables; None when the crop has none, not even by proxy."""
        words = self.row.words("emergence.row")
        return re.sub(r" \(proxy\)", "", words).replace("/", "_") or None

    @property
    def germination_by_proxy(self) -> bool:
        """True when that row belongs to a near kin and stands in for this crop."""
        return "(proxy)" in self.row.words("emergence.row")
