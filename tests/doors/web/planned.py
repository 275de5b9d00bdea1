"""A house that has the plan of its plot already: hardly a test of pages is about making it."""

from __future__ import annotations

from fastapi import FastAPI

from lattermath.desk import clock, plan_keeper
from lattermath.vocabulary.plan import Plan


def planned(app: FastAPI, plan: Plan) -> FastAPI:
    """The same with the plan that was made of its folder; no newer one is made after an entry.

    Each takes a core for seconds. A test that asks for newer ones takes `_is_stale` off again.
    """
    keeper: plan_keeper.PlanKeeper = app.state.house.keeper
    known = keeper._last_serial()
    keeper._made = plan_keeper._Made(plan, None, clock.now(), keeper._plot_file(), known)
    keeper._is_stale = lambda: False  # type: ignore[method-assign]
    return app
