"""What is said to come free, and what a sheet has otherwise than the one before."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from tests.belief.season_cases import autumn

from lattermath.desk import plan_standby
from lattermath.desk.plan_change import courses_changed
from lattermath.planning.ground import Ground

TREATED = {"organism": "aphids", "course": [{"day": "2026-08-04", "product": "soap"}]}


def plan_of(*populations: dict) -> dict:
    return {"populations": populations, "names": {"aphids": "aphids"}}


def test_a_section_that_is_told_first_now_was_not_absent_before() -> None:
    """A sheet that had no section on a pest says nothing of whether the pest was there."""
    none_yet = plan_of({"organism": "aphids", "course": []})
    assert courses_changed(plan_of(), none_yet) == []
    assert courses_changed(none_yet, plan_of()) == []
    (new,) = courses_changed(plan_of(), plan_of(TREATED))
    assert new.says == "Aphids: 1 treatment, first on Tue 4 Aug, was no treatment"
    (old,) = courses_changed(plan_of(TREATED), plan_of())
    assert old.says.startswith("Aphids: no treatment, was 1 treatment")


def test_no_gap_is_told_of_what_is_let_run_with_nothing_expected(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What bears nothing in a cool fortnight stands on; what will have borne all comes free."""
    season = autumn()
    shape = (50, season.weather.n_days - season.weather.today)
    nothing, soon = np.zeros(shape), np.zeros(shape)
    nothing[:5, 20] = 1.0  # a draw in ten bears something
    soon[:, :8] = 0.2
    held = [(Ground(2.0, name="tomatoes"), nothing), (Ground(2.0, name="beans"), soon)]
    monkeypatch.setattr(plan_standby, "_kept", lambda *_: iter(held))
    gaps = plan_standby._gaps(None, SimpleNamespace(season=season))  # type: ignore[arg-type]
    assert [gap.ground.name for gap in gaps] == ["beans"]
