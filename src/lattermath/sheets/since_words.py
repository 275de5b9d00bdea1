"""What is new since the sheet before: the line at the head of a sheet, and all of it behind."""

from __future__ import annotations

from collections.abc import Callable

from lattermath.sheets import wording as w
from lattermath.sheets.figures import listed
from lattermath.vocabulary.calendar import said, weekday
from lattermath.vocabulary.since import Otherwise, Since

Tell = Callable[[str], str]
SHOWN = 2  # on the front; all of it stands on the back


def since_line(since: Since | None, tell: Tell) -> str:
    """The first line of a sheet; empty where there was no sheet before."""
    if since is None:
        return ""
    return " ".join(filter(None, (_changes_line(since, tell), not_looked_line(since, tell))))


def not_looked_line(since: Since, tell: Tell) -> str:
    """What the sheet before asked to be looked at in vain; empty where nothing."""
    if since.looks_of is None or not since.not_looked:
        return ""
    return w.NOT_LOOKED.format(day=said(since.looks_of), names=tell(listed(since.not_looked)))


def _changes_line(since: Since, tell: Tell) -> str:
    day = said(since.sheet)
    if not since.changes:
        return w.SINCE_NOTHING.format(day=day)
    told = [_change(one, tell) for one in since.changes[:SHOWN]]
    more = len(since.changes) - len(told)
    if more:
        told.append(w.SINCE_MORE.format(count=more))
    return w.SINCE.format(day=day, says="; ".join(told))


def since_lines(since: Since | None, tell: Tell) -> tuple[str, ...]:
    """Every change with all that came in between and touches it."""
    if since is None:
        return ()
    changes = (f"{_change(one, tell, whole=True)}." for one in since.changes)
    return tuple(filter(None, (*changes, not_looked_line(since, tell))))


def _change(one: Otherwise, tell: Tell, *, whole: bool = False) -> str:
    says = tell(one.says).rstrip(".")
    told = {
        "added": w.SINCE_ADDED.format(says=says),
        "dropped": w.SINCE_DROPPED.format(says=says),
        "moved": w.SINCE_MOVED.format(
            says=says,
            was=weekday(one.was) if one.was else "",
            now=weekday(one.day) if one.day else "",
        ),
    }.get(one.how, says)
    causes = [tell(reason.says) for reason in one.because]
    shown = causes if whole else causes[:1]
    return w.SINCE_BECAUSE.format(says=told, causes="; ".join(shown)) if shown else told
