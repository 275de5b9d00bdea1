"""From the sections of a plot file to its facts: defaults, positions and cross references."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import cast

from lattermath.record.plot_facts import (
    ONE,
    Around,
    DayTyped,
    Fact,
    FactKey,
    ForecastAsked,
    Holder,
    MonthTyped,
    NotKnown,
    WeatherFileNamed,
)
from lattermath.record.plot_gaps import not_known
from lattermath.record.plot_ground import Ground, given, lay_out
from lattermath.record.plot_products import product_label
from lattermath.record.plot_references import Complain
from lattermath.record.plot_sections import (
    BedSection,
    ForecastSection,
    GardenSection,
    HolderSection,
    HouseholdSection,
    LotSection,
    MeansSection,
    NeighbourSection,
    NormalsSection,
    PlaceSection,
    PlantingSection,
    Section,
    ShelfSection,
    TinSection,
    VisitingSection,
    WaterSection,
    WeekSection,
)
from lattermath.record.plot_tables import Tables
from lattermath.record.plot_words import Reading
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import (
    GardenRules,
    Household,
    Means,
    SeedPacket,
    StandbyLot,
    Tin,
    Visiting,
    Want,
    WaterSupply,
)

Facts = Iterator[tuple[FactKey, Fact]]
LOT_WORDS = ("crop", "plants", "cup_ml", "where", "watered", "variety", "days_to_maturity")


class PlotBuilder:
    """Builds the facts of one file, and complains of what does not fit together."""

    def __init__(
        self, tables: Tables, bed_words: Mapping[str, str], reading: Reading, complain: Complain
    ) -> None:
        self.tables = tables
        self.bed_words = bed_words
        self.reading = reading
        self._complain = complain

    def build(self) -> dict[FactKey, Fact]:
        """Every fact under its section and key."""
        facts: dict[FactKey, Fact] = {}
        for part in (self._place(), self._ground(), self._stock(), self._ways(), self._weather()):
            facts.update(part)
        for key, says in not_known(self.tables):
            facts["not known", key] = NotKnown(says)
        return facts

    def _place(self) -> Facts:
        if (section := self.tables.one(PlaceSection)) is not None:
            yield ("place", ONE), Place(**given(section, *PlaceSection.model_fields))
        if (holder := self.tables.one(HolderSection)) is not None:
            yield ("holder", ONE), Holder(holder.name, holder.plot)

    def _ground(self) -> Facts:
        beds = lay_out(self.tables.all(BedSection))
        for bed in beds:
            yield ("bed", bed.key), bed
        ground = Ground(beds, self.bed_words)
        for key, planting in self.tables.all(PlantingSection):
            yield ("planting", key), ground.planting(key, planting, self._complain)
        for key, theirs in self.tables.all(NeighbourSection):
            yield ("neighbour", key), ground.neighbour(key, theirs, self._complain)

    def _stock(self) -> Facts:
        for key, lot in self.tables.all(LotSection):
            words = given(lot, *LOT_WORDS)
            name = lot.name or ""
            yield ("lot", key), StandbyLot(key=key, sown=lot.sown.day, name=name, **words)
        for key, product in self.tables.all(ShelfSection):
            yield ("shelf", key), product_label(key, product, self.reading)
        if (tin := self.tables.one(TinSection)) is not None:
            packets = tuple(
                SeedPacket(**given(packet, *type(packet).model_fields)) for packet in tin.packet
            )
            yield ("tin", ONE), Tin(packets, tin.cups, tin.cup_ml, tin.mix_litres)
        if (means := self.tables.one(MeansSection)) is not None:
            yield ("means", ONE), Means(tuple(dict.fromkeys(means.on_hand)))

    def _ways(self) -> Facts:
        if (visiting := self.tables.one(VisitingSection)) is not None:
            yield ("visiting", ONE), self._visiting(visiting)
        if (household := self.tables.one(HouseholdSection)) is not None:
            worths = given(
                household,
                "people",
                "freezer_litres",
                "jars",
                *_starting("worth_", HouseholdSection),
            )
            yield ("household", ONE), Household(wants=self._wants(household), **worths)
        if (water := self.tables.one(WaterSection)) is not None:
            yield ("water", ONE), WaterSupply(**given(water, *WaterSection.model_fields))
        if (garden := self.tables.one(GardenSection)) is not None:
            rules = [name for name in GardenSection.model_fields if name != "bloom_near"]
            yield ("garden", ONE), GardenRules(**given(garden, *rules))
            if garden.bloom_near is not None:
                yield ("around", ONE), Around(garden.bloom_near)

    def _visiting(self, section: VisitingSection) -> Visiting:
        for start, end in section.away:
            if end < start:
                found = f"{start} to {end}"
                self._complain("the end lies before the start", "visiting.away", found, "Mend it.")
        away = tuple((start, end) for start, end in section.away)
        days = tuple(dict.fromkeys(section.days))
        return Visiting(days=days, away=away, **given(section, "arrive", "minutes"))  # type: ignore[arg-type]

    def _wants(self, section: HouseholdSection) -> tuple[Want, ...]:
        wants = []
        for want in section.want:
            food = want.food if want.crops else self.reading.crop_of(want.food)
            wants.append(
                Want(food or want.food, want.portions_a_week, want.worth, tuple(want.crops))
            )
        return tuple(wants)

    def _weather(self) -> Facts:
        for name in self.tables.weather_files:
            yield ("weather", name), WeatherFileNamed(name)
        if (asked := self.tables.one(ForecastSection)) is not None:
            yield ("forecast", ONE), ForecastAsked(**given(asked, *ForecastSection.model_fields))
        for key, week in self.tables.all(WeekSection):
            yield from self._week(key, week)
        if (normals := self.tables.one(NormalsSection)) is not None:
            rain = cast(list[float | None], normals.rain_mm or [None] * 12)
            rows = zip(normals.lows_c, normals.highs_c, rain, strict=True)
            for month, (low, high, wet) in enumerate(rows, 1):
                self._in_order(low, high, f"normals.highs_c.{month}")
                yield ("normals", f"{month:02}"), MonthTyped(month, low, high, wet)

    def _week(self, key: str, week: WeekSection) -> Facts:
        rain = week.rain_mm or [None] * len(week.highs_c)
        lengths = {len(week.highs_c), len(week.lows_c), len(rain)}
        if len(lengths) > 1:
            found = f"{len(week.highs_c)} highs, {len(week.lows_c)} lows, {len(rain)} rain"
            remedy = 'Give each day its value, "?" where it is not known.'
            self._complain("the lists are not of one length", f"week.{key}", found, remedy)
            return
        for n, (low, high, wet) in enumerate(zip(week.lows_c, week.highs_c, rain, strict=True)):
            day = week.first + timedelta(days=n)
            if low is not None and high is not None:
                self._in_order(low, high, f"week.{key}.highs_c.{n + 1}")
            yield ("week", day.isoformat()), DayTyped(day, low, high, wet)

    def _in_order(self, low: float, high: float, where: str) -> None:
        if high < low:
            found = f"{low:g} and {high:g}"
            self._complain("the high is below the low", where, found, "Mend one of them.")


def _starting(prefix: str, section: type[Section]) -> list[str]:
    return [name for name in section.model_fields if name.startswith(prefix)]
