"""Where numbers came from: one entry a key, with what was really seen of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from lattermath.vocabulary.errors import Fault, TableError
from lattermath.vocabulary.figure import SEEN, STANDINGS

KEYS = {"cite", "kind", "seen", "said"}


@dataclass(frozen=True, slots=True)
class Source:
    """One book, paper, page or reckoning. `seen` is the most that was open of it."""

    key: str
    cite: str
    kind: str
    seen: str
    said: str = ""


def read_sources(raw: Mapping[str, Any]) -> dict[str, Source]:
    """Sources from plain data; TableError where one has no citation or an unknown word."""
    faults: list[Fault] = []
    sources: dict[str, Source] = {}
    for key, entry in raw.items():
        where = f"sources/{key}"
        if not isinstance(entry, Mapping) or not entry.get("cite") or entry.keys() - KEYS:
            faults.append(Fault("a source needs cite, kind, seen", where, str(entry)[:80]))
        elif entry.get("kind") not in STANDINGS or entry.get("seen") not in SEEN:
            said = f"{entry.get('kind')}, {entry.get('seen')}"
            faults.append(Fault("unknown kind or seen", where, said, f"One of {STANDINGS}, {SEEN}"))
        else:
            sources[key] = Source(key, **entry)
    if faults:
        raise TableError(faults)
    return sources
