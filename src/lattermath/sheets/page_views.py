"""Parts of a plan as the pages draw them: plain data, places in percent of a strip's width."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets import wording as w
from lattermath.sheets.figures import DEGREE, Units
from lattermath.sheets.front import Teller, sentence, stopped
from lattermath.vocabulary import calendar
from lattermath.vocabulary.plan import Clearance, Plan
from lattermath.vocabulary.ruling import Because

DAYS = 7
_HATCHES_A_DAY = 4


def picking_page(plan: Plan, units: Units) -> dict[str, Any]:
    """The coming seven days of every planting: open, or hatched until it opens."""
    tell = Teller(plan, units, DEGREE)
    begins = plan.as_of.replace(hour=0, minute=0, second=0, microsecond=0)
    days = [begins + timedelta(days=n) for n in range(DAYS)]
    first, last = calendar.said(days[0].date()), calendar.said(days[-1].date())
    return {
        "weekdays": [
            (calendar.weekday(day.date())[:3], f"{100 * n / DAYS:.1f}")
            for n, day in enumerate(days)
        ],
        "span": f"{first} to {last}.",
        "rows": [_pick_row(clear, begins, tell) for clear in plan.picking],
    }


def _pick_row(clear: Clearance, begins: datetime, tell: Teller) -> dict[str, Any]:
    name = tell.name(clear.planting)
    if clear.clear_now:
        says, label, barred = p.PICK_NOW, p.OPEN_ALL_WEEK.format(name=name), 0.0
    elif clear.safe_from is None:
        says, label, barred = p.PICK_UNKNOWN, p.BARRED_UNKNOWN.format(name=name), 1.0
    else:
        when = calendar.said_with_hour(clear.safe_from, begins.date())
        says, label = (
            p.PICK_NOT_BEFORE.format(when=when),
            p.BARRED_UNTIL.format(name=name, when=when),
        )
        barred = min((clear.safe_from - begins) / timedelta(days=DAYS), 1.0)
    lines = round(barred * DAYS * _HATCHES_A_DAY)
    return {
        "name": name,
        "says": says,
        "label": label,
        "barred": not clear.clear_now,
        "hatch": [f"{100 * (n + 0.5) / (DAYS * _HATCHES_A_DAY):.2f}" for n in range(lines)],
        "because": because(clear.barred_by, tell),
    }


def standby_page(plan: Plan, units: Units) -> dict[str, Any]:
    """The lots in hand and the sowings to make, in sentences."""
    tell = Teller(plan, units, DEGREE)
    rows = []
    for advice in plan.standby:
        says = stopped(tell.tell(advice.says))
        if advice.sow and advice.sow_by:
            says = sentence(w.SOW_BY.format(day=calendar.said(advice.sow_by), says=says))
        rows.append(
            {
                "says": says,
                "missing": sentence(tell.tell(advice.missing)) if advice.missing else "",
                "because": because(advice.because, tell),
            }
        )
    return {"rows": rows}


def because(reasons: Iterable[Because], tell: Teller) -> list[tuple[str, str]]:
    """Each reason and who says so."""
    return [(tell.tell(reason.says), w.WHO[reason.who]) for reason in reasons]


def looking_tasks(plan: Plan, units: Units) -> list[dict[str, str]]:
    """The looks of the first visit: what each says, its planting, and its id."""
    tell = Teller(plan, units, DEGREE)
    tasks = [task for visit in plan.visits[:1] for task in visit.tasks if task.kind == "look"]
    return [
        {"task": t.id, "planting": t.planting or "", "says": sentence(tell.tell(t.says))}
        for t in tasks
    ]


def task_titles(plan: Plan, units: Units) -> dict[str, str]:
    """What each task of the first visit says, by its id, to speak of it again."""
    tell = Teller(plan, units, DEGREE)
    visits = plan.visits[:1]
    return {
        task.id: tell.tell(task.says).split(". ")[0] for visit in visits for task in visit.tasks
    }


def long_day(when: datetime) -> str:
    """A day as the head of a page says it."""
    return figures.long_day(when.date())
