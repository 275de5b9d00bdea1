"""What is held in a process: worked out once a key, and the longest unasked goes first."""

from __future__ import annotations

import pytest

from lattermath.weather.held import Held


def test_it_is_worked_out_once_and_the_longest_unasked_is_forgotten() -> None:
    held: Held[str] = Held(2)
    done: list[str] = []

    def ask(key: str) -> str:
        return held.get(key, lambda: done.append(key) or key.upper())

    assert [ask(key) for key in ("a", "b", "a", "c", "a")] == ["A", "B", "A", "C", "A"]
    assert done == ["a", "b", "c"]
    assert ask("b") == "B" and done == ["a", "b", "c", "b"]


def test_nothing_is_held_of_work_that_failed() -> None:
    held: Held[int] = Held(2)

    def fail() -> int:
        raise ValueError

    with pytest.raises(ValueError):
        held.get("a", fail)
    assert held.get("a", lambda: 3) == 3
