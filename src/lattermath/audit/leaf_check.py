"""Nobody is told to wet leaves that were seen to be diseased, nor to let late blight run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from lattermath.audit.figures import DRY_DISEASES, LEAF_WORDS, SPREADS_TO_ALL, WETS_LEAVES
from lattermath.audit.ledger import Site, Stay
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import Event, Sighting
from lattermath.vocabulary.plan import Plan


def check_leaves(
    plan: Plan, work: Sequence[Stay], events: Iterable[Event], site: Site
) -> Iterator[Fault]:
    """Each task that wets leaves, and each verdict, against what was seen of leaf diseases."""
    ill = _seen(events)
    wet = {key for key, what in ill if not _powdery(what)}
    near = {key for key in site.plantings if wet & _beside(key, site)}
    for stay in work:
        if stay.task.method in WETS_LEAVES and stay.task.planting in near - wet:
            yield Fault("wets leaves beside a disease", stay.where, stay.task.planting)
        if stay.task.method in WETS_LEAVES and stay.task.planting in wet:
            yield Fault(
                "wets leaves on which a disease was seen",
                stay.where,
                f"{stay.task.planting}: {stay.task.method}",
                "Take off leaves by hand, dry.",
            )
    raging = {key for key, what in ill if what in SPREADS_TO_ALL}
    for verdict in plan.verdicts:
        if verdict.planting in raging and verdict.verdict == "let run":
            yield Fault("lets late blight run", f"verdict {verdict.planting}", verdict.says)


def _powdery(what: str) -> bool:
    """Wet leaves feed none of these."""
    return what in DRY_DISEASES or "powdery mildew" in what.replace("_", " ").casefold()


def _beside(key: str, site: Site) -> set[str]:
    """Standing plantings of the same crop, or in the same bed."""
    mine = site.plantings[key]
    return {
        other.key
        for other in site.plantings.values()
        if other.pulled is None
        and (other.crop == mine.crop or (mine.bed is not None and other.bed == mine.bed))
    }


def _seen(events: Iterable[Event]) -> set[tuple[str, str]]:
    """Planting and disease of every sighting that no later look took back."""
    found: set[tuple[str, str]] = set()
    entries = sorted(events, key=lambda e: (e.happened_at, e.serial))
    replaced = {entry.supersedes for entry in entries}
    for entry in entries:
        seen = entry.payload
        if entry.id in replaced or not isinstance(seen, Sighting):
            continue
        word = seen.what.replace("_", " ").casefold()
        if not any(part in word for part in LEAF_WORDS):
            continue
        nothing = seen.level == "none" or seen.percent == 0 or seen.total == 0
        if nothing or (seen.counts and sum(seen.counts) == 0):
            found.discard((seen.planting, seen.what))
        else:
            found.add((seen.planting, seen.what))
    return found
