"""An account of a season that can be given away: what was seen and done, where, when and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Kept = Literal["kept", "not kept", "not known", "open"]
ActKind = Literal[
    "seen", "treated", "picked", "watered", "cared for", "sown", "set out", "taken out", "left",
    "done",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Limit:
    """One line of a label, and whether it was kept. `open`: nothing has put it to the test yet."""

    says: str
    kept: Kept


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a thing was done: what the plan kept for that evening said, and when it was made."""

    made: datetime
    asked: bool  # False: that plan did not ask for it
    says: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Act:
    """One standing entry of the journal, as the account tells it. Measures are marked."""

    serial: int
    at: datetime  # by the plot's clock
    kind: ActKind
    says: str
    limits: tuple[Limit, ...] = ()
    reason: Reason | None = None
    photos: tuple[str, ...] = ()  # file names in the folder of photos


@dataclass(frozen=True, slots=True)
class WeekPicked:
    """What was picked in one week. Weeks begin on Monday."""

    monday: date
    kg: float
    pieces: int  # of pickings that were counted and not weighed


@dataclass(frozen=True, slots=True)
class Story:
    """One own planting from its beginning to its end, or one bed where no planting is named.

    `watered`: days on which water was given to it, and the litres of them all.
    """

    key: str
    name: str
    about: str  # crop, plants, bed, when it began and ended
    acts: tuple[Act, ...]
    weeks: tuple[WeekPicked, ...] = ()
    watered: tuple[date, ...] = ()
    litres: float = 0.0


@dataclass(frozen=True, slots=True)
class Used:
    """One product of the shelf that was used, and the lines of its label as they were copied."""

    name: str
    active: str
    crop: str
    times: int
    lines: tuple[tuple[str, str], ...]  # name of the line, and what it says
    invented: bool = False


@dataclass(frozen=True, slots=True)
class PickedOfAll:
    """What was picked in one week of all plantings, and of which."""

    week: WeekPicked
    of: tuple[tuple[str, WeekPicked], ...]  # name of a planting, and its own


@dataclass(frozen=True, slots=True)
class Account:
    """The whole account. `as_of` is the hour of the last entry in it, never that of the clock."""

    plot: str
    as_of: datetime
    first: date
    entries: int  # serial of the last entry that was read
    stories: tuple[Story, ...]
    used: tuple[Used, ...]
    weeks: tuple[PickedOfAll, ...]
    not_kept: tuple[str, ...]
    failed: tuple[str, ...]  # what was found not to work
    uncounted: tuple[str, ...]  # treatments of insects after which nobody counted
    stamp: str = ""
