"""What a program can write down, one shape a thing, and how each becomes an entry.

Weights are in kg, water in litres, cups in ml, shares in percent or from 0 to 1. Plantings, beds,
lots and products are named by key or by name.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from lattermath.desk import log_names
from lattermath.desk.what_was_seen import looks_at
from lattermath.desk.wiring import folder_at, tables_of
from lattermath.doors.asking import leaves_of, of_counts, of_plants, whole
from lattermath.doors.web.api_entry import (
    Amount,
    Brought,
    Count,
    Counts,
    Entry,
    Name,
    Number,
    Words,
)
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Care,
    CupCheck,
    Destination,
    Level,
    LookedAt,
    Payload,
    Picking,
    Pulling,
    Roots,
    SettingOut,
    Sighting,
    Sowing,
    Surface,
    Treatment,
    Visit,
    Watering,
)
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.watering import Way

TURNED = 10  # leaves, where the number was left out
IN_API = ("leaves", "plants", "flowers")


class Counted(Entry):
    """Counted: `counts` one by one, or as a sum on so many; or `level`, or `with_some`."""

    kind: Literal["counted"]
    planting: Name
    what: Name
    counts: Counts | None = None
    level: Annotated[
        Level | None,
        Field(description="How many a leaf, on `leaves` leaves: few up to 5, many up to 30."),
    ] = None
    with_some: Annotated[
        Count | None, Field(description="Leaves, of `leaves`, that had any at all.")
    ] = None
    leaves: Annotated[
        Count,
        Field(description="Leaves, or flowers, a class or sum is of; 0 where each was counted."),
    ] = 0
    plants: Annotated[
        Count, Field(description="The same of plants: caterpillars, beetles, bugs and borers.")
    ] = 0
    stage: Words = ""
    surface: LookedAt = "underside"
    note: Words = ""

    def settled(self, plot: Plot, folder: Path, _at: datetime | None) -> Payload:
        """The same, refused where it is of leaves and is counted by plant, or the other way."""
        _looks_at(self, self.leaves, self.plants, plot, folder)
        return self.payload(plot)

    def payload(self, plot: Plot) -> Payload:
        """A sighting by counts, their sum or a class; InputError where it is not one of them."""
        if [self.counts, self.level, self.with_some].count(None) != 2:
            remedy = "Give counts, level or with_some, one of them."
            raise InputError(Fault("a look needs counts or a class", "counts", "", remedy))
        place = log_names.planting_key(plot, self.planting)
        seen = Sighting(place, self.what, "count", self.stage, self.surface, note=self.note)
        seen, given = of_plants(seen, self.plants), self.leaves or self.plants
        if self.level is not None:
            return replace(seen, looked_at=leaves_of(given, "leaves or plants"), level=self.level)
        if self.with_some is not None:
            looked = leaves_of(given, "leaves or plants")
            return replace(seen, measure="some", looked_at=looked, total=self.with_some)
        where = "plants" if self.plants else "leaves"
        return of_counts(seen, tuple(self.counts or ()), given, where)


def _looks_at(
    entry: Counted | NoneSeen, leaves: int, plants: int, plot: Plot, folder: Path
) -> None:
    """Refuse a number of what the thing is not counted on."""
    crop = plot.planting(log_names.planting_key(plot, entry.planting)).crop
    looks_at(entry.what, leaves, plants, tables_of(folder_at(folder)), IN_API, crop=crop)


class NoneSeen(Entry):
    """Looked for on so many leaves, or plants, and not there."""

    kind: Literal["none-seen"]
    planting: Name
    what: Name
    leaves: Annotated[Number | None, Field(description="10 where plants are not given.")] = None
    plants: Annotated[
        Number | None, Field(description="Of caterpillars, beetles, bugs and borers.")
    ] = None
    surface: LookedAt = "underside"

    def settled(self, plot: Plot, folder: Path, _at: datetime | None) -> Payload:
        """The same, refused where it is of leaves and is looked for by plant, or the other way."""
        leaves, plants = self.leaves or (0 if self.plants else TURNED), self.plants or 0
        _looks_at(self, leaves, plants, plot, folder)
        return self.payload(plot)

    def payload(self, plot: Plot) -> Payload:
        """A sighting of none."""
        place = log_names.planting_key(plot, self.planting)
        looked = self.plants or self.leaves or TURNED
        seen = Sighting(place, self.what, "count", "", self.surface, looked, total=0)
        return of_plants(seen, self.plants or 0)


class Shaken(Entry):
    """What flew up when plants were shaken."""

    kind: Literal["shaken"]
    planting: Name
    what: Name
    level: Level
    plants: Number = 1

    def payload(self, plot: Plot) -> Payload:
        """A sighting by a shake."""
        place, looked = log_names.planting_key(plot, self.planting), self.plants
        level = self.level
        return Sighting(place, self.what, "shake", "adult", "whole", looked, level=level)


class Card(Entry):
    """Caught on sticky cards, one count a card."""

    kind: Literal["card"]
    planting: Name
    what: Name
    counts: Counts
    days: Annotated[int, Field(ge=1, le=366)] = 7

    def payload(self, plot: Plot) -> Payload:
        """A sighting by cards."""
        place, told = log_names.planting_key(plot, self.planting), tuple(self.counts)
        days = self.days
        return Sighting(place, self.what, "card", "adult", "whole", len(told), told, days=days)


class Spots(Entry):
    """The share of the leaf that a disease or damage covers."""

    kind: Literal["spots"]
    planting: Name
    what: Name
    percent: Annotated[float, Field(ge=0, le=100)]
    surface: Surface = "top"
    leaves: Count = 0

    def payload(self, plot: Plot) -> Payload:
        """A sighting by severity."""
        place, share = log_names.planting_key(plot, self.planting), self.percent
        seen = Sighting(place, self.what, "severity", "", self.surface, self.leaves)
        return replace(seen, percent=share)


class Seen(Entry):
    """Noticed, not counted."""

    kind: Literal["seen"]
    planting: Name
    what: Name
    note: Words = ""

    def payload(self, plot: Plot) -> Payload:
        """A first sighting."""
        place = log_names.planting_key(plot, self.planting)
        return Sighting(place, self.what, "first seen", "", "whole", note=self.note)


class Picked(Entry):
    """What was picked, by weight or by number."""

    kind: Literal["picked"]
    planting: Name
    kg: Amount | None = None
    items: Number | None = None

    def payload(self, plot: Plot) -> Payload:
        """A picking; InputError where neither weight nor number is given."""
        if self.kg is None and self.items is None:
            remedy = "Give kg or items."
            raise InputError(Fault("a picking needs a weight or a number", "kg", "", remedy))
        return Picking(log_names.planting_key(plot, self.planting), self.kg, self.items)


class Watered(Entry):
    """Water given to a bed or a planting."""

    kind: Literal["watered"]
    where: Name
    litres: Amount
    way: Way | None = None

    def payload(self, plot: Plot) -> Payload:
        """A watering of a bed, or of a planting."""
        kind, key, *_ = log_names.ground(plot, self.where)
        return Watering(self.litres, **{kind: key}, way=self.way)


class Treated(Entry):
    """A treatment done: a product of the shelf, or a method that needs none."""

    kind: Literal["treated"]
    plantings: Annotated[list[Name], Field(min_length=1, max_length=100)]
    means: Annotated[Name, Field(description="A product of the shelf, or such as water jet.")]
    against: Words = ""
    litres: Amount | None = None
    surfaces: list[Surface] = Field(["underside", "top"], min_length=1, max_length=5)
    coverage: Annotated[float, Field(ge=0, le=1)] = 0.7
    note: Words = ""

    def payload(self, plot: Plot) -> Payload:
        """A treatment with a product where the shelf has one of that key, else by a method."""
        product = next((one.key for one in plot.shelf if one.key == self.means), None)
        return Treatment(
            plantings=tuple(log_names.planting_key(plot, one) for one in self.plantings),
            method="" if product else self.means,
            product=product,
            against=self.against,
            litres=self.litres,
            surfaces=tuple(dict.fromkeys(self.surfaces)),
            coverage=self.coverage,
            note=self.note,
        )


class SetOut(Entry):
    """Young plants moved to a bed, as a new planting."""

    kind: Literal["set-out"]
    name: Name
    crop: Name
    plants: Number
    bed: Name | None = None
    lot: Name | None = None

    def payload(self, plot: Plot) -> Payload:
        """A setting out."""
        bed = None if self.bed is None else log_names.bed_key(plot, self.bed)
        lot = None if self.lot is None else log_names.lot_key(plot, self.lot)
        return SettingOut(self.name, self.crop, self.plants, bed, lot)


class Pulled(Entry):
    """Plants taken out; all of them where no number is given."""

    kind: Literal["pulled"]
    planting: Name
    plants: Number | None = None
    to: Destination = "compost"

    def payload(self, plot: Plot) -> Payload:
        """A pulling."""
        return Pulling(log_names.planting_key(plot, self.planting), self.plants, self.to)


class Sown(Entry):
    """Seed sown, in cups as a new lot, or in place as a new planting."""

    kind: Literal["sown"]
    crop: Name
    seeds: Number
    where: Annotated[
        Name | None, Field(description="`cups`, a bed, or a planting that was not begun yet.")
    ] = None
    lot: Annotated[Name | None, Field(description="Made of crop and day when left out.")] = None
    planting: Annotated[Name | None, Field(description="Made of crop and day when left out.")] = (
        None
    )
    bed: Annotated[Name | None, Field(description="The bed, as `where`.")] = None
    cup_ml: Annotated[float, Field(gt=0, le=100_000)] = 200.0
    variety: Words = ""

    @property
    def made_up(self) -> bool:
        """Is its name made of crop and day?"""
        return not (self.lot or self.planting)

    def payload(self, plot: Plot) -> Sowing:
        """A sowing; InputError where it goes into both, or where it went is not clear."""
        return self._sowing(plot, None)

    def _sowing(self, plot: Plot, at: datetime | None) -> Sowing:
        """The sowing; a name that is made up for it has the day of `at`."""
        where, lot, planting = self.where or self.bed or "", self.lot or "", self.planting or ""
        went = log_names.sown_in(plot, self.crop, where, lot=lot, planting=planting, at=at)
        return Sowing(self.crop, whole(self.seeds, "seeds"), *went, self.cup_ml, self.variety)

    def settled(self, _plot: Plot, folder: Path, at: datetime | None) -> Payload:
        """The same, by the plot as it was without it."""
        return self._sowing(log_names.plot_now(folder, without=self.id), at)


class Cups(Entry):
    """A look at a lot in cups: how many came up, and the roots of one turned out."""

    kind: Literal["cups"]
    lot: Name
    up: Count | None = None
    of: Annotated[Number | None, Field(description="Cups looked at; all when left out.")] = None
    roots: Roots | None = None
    note: Words = ""

    def payload(self, plot: Plot) -> Payload:
        """A look at cups."""
        lot = log_names.lot_key(plot, self.lot)
        looked_at = log_names.cups_of(plot, lot, self.up, self.of)
        return CupCheck(lot, self.up, looked_at, self.roots, self.note)


class Tended(Entry):
    """Tending: tying, hoeing, side-shooting, mulching, feeding."""

    kind: Literal["care"]
    planting: Name
    work: Name

    def payload(self, plot: Plot) -> Payload:
        """A tending."""
        return Care(log_names.planting_key(plot, self.planting), self.work)


class Stay(Entry):
    """One stay at the plot."""

    kind: Literal["visit"]
    minutes: Number | None = None
    note: Words = ""

    def payload(self, plot: Plot) -> Payload:  # noqa: ARG002 -- the others look names up in it
        """A visit."""
        return Visit(self.minutes, self.note)


class Done(Brought):
    """A task of the plan done as written, done otherwise, or left."""

    kind: Literal["done"]
    task: Annotated[str, Field(min_length=1, max_length=60)]
    how: Literal["as written", "otherwise", "not done"] = "as written"
    sheet: Annotated[
        str, Field(max_length=16, description="Mark of the printed sheet whose number it is.")
    ] = ""
    note: Words = ""


class Undo(Brought):
    """An entry taken back; it stays in the journal and no longer counts."""

    entry: Annotated[str, Field(min_length=1, max_length=40, description="Its serial or its id.")]
    why: Words = ""


AnyEntry = Annotated[
    Counted | NoneSeen | Shaken | Card | Spots | Seen | Picked | Watered | Treated | SetOut
    | Pulled | Sown | Cups | Tended | Stay | Done,
    Field(discriminator="kind"),
]  # fmt: skip
