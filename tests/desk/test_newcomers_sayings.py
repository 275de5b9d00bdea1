"""Sentences of people who are new to a plot, each with what it must be taken for.

`newcomers_sayings.txt`: the crop, the words, the signs taken, and after a further stroke the signs
that must stand among those offered where it is asked back. `newcomers_no_sign.txt`: what must not
be taken for any sign. What each means was written down from general knowledge of plots before its
reading was looked at; four were then changed where another answer is as right, and thirteen of the
second file are misreadings that were met on the way.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from lattermath.desk.sayings_read import reads, signs_meant
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

TABLES = load_tables()


def rows(name: str) -> list[list[str]]:
    told = Path(__file__).with_name(name).read_text(encoding="utf-8")
    return [[one.strip() for one in line.split("|")] for line in told.splitlines()]


def answered(crop: str, words: str) -> tuple[set[str], str]:
    """The signs taken of a sentence, and all that is said of what was not."""
    try:
        taken, unread = signs_meant(TABLES, planting_of(crop), words, "--seen")
    except InputError as refused:
        return set(), refused.faults[0].remedy
    return set(taken), " ".join(unread)


def planting_of(crop: str) -> Planting:
    return Planting(crop, TABLES.crosswalk.named(crop), crop, 4)


@pytest.mark.parametrize(("crop", "words", "taken", "offered"), rows("newcomers_sayings.txt"))
def test_a_newcomers_sentence_is_taken_for_what_it_says_or_the_right_one_is_offered(
    crop: str, words: str, taken: str, offered: str
) -> None:
    signs, told = answered(crop, words)
    assert signs == set(taken.split())
    for sign in offered.split():
        assert TABLES.symptoms[sign].text in told


@pytest.mark.parametrize(("crop", "words"), rows("newcomers_no_sign.txt"))
def test_what_says_no_sign_or_denies_it_is_never_taken_for_one(crop: str, words: str) -> None:
    assert reads(TABLES, planting_of(crop), words) is not True
