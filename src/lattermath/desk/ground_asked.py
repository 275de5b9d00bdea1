"""The plot as of a day, with the ground that a plant of each planting asks for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.record.read_back import effective, plot_as_of
from lattermath.vocabulary.plot import Plot


def plot_and_ground(path: Path | str, day: date) -> tuple[Plot, Mapping[str, float]]:
    """The plot at the end of a day, and the ground of one plant by planting, by the spacing. [m2]

    A crop that the tables lack is left out. InputError where no plot was started.
    """
    folder = folder_at(path)
    tables = tables_of(folder)
    with open_journal(folder) as journal:
        plot = plot_as_of(effective(journal.events()), day)
    found = {}
    for planting in plot.plantings:
        crop = tables.crops.get(planting.crop)
        if crop is not None:
            found[planting.key] = crop.plant_ground_m2
    return plot, found
