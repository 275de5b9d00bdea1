"""In one process only the insects that something new was seen of are run again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from tests.desk.test_first_sighting import count, seen

from lattermath.desk.insect_belief import believe_insects
from lattermath.desk.season_facts import SeasonFacts
from lattermath.vocabulary.events import Sighting

APHID, WHITEFLY = "melon_aphid", "greenhouse_whitefly"


@pytest.fixture(scope="module")
def facts(tmp_path_factory: pytest.TempPathFactory) -> SeasonFacts:
    aphids = Sighting("cucumbers", APHID, "count", counts=(2, 0, 1))
    looks = (count("cucumbers", 3, 0, 1), count("tomatoes", 0, 0, 2))
    folder = tmp_path_factory.mktemp("held")
    return seen(folder, (6, aphids), (8, looks[0]), (8, looks[1]))


def test_what_nothing_new_was_seen_of_is_held(facts: SeasonFacts) -> None:
    before = replace(facts, events=facts.events[:-1])
    aphids, flies = (believe_insects(before, one, held=True) for one in (APHID, WHITEFLY))
    again, anew = (believe_insects(facts, one, held=True) for one in (APHID, WHITEFLY))
    assert again is aphids and anew is not flies
    fresh = believe_insects(facts, WHITEFLY)
    assert anew is not None and fresh is not None and fresh is not anew
    assert np.array_equal(anew.past, fresh.past) and np.array_equal(anew.coming, fresh.coming)


def test_a_look_more_is_learnt_from_what_was_kept(
    facts: SeasonFacts, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bits of a belief do not hang on which looks were learnt, and kept, before."""
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path / "kept"))
    day = facts.day_index(date(2011, 7, 6))
    believe_insects(replace(facts, events=facts.events[:-2]), APHID)
    looks = [replace(one, payload=replace(one.payload, planting="cucumbers", what=APHID))
             for one in facts.events if isinstance(one.payload, Sighting)]  # fmt: skip
    longer = replace(facts, events=(*facts.events, looks[-1]))
    assert facts.day_index(looks[-1].day) > day
    from_kept = believe_insects(longer, APHID)
    kept = len(list((tmp_path / "kept").glob("belief-*.npz")))
    monkeypatch.setenv("LATTERMATH_CACHE", str(tmp_path / "none"))
    anew = believe_insects(longer, APHID)
    assert kept == len(list((tmp_path / "none").glob("belief-*.npz"))) == 2
    assert from_kept is not None and anew is not None
    assert np.array_equal(from_kept.past, anew.past)


def test_another_evening_another_sky_or_another_shelf_is_not_the_same(facts: SeasonFacts) -> None:
    held = believe_insects(facts, WHITEFLY, held=True)
    warmer = replace(facts, t_max=facts.t_max + 0.5)
    assert believe_insects(warmer, WHITEFLY, held=True) is not held
    bare = replace(facts, plot=replace(facts.plot, shelf=facts.plot.shelf[:0]))
    assert believe_insects(bare, WHITEFLY, held=True) is not None
    assert facts.today == date(2011, 7, 8)
