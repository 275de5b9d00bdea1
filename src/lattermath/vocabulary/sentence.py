"""Words at the beginning of a sentence."""

from __future__ import annotations


def capital(words: str) -> str:
    """The words with a capital first letter, the rest untouched."""
    return words[:1].upper() + words[1:]
