"""The figures of our own cautions, by name, so that a ruling can be checked with a pencil.

They come from the `[[rule]]` and `[[method]]` rows of the treatment tables (`own_cautions`); what
a rule says only in words, or leaves to judgement, stands here as a default with its reason.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import time, timedelta
from functools import cache
from typing import Literal

from lattermath.knowledge.rows import Row
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.errors import Fault, TableError

Scheme = Literal["IRAC", "FRAC", "none", "unknown"]


@dataclass(frozen=True, slots=True)
class MethodFacts:
    """What the tables say of one method that a ruling asks about."""

    key: str  # method id; for a product, its active
    needs_label: bool = True  # False: water, hands, shears, mesh and released insects
    chemical_class: str = ""  # the table's words: "pyrethroid", "carbamate"
    scheme: Scheme = "unknown"  # whose number the mode of action is
    dry_hours: float | None = None  # None: the table has no figure
    group: str = ""  # the mode of action, for labels that print none


@dataclass(frozen=True, slots=True)
class Cautions:
    """Every figure that a ruling uses and no label prints. Hours, days, degrees C, m, m/s."""

    # rule bloom
    blocked_in_bloom: frozenset[str]
    blocked_classes: frozenset[str]
    only_if_label_permits: frozenset[str]
    blocked_forms: frozenset[str]
    not_a_spray: frozenset[str]
    # rule heat_ceiling
    soap_and_oil: frozenset[str]
    sulfur: frozenset[str]
    heat_caution_c: float
    heat_refuse_c: float
    oil_refuse_below_c: float
    # rule sulfur_oil_gap
    oils: frozenset[str]
    sulfur_oil_gap_days: float
    # rule rain
    contact_only: frozenset[str]
    deposit_refuse_hours: float
    deposit_caution_hours: float
    # rule wind
    wind_refuse_m_s: float
    wind_calm_m_s: float
    # rule rotate_by_generation
    exempt_methods: frozenset[str]
    exempt_groups: frozenset[str]
    shortest_window_days: float
    # rows of methods
    methods: Mapping[str, MethodFacts] = field(default_factory=dict)
    # Said by the rules in words only
    dry_at_least_hours: float = 4.0  # rule re_entry: "until dry", by our caution not before 4 h
    longest_sulfur_oil_gap_days: float = 30.0  # rule sulfur_oil_gap: "30 where the label says so"
    # Rows pyrethrins, acetamiprid and spinosad: "otherwise the evening window"
    evening_even_without_bloom: frozenset[str] = frozenset(
        {"pyrethrins", "acetamiprid", "spinosad"}
    )
    # Judgement
    rain_expected: float = 0.5  # chance from which rain is "expected": more likely than not
    window_opens_before_sunset: timedelta = timedelta(minutes=30)  # sun low, off most leaves
    next_morning: time = time(6)  # earliest hour that "the next morning" can mean
    drift_reach_m: float = 3.0  # fine drops of a hand sprayer in air below the wind limit

    crop_names: Mapping[str, str] = field(default_factory=dict)  # crop id: as a sheet says it

    def crop(self, crop: str) -> str:
        """A crop as a sheet says it; the id itself where it has no name."""
        return self.crop_names.get(crop, crop)

    def facts(self, method: str) -> MethodFacts:
        """Give the facts of a method; one nobody tabled needs a label and has no figures."""
        known = self.methods.get(method)
        return MethodFacts(method) if known is None else known

    def dry_hours(self, method: str) -> float:
        """Hours until a deposit is dry; our own caution where the tables have no figure. [h]"""
        known = self.facts(method).dry_hours
        return self.dry_at_least_hours if known is None else known

    def is_oil(self, active: str) -> bool:
        """Mineral, neem or vegetable oil, or anything with an oil in its name."""
        return active in self.oils or "oil" in _words(active)

    def is_sulfur(self, active: str) -> bool:
        """Sulfur in any form, lime sulfur too."""
        return active in self.sulfur or bool({"sulfur", "sulphur"} & _words(active))

    def burns_in_heat(self, active: str) -> bool:
        """Soap or oil: burns leaves when it dries slowly on hot ones."""
        return active in self.soap_and_oil or self.is_oil(active) or "soap" in _words(active)

    def off_the_leaves(self, active: str, form: str) -> bool:
        """Bait or granules on the soil: no drift, no flowers, no wet leaves."""
        return form in ("bait", "granule") or (active in self.not_a_spray and form != "dust")


def own_cautions(tables: Tables) -> Cautions:
    """Take every figure from the rows of the tables `rules` and `methods`.

    Raises TableError where a rule lacks a figure: a caution is never guessed.
    """
    rules = tables.rows["rules"]
    bloom, heat = rules["bloom"], rules["heat_ceiling"]
    rain, wind = rules["rain"], rules["wind"]
    gap, rotate = rules["sulfur_oil_gap"], rules["rotate_by_generation"]
    return Cautions(
        blocked_in_bloom=_listed(bloom, "blocked"),
        blocked_classes=_listed(bloom, "blocked_classes"),
        only_if_label_permits=_listed(bloom, "evening_only_if_label_permits"),
        blocked_forms=_listed(bloom, "blocked_forms"),
        not_a_spray=_listed(bloom, "not_a_spray"),
        soap_and_oil=_listed(heat, "soap_oil.methods"),
        sulfur=_listed(heat, "sulfur.methods"),
        heat_caution_c=_least(heat, "soap_oil.caution_above_c", "sulfur.caution_above_c"),
        heat_refuse_c=_least(heat, "soap_oil.refuse_above_c", "sulfur.refuse_above_c"),
        oil_refuse_below_c=heat.figure("soap_oil.oil_refuse_below_c").value,
        oils=_listed(gap, "oils"),
        sulfur_oil_gap_days=gap.figure("gap_days").value,
        contact_only=_listed(rain, "contact_only"),
        deposit_refuse_hours=rain.figure("refuse_deposit_within_h").value,
        deposit_caution_hours=rain.figure("caution_deposit_within_h").value,
        wind_refuse_m_s=wind.figure("refuse_above_m_s").value,
        wind_calm_m_s=wind.figure("caution_below_m_s").value,
        exempt_methods=_listed(rotate, "exempt_methods"),
        exempt_groups=_spelled_out(_listed(rotate, "exempt_groups")),
        shortest_window_days=_days_named(rotate.text("window")),
        methods={key: _facts(row) for key, row in tables.rows["methods"].items()},
        crop_names={crop: tables.crosswalk.named(crop) for crop in tables.crops},
    )


def _facts(row: Row) -> MethodFacts:
    group, dry = row.words("moa.group"), row.find("rain.dry_h")
    said = row.words("moa.scheme")
    scheme: Scheme = "FRAC" if "FRAC" in said else "IRAC" if "IRAC" in said else "none"
    return MethodFacts(
        key=row.id,
        needs_label=bool(group),  # water, hands, mesh and released insects have no mode of action
        chemical_class=row.words("class"),
        scheme=scheme,
        group=group,
        dry_hours=None if dry is None else dry.value,
    )


def _listed(row: Row, column: str) -> frozenset[str]:
    return frozenset(row.listed(column))


def _least(row: Row, *columns: str) -> float:
    return min(row.figure(column).value for column in columns)


def _spelled_out(groups: frozenset[str]) -> frozenset[str]:
    """`M01 to M12` written out, code by code."""
    spans = {g: re.fullmatch(r"([A-Z]+)(\d+) to \1(\d+)", g) for g in groups}
    codes = {
        f"{found[1]}{n:02d}"
        for found in spans.values()
        if found
        for n in range(int(found[2]), int(found[3]) + 1)
    }
    return frozenset(codes | {g for g, found in spans.items() if not found})


def _days_named(words: str) -> float:
    """The number of days that a rule says in words: `... and 15 days`."""
    found = re.search(r"(\d+(?:\.\d+)?) days", words)
    if found is None:
        raise TableError(Fault("names no days", "rules/rotate_by_generation/window", words))
    return float(found[1])


@cache
def _words(active: str) -> frozenset[str]:
    return frozenset(re.split(r"[^a-z0-9]+", active.casefold()))
