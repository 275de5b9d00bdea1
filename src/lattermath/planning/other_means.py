"""Means that are no course: what mesh, cards, bags, boards and bought enemies would do here."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import time

from lattermath.knowledge.methods import Efficacy, Method
from lattermath.planning.means import MESH
from lattermath.vocabulary.plot import Visiting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.tenths import about, tenths

DAWN_ENDS = time(8, 0)  # judgement: later the sun is on the leaves
DAILY = 6  # visits a week that count as every morning
OPEN_PLOT = ("open plot", "outdoors")
DOES = {
    "vacuum": "a hand vacuum takes {share} adults, at dawn while they are sluggish",
    "bag_enclosure": "an empty bag over a shoot from evening on, off before the sun, takes {share} "
    "adults in it; never with dust or spray inside",
    "board_trap": "a board beside the stems gathers {share}, if it is lifted every morning",
    "sticky_cards": "yellow cards count the adults; they take {share} and catch good insects too",
    "trap_crop": "a trap crop holds {share} off, but on a plot of this size it becomes a nursery "
    "unless it is pulled in time",
    "encarsia": "bought wasps take {share} on an open plot: they leave",
    "phytoseiulus": "bought predatory mites take {share} on an open plot, fewer when it is hot and "
    "dry",
    "lacewing_ladybeetle": "bought ladybirds take {share} outdoors: they fly off within days, and "
    "those that come by themselves stay",
}
BELONGS = {  # bought enemies belong to the words that name their prey
    "encarsia": "whitefly",
    "phytoseiulus": "mite",
    "lacewing_ladybeetle": "aphid",
}


@dataclass(frozen=True, slots=True)
class Hosts:
    """Own hosts of an organism on which it was not seen, by name.

    clean      : looked at lately and found free, or hardly likely to have any.
    unsure     : each with why nobody knows; to be looked at before anything shuts them in.
    needs_bees : those of both that bees must reach.
    """

    clean: tuple[str, ...] = ()
    unsure: tuple[tuple[str, str], ...] = ()
    needs_bees: frozenset[str] = frozenset()


def other_means(
    methods: Mapping[str, Method],
    targets: Sequence[str],
    visiting: Visiting,
    hosts: Hosts,
    usable: Collection[str],
) -> tuple[Because, ...]:
    """What each such means would do against one organism, and why it is no step of the course.

    targets : what efficacy rows call the organism.
    usable  : methods that the course may use here; nothing is said of them.
    """
    told: list[Because] = []
    if MESH not in usable:
        told += _mesh(methods[MESH], targets, hosts)
    for key, words in DOES.items():
        row = None if key in usable else _row_of(key, methods[key], targets)
        if row is not None:
            says = words.format(share=_share(row)) + _not_here(key, visiting)
            told.append(Because(says, rests_on=(f"table:{row.percent.address}",)))
    return tuple(told)


def _mesh(mesh: Method, targets: Sequence[str], hosts: Hosts) -> Iterator[Because]:
    """Mesh keeps out what flies in and keeps in what is there: what nobody knows is looked at."""
    rows = [row for row in mesh.against(targets) if row.stage in ("adult", "damage")]
    if not rows:
        return
    unsure = ", ".join(f"{name} ({why})" for name, why in hosts.unsure)
    where = f" now: {', '.join(hosts.clean)}" if hosts.clean else ""
    if unsure:
        where += f"; look first, and lay it where none is found: {unsure}"
    named = (*hosts.clean, *(name for name, _ in hosts.unsure))
    bees = [name for name in named if name in hosts.needs_bees]
    flower = f"; {' and '.join(bees)} must be open in flower, for bees" if bees else ""
    yield Because(
        f"fine mesh keeps {_share(rows[0])} out, over plants that are clean"
        f"{where or '; none is clean here'}{flower}; over those that have them it keeps them in",
        rests_on=(f"table:{rows[0].percent.address}",),
    )


def _row_of(key: str, method: Method, targets: Sequence[str]) -> Efficacy | None:
    """The row that speaks of this organism, on an open plot where the method says so."""
    prey = BELONGS.get(key)
    if prey is not None:
        if not any(prey in word for word in targets):
            return None
        outside = [r for r in method.efficacy if any(w in r.target.lower() for w in OPEN_PLOT)]
        return outside[0] if outside else None
    killing = [row for row in method.against(targets) if row.percent.value > 0]
    return killing[0] if killing else None


def _share(row: Efficacy) -> str:
    low, high = (tenths(max(figure, 0) / 100) for figure in row.percent.span)
    if low == high:
        return about(row.percent.span[1] / 100)
    return f"{low.removesuffix(' in 10') if high.endswith(' in 10') else low} to {high}"


def _not_here(key: str, visiting: Visiting) -> str:
    """Why the hours of this holder's visits do not allow it."""
    if key in ("vacuum", "bag_enclosure") and visiting.arrive > DAWN_ENDS:
        return "; nobody comes at dawn"
    if key == "board_trap" and len(visiting.days) < DAILY:
        often = "once" if len(visiting.days) == 1 else f"{len(visiting.days)} times"
        return f"; you come {often} a week"
    return ""
