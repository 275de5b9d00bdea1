"""What went into ground on which a treatment still says that nothing may: told, and kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.planning.garden_limits import may_plant
from lattermath.planning.own_cautions import Cautions, own_cautions
from lattermath.planning.treatment_request import bare
from lattermath.record.read_back import effective, plot_as_of, treatments
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.events import Event, SettingOut, Sowing
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.ruling import Because

if TYPE_CHECKING:
    from lattermath.desk.season_facts import SeasonFacts
    from lattermath.vocabulary.evening import Applied

PLANT_BACK = "rule:plant_back"
TO_EAT = "Read the label for what may be eaten of it, or take it out"


def after_planting(path: Path | str, event: Event) -> tuple[str, ...]:
    """Warn of seed or plants in a bed that label or re-entry closes. The entry is kept.

    Nothing is said of cups, nor where nobody gave a bed: that ground is not known.
    """
    folder = folder_at(path)
    with open_journal(folder) as journal:
        known = effective(journal.events())
    plot = plot_as_of(known, date.max)
    applied, cautions = treatments(known), own_cautions(tables_of(folder))
    bed = _bed_of(event.payload, plot)
    bars = _bars(plot, bed, event.local, applied, cautions)
    if not bars:
        return ()
    name = next(one.name for one in plot.beds if one.key == bed)
    return (
        f"CAUTION: nothing was to go into {name} yet: {_said(bars)}. {TO_EAT}. The entry is kept.",
    )


def planted_early(facts: SeasonFacts, cautions: Cautions) -> Iterator[str]:
    """One sentence for each planting that stands and went in inside a plant-back interval."""
    went = _went_in(facts.events)
    zone = ZoneInfo(facts.plot.place.time_zone)
    for planting in facts.plot.standing():
        at = went.get(planting.key)
        if at is None and planting.started is not None:  # by the plot file: no hour is known
            at = datetime.combine(planting.started, time.max, tzinfo=zone)
        if at is None or at > facts.now:
            continue
        found = _bars(facts.plot, planting.bed, at, facts.applied, cautions)
        if bars := [bar for bar in found if PLANT_BACK in bar.rests_on]:
            day = said(at.astimezone(zone).date())
            yield (
                f"{planting.name} went in on {day}, before its bed was free for it: {_said(bars)}. "
                f"{TO_EAT}."
            )


def _went_in(events: Iterable[Event]) -> dict[str, datetime]:
    """When each planting last had seed or plants put in."""
    return {
        event.payload.planting: event.local
        for event in events
        if isinstance(event.payload, (SettingOut, Sowing)) and event.payload.planting is not None
    }


def _bed_of(payload: object, plot: Plot) -> str | None:
    if not isinstance(payload, (SettingOut, Sowing)) or payload.planting is None:
        return None
    known = next((one for one in plot.plantings if one.key == payload.planting), None)
    return payload.bed or (None if known is None else known.bed)


def _bars(
    plot: Plot, bed: str | None, at: datetime, applied: Sequence[Applied], cautions: Cautions
) -> list[Because]:
    """What closed a bed at that hour. What was used where nobody gave a bed closes none here."""
    ground = next((one for one in plot.beds if one.key == bed), None)
    if ground is None:
        return []
    here = [one for one in applied if one.bed == ground.key]
    ruling = may_plant(bare(ground), at, here, plot.shelf, cautions)
    return [replace(bar, says=bar.says.rstrip(". ")) for bar in ruling.bars]


def _said(bars: Iterable[Because]) -> str:
    return "; ".join(dict.fromkeys(f"{bar.says} ({bar.who})" for bar in bars))
