"""Finds the natural enemy that a grower's saying names, however it is described."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lattermath.knowledge.crosswalk import Crosswalk
from lattermath.knowledge.telling_words import COLOURS, telling

MOST_WORDS = 3  # of a name: hover fly larvae
# How a grower describes what crawls or flies, beside its colours and size.
DRESS = (
    "striped stripy stripes spotted spots dotted shiny small big tiny little large long fat young "
    "adult flying crawling hovering two five seven many"
)
_DRESS = telling(" ".join((DRESS, *COLOURS)))


@dataclass(frozen=True, slots=True)
class EnemySaid:
    """An enemy that a saying names.

    enemy : its id. called : the words that name it. alone : nothing else is told but its looks.
    """

    enemy: str
    called: str
    alone: bool


def enemy_said(words: str, crosswalk: Crosswalk) -> EnemySaid | None:
    """The natural enemy that a saying names, the longest name first; None where it names none."""
    parts = re.findall(r"[\w-]+", words)
    for length in range(MOST_WORDS, 0, -1):
        for at in range(len(parts) - length + 1):
            called = " ".join(parts[at : at + length])
            if (enemy := crosswalk.enemy(called)) is not None:
                rest = " ".join((*parts[:at], *parts[at + length :]))
                return EnemySaid(enemy, called, telling(rest) <= _DRESS)
    return None
