"""What goes into the sprayer: never stronger than the label, nor more of it than it allows.

A product may be mixed once for several plantings of a visit, so all of a visit is added up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.audit.figures import PLANT_GROUND_M2
from lattermath.audit.ledger import Application, Site
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import OF_THE_MIX, Amount

SLACK = 1.001  # for rounding of floats, and nothing else
ROUNDED_L = 0.0005  # a share is told to a millilitre
WEAKEST = 0.89  # of the label's rate: a tenth may be lost to the marks of a measure, told or not
UNDER = "under the label's rate"


def check_mixes(applied: Sequence[Application], site: Site) -> Iterator[Fault]:
    """Every product of every visit, and what all visits take of a pack."""
    for label in site.shelf.values():
        rows = [a for a in applied if a.task is not None and a.product == label.key]
        visits = dict.fromkeys(a.visit.date for a in rows if a.visit is not None)
        for day in visits:
            here = [a for a in rows if a.visit is not None and a.visit.date == day]
            yield from _strength(here, label)
            yield from _on_ground(here, site)
        total = sum(_water(a) for a in rows)
        if label.litres_left is not None and total > label.litres_left * SLACK:
            yield Fault("mixes more than is left of it", label.key, f"{total:g} l")


def _strength(rows: Sequence[Application], label: ProductLabel) -> Iterator[Fault]:
    """What is mixed for the crops of one rate is of that rate, and they get of no other mix."""
    strange = {x.unit for a in rows for x in _amounts(a)} - {"l", label.measured_in}
    if strange:
        yield Fault("measures a product in another unit", rows[0].where, ", ".join(strange))
    by_rate: dict[float | None, list[Application]] = {}
    for a in rows:
        rate = None if a.limits is None else a.limits.rate_ml_per_l.value
        by_rate.setdefault(rate, []).append(a)
    for rate, alike in by_rate.items():
        water = sum(_water(a) for a in alike)
        product = sum(x.quantity for a in alike for x in _amounts(a) if x.unit == label.measured_in)
        found = f"{product:g} {label.measured_in} in {water:g} l"
        if rate is not None and product > rate * water * SLACK:
            yield Fault("mixes stronger than the label's rate", alike[0].where, found)
        told = any(UNDER in caution for a in alike for caution in _cautions(a))
        if rate is not None and product < rate * water * WEAKEST and not told:
            yield Fault("mixes weaker than the label's rate and does not say so",
                        alike[0].where, found)  # fmt: skip
        poured = sum(x.quantity for a in alike for x in _amounts(a) if x.what == OF_THE_MIX)
        if len(by_rate) > 1 and poured > water * SLACK + ROUNDED_L * len(alike):
            yield Fault("gives a crop of a mix made at another rate", alike[0].where, found)


def _on_ground(rows: Sequence[Application], site: Site) -> Iterator[Fault]:
    """On each ground no more than the maximum on all of it; and no more mixed than all may take.

    What is poured under a label without a maximum takes nothing from what the others may get.
    """
    most: dict[str, float] = {}
    poured: dict[str, float] = {}
    mixed, endless = 0.0, False
    for a in rows:
        mixed += _water(a)
        line = None if a.limits is None else a.limits.max_l_per_m2.value
        if line is None:
            endless = True
            continue
        area = _area_m2(a, site)
        if area is None:
            yield Fault("measures a product for ground of unknown size", a.where, a.planting)
            continue
        ground = a.ground or a.planting
        most[ground] = max(most.get(ground, 0.0), line * area)
        poured[ground] = poured.get(ground, 0.0) + _share(a)
    over = [key for key, litres in poured.items() if litres > most[key] * SLACK]
    if over or (most and not endless and mixed > sum(most.values()) * SLACK):
        where = ", ".join(over) or ", ".join(most)
        yield Fault("uses more than the label's maximum on that bed", rows[0].where, where)


def _area_m2(a: Application, site: Site) -> float | None:
    """The bed's area; of a planting without a bed that of its plants. None: nobody knows."""
    planting = site.plantings.get(a.planting)
    if planting is None:
        return None
    bed = site.plot.bed_of(planting)
    if bed is not None:
        return bed.area_m2
    one = PLANT_GROUND_M2.get(planting.crop)
    return None if one is None else one * planting.plants


def _share(a: Application) -> float:
    """Litres that this planting gets: its own share, or all that was mixed for it alone."""
    shares = [x.quantity for x in _amounts(a) if x.what == OF_THE_MIX]
    return shares[0] if shares else _water(a)


def _water(a: Application) -> float:
    return sum(x.quantity for x in _amounts(a) if x.unit == "l" and x.what != OF_THE_MIX)


def _amounts(a: Application) -> Sequence[Amount]:
    return () if a.task is None else a.task.amounts


def _cautions(a: Application) -> Sequence[str]:
    return () if a.task is None else a.task.cautions
