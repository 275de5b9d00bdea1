"""Days too hot for flowers to set, by the plot's own weather, as the sheet counts them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from lattermath.knowledge.tables import Tables
from lattermath.planning.disorders import FRUIT_SET_DAYS, MANY_HOT, set_limits, too_hot_to_set
from lattermath.vocabulary.plot import Planting
from lattermath.weather.daily_record import DailyRecord

CAUSE, DISORDER, CHECK = "heat_no_set", "heat_aborted_fruit_set", "night_temp_record"
SPELL = "hot_dry_spell"
HOSTS = ("tomato", "pepper", "bean")
LEAST_MEASURED = 7  # judgement: of the nine days
COOL_NIGHTS = 5  # judgement: of the nine, from which on cold is a reason worth a word


@dataclass(frozen=True, slots=True)
class SetDays:
    """How many of the last days were too hot for flowers; `days` None: the record does not know.

    yes, no : by how much an answer of the key's own check moves the odds of its cause.
    cool    : nights too cold for flowers to set.
    of      : of how many days the record knows.
    """

    days: int | None
    yes: float
    no: float
    cool: int = 0
    cool_c: float = 0.0
    of: int = FRUIT_SET_DAYS

    @property
    def hot(self) -> bool:
        """Whether any was too hot."""
        return bool(self.days)

    @property
    def odds(self) -> float:
        """By how much they move the odds: from none, the check's no, evenly up to its yes."""
        share = min((self.days or 0) / MANY_HOT, 1.0)
        return float(self.no ** (1 - share) * self.yes**share)

    @property
    def settled(self) -> tuple[str, ...]:
        """Signs that nobody need look up: the check's own, and in heat the spell's."""
        if self.days is None:
            return ()
        return (CHECK, SPELL) if self.hot else (CHECK,)

    def moves(self, counted: bool) -> Iterator[tuple[str, float, str]]:
        """By how much the cause's prior moves, and why.

        counted : a hot dry spell is answered with yes, and has told of the heat already.
        """
        if self.days is None:
            return
        known = "" if self.of == FRUIT_SET_DAYS else f" ({self.of} measured)"
        of = f"of the last {FRUIT_SET_DAYS} days{known} too hot for flowers to set"
        odds = min(self.odds, 1.0) if counted else self.odds
        if not self.hot:
            yield CAUSE, odds, f"Not hot: none {of}."
        elif self.days < MANY_HOT:
            yield CAUSE, odds, f"Only {self.days} {of}: too few to be sure."
        else:
            yield CAUSE, odds, f"{self.days} {of}."
        if self.cool >= COOL_NIGHTS:
            nights = (
                f"{self.cool} of the last {FRUIT_SET_DAYS} nights{known} below {self.cool_c:g} C"
            )
            yield CAUSE, 1.0, f"{nights}: flowers may drop of cold too, and then it is none listed."


def too_hot(planting: Planting, record: DailyRecord | None, today: date, tables: Tables) -> SetDays:
    """What the record of the days up to yesterday says of the heat on one planting's flowers.

    The check of the key has the limits of tomatoes in its words; here those of the host hold.
    """
    check, row = tables.checks[CHECK], tables.disorders[DISORDER].row
    expected, leak = check.chances("")[CAUSE].value, check.leak.value
    odds = expected / leak, (1 - expected) / (1 - leak)
    host = tables.crosswalk.host(planting.crop, HOSTS) or ""
    if record is None or set_limits(host, row) is None:
        return SetDays(None, *odds)
    end = record.at(today)  # days after the record's last one are as unmeasured as gaps
    places = range(max(end - FRUIT_SET_DAYS, 0), min(end, record.n_days))
    unmeasured = record.filled_max | record.filled_min
    days = [place for place in places if not unmeasured[place]]
    if len(days) < LEAST_MEASURED:
        return SetDays(None, *odds)
    t_min, t_max = record.t_min[days].tolist(), record.t_max[days].tolist()
    hot = too_hot_to_set(host, t_min, t_max, row)
    limit = row.figure("low_night_c").value
    cool = sum(low < limit for low in t_min) if host == "tomato" else 0
    return SetDays(len(hot), *odds, cool, limit, len(days))
