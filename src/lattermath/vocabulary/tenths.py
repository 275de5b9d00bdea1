"""A share as so many in ten, in words."""

from __future__ import annotations

NEAR_THE_ENDS = {0: "hardly any", 10: "nearly all"}  # of ten; nothing takes them all


def tenths(share: float) -> str:
    """A share in words: no treatment takes ten of ten."""
    return NEAR_THE_ENDS.get(round(10 * share), f"{round(10 * share)} in 10")


def about(share: float) -> str:
    """The same where it is not known to a tenth."""
    said = tenths(share)
    return said if said in NEAR_THE_ENDS.values() else f"about {said}"


def span_of(low: float, high: float) -> str:
    """The ends of a share behind its middle, in brackets; "" where both are told alike."""
    ends = [tenths(low), tenths(high)]
    if ends[0] == ends[1]:
        return ""
    if not set(ends) & set(NEAR_THE_ENDS.values()):
        ends = [end.removesuffix(" in 10") for end in ends]
    return f" ({ends[0]} to {ends[1]})"
