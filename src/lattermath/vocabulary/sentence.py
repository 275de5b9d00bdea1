"""Words at the beginning of a sentence, and inside one."""

from __future__ import annotations


def capital(words: str) -> str:
    """The words with a capital first letter, the rest untouched."""
    return words[:1].upper() + words[1:]


def inside(words: str) -> str:
    """The words with a small first letter, the rest untouched."""
    return words[:1].lower() + words[1:]
