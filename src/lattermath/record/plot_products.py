"""The shelf of a plot file as product labels, each line in one of its three states."""

from __future__ import annotations

from typing import Any

from lattermath.record.plot_sections import LimitsSection, ShelfSection
from lattermath.record.plot_words import Reading
from lattermath.vocabulary.label import CropLimits, ProductLabel, State

PRODUCT_LINES = (
    "re_entry_hours",
    "max_temperature_c",
    "rain_free_hours",
    "max_wind_m_s",
    "bloom",
    "sulfur_oil_gap_days",
    "consecutive_max",
)
SAME = (
    "name",
    "active",
    "group",
    "form",
    "country",
    "sold_to_amateurs",
    "organic_input",
    "measured_in",
    "litres_left",
    "first_aid",
    "invented",
)


def product_label(key: str, section: ShelfSection, reading: Reading) -> ProductLabel:
    """One product of the shelf; its crop words have been checked."""
    crops = {reading.crop_of(word): lines for word, lines in section.crops.items()}
    return ProductLabel(
        key=key,
        crops=tuple(crop_limits(crop, lines) for crop, lines in crops.items() if crop),
        crops_line=_crops_line(bool(section.crops), section.crops_line),
        **{name: getattr(section, name) for name in (*SAME, *PRODUCT_LINES)},
    )


def _crops_line(listed: bool, said: str | None) -> State:
    if listed:
        return "value"
    return "none" if said == "none" else "not copied"


def crop_limits(crop: str, lines: LimitsSection) -> CropLimits:
    """What the label says for one crop."""
    fields: dict[str, Any] = {name: getattr(lines, name) for name in LimitsSection.model_fields}
    return CropLimits(crop=crop, **fields)
