"""What the journal says: the plot as of a day, the treatments done, the weather typed in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from lattermath.record.carried_over import Named, carried_over
from lattermath.record.codec import from_plain
from lattermath.record.effective import effective, end_of_day, of_kind, visit_day
from lattermath.record.plot_facts import (
    Around,
    DayTyped,
    FactKey,
    ForecastAsked,
    Holder,
    MonthTyped,
    NotKnown,
    WeatherFileNamed,
)
from lattermath.record.plot_fold import PlotFold
from lattermath.record.strictest import Copies, Copy, strictest, strictest_of
from lattermath.vocabulary.calendar import said, short
from lattermath.vocabulary.errors import Fault, JournalError
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.events import Event, PlotRow, SettingOut, Sowing, Treatment, WeatherTaken
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import (
    Bed,
    GardenRules,
    Household,
    Means,
    Planting,
    Plot,
    StandbyLot,
    Tin,
    Visiting,
    WaterSupply,
)

__all__ = [
    "days_typed",
    "effective",
    "end_of_day",
    "forecast_asked",
    "gone_treated",
    "months_typed",
    "of_kind",
    "plot_as_of",
    "span_typed",
    "treatments",
    "visit_day",
    "weather_files_named",
]


# How a fact of the plot file is called: by its section, or else by its own name.
SECTION_SAID = {
    "place": "the place",
    "holder": "the holder",
    "around": "what stands around",
    "visiting": "your visits",
    "household": "what you eat",
    "water": "the water",
    "garden": "the garden's rules",
    "tin": "the seed tin",
    "means": "what is on hand",
}
NAMED_SECTIONS = ("bed", "planting", "neighbour", "lot", "shelf")


def plot_as_of(events: Iterable[Event], day: date) -> Plot:
    """The plot at the end of a local day: what happened by then, as the given entries tell it.

    A fact of the plot file that was written down only later holds for that day too, unless it is
    a planting or lot not yet begun; `rough` then says so. Of a label copied anew later the
    stricter of each line holds (`strictest.py`). JournalError without a place.
    """
    standing = effective(events)
    fold = _folded(standing, day)
    place = fold.one("place", Place)
    if place is None:
        raise JournalError(
            Fault("the journal holds no place", "journal", "", "Begin with start and a plot file.")
        )
    holder = fold.one("holder", Holder) or Holder()
    around = fold.one("around", Around) or Around()
    return Plot(
        name=holder.plot or place.name,
        holder=holder.name,
        place=place,
        beds=fold.all("bed", Bed),
        plantings=(*fold.all("planting", Planting), *fold.all("neighbour", Planting)),
        lots=tuple(lot for lot in fold.all("lot", StandbyLot) if lot.plants > 0),
        shelf=fold.all("shelf", ProductLabel),
        visiting=fold.one("visiting", Visiting) or Visiting(("tue", "thu", "sat")),
        household=fold.one("household", Household) or Household(),
        water=fold.one("water", WaterSupply) or WaterSupply(),
        rules=fold.one("garden", GardenRules) or GardenRules(),
        tin=fold.one("tin", Tin) or Tin(),
        means=fold.one("means", Means) or Means(),
        bloom_near=around.bloom_near,
        rough=(*_gaps(fold, standing), *_hindsight(standing, day)),
    )


def treatments(events: Iterable[Event]) -> tuple[Applied, ...]:
    """Every treatment done, one record for each planting treated, in the order of time.

    Crop, bed, active and group are those of the plot and shelf at that time; for a treatment
    done before its product was written down, those of the first row that names it. What may be
    the treated plants under another name has each once more (`carried_over.py`).
    """
    applied, fold, named = _replayed(effective(events))
    return tuple(carried_over(applied, fold, named))


def gone_treated(
    events: Iterable[Event],
) -> tuple[tuple[Planting | Bed, tuple[Applied, ...]], ...]:
    """What the plot file no longer names and no entry ended, with the treatments it got.

    A bed is among them only where it cannot be told which one it is now.
    """
    applied, fold, named = _replayed(effective(events))
    now = {(a.serial, a.bed) for a in carried_over(applied, fold, named)}
    lost = [a for a in applied if a.bed in named.beds and (a.serial, None) in now]
    found: list[tuple[Planting | Bed, tuple[Applied, ...]]] = [
        (gone.was, tuple(a for a in applied if a.planting == key))
        for key, gone in named.plantings.items()
    ]
    found += [
        (gone.was, tuple(a for a in lost if a.bed == key)) for key, gone in named.beds.items()
    ]
    return tuple((what, done) for what, done in found if done)


def _replayed(standing: Sequence[Event]) -> tuple[list[Applied], PlotFold, Named]:
    """The treatments as the plot stood at each, the plot at the end, and what it names."""
    fold, named, copies = PlotFold(), Named(), Copies()
    for at, first in _first_rows(standing).items():
        if at[0] in ("planting", "neighbour", "shelf") and isinstance(first.payload, PlotRow):
            fold.apply(first)
    made: list[tuple[Applied, int]] = []
    for event in standing:
        named.apply(event, fold)
        copies.take(event)
        if isinstance(event.payload, Treatment):
            number = copies.number(event.payload.product)
            for key in event.payload.plantings:
                made.append((_applied(event, event.payload, key, fold), number))
    return [_by_its_label(a, copies.since(a.product, n)) for a, n in made], fold, named


def days_typed(events: Iterable[Event], day: date) -> tuple[tuple[DayTyped, date], ...]:
    """Highs, lows and rain typed in the plot file, each with the day it was written. [C, C, mm]

    A row written before its own day is the grower's forecast. Of days up to `day` the newest row
    counts, whenever it was written; of later days only what was written by `day`, for what was
    written since is no forecast of that day but what came.
    """
    found: dict[date, tuple[DayTyped, date]] = {}
    for event, row in of_kind(sorted(effective(events), key=lambda e: e.serial), PlotRow):
        if row.section == "week" and row.row is not None:
            typed = from_plain(DayTyped, row.row)
            if typed.day <= day or event.day <= day:
                found[typed.day] = (typed, event.day)
    return tuple(found[of] for of in sorted(found))


def span_typed(events: Iterable[Event]) -> tuple[date, date] | None:
    """First and last day of which the plot file gave the weather, whenever; None: it gave none."""
    days = [row.key for _, row in of_kind(effective(events), PlotRow) if row.section == "week"]
    return (date.fromisoformat(min(days)), date.fromisoformat(max(days))) if days else None


def months_typed(events: Iterable[Event], day: date) -> tuple[MonthTyped, ...]:
    """The twelve usual months typed in the plot file, empty without them. [C, C, mm a month]"""
    found = _folded(effective(events), day).all("normals", MonthTyped)
    return tuple(sorted(found, key=lambda row: row.month))


def weather_files_named(events: Iterable[Event], day: date) -> tuple[str, ...]:
    """The weather files that the plot file names, in its order."""
    found = _folded(effective(events), day).all("weather", WeatherFileNamed)
    return tuple(row.file for row in found)


def forecast_asked(events: Iterable[Event], day: date) -> ForecastAsked | None:
    """The weather service that the plot file turns on; None: nobody is asked."""
    return _folded(effective(events), day).one("forecast", ForecastAsked)


def _folded(standing: Sequence[Event], day: date) -> PlotFold:
    """Entries that count, applied up to a day, after what was written down only later."""
    known = [event for event in standing if event.day <= day]
    begun = {
        key
        for event in known
        if isinstance(event.payload, (Sowing, SettingOut))
        for key in (event.payload.planting, event.payload.lot)
    }
    fold = PlotFold()
    for (_, key), event in _written_later(standing, day).items():
        if key not in begun and isinstance(event.payload, PlotRow):
            fold.assume(event.payload, day)
    for event in known:
        fold.apply(event)
    _copied_since(fold, standing, day)
    return fold


def _copied_since(fold: PlotFold, standing: Sequence[Event], day: date) -> None:
    """Labels copied anew after a day: the stricter of each line holds for that day too."""
    for event, row in of_kind(sorted(standing, key=lambda e: e.serial), PlotRow):
        label = fold.facts.get((row.section, row.key))
        if event.day > day and isinstance(label, ProductLabel) and row.row is not None:
            since = from_plain(ProductLabel, row.row)
            fold.facts[row.section, row.key] = strictest(label, since)


def _first_rows(standing: Iterable[Event]) -> dict[FactKey, Event]:
    """The first entry for each fact of the plot file."""
    first: dict[FactKey, Event] = {}
    for event, row in of_kind(standing, PlotRow):
        first.setdefault((row.section, row.key), event)
    return first


def _written_later(standing: Iterable[Event], day: date) -> dict[FactKey, Event]:
    """First entries for facts of which nothing was written by a day."""
    return {at: event for at, event in _first_rows(standing).items() if event.day > day}


def _gaps(fold: PlotFold, standing: Iterable[Event]) -> Iterator[str]:
    """What the file does not say and still matters.

    Weather taken in since answers for the weather; of a pulled planting nothing is missed.
    """
    taken = any(isinstance(event.payload, WeatherTaken) for event in standing)
    for (section, address), gap in fold.facts.items():
        of_section, _, rest = address.partition(".")
        planting = fold.planting(rest.partition(".")[0]) if of_section == "planting" else None
        pulled = planting is not None and planting.pulled is not None
        answered = pulled or (taken and of_section == "weather")
        if section == "not known" and isinstance(gap, NotKnown) and not answered:
            yield gap.says


def _hindsight(standing: Sequence[Event], day: date) -> tuple[str, ...]:
    """Say so when the plot of a day is known only from what was written later."""
    first = [event for at, event in _first_rows(standing).items() if at[0] == "planting"]
    written = [event for event in first if event.day > day]
    to_come = {row.key: row for _, row in of_kind(written, PlotRow) if _begins(row) > day}
    later = [event for event, row in of_kind(written, PlotRow) if row.key not in to_come]
    shown = _shown_as(first, later, day)
    return (*shown, *_not_begun(to_come.values(), day), *_edited_since(standing, day))


def _edited_since(standing: Sequence[Event], day: date) -> tuple[str, ...]:
    """Name what was put otherwise in the plot file since a day, which that day's plot has not."""
    first = _first_rows(standing)
    named: dict[FactKey, str] = {}
    for event, row in of_kind(sorted(standing, key=lambda e: e.serial), PlotRow):
        at = (row.section, row.key)
        if event.day <= day or event is first[at]:
            continue
        begun = first[at].payload
        held = row.row or (begun.row if isinstance(begun, PlotRow) else None) or {}
        name = SECTION_SAID.get(row.section) or (
            str(held.get("name", row.key)) if row.section in NAMED_SECTIONS else ""
        )
        named |= {at: name} if name else {}
    if not named:
        return ()
    label = any(section == "shelf" for section, _ in named)
    stricter = " Of a label the stricter of each line counts." if label else ""
    return (
        f"Put otherwise in plot.toml since {short(day)}, and not as it is now in this plan: "
        f"{', '.join(dict.fromkeys(named.values()))}.{stricter}",
    )


