"""Hours of another year are told with it on everything that hangs, is carried, or is looked up."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from tests.sheets.test_plot_page import ASKS, PLOT

from lattermath.sheets.calendar_items import calendar_items
from lattermath.sheets.front import Teller, bar_reason
from lattermath.sheets.handouts import handout
from lattermath.sheets.page_views import picking_page
from lattermath.sheets.plot_views import plot_page
from lattermath.sheets.season_days import days_chart
from lattermath.sheets.shelf_views import shelf_page
from lattermath.vocabulary.plan import Clearance, Closed, Plan, Used
from lattermath.vocabulary.ruling import Because

ZONE = ZoneInfo("America/Chicago")
SPRAYED = datetime(2025, 8, 4, 20, 0, tzinfo=ZONE)
NEXT_YEAR = datetime(2026, 1, 9, 20, 0, tzinfo=ZONE)  # Fri 9 Jan 2026: five months on
THIS_YEAR = datetime(2025, 12, 9, 20, 0, tzinfo=ZONE)
HOUR = re.compile(r"(?:9 Jan|9 Dec)(?: 20\d\d)? 20:00")


def shut(plan: Plan, until: datetime) -> Plan:
    """The plan with the beans treated, to be picked and entered from an hour on."""
    words = f"{until:%a} {until.day} {until:%b}{' 2026' * (until.year == 2026)} {until:%H:%M}"
    bar = Because(f"treated Mon 4 Aug, clear {words}.", holds=False, who="label", lapses=until)
    clear = Clearance("beans", False, until, (bar,))
    closed = Closed("beans", (Used(SPRAYED, "soft-soap", "soap"),), clear, clear)
    return replace(plan, picking=(clear,), closed=(closed,), names=(("beans", "Beans"),))


def on_the_plot(plan: Plan) -> str:
    return repr(plot_page(plan, PLOT, ASKS, "metric"))


def in_the_calendar(plan: Plan) -> str:
    return repr(calendar_items(plan, "metric"))


PAPERS: dict[str, Callable[[Plan], str]] = {
    "tag": lambda plan: repr(handout("tags", plan)),
    "helper": lambda plan: repr(handout("helper", plan)),
    "picking list": lambda plan: repr(handout("picking", plan)),
    "calendar": in_the_calendar,
    "plot": on_the_plot,
    "picking": lambda plan: repr(picking_page(plan, "metric")),
    "days": lambda plan: repr(days_chart(plan, (), Teller(plan, "metric"))),
    "shelf": lambda plan: repr(
        shelf_page((), [("Beans", plan.picking[0])], "metric", plan.as_of.date())
    ),
}


@pytest.mark.parametrize("paper", PAPERS)
def test_an_hour_of_another_year_has_its_year(plan: Plan, paper: str) -> None:
    for until, day in ((NEXT_YEAR, "9 Jan 2026 20:00"), (THIS_YEAR, "9 Dec 20:00")):
        told = HOUR.findall(PAPERS[paper](shut(plan, until)))
        assert told and set(told) == {day}


def test_the_hour_beside_a_reason_is_said_once(plan: Plan) -> None:
    for until in (NEXT_YEAR, THIS_YEAR):
        held = shut(plan, until)
        why = bar_reason(held.picking[0], Teller(held, "metric"))
        assert "treated Mon 4 Aug" in why and not HOUR.search(why)
