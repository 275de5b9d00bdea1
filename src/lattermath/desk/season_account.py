"""An account of the season from the journal: by planting and bed what was seen, done, and why.

Read are standing entries of own plantings and beds, the plans kept for those evenings, and labels
as they were copied on the day. Left out are the holder's name, the place, the household, the shelf
beyond what was used, and everything about a neighbour's plants.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict, replace
from datetime import date, datetime
from pathlib import Path

from lattermath.desk.account_limits import label_lines
from lattermath.desk.account_proof import counted_after
from lattermath.desk.account_reasons import kept_plans, names_none, poorly
from lattermath.desk.account_stories import Ground, stories_of
from lattermath.desk.kept_sheets import tasks_of
from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.planning.own_cautions import own_cautions
from lattermath.record.photos import photos_of, sound
from lattermath.record.read_back import effective, plot_as_of, treatments
from lattermath.vocabulary.account import Account, PickedOfAll, Story, Used, WeekPicked
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import Event, PlotRow, Treatment, WeatherTaken


def season_account(path: Path | str, on: date | None = None) -> Account:
    """The account up to the end of a day, or of all that was written; same journal, same account.

    Nothing of the clock is in it. InputError where no plot was started, or nothing written by then.
    """
    ground = _ground(path, on)
    stories = stories_of(ground)
    done = [e for e in ground.events if not isinstance(e.payload, (PlotRow, WeatherTaken))]
    ends = max(done or ground.events, key=lambda e: e.happened_at).local
    proof = counted_after(ground.events, ground.plot, ground.tables, ground.plans)
    failed = (*proof.failed, *poorly(ground.plans))
    next_door = [p.name for p in ground.plot.plantings if p.neighbours_plot]
    made = Account(
        plot=ground.plot.name,
        as_of=ends,
        first=min(e.day for e in done or ground.events),
        entries=max(e.serial for e in ground.events),
        stories=stories,
        used=tuple(_used(ground)),
        weeks=tuple(_weeks(stories)),
        not_kept=tuple(_not_kept(stories)),
        failed=tuple(s for s in dict.fromkeys(failed) if names_none(s, next_door)),
        uncounted=proof.uncounted,
    )
    return replace(made, stamp=_digest(made))


def _ground(path: Path | str, on: date | None) -> Ground:
    folder = folder_at(path)
    with open_journal(folder) as journal:
        every = journal.events()
        events = tuple(e for e in effective(every) if on is None or e.day <= on)
        if not events:
            remedy = "Name a later day, or leave --on out."
            raise InputError(Fault("nothing was written by then", "account", str(on or ""), remedy))
        last = max(events, key=lambda e: e.happened_at).local
        until = datetime.combine(on or last.date(), datetime.max.time(), last.tzinfo)
        plans = kept_plans(journal, until)
    tables = tables_of(folder)
    tasks = {t["id"]: t for plan in reversed(plans) for _, t in tasks_of(plan)}
    plot = plot_as_of(events, on or date.max)
    cautions, applied = own_cautions(tables), treatments(events)
    shown = photos_of(e for e in every if on is None or e.day <= on)
    photos = {
        entry: tuple(name for name in names if sound(folder.photos / name))
        for entry, names in shown.items()
    }
    return Ground(events, plot, tables, cautions, applied, plans, tasks, photos)


def _used(ground: Ground) -> Iterator[Used]:
    """Each product that was used on each crop, in the order of first use."""
    times: dict[tuple[str, str], list[Event]] = {}
    crops = {p.key: p.crop for p in ground.plot.plantings}
    for event in ground.events:
        done = event.payload
        if isinstance(done, Treatment) and done.product is not None:
            for crop in dict.fromkeys(crops.get(key, "") for key in done.plantings):
                times.setdefault((done.product, crop), []).append(event)
    for (product, crop), events in times.items():
        shelf = ground.on(events[-1].day).shelf
        label = next((one for one in shelf if one.key == product), None)
        named = ground.tables.crosswalk.named(crop) if crop else ""
        if label is None:
            yield Used(product.replace("-", " "), "", named, len(events), ())
            continue
        active = ground.tables.methods.get(label.active)
        name = active.name if active else label.active.replace("_", " ")
        lines = label_lines(label, crop)
        yield Used(label.name, name, named, len(events), lines, label.invented)


def _weeks(stories: Sequence[Story]) -> Iterator[PickedOfAll]:
    """The weeks in which anything was picked: all together, and of which plantings."""
    for monday in sorted({week.monday for story in stories for week in story.weeks}):
        of = [(s.name, w) for s in stories for w in s.weeks if w.monday == monday]
        kg, pieces = sum(w.kg for _, w in of), sum(w.pieces for _, w in of)
        yield PickedOfAll(WeekPicked(monday, kg, pieces), tuple(of))


def _not_kept(stories: Sequence[Story]) -> Iterator[str]:
    for story in stories:
        for act in story.acts:
            for limit in act.limits:
                if limit.kept == "not kept":
                    yield f"{story.name}, treated {said(act.at.date())}: {limit.says}"


def _digest(made: Account) -> str:
    """A short name of everything that stands in it."""
    words = json.dumps(asdict(made), sort_keys=True, default=str)
    return hashlib.sha256(words.encode()).hexdigest()[:16]
