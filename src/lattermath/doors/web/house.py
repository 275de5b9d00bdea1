"""What every page needs: the plot's folder, its newest plan, the record, and how a page is made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import Request
from starlette.responses import HTMLResponse

from lattermath.desk import clock
from lattermath.desk.entry_ids import new_id
from lattermath.desk.plan_keeper import Kept, PlanKeeper
from lattermath.desk.set_up import is_started, units_of
from lattermath.desk.told_entries import Record, ToldEntry, record_of
from lattermath.sheets import page_words as p
from lattermath.sheets.figures import DEGREE, Units, said_in
from lattermath.sheets.leaf import leaf
from lattermath.sheets.page import season_drawing
from lattermath.sheets.templating import render
from lattermath.vocabulary.calendar import said, said_with_hour
from lattermath.vocabulary.errors import Fault, LattermathError, PlanViolates
from lattermath.vocabulary.plot import Plot

AT_ODDS_DAYS = 14  # judgement: after that nobody remembers which was right


@dataclass(frozen=True, slots=True)
class House:
    """One plot, as the pages serve it. `on`: the day it is shown as of; None for now.

    asked : the units that were asked for; None for those of the plot file.

    `writing` is held while something is looked up and then written.
    """

    folder: Path
    keeper: PlanKeeper
    asked: Units | None
    on: date | None = None
    writing: Lock = field(default_factory=Lock)

    @property
    def is_started(self) -> bool:
        """Whether there is a plot to show yet."""
        return is_started(self.folder)

    @property
    def units(self) -> Units:
        """The units that the pages speak."""
        return self.asked or units_of(self.folder)

    def record(self) -> Record:
        """The record as it stands."""
        return record_of(self.folder)

    @property
    def journal(self) -> str:
        """The id of the first entry, which names the journal for ever; empty without one."""
        return _journal_and_zone(self.folder)[0]

    def today(self, record: Record) -> date:
        """The plot's own day."""
        return self.on or clock.now().astimezone(ZoneInfo(record.plot.place.time_zone)).date()

    def when(self, plot: Plot) -> datetime | None:
        """The hour of an entry that names none: this hour, on the day shown."""
        if self.on is None:
            return None
        now = clock.now().astimezone(ZoneInfo(plot.place.time_zone))
        return datetime.combine(self.on, now.time().replace(tzinfo=None))

    def new_id(self) -> str:
        """An id for the entry that a form will bring, so that it arrives once."""
        return new_id()

    def say(self, words: str) -> str:
        """Words of the desk in the reader's units."""
        return said_in(words, self.units, DEGREE)

    def page(
        self, template: str, here: str, title: str, kept: Kept, status: int = 200, **told: Any
    ) -> HTMLResponse:
        """A page with its head, contents and foot."""
        plan = kept.plan
        front = leaf(plan, plan.plot, self.units) if plan else None
        season = front["season"] if front else None
        refused = kept.refused.faults if kept.refused else ()
        return HTMLResponse(
            render(
                f"pages/{template}",
                **{
                    "here": here,
                    "title": title,
                    "plot": plan.plot if plan else p.NAME,
                    "front": front["front"] if front else None,
                    "season": season,
                    **season_drawing(season),
                    "being_made": kept.being_made,
                    "stamp": kept.stamp,
                    "refused": [str(fault) for fault in refused],
                    "withheld": isinstance(kept.refused, PlanViolates),
                    "fresh_id": self.new_id,
                    "shelf": self._shelf(),
                    **told,
                },
            ),
            status,
        )

    def _shelf(self) -> dict[str, str]:
        """What entries kept on a phone need to know: whose they are, and the plot's own clock."""
        try:
            journal, zone = _journal_and_zone(self.folder)
        except LattermathError:  # the page that says what is wrong with the journal keeps nothing
            return {"journal": "", "zone": "", "day": "", "made": ""}
        made = said_with_hour(clock.now().astimezone(ZoneInfo(zone)))
        day = self.on.isoformat() if self.on else ""
        return {"journal": journal, "zone": zone, "day": day, "made": made}

    def refusal(self, faults: Iterable[Fault], status: int, title: str = p.WRONG) -> HTMLResponse:
        """A page that says what was wrong and what to do."""
        kept = self.keeper.look()
        return self.page("fault.html", "", title, kept, status, faults=tuple(faults))

    def entries(self, told: Iterable[ToldEntry], with_day: bool = False) -> list[dict[str, Any]]:
        """Entries as the pages list them."""
        return [self._entry(one, with_day) for one in told]

    def at_odds(self, record: Record) -> list[dict[str, Any]]:
        """Pairs of entries of the last days that cannot both be so, as the pages list them."""
        by_serial = {one.serial: one for one in record.entries}
        since = self.today(record) - timedelta(days=AT_ODDS_DAYS)
        return [
            {
                "why": pair.why,
                "entries": self.entries([by_serial[pair.first], by_serial[pair.second]], True),
            }
            for pair in record.at_odds
            if by_serial[pair.second].at.date() >= since
        ]

    def _entry(self, one: ToldEntry, with_day: bool) -> dict[str, Any]:
        state = p.ENTRY.format(serial=one.serial)
        if one.gone_by is not None:
            form = p.WITHDRAWN if one.withdrawn else p.CORRECTED
            state = f"{state}, {form.format(serial=one.gone_by)}"
        hour = f"{one.at:%H:%M}"
        return {
            "serial": one.serial,
            "at": one.at.isoformat(),
            "when": f"{said(one.at.date())} {hour}" if with_day else hour,
            "says": self.say(one.says),
            "state": state,
            "photos": one.photos,
            "gone": one.gone_by is not None,
            "may_undo": one.may_undo,
        }


@cache
def _journal_and_zone(folder: Path) -> tuple[str, str]:
    """The id of the first entry, which names the journal for ever, and the plot's zone."""
    record = record_of(folder)
    return record.entries[-1].id if record.entries else "", record.plot.place.time_zone


def house_of(request: Request) -> House:
    """The house that the app was made for."""
    held: House = request.app.state.house
    return held
