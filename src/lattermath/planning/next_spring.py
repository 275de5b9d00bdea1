"""Rotation into next spring: which family each bed should not see again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lattermath.vocabulary.plot import Bed, Planting
from lattermath.vocabulary.sentence import listed

FAMILY_SAYS = {  # as a grower says it
    "Solanaceae": "tomatoes, potatoes, peppers or aubergines",
    "Cucurbitaceae": "cucumbers, squash or melons",
    "Fabaceae": "beans or peas",
    "Brassicaceae": "cabbages or other brassicas",
    "Asteraceae": "lettuce or endive",
    "Amaranthaceae": "beet, chard or spinach",
    "Apiaceae": "carrots or celery",
    "Amaryllidaceae": "onions, leeks or garlic",
    "Poaceae": "corn",
}
# Common practice: after these what lives in the soil builds up; the others may follow themselves.
ROTATED = (*tuple(FAMILY_SAYS)[:4], "Apiaceae", "Amaryllidaceae")


@dataclass(frozen=True, slots=True)
class BedRest:
    """One bed, and the families that it bore this year and should not bear next spring."""

    bed: str
    families: tuple[str, ...]

    @property
    def says(self) -> str:
        """In a line: `bed A: no cucumbers, squash or melons`."""
        return rests_said([self])


def rests_said(rests: Iterable[BedRest]) -> str:
    """Say several in a line, beds that bore the same together: `A and B: no cucumbers; C: ...`."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for rest in rests:
        alike.setdefault(rest.families, []).append(rest.bed)
    parts = []
    for families, beds in alike.items():
        kinds = "; nor ".join(FAMILY_SAYS[family] for family in families)
        names = listed(beds)
        parts.append(f"{names}: no {kinds}")
    return "; ".join(parts)


def next_spring(
    beds: Iterable[Bed], plantings: Iterable[Planting], family_of: Mapping[str, str]
) -> tuple[BedRest, ...]:
    """What each bed should not bear next spring, in the order of the beds.

    plantings : of this year, those already pulled too.
    family_of : botanical family by crop id.
    """
    grown: dict[str, set[str]] = {}
    for planting in plantings:
        if planting.bed is not None and not planting.neighbours_plot and planting.plants > 0:
            grown.setdefault(planting.bed, set()).add(family_of.get(planting.crop, ""))
    rests = (
        BedRest(bed.name, tuple(f for f in ROTATED if f in grown.get(bed.key, ()))) for bed in beds
    )
    return tuple(rest for rest in rests if rest.families)
