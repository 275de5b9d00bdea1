"""The words that entries may use and that the tables understand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from lattermath.desk.wiring import Folder, tables_of
from lattermath.knowledge.crosswalk import tidy


def known_words(path: Path | str) -> Mapping[str, tuple[str, ...]]:
    """Give plain words by what they are for; the folder's own tables are read, if it has some.

    Where a thing has several plain words, all are there; latin names are known too, and left out.
    """
    tables = tables_of(Folder(Path(path)))
    crosswalk = tables.crosswalk
    latin = {tidy(insect.latin) for insect in tables.organisms.values()}
    return {
        "crops": crosswalk.crop_names(),
        "insects and mites": _plain(word for word in crosswalk.organisms if word not in latin),
        "diseases": _plain(crosswalk.diseases),
        "natural enemies": _plain(crosswalk.enemies),
        "animals, watched only": _plain(crosswalk.watched),
        "methods": _plain(crosswalk.methods),
    }


def _plain(words: Iterable[str]) -> tuple[str, ...]:
    """The words as people write them, in order."""
    return tuple(sorted(word.replace("_", " ") for word in words))
