"""The ground that a plant of each planting asks for, by the spacing of the tables."""

from __future__ import annotations

from collections.abc import Mapping

from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.plot import Plot


def ground_asked(plot: Plot, tables: Tables) -> Mapping[str, float]:
    """Ground of one plant by planting; a crop that the tables lack is left out. [m2]"""
    found = {}
    for planting in plot.plantings:
        crop = tables.crops.get(planting.crop)
        if crop is not None:
            in_row, between = crop.spacing_in_row_cm.value, crop.spacing_between_rows_cm.value
            found[planting.key] = in_row * between / 10_000
    return found
