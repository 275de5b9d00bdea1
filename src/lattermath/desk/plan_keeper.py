"""The newest plan of a plot, made again in a process of its own whenever something changed."""

from __future__ import annotations

import multiprocessing
import os
from concurrent.futures import Future, ProcessPoolExecutor, wait
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from threading import Lock, Thread

from lattermath.desk import clock
from lattermath.desk.kept_plan import GOOD_FOR
from lattermath.desk.stamp import stamp_digest
from lattermath.desk.wiring import Folder, open_journal
from lattermath.vocabulary.errors import LattermathError
from lattermath.vocabulary.plan import Plan
from lattermath.vocabulary.supposition import Supposition, WhatIf

BEHIND_THE_PAGES = (
    5  # judgement: on two cores a page is answered first, and a plan still comes soon
)


@dataclass(frozen=True, slots=True)
class Kept:
    """The newest plan there is, whether a newer is being made, and why the last could not be.

    serial : of the last entry it knows, taken back or not; None where none was made yet.
    """

    plan: Plan | None
    being_made: bool
    refused: LattermathError | None
    serial: int | None = None

    @property
    def stamp(self) -> str:
        """What the plan was made from; empty where there is none."""
        return stamp_digest(self.plan.stamp) if self.plan else ""


@dataclass(frozen=True, slots=True)
class _Made:
    """A plan and what was true when it was begun."""

    plan: Plan | None
    refused: LattermathError | None
    begun: datetime
    plot_file: tuple[int, int]
    serial: int  # of the last entry it knows


class PlanKeeper:
    """Answers at once with the newest plan; working one out never holds an answer up."""

    def __init__(self, folder: Path, on: date | None = None) -> None:
        """Plans of the plot in a folder, as of now, or as of a day."""
        self._folder, self._on = Folder(folder), on
        self._lock = Lock()
        self._worker: ProcessPoolExecutor | None = None
        self._making: tuple[Future[Plan], datetime, tuple[int, int], int] | None = None
        self._made: _Made | None = None
        self._supposed: tuple[tuple[Supposition, int, tuple[int, int]], Future[WhatIf]] | None = (
            None
        )
        self._other: tuple[tuple[date, int, tuple[int, int]], Future[Plan]] | None = None

    def look(self) -> Kept:
        """The newest plan; begins a newer one where something changed since."""
        with self._lock:
            self._take_in()
            if self._making is None and self._is_stale():
                self._begin()
            made = self._made
            return Kept(
                made.plan if made else None,
                self._making is not None,
                made.refused if made else None,
                made.serial if made else None,
            )

    def wait(self, seconds: float) -> Kept:
        """The same after a plan that is being made is done, or after so many seconds."""
        making = self._making
        if making is not None:
            wait([making[0]], seconds)
        return self.look()

    def of_day(self, day: date, seconds: float) -> Kept:
        """The plan of any day, after it is made or so many seconds; one day is worked on at a time.

        The last one asked for is kept until something changes. While another day is being worked
        out, there is no plan of this one yet.
        """
        with self._lock:
            asked = (day, self._last_serial(), self._plot_file())
            if self._other is None or (self._other[0] != asked and self._other[1].done()):
                self._other = (asked, self._submit(day))
            worked_on, work = self._other
        wait([work], seconds)
        if worked_on != asked or not work.done():
            return Kept(None, True, None)
        fault = work.exception()
        if fault is None:
            return Kept(work.result(), False, None)
        if isinstance(fault, LattermathError):
            return Kept(None, False, fault)
        with self._lock:
            self._worker = self._other = None
        raise fault

    def what_if(self, supposed: Supposition, seconds: float) -> WhatIf | None:
        """The difference a supposition makes, after it is worked out; None after so many seconds.

        The last one asked for is kept until something changes; one is worked on at a time. Raises
        the refusal where it cannot be planned.
        """
        with self._lock:
            asked = (supposed, self._last_serial(), self._plot_file())
            if self._supposed is None or (self._supposed[0] != asked and self._supposed[1].done()):
                worker = self._begun()
                work = worker.submit(_difference_of, self._folder.path, supposed, self._on)
                self._supposed = (asked, work)
            worked_on, work = self._supposed
        wait([work], seconds)
        return work.result() if worked_on == asked and work.done() else None

    def close(self) -> None:
        """Let the worker go."""
        with self._lock:
            if self._worker is not None:
                self._worker.shutdown(wait=False, cancel_futures=True)
                self._worker = None

    def _begin(self) -> None:
        known = self._last_serial()
        self._making = (self._submit(self._on), clock.now(), self._plot_file(), known)

    def _submit(self, day: date | None) -> Future[Plan]:
        return self._begun().submit(_plan_of, self._folder.path, day)

    def _begun(self) -> ProcessPoolExecutor:
        if self._worker is None:
            spawned = multiprocessing.get_context("spawn")
            self._worker = ProcessPoolExecutor(
                max_workers=1, mp_context=spawned, initializer=_leave_with_the_keeper
            )
        return self._worker

    def _take_in(self) -> None:
        """Take a finished plan over from the worker; a refusal leaves the plan before it."""
        if self._making is None or not self._making[0].done():
            return
        work, begun, plot_file, known = self._making
        self._making = None
        before = self._made.plan if self._made else None
        fault = work.exception()
        if fault is None:
            plan = work.result()
            # The stamp counts what stands; an entry that takes another back does not stand.
            known = max(known, plan.stamp.serial)
            self._made = _Made(plan, None, begun, plot_file, known)
        elif isinstance(fault, LattermathError):
            self._made = _Made(before, fault, begun, plot_file, self._last_serial())
        else:
            self._worker = None  # a worker that died is begun anew next time
            raise fault

    def _is_stale(self) -> bool:
        made = self._made
        return (
            made is None
            or made.serial != self._last_serial()
            or made.plot_file != self._plot_file()
            or clock.now() - made.begun > GOOD_FOR
        )

    def _last_serial(self) -> int:
        with open_journal(self._folder) as journal:
            return journal.last_serial

    def _plot_file(self) -> tuple[int, int]:
        """When it was last written, and its size."""
        file = self._folder.plot_file
        if not file.exists():
            return (0, 0)
        told = file.stat()
        return (told.st_mtime_ns, told.st_size)


def _leave_with_the_keeper() -> None:
    """Run in the worker: let pages go first, and end it when the keeper's process ends.

    It ends also where a signal ended the keeper.
    Only a keeper that comes to its own end tells its worker to leave. The worker writes kept work,
    which is moved into place whole, and a fetched forecast, which is one entry or none.
    """
    if hasattr(os, "nice"):
        os.nice(BEHIND_THE_PAGES)
    keeper = multiprocessing.parent_process()

    def leave() -> None:
        if keeper is not None:
            keeper.join()
            os._exit(0)

    Thread(target=leave, daemon=True).start()


def _plan_of(folder: Path, on: date | None) -> Plan:
    """Run in the worker, which loads the kernels once, and waits for a forecast that is turned on.

    An answer that did not come is no refusal: the plan says of when the forecast is.
    """
    from lattermath.desk.fetch_weather import keep_fresh
    from lattermath.desk.plan_visit import plan

    if on is None:
        keep_fresh(folder)
    return plan(folder, on)


def _difference_of(folder: Path, supposed: Supposition, on: date | None) -> WhatIf:
    """Run in the worker."""
    from lattermath.desk.what_if import what_if

    return what_if(folder, supposed, on)
