"""Looks are learnt day by day: as all at once, and as if nothing had been kept."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.belief.cluster_cases import LIFE, METHODS, dice, effect, scales, sky, stands

from lattermath.belief.cluster_past import N_PARTICLES, Past, learnt_of
from lattermath.belief.cluster_runs import ClusterSky
from lattermath.belief.cluster_sightings import read_sighting
from lattermath.belief.cluster_unknowns import Names
from lattermath.belief.tempering import Sampled, sample
from lattermath.belief.treatment_kills import Application, reach_of

LOOKS = ((28, "cucumbers", 40), (28, "tomatoes", 3), (35, "aubergines", 25), (42, "cucumbers", 9))
SKY = replace(sky(), today=48)


class Held:
    """Keeps in memory and notes what it was asked for."""

    def __init__(self) -> None:
        self.kept: dict[int, Sampled] = {}

    def held(self, day: int) -> Sampled | None:
        return self.kept.get(day)

    def keep(self, day: int, learnt: Sampled) -> None:
        self.kept[day] = learnt


def past(n_looks: int = len(LOOKS), weather: ClusterSky = SKY) -> Past:
    homes = stands()
    read = [read_sighting(scales(where, total), day, n, homes, LIFE.figures)
            for n, (day, where, total) in enumerate(LOOKS[:n_looks])]  # fmt: skip
    reach = reach_of(effect("soap"), ("underside", "top"), 0.7, LIFE.figures)
    names = Names("greenhouse_whitefly", homes, METHODS)
    done = (Application(38, effect("soap"), (0,), reach),)
    told = [one for one in read if one is not None]
    return Past.of(LIFE, names, weather, 0, told, done)


def test_what_is_kept_gives_the_same_bits() -> None:
    keeper = Held()
    learnt_of(past(3, replace(SKY, today=36)), dice, keeper)
    assert sorted(keeper.kept) == [28, 35]
    more = learnt_of(past(), dice, keeper)
    anew = learnt_of(past(), dice, None)
    assert np.array_equal(more.unknowns, anew.unknowns) and more.evidence == anew.evidence
    assert sorted(keeper.kept) == [28, 35, 42]
    assert more.steps > keeper.kept[35].steps


def test_what_came_after_a_look_changes_nothing_of_what_was_learnt() -> None:
    """Neither weather, nor a spray on the evening of the look, nor a later look."""
    first, later = Held(), Held()
    learnt_of(past(), dice, first)
    hot = SKY.t_max.copy()
    hot[:, 42:] += 8.0
    sprayed = past(weather=replace(SKY, t_max=hot))
    again = Application(42, effect("soap"), (0, 1), sprayed.applied[0].reach)
    learnt_of(replace(sprayed, applied=(*sprayed.applied, again)), dice, later)
    for day in (28, 35, 42):
        assert np.array_equal(first.kept[day].unknowns, later.kept[day].unknowns)


@pytest.mark.parametrize("unknown", ["level", "field", "soap", "detection"])
def test_by_days_and_at_once_agree(unknown: str) -> None:
    """Two ways to one posterior; 512 particles of each, medians within three standard errors."""
    whole = past()

    def at_once(z: np.ndarray) -> np.ndarray:
        return np.asarray(whole.log_likelihood(z).sum(1))

    def value(found: Sampled) -> np.ndarray:
        meant = whole.names.meaning(found.unknowns, LIFE.figures.field_survival)
        return np.asarray({"level": np.log(meant.level[:, 0]), "field": meant.field,
                           "soap": meant.quantiles["soap"],
                           "detection": np.log(meant.detection)}[unknown])  # fmt: skip

    start = whole.names.throw(dice, N_PARTICLES)
    layout = whole.names.layout
    days, once = learnt_of(whole, dice, None), sample(start, at_once, dice("once"), layout)
    one, other = value(days), value(once)
    error = np.hypot(one.std(), other.std()) * 1.25 / np.sqrt(N_PARTICLES / 4)
    assert abs(np.median(one) - np.median(other)) < 3 * error
    assert days.evidence == pytest.approx(once.evidence, abs=0.6)
