"""What goes into the bag for the tasks of a visit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from lattermath.planning.means import MEANS
from lattermath.vocabulary.plan import Task, TaskKind

# What the hand wants for each kind of work; cups, cans and a hose stand elsewhere on the sheet.
BY_KIND: Mapping[TaskKind, tuple[str, ...]] = {
    "water": ("watering can",),
    "pick": ("knife", "basket"),
    "look": ("pencil",),
    "set out": ("the young plants", "shade", "slug collars", "trowel"),
    "sow": ("seed",),
    "pull": ("closed bags", "knife"),
}
BY_WORDS = (
    ("tie", "twine"),
    ("Weed", "hoe"),
    ("Feed", "feed"),
    ("mulch", "mulch"),
    ("take off", "shears"),
    ("take out", "shears"),
    ("fleece", "fleece"),
)
IN_CAUTIONS = ("gloves", "goggles", "closed bags")  # what a caution asks for is at hand


def bag(tasks: Iterable[Task], packs: Mapping[str, str]) -> tuple[str, ...]:
    """Everything that these tasks and their cautions ask for, each once.

    packs : name of each product by its key.
    """
    return tuple(dict.fromkeys(thing for task in tasks for thing in _of(task, packs)))


def _of(task: Task, packs: Mapping[str, str]) -> Iterator[str]:
    if task.product is not None:
        yield from (packs[task.product], "sprayer", "gloves", "goggles")
    yield from BY_KIND.get(task.kind, ())
    if task.kind in ("care", "cover"):
        yield from (thing for word, thing in BY_WORDS if word in task.says)
    means = MEANS.get(task.method or "")
    if task.method == "prune_leaves":
        yield "shears"
    if task.kind == "treat" and means is not None and means.needs is not None:
        yield means.needs
    cautions = " ".join(task.cautions).lower()
    yield from (thing for thing in IN_CAUTIONS if thing in cautions)
