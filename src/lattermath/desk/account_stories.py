"""What happened on each own planting, in each bed and in the cups, told entry by entry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Any

from lattermath.desk.account_limits import limits_of
from lattermath.desk.account_reasons import Kept, names_none, reason_of
from lattermath.desk.entry_words import TELLERS, called
from lattermath.knowledge.tables import Tables
from lattermath.planning.own_cautions import Cautions
from lattermath.record.read_back import of_kind, plot_as_of
from lattermath.vocabulary.account import Act, ActKind, Limit, Story, WeekPicked
from lattermath.vocabulary.calendar import monday_of, short
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.events import (
    Care,
    Event,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    TaskDone,
    Treatment,
    Watering,
)
from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plot import Planting, Plot
from lattermath.vocabulary.sentence import capital

KINDS: dict[type, ActKind] = {
    Sighting: "seen",
    Treatment: "treated",
    Picking: "picked",
    Care: "cared for",
    Sowing: "sown",
    SettingOut: "set out",
    Pulling: "taken out",
    TaskDone: "done",
}


@dataclass(frozen=True, slots=True)
class Ground:
    """What every entry is told by."""

    events: tuple[Event, ...]  # those that stand, up to the day
    plot: Plot
    tables: Tables
    cautions: Cautions
    applied: tuple[Applied, ...]
    plans: list[Kept]
    tasks: Mapping[str, dict[str, Any]]  # of the kept plans, by id
    photos: Mapping[str, tuple[str, ...]]  # file names by the id of the entry
    days: dict[date, Plot] = field(default_factory=dict)

    def on(self, day: date) -> Plot:
        """The plot as it stood on a day."""
        if day not in self.days:
            self.days[day] = plot_as_of(self.events, day)
        return self.days[day]


def stories_of(ground: Ground) -> tuple[Story, ...]:
    """Own plantings in the order of the plot file, then beds, then cups; the silent left out."""
    own = [p for p in ground.plot.plantings if not p.neighbours_plot]
    told = [_planting(planting, ground) for planting in own]
    told += [
        _place(
            bed.key, capital(bed.name), (e for e in ground.events if _of_bed(e, bed.key)), ground
        )
        for bed in ground.plot.beds
    ]
    in_cups = (e for e in ground.events if isinstance(e.payload, Sowing) and e.payload.lot)
    told.append(_place("", "In cups", in_cups, ground))
    return tuple(story for story in told if story.about or story.acts or story.watered)


def _planting(planting: Planting, ground: Ground) -> Story:
    mine = [event for event in ground.events if planting.key in _plantings(event, ground)]
    picked = [e.local for e in mine if isinstance(e.payload, Picking)]
    acts = [_act(e, ground, planting, picked) for e in mine if not _silent(e, ground)]
    return Story(
        planting.key,
        capital(planting.name),
        _about(planting, ground, [p for _, p in of_kind(mine, Pulling)]),
        tuple(acts),
        tuple(_weeks(mine)),
        *_watered(mine),
    )


def _place(key: str, name: str, events: Iterable[Event], ground: Ground) -> Story:
    """A bed, or the cups: what was done there and names no planting."""
    mine = list(events)
    acts = [_act(e, ground) for e in mine if not _silent(e, ground)]
    return Story(key, name, "", tuple(acts), (), *_watered(mine))


def _plantings(event: Event, ground: Ground) -> tuple[str, ...]:
    """The plantings that an entry is about."""
    done = event.payload
    if isinstance(done, Treatment):
        return done.plantings
    if isinstance(done, TaskDone):
        return (ground.tasks.get(done.task, {}).get("planting") or "",)
    return (getattr(done, "planting", None) or "",)


def _of_bed(event: Event, bed: str) -> bool:
    done = event.payload
    return isinstance(done, (Watering, Sowing)) and done.bed == bed and not done.planting


def _silent(event: Event, ground: Ground) -> bool:
    """Waterings are summed; a tick says nothing more where its work has an entry of its own."""
    done = event.payload
    if isinstance(done, TaskDone) and done.how == "as written":
        kind = ground.tasks.get(done.task, {}).get("kind")
        return kind != "cover"
    return type(done) not in KINDS


def _act(
    event: Event, ground: Ground, planting: Planting | None = None, picked: Iterable[datetime] = ()
) -> Act:
    done = event.payload
    plot = ground.on(event.day)
    limits: tuple[Limit, ...] = ()
    if planting is not None and isinstance(done, Treatment):
        stood = next((p for p in plot.plantings if p.key == planting.key), planting)
        limits = limits_of(event, stood, plot, ground.applied, tuple(picked), ground.cautions)
    says = capital(_words(event, ground))
    reason = reason_of(event, ground.plans, ground.tables)
    if reason is not None:
        hidden = [p.name for p in ground.plot.plantings if p.neighbours_plot]
        reason = replace(reason, says=tuple(s for s in reason.says if names_none(s, hidden)))
    shown = ground.photos.get(event.id, ())
    return Act(event.serial, event.local, KINDS[type(done)], says, limits, reason, shown)


def _words(event: Event, ground: Ground) -> str:
    done = event.payload
    if isinstance(done, TaskDone):
        says = ground.tasks.get(done.task, {}).get("says", f"task {done.task}")
        return (
            f"{says.split('. ')[0].rstrip('.')}: {done.how}{': ' if done.note else ''}{done.note}"
        )
    if isinstance(done, Treatment):
        return _treated(done, ground)
    teller = TELLERS.get(type(done))
    return event.kind if teller is None else teller(done, ground.plot, ground.tables)


def _treated(done: Treatment, ground: Ground) -> str:
    """With what, its active ingredient, against what, how much, and where on the plant."""
    way = ground.tables.methods.get(done.method)
    name = way.name if way else done.method.replace("_", " ")
    product = called(done.product, ground.plot) if done.product else ""
    parts = [f"treated with {product}, active ingredient {name}" if product else name]
    if len(done.plantings) > 1:
        parts.append(f"together: {', '.join(called(key, ground.plot) for key in done.plantings)}")
    if done.against:
        parts.append(f"against {ground.tables.named(done.against)}")
    if done.litres:
        parts.append(
            f"{measure(done.litres, 'l')} of mix" if product else measure(done.litres, "l")
        )
    if product:
        parts.append(f"on {' and '.join(done.surfaces)}")
    return ", ".join(parts)


def _about(planting: Planting, ground: Ground, pulled_of: Sequence[Pulling]) -> str:
    """Crop, plants, bed, and when it began and ended."""
    bed = ground.plot.bed_of(planting)
    out = sum(pulled.plants or 0 for pulled in pulled_of) if planting.pulled is None else 0
    begun = planting.plants + out
    parts = [f"{begun} {ground.tables.crosswalk.named(planting.crop, begun)}"]
    parts += [f"{out} of them taken out"] if out else []
    parts += [planting.variety] if planting.variety else []
    parts += [bed.name] if bed else []
    about = " or about" if planting.about_days else ""
    for verb, day in (("sown", planting.sown), ("set out", planting.set_out)):
        if day is not None:
            parts.append(f"{verb} {short(day)}{about} {day.year}")
    parts += [f"taken out {short(planting.pulled)}"] if planting.pulled else []
    return ", ".join(parts)


def _weeks(events: Iterable[Event]) -> Iterator[WeekPicked]:
    """What was picked of one planting, week by week."""
    weeks: dict[date, tuple[float, int]] = {}
    for event in events:
        done = event.payload
        if isinstance(done, Picking):
            monday = monday_of(event.day)
            kg, pieces = weeks.get(monday, (0.0, 0))
            more = 0 if done.kg is not None else done.items or 0
            weeks[monday] = kg + (done.kg or 0.0), pieces + more
    for monday in sorted(weeks):
        yield WeekPicked(monday, *weeks[monday])


def _watered(events: Iterable[Event]) -> tuple[tuple[date, ...], float]:
    """The days of watering, and the litres of all."""
    poured = [(e.day, e.payload.litres) for e in events if isinstance(e.payload, Watering)]
    return tuple(sorted({day for day, _ in poured})), sum(litres for _, litres in poured)
