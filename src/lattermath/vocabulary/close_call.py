"""Verdicts that rest on a hair: a plan made anew may well have them otherwise."""

from __future__ import annotations

from lattermath.vocabulary.plan import Turn, Verdict

# Judgement: between these chances that replacing is better, and where so small a move turns it, in
# days or as a share of a price, a verdict is no surer than what it is reckoned from.
CHANCES, NEAR_DAYS, NEAR_SHARE = (0.3, 0.7), 3.0, 0.1
STAYING = ("fight", "leave", "cover")  # fates of what need not go


def close_call(verdict: Verdict) -> bool:
    """Is keeping about as good as replacing, or would next to nothing turn it?"""
    if not any(option.fate in STAYING for option in verdict.options):
        return False
    low, high = CHANCES
    return low <= verdict.chance_replacing_better <= high or any(map(_near, verdict.turns))


def _near(turn: Turn) -> bool:
    if turn.at is None or turn.at_word:
        return False
    away = abs(turn.at - turn.now)
    return away <= (NEAR_SHARE * turn.now if turn.unit == "portions" else NEAR_DAYS)
