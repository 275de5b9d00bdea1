"""Which plantings show a disease, from the journal: seen, and not missed since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from lattermath.knowledge.tables import Tables
from lattermath.planning.sick_leaves import SickLeaves, leaf_word, wet_feeds
from lattermath.planning.still_there import NOTHING, Part, left_after
from lattermath.vocabulary.events import Event, Sighting


def sick_leaves(events: Iterable[Event], tables: Tables) -> Mapping[str, tuple[SickLeaves, ...]]:
    """Every disease seen, by planting; a later look at the same that finds none takes it away."""
    found: dict[tuple[str, str], SickLeaves] = {}
    stands: dict[tuple[str, str], frozenset[Part]] = {}
    for event in events:
        seen = event.payload
        if not isinstance(seen, Sighting) or not _is_disease(tables, seen.what):
            continue
        key = (seen.planting, seen.what)
        stands[key] = left_after(stands.get(key, NOTHING), seen)
        if not stands[key]:
            found.pop(key, None)
        elif not seen.found_none:
            found[key] = _one(tables, event, seen, found.get(key))
    by_planting: dict[str, tuple[SickLeaves, ...]] = {}
    for (planting, _), one in sorted(found.items()):
        by_planting[planting] = (*by_planting.get(planting, ()), one)
    return by_planting


def _one(tables: Tables, event: Event, seen: Sighting, before: SickLeaves | None) -> SickLeaves:
    """The last look counts; what an earlier one said of stems stays said."""
    disease = tables.diseases.get(seen.what)
    known = None if disease is not None else tables.advised_of(seen.what)
    said_more = seen.percent is not None or seen.level is not None
    old = None if said_more else before
    return SickLeaves(
        seen.planting,
        seen.what,
        seen.what.replace("_", " ") if disease is None else disease.name,
        event.day,
        event.serial,
        seen.percent if old is None else old.percent,
        seen.level if old is None else old.level,
        seen.surface == "stem" or (before is not None and before.stem),
        _splash(tables, seen.what),
        "" if known is None else known.does,
        known is not None and known.pull,
        "" if known is None else f"table:advised/{known.id}/does",
        known is not None or disease is not None,
    )


def _splash(tables: Tables, what: str) -> bool:
    """Does water on the leaves carry it or let it in? So long as nobody knows, it may."""
    if what in tables.diseases:
        return tables.diseases[what].spread_by_wet_leaves
    known = tables.advised_of(what)
    return wet_feeds(what) if known is None else known.splash


def _is_disease(tables: Tables, what: str) -> bool:
    if what in tables.organisms or what in tables.disorders:
        return False
    return what in tables.diseases or leaf_word(what) or tables.advised_of(what) is not None
