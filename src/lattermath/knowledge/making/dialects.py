"""Turns the trade files' four ways of saying where a number came from into one.

The weakest standing named for a value is the one it gets, so that nothing claims more than was
seen; the trade file's own words are kept in the note wherever they say more than a key.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

WEAKEST_FIRST = ("memory", "judgement", "common-practice", "derived", "label", "published")
SEEN_WEAKEST_FIRST = ("no", "second-hand", "abstract", "source")
WORDS = {
    "memory": "memory",
    "memory_general": "memory",
    "recalled": "memory",
    "practice": "common-practice",
    "trade_fact": "common-practice",
    "judgement": "judgement",
    "derived": "derived",
}
PHRASES = {"geometric mean": "derived", "common practice": "common-practice"}
UNNAMED = "unnamed_pages"


@dataclass(slots=True)
class Source:
    """One entry of sources.toml. `seen` is what was open when its numbers were typed."""

    key: str
    cite: str
    kind: str
    seen: str
    said: str = ""  # the trade file's own words about the reading
    locator: str = ""


@dataclass(slots=True)
class Origin:
    """The provenance part of a cell."""

    standing: str
    seen: str = "no"
    source: str = ""
    locator: str = ""
    note: str = ""


@dataclass(slots=True)
class Judge:
    """Judges provenance for one trade file, against that file's own sources."""

    sources: Mapping[str, Source]
    default: str = "memory"
    renamed: Mapping[str, str] = field(default_factory=dict)

    def origin(self, said: Any, path: str, text: str = "") -> Origin:
        """The origin of one leaf. `said` None: look for marks in the text itself, else default."""
        if isinstance(said, Mapping):
            return self._of_status(said)
        if isinstance(said, list):
            return self._of_words("; ".join(said), path, keep=False)
        if isinstance(said, str):
            return self._of_words(said, path, keep=True)
        marks = " ".join(re.findall(r"\(([^()]*)\)", text))
        if any(token in self.sources or token in WORDS for token in tokens(marks)):
            return self._of_words(marks, path, keep=False)
        return Origin(self.default)

    def _of_status(self, said: Mapping[str, str]) -> Origin:
        key = re.split(r"[ ,]", said["source"])[0]
        source = self.sources.get(key)
        name = source.key if source and key not in WORDS else ""
        note = "" if key == said["source"] else f"as given: {said['source']}"
        status = said["status"]
        if status == "published-read" and source:
            return Origin("published", source.seen, name, source.locator, note)
        standing = {"published-recalled": "memory"}.get(status, status)
        return Origin(standing, "no", name, "", note)

    def _of_words(self, said: str, path: str, keep: bool) -> Origin:
        words = said.replace("(dd derived)", "")
        if said != words and path.rsplit(".", 1)[-1].startswith("dd"):
            return Origin("derived", note=f"as given: {said}")
        counted = ";".join(s for s in words.split(";") if "left out" not in s)
        found = [t for t in tokens(counted) if t in self.sources or t in WORDS]
        standings = [self.standing(t) for t in found]
        standings += [v for phrase, v in PHRASES.items() if phrase in counted]
        keys = [self.sources[t] for t in found if t in self.sources and t not in WORDS]
        note = self._note(said, found, keep)
        if not standings:
            return Origin("published", "second-hand", UNNAMED, note=f"as given: {said}")
        standing = min(standings, key=WEAKEST_FIRST.index)
        leads = bool(keys) and found[0] not in WORDS
        source = keys[0] if leads else None
        if standing != "published" or source is None:
            if standing == "published":
                return Origin("published", "second-hand", UNNAMED, note=f"as given: {said}")
            return Origin(standing, "no", source.key if source else "", "", note)
        seen = min((k.seen for k in keys), key=SEEN_WEAKEST_FIRST.index)
        return Origin(standing, seen, source.key, locator(said, found[0]) or source.locator, note)

    def _note(self, said: str, found: list[str], keep: bool) -> str:
        """The file's own words, unless they say no more than the keys and the locator do."""
        bare = re.sub(r" \((?:Table|Appendix) \d+\)", "", said)
        if keep and any(token not in found for token in tokens(bare)):
            return f"as given: {said}"
        others = [token for token in found[1:] if token not in WORDS]
        return f"with {', '.join(others)}" if others else ""

    def standing(self, token: str) -> str:
        """The standing that one key or word stands for."""
        if token in WORDS:
            return WORDS[token]
        kind = self.sources[token].kind
        return "memory" if kind == "published" and self.sources[token].seen == "no" else kind


def tokens(words: str) -> list[str]:
    """Words and keys in the order said."""
    return re.findall(r"[a-z][a-z0-9_]*[a-z0-9]", words)


def locator(said: str, key: str) -> str:
    """The table named in brackets straight after the key."""
    match = re.search(re.escape(key) + r" \(((?:Table|Appendix) [^,;)]*)", said)
    return match.group(1) if match else ""


def seen_of(words: str) -> str:
    """What was seen, from the words a trade file uses for it."""
    words = words.lower()
    if not words or words == "-" or "not verified" in words or "computed here" in words:
        return "no"
    if any(w in words for w in ("second-hand", "transcribed", "quoted", "reproduced", "two indep")):
        return "second-hand"
    part = ("abstract", "excerpt", "summary", "partly", "opening", "introduction", "first")
    if any(w in words for w in (*part, "results", "text, not", "passage")):
        return "abstract"
    return "source" if any(w in words for w in ("read", "table", "full text")) else "no"


def crop_sources(trade: Mapping[str, Any]) -> dict[str, Source]:
    """Sources of crops.toml."""
    kinds = {"common practice": "common-practice"}
    return {
        key: Source(
            key, row["cite"], kinds.get(row["kind"], row["kind"]), seen_of(row["read"]), row["read"]
        )
        for key, row in trade.items()
    }


def pest_sources(trade: Mapping[str, Any]) -> dict[str, Source]:
    """Sources of pests.toml, by its status words."""
    seen = {
        "read_abstract": "abstract",
        "read_page": "source",
        "read_dataset": "second-hand",
        "quoted": "second-hand",
    }
    kinds = {"memory": "memory", "practice": "common-practice", "derived": "derived"}
    out = {}
    for key, row in trade.items():
        status = row["status"]
        where = "compilation: jarosik2011, devRate" if status == "read_dataset" else ""
        kind = kinds.get(status, "published")
        out[key] = Source(key, row["text"], kind, seen.get(status, "no"), status, where)
    return out


def treatment_sources(trade: Mapping[str, Any]) -> dict[str, Source]:
    """Sources of treatments.toml."""
    return {
        key: Source(key, row["cite"], "published", seen_of(row["read"]), row["read"])
        for key, row in trade.items()
    }


def disease_sources(trade: Mapping[str, str]) -> dict[str, Source]:
    """Sources of diseases.toml: one line each, with the reading in brackets."""
    out = {}
    for key, cite in trade.items():
        second = ("Secondary", "Description following", "derived from", "as reported by", "citing")
        read = " ".join(re.findall(r"\(([^()]*(?:read|recalled)[^()]*)\)", cite))
        seen = seen_of(read) if "recalled" not in read or "read" in read else "no"
        if seen != "no" and any(mark in cite for mark in second):
            seen = "second-hand"
        out[key] = Source(key, cite, WORDS.get(key, "published"), seen, read)
    return out
