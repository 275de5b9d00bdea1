"""A number with its noun: 1 portion, 2 portions."""

from __future__ import annotations


def counted(number: float | str, many: str, one: str = "") -> str:
    """Say a number and what is counted; `one` is the noun for a single one, else `many` less s."""
    said = number if isinstance(number, str) else f"{number:g}"
    return f"{said} {(one or many.removesuffix('s')) if said == '1' else many}"
