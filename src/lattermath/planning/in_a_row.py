"""How often in a row one mode of action may be used on a planting, as the label limits it.

A run is every use of one mode of action on a planting with no product of another mode in between.
Only a product with a known mode of the same list ends a run: water, hands, soap and oil do not,
nor does a fungicide end a run of insecticides. The label's own limit binds also what is exempt
from rotation. A line that was not copied refuses the second in a row; one alone keeps any limit.
Source: rule `rotate_by_generation`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lattermath.planning.own_cautions import Cautions
from lattermath.planning.rotation import mode_of
from lattermath.planning.season_maximum import unknown_product
from lattermath.planning.treatment_request import TreatmentRequest, later
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.ruling import Because

CHANGE = "another mode of action in between, or hands, water, mesh"


def in_a_row(r: TreatmentRequest, c: Cautions) -> Iterator[Because]:
    """No longer run than the shortest limit of the labels in it."""
    if r.label is None:
        return
    run = run_with(r, r.label, c)
    known = {a.product: r.labels[a.product] for a in run if a.product in r.labels}
    labels = {r.label.key: r.label, **{x.key: x for x in known.values()}}
    number = len(run) + 1
    silent = [x for x in labels.values() if not x.consecutive_max.known]
    limits = [(x, x.consecutive_max.value) for x in labels.values()]
    printed = [(x, most) for x, most in limits if most is not None]
    if number > 1 and silent:
        yield _reason(
            f"treatment {number} in a row, and how many {silent[0].name} allows was not copied",
            False,
            silent[0],
        )
    for label, most in printed:
        yield _reason(
            f"treatment {number} in a row, at most {most} with {label.name}",
            number <= most,
            label,
            by_label=True,
        )
    if not printed and (number == 1 or not silent):
        yield _reason("no label limits how many in a row", True, r.label)


def run_with(r: TreatmentRequest, label: ProductLabel, c: Cautions) -> list[Applied]:
    """The other treatments of the run that this one would belong to."""
    here = sorted(
        (a for a in r.applied if a.planting == r.planting.key), key=lambda a: a.at.timestamp()
    )
    before = [a for a in here if not later(a.at, r.starts)]
    after = [a for a in here if later(a.at, r.starts)]
    return [*_until_a_change(reversed(before), label, c), *_until_a_change(after, label, c)]


def _until_a_change(rows: Iterable[Applied], label: ProductLabel, c: Cautions) -> Iterator[Applied]:
    for a in rows:
        if _may_be_of(a, label, c):
            yield a
        elif _changes(a, label, c):
            return


def _may_be_of(a: Applied, label: ProductLabel, c: Cautions) -> bool:
    """Of this product, active or mode, or of something nobody noted."""
    if a.product == label.key or a.active == label.active or unknown_product(a, c):
        return True
    mine, theirs = mode_of(label.active, label.group, c), mode_of(a.active, a.group, c)
    return mine is not None and theirs is not None and theirs.meets(mine)


def _changes(a: Applied, label: ProductLabel, c: Cautions) -> bool:
    """A product of another known mode of the same list."""
    mine, theirs = c.facts(label.active).scheme, mode_of(a.active, a.group, c)
    return a.product is not None and theirs is not None and theirs.scheme == mine


def _reason(says: str, holds: bool, label: ProductLabel, by_label: bool = False) -> Because:
    return Because(
        says,
        holds=holds,
        who="label" if by_label else "our caution",
        rests_on=(f"label:{label.key}/consecutive_max", "rule:rotate_by_generation"),
        way_out="" if holds else CHANGE,
    )
