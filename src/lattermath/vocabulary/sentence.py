"""Words at the beginning of a sentence, and inside one."""

from __future__ import annotations

import re
from collections.abc import Sequence

# What a name is told of stands before these: blight of tomato, spots with a rim.
BESIDE = re.compile(
    r"\s*[(,;:]|\s(?:of|on|in|at|under|with|without|round|from|by|between|which|that|to|like)\b"
)
MANY = ("larvae", "lice", "mice", "pupae", "deer", "fungi", "bacteria")  # of many, without an s
ONE = ("ss", "us", "is")  # endings of one: a virus, canker of a cutis


def capital(words: str) -> str:
    """The words with a capital first letter, the rest untouched."""
    return words[:1].upper() + words[1:]


def inside(words: str) -> str:
    """The words with a small first letter, the rest untouched."""
    return words[:1].lower() + words[1:]


def listed(parts: Sequence[str]) -> str:
    """Names or clauses in a row: beans, kale and leeks; "" for none."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"


def are_many(name: str) -> bool:
    """Whether a name is of several: round spots, thrips, pale specks and fine webbing."""
    words = BESIDE.split(name.strip().lower(), maxsplit=1)[0].split()
    if words[1:-1] == ["and"]:  # of longer ones the first may only describe: crown and fruit rot
        return True
    ends = [word for word, then in zip(words, [*words[1:], "and"], strict=False) if then == "and"]
    return any(w in MANY or (w.endswith("s") and not w.endswith(ONE)) for w in ends)


def verb(name: str, one: str = "is", many: str = "are") -> str:
    """The verb that goes with a name, by whether it is of one or of several."""
    return many if are_many(name) else one
