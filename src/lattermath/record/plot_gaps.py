"""What a plot file does not say, in words for the sheet: it is answered roughly, and says so."""

from __future__ import annotations

from collections.abc import Iterator

from lattermath.record.plot_ground import NEXT_PLOT_M
from lattermath.record.plot_sections import (
    BedSection,
    GrowingSection,
    HouseholdSection,
    LotSection,
    NeighbourSection,
    PlaceSection,
    PlantingSection,
    ShelfSection,
    VisitingSection,
)
from lattermath.record.plot_tables import Tables
from lattermath.vocabulary.counted import counted

Gaps = Iterator[tuple[str, str]]


def not_known(tables: Tables) -> Gaps:
    """Address and words of each gap of the file."""
    yield from _place(tables)
    yield from _beds(tables)
    for key, planting in tables.all(PlantingSection):
        yield from _growing(f"planting.{key}", planting)
    for key, neighbour in tables.all(NeighbourSection):
        yield from _growing(f"neighbour.{key}", neighbour)
        yield from _distance(f"neighbour.{key}", neighbour)
    for key, lot in tables.all(LotSection):
        if off := lot.sown.about_days:
            says = f"The day {_called(key, lot.name)} was sown is known to"
            yield f"lot.{key}.sown", f"{says} {counted(off, 'days')} either way."
    yield from _stock(tables)


def _place(tables: Tables) -> Gaps:
    place = tables.one(PlaceSection)
    if place is not None and place.usual_first_frost is None:
        yield "place.usual_first_frost", "The usual first frost is not given."
    if place is not None and place.altitude_m is None:
        yield "place.altitude_m", "The altitude is not given."


def _beds(tables: Tables) -> Gaps:
    for key, bed in tables.all(BedSection):
        if bed.x_m is None or bed.y_m is None:
            yield f"bed.{key}.x_m", f"Where {bed.name} lies is not given."
        if bed.texture is None:
            yield f"bed.{key}.texture", f"The soil of {bed.name} is not given; taken as loam."
    plantings = tables.all(PlantingSection)
    without = [_called(key, row.name) for key, row in plantings if row.bed is None]
    if without:
        yield "planting.bed", f"Which bed it stands in is not given: {', '.join(without)}."


def _growing(address: str, section: GrowingSection) -> Gaps:
    called = _called(address.split(".", 1)[1], section.name)
    if section.plants is None:
        says = f"How many plants of {called} there are is not given; reckoned as one."
        yield f"{address}.plants", says
    if section.sown is None and section.set_out is None:
        yield f"{address}.sown", f"When {called} was sown or set out is not given."
    about = max((found.about_days for found in (section.sown, section.set_out) if found), default=0)
    if about:
        says = f"The dates of {called} are known to {counted(about, 'days')} either way."
        yield f"{address}.about_days", says


def _distance(address: str, section: NeighbourSection) -> Gaps:
    if section.x_m is not None and section.y_m is not None:
        return
    called = _called(address.split(".", 1)[1], section.name)
    if section.distance_m is None:
        says = f"How far off {called} stands is not given; taken as {NEXT_PLOT_M:g} m."
        yield f"{address}.distance_m", says
    if section.side is None:
        yield f"{address}.side", f"On which side {called} stands is not given; taken as east."


def _stock(tables: Tables) -> Gaps:
    if not tables.all(ShelfSection):
        yield "shelf", "The shelf is empty: only work that needs no product is planned."
    if tables.one(VisitingSection) is None:
        says = "Visiting days are not given; taken as Tuesday, Thursday and Saturday."
        yield "visiting.days", says
    household = tables.one(HouseholdSection)
    if household is None or not household.want:
        yield "household.want", "What the household eats is not given."
    alone = ("normals", "forecast")
    if not (tables.weather_files or tables.many.get("week") or {*alone} & tables.single.keys()):
        yield "weather", "No weather of the place is given."


def _called(key: str, name: str | None) -> str:
    return name or key.replace("-", " ")
