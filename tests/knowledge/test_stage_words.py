"""One word, one meaning: what a sheet counts is what the same word means in an entry."""

from __future__ import annotations

import pytest

from lattermath.knowledge.stage_words import STAGE_WORDS, named_stages
from lattermath.knowledge.tables import load_tables

TABLES = load_tables()
SAID = {
    key: TABLES.organisms[key].stages
    for key, habit in TABLES.habits.items()
    if habit.counted_word.split()[-1] in STAGE_WORDS
}


def test_some_sheets_count_by_a_word_of_the_entries() -> None:
    assert {"greenhouse_whitefly", "sweetpotato_whitefly", "cabbage_whitefly"} <= set(SAID)


@pytest.mark.parametrize("key", sorted(SAID))
def test_what_a_sheet_counts_is_what_the_same_word_means_in_an_entry(key: str) -> None:
    """Pale scales were believed with the crawlers and logged without them."""
    habit, stages = TABLES.habits[key], SAID[key]
    counted = tuple(stage for stage in stages if stage.startswith(habit.counted))
    whole = named_stages(habit.counted_word, stages)
    assert counted == named_stages(habit.counted_word.split()[-1], stages) == whole
    assert not any("crawler" in stage for stage in counted)
