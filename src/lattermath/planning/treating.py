"""Turns one step of a course into the last job of the evening, or a refusal with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from lattermath.planning.label_limits import conditions
from lattermath.planning.means import AT_DUSK, MEANS, MESH, ON_ARRIVAL
from lattermath.planning.task_ids import task_id
from lattermath.vocabulary.events import Surface
from lattermath.vocabulary.plan import Amount, NotToday, Part, Task
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because, Ruling, cheapest_way
from lattermath.vocabulary.sentence import inside

# The usual cautions: they stand in the task itself, because they belong where the work is.
SPRAY_CAUTIONS = (
    "The label in your hand is the law and outranks this sheet.",
    "Gloves, goggles; nobody near, child or pet. Never from a sprayer that held weedkiller.",
    "Surplus and rinsings go on the same crop within the label's maximum, never to a drain or "
    "ditch. Wash sprayer, shared tools, hands and clothes.",
)


# Row water_jet of the methods, column limits: leaves dry before dark, morning is safest.
JET_CAUTIONS = (
    "Only early enough that the leaves dry before dark, a morning is better: wet leaves at "
    "nightfall bring blight and mildew. Not on open flowers.",
)


# The `limits` of each row, as far as they are for hands and no ruling.
VERBS = frozenset(method for method, one in MEANS.items() if one.says) | {MESH}
MEANS_CAUTIONS: Mapping[str, tuple[str, ...]] = {
    "water_jet": JET_CAUTIONS,
    "prune_leaves": (
        "Into a closed bag leaf by leaf, off the plot the same evening, never on the heap. Wash "
        "blade and hands before the next planting.",
    ),
    "vacuum": (
        "Low suction, only while they sit. Freeze the bag for a day or drown the catch at once.",
    ),
    "bag_enclosure": (
        "Nothing sprayed or dusted inside, ever. Off before you leave: a bag in the sun cooks "
        "the shoot.",
    ),
    MESH: (
        "Look the plants through first: what is inside stays inside. Bury the edges. Lift it to "
        "pick, and take it off when crops that need bees flower.",
    ),
    "board_trap": ("Lay boards by the stems the evening before, and lift them each morning.",),
    "phytoseiulus": ("In the evening, on damp leaves where the mites are; no dust, no spray.",),
    "lacewing_ladybeetle": ("In the evening, on the leaves where aphids sit; mind the ants.",),
    "hand_pick": (),
}


@dataclass(frozen=True, slots=True)
class Spraying:
    """One treatment of one planting proposed for one visit, with its ruling.

    Each planting gets a task of its own: label limits bind per crop, and each is ticked by itself.
    An empty ruling refuses: nobody was asked yet.
    """

    method: str
    product: str | None
    target: str  # organism id
    target_name: str
    planting: Planting
    minutes: float
    amounts: tuple[Amount, ...]
    surfaces: tuple[Surface, ...]
    product_name: str
    sprayed: bool  # False: water jet, hand work, pruning
    only_if: str = ""
    look_at: Planting | None = None  # whose look decides `only_if`; None: of its own planting
    sure: bool = True  # it was seen there, or what was hangs on it; False: only to be expected
    wasted: str = ""  # what missing it wastes: "the first soap is wasted"
    because: tuple[Because, ...] = ()
    generation_days: float | None = None  # egg to adult at the warmth expected
    ruling: Ruling = field(default_factory=lambda: Ruling(()))
    targets_too: tuple[str, ...] = ()  # ids of what else it is done against
    finds_too: tuple[str, ...] = ()  # what a look has to find of each of these
    looks_too: tuple[Planting | None, ...] = ()  # and on which planting, as `look_at`
    worth: float = 0.0  # portions that it is reckoned to save
    beside: bool = False  # counted on, and not worth it for this alone: another's look decides it
    filling: int = 0  # those of one number are done out of one filling; 0: by itself

    @property
    def at_dusk(self) -> bool:
        """Sprays, and what is done while the adults sit still, are the last jobs of an evening."""
        return self.sprayed or self.method in AT_DUSK

    @property
    def on_arrival(self) -> bool:
        """What is done first of all, so that leaves dry before dark."""
        return self.method in ON_ARRIVAL


def joined(sprayings: Iterable[Spraying]) -> tuple[Spraying, ...]:
    """One treatment where two organisms ask for the same on the same planting."""
    found: dict[tuple[object, ...], Spraying] = {}
    for one in sprayings:
        key = (one.planting.key, one.method, one.product)
        first = found.get(key)
        found[key] = one if first is None else _both(first, one)
    return tuple(found.values())


def _both(one: Spraying, other: Spraying) -> Spraying:
    """The treatment of `one`, done against both; it waits for a look only where both do.

    Where one of them only counts on what the other is for, it is the other that says if it waits.
    """
    if one.beside and not other.beside:
        one, other = other, one
    sure = not (one.only_if and (other.only_if or (other.beside and not one.beside)))
    longest = [g for g in (one.generation_days, other.generation_days) if g is not None]
    return replace(
        one,
        target_name=f"{one.target_name} and {other.target_name}",
        targets_too=(*one.targets_too, other.target, *other.targets_too),
        finds_too=(*one.finds_too, other.only_if, *other.finds_too),
        looks_too=(*one.looks_too, other.look_at, *other.looks_too),
        surfaces=tuple(dict.fromkeys((*one.surfaces, *other.surfaces))),
        minutes=max(one.minutes, other.minutes),
        only_if="" if sure else one.only_if,
        look_at=None if sure else one.look_at,
        sure=one.sure or (other.sure and (one.beside or not other.beside)),
        because=(*one.because, *other.because),
        generation_days=max(longest, default=None),
        worth=one.worth + other.worth,
    )


def treating_task(visit: date, spraying: Spraying) -> Task | None:
    """Give the task where the ruling allows it, and None where it forbids."""
    if not spraying.ruling.allowed:
        return None
    name = spraying.planting.name
    lower = inside(name)
    start = f"Only if {spraying.only_if}: " if spraying.only_if else ""
    sides = " and ".join(_surface(surface) for surface in spraying.surfaces)
    where = f", {sides} of {lower}" if spraying.product else f": {lower}"
    what = spraying.product_name
    verb = inside(what) if start else what
    part: Part = "last job" if spraying.at_dusk else "sick plants last"
    if spraying.on_arrival:
        part = "on arrival"
    label = " as your label says" if spraying.product else ""
    return Task(
        id=task_id(visit, "treat", spraying.planting.key, spraying.method),
        kind="treat",
        part=part,
        planting=spraying.planting.key,
        product=spraying.product,
        method=spraying.method,
        says=f"{start}{verb}{where}{label}.",
        minutes=spraying.minutes,
        amounts=spraying.amounts,
        surfaces=spraying.surfaces,
        only_if=spraying.only_if,
        look_at=None if spraying.look_at is None else spraying.look_at.key,
        cautions=(
            *conditions(spraying.ruling),
            *(SPRAY_CAUTIONS if spraying.sprayed else ()),
            *MEANS_CAUTIONS.get(spraying.method, ()),
        ),
        because=(*spraying.because, *spraying.ruling.reasons),
        if_skipped=spraying.wasted,
        must=spraying.sure,
        worth=spraying.worth,
    )


def refused(spraying: Spraying) -> NotToday:
    """Say what is not done today, who forbids it, and when to look again."""
    way = cheapest_way(spraying.ruling.bars)
    return NotToday(
        what=f"{spraying.planting.name}, {spraying.target_name}: {_not_done(spraying)}",
        planting=spraying.planting.key,
        because=tuple(spraying.ruling.bars)
        + ((Because(f"instead: {way}", who="grower"),) if way else ()),
        look_again=spraying.ruling.ask_again,
    )


def _not_done(spraying: Spraying) -> str:
    name = spraying.product_name
    if spraying.product:
        return f"no {name}"
    return f"do not {inside(name)}" if spraying.method in VERBS else f"no {name}"


def _surface(surface: str) -> str:
    return {"underside": "undersides", "top": "tops", "stem": "stems"}.get(surface, surface)
