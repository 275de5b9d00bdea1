"""Account and record as papers to hand over, for the command line and the pages."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from lattermath.desk.account_reasons import names_none
from lattermath.desk.season_account import season_account
from lattermath.desk.told_entries import ToldEntry, record_of
from lattermath.doors.asking import Units
from lattermath.sheets import account_words as a
from lattermath.sheets import page_words as p
from lattermath.sheets.account import account_booklet, record_booklet
from lattermath.sheets.booklet import Booklet
from lattermath.vocabulary.errors import Fault, InputError

OURS = ("plot row", "weather taken")  # written down by the program, of nothing done on the plot


def account_of(folder: Path, on: date | None, units: Units) -> Booklet:
    """The account of the season up to a day."""
    return account_booklet(season_account(folder, on), units)


def record_of_season(folder: Path, on: date | None, units: Units) -> Booklet:
    """Every entry up to a day, also what was put right since; neighbours' plants left out.

    InputError where nothing was logged by then.
    """
    record = record_of(folder)
    next_door = {p.key: p.name for p in record.plot.plantings if p.neighbours_plot}
    told = [
        one
        for one in sorted(record.entries, key=lambda e: (e.at.timestamp(), e.serial))
        if one.kind not in OURS
        and one.planting not in next_door
        and names_none(one.says, next_door.values())  # a ticked look may name them
        and (on is None or one.at.date() <= on)
    ]
    if not told:
        raise InputError(Fault(a.NO_ENTRY, a.WHERE, str(on or ""), a.NO_ENTRY_REMEDY))
    return record_booklet(record.plot.name, [(e.at, e.says, _state(e)) for e in told], units)


def _state(one: ToldEntry) -> str:
    state = p.ENTRY.format(serial=one.serial)
    if one.gone_by is None:
        return state
    form = p.WITHDRAWN if one.withdrawn else p.CORRECTED
    return f"{state}, {form.format(serial=one.gone_by)}"
