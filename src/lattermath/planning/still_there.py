"""What was found stands until a look that could have seen it finds none."""

from __future__ import annotations

from lattermath.vocabulary.events import Sighting

Part = tuple[str, str]  # stage, "" for no stage in particular, and side of the leaf
NOTHING: frozenset[Part] = frozenset()
BOTH_SIDES = frozenset(("underside", "top"))
RISING = "adult"  # what a shake or a card finds


def left_after(parts: frozenset[Part], seen: Sighting) -> frozenset[Part]:
    """Where it stands on a planting after one more look at it.

    parts : where it stood before, by stage and side.

    None of one stage says nothing of the others, a shake that puts up none nothing of what sits,
    and a side judged clean nothing of the other side.
    """
    sides = BOTH_SIDES if seen.surface == "whole" else frozenset((seen.surface,))
    stage = RISING if seen.measure in ("shake", "card") else seen.stage
    if not seen.found_none:
        return parts | {(stage, side) for side in sides}
    judged = sides if seen.measure == "severity" else None
    return frozenset(
        (other, side)
        for other, side in parts
        if (stage and other != stage) or (judged is not None and side not in judged)
    )
