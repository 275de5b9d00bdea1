"""Two species that growers call by one word: never two numbers under the same words."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.planning.test_looking import VISIT, watch

from lattermath.planning.evening_sprays import with_numbers
from lattermath.planning.looking import looking_tasks
from lattermath.planning.treating import Spraying, joined
from lattermath.planning.watch import Watch
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.plot import Planting

MANY = Planting("b", "B", "cucumber", 12)
NAMES = {"melon_aphid": "melon aphid", "green_peach_aphid": "green peach aphid",
         "greenhouse_whitefly": "greenhouse whitefly",
         "sweetpotato_whitefly": "sweetpotato whitefly"}  # fmt: skip


def both(numbers: dict[str, int], word: str = "treat") -> list[Watch]:
    return [
        watch("b", 9.0, planting=MANY, organism=organism, organism_name=NAMES[organism],
              worth=LookWorth(9.0, 0.2, at, word, "leave it"))
        for organism, at in numbers.items()
    ]  # fmt: skip


def numbers_by_words(says: str) -> dict[str, set[str]]:
    """What stands before each number to turn at, by a plain reading of the sentence."""
    found: dict[str, set[str]] = {}
    for words, number in re.findall(r"([^.:]+): treat from (\d+)", says):
        found.setdefault(words.strip().lower(), set()).add(number)
    return found


@pytest.mark.parametrize(
    "numbers",
    [
        {"melon_aphid": 371, "green_peach_aphid": 5},
        {"greenhouse_whitefly": 40, "sweetpotato_whitefly": 9},
    ],
)
def test_each_number_stands_under_words_of_its_own(numbers: dict[str, int]) -> None:
    (task,) = looking_tasks(VISIT, both(numbers))
    told = numbers_by_words(task.says)
    assert len(told) == 2 and all(len(found) == 1 for found in told.values())
    for organism, number in numbers.items():
        (words,) = (one for one, found in told.items() if found == {str(number)})
        assert NAMES[organism] in words
        assert any(NAMES[organism] in one.says and one.organism == organism for one in task.wanted)
        reasons = [reason.says for reason in task.because]
        assert any(NAMES[organism] in one and "a number apart" in one for one in reasons)
        assert any(NAMES[organism] in one and f"treat from {number} in" in one for one in reasons)
    assert "cannot tell apart" in task.says and "the lower number decides" in task.says


def test_one_number_for_both_is_told_once_and_in_the_plain_word() -> None:
    (task,) = looking_tasks(VISIT, both({"melon_aphid": 12, "green_peach_aphid": 12}))
    assert numbers_by_words(task.says) == {"aphids": {"12"}}
    assert "apart" not in task.says and "(" not in task.says


def test_a_single_species_keeps_the_plain_word() -> None:
    (task,) = looking_tasks(VISIT, both({"melon_aphid": 12}))
    assert numbers_by_words(task.says) == {"aphids": {"12"}} and "apart" not in task.says


def test_a_treatment_that_waits_names_the_number_of_its_own_species() -> None:
    watches = [
        replace(one, decides="the treatment")
        for one in both({"melon_aphid": 371, "green_peach_aphid": 5})
    ]
    looks = looking_tasks(VISIT, watches)
    waits = [
        Spraying(
            "soap", "soap", one.organism, one.organism_name, MANY, 9.0, (), ("underside",),
            "Soap", True, only_if="the look finds some there",
        )
        for one in watches
    ]  # fmt: skip
    said = {one.target: one.only_if for one in with_numbers(waits, watches, looks)}
    assert said == {
        "melon_aphid": "the look finds 371 aphids (melon aphid) or more in all",
        "green_peach_aphid": "the look finds 5 aphids (green peach aphid) or more in all",
    }
    (mixed,) = with_numbers(joined(waits), watches, looks)  # one spray against both
    assert mixed.only_if == (
        "the look finds 371 aphids (melon aphid) or more in all, "
        "or 5 aphids (green peach aphid) or more in all"
    )