def _begins(row: PlotRow) -> date:
    """The day a planting of the plot file begins; the first of all days where it does not say."""
    planting = None if row.row is None else from_plain(Planting, row.row)
    started = None if planting is None else planting.started
    return date.min if started is None else started


def _not_begun(rows: Iterable[PlotRow], day: date) -> tuple[str, ...]:
    """Say of plantings that begin only after a day, that nothing is planned for them before."""
    begins = sorted((_begins(row), str(row.row["name"])) for row in rows if row.row is not None)
    if not begins:
        return ()
    told = "; ".join(f"{name} on {said(started)} {started.year}" for started, name in begins)
    return (f"Not begun yet by {short(day)}, so nothing is planned for them: {told}.",)


def _shown_as(first: Sequence[Event], later: Sequence[Event], day: date) -> tuple[str, ...]:
    if not later:
        return ()
    names = ", ".join(sorted(row.row["name"] for _, row in of_kind(later, PlotRow) if row.row))
    which = "any planting: they" if len(later) == len(first) else f"some plantings ({names}): they"
    return (
        f"Nothing was written by {short(day)} of {which} are shown as first written down on "
        f"{short(min(event.day for event in later))}.",
    )


def _by_its_label(a: Applied, copies: Sequence[Copy]) -> Applied:
    """A treatment with the strictest of what its label said since it was made."""
    earlier = tuple(copy.serial for copy in copies[:-1])
    return replace(a, label=strictest_of(copies), copies=earlier)


def _applied(event: Event, treatment: Treatment, key: str, fold: PlotFold) -> Applied:
    planting = fold.planting(key)
    product = fold.facts.get(("shelf", treatment.product or ""))
    label = product if isinstance(product, ProductLabel) else None
    return Applied(
        at=event.local,
        method=treatment.method,
        product=treatment.product,
        active=label.active if label else treatment.method,
        group=label.group if label else "",
        form=label.form if label else "",
        planting=key,
        crop=planting.crop if planting else "",
        bed=planting.bed if planting else None,
        serial=event.serial,
    )
