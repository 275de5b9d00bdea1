"""What is decided of bare beds, said once for all of which the same is true."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from lattermath.sheets import figures
from lattermath.sheets import wording as w
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.sentence import capital


def bare_told(bare: Sequence[BareGround], name: Callable[[str], str]) -> Iterator[str]:
    """Beds left bare, a line for each kind. What must not follow is said of the beds it holds for.

    name : key of a bed to what the grower calls it.
    """
    kinds: dict[str, list[BareGround]] = {}
    for ground in bare:
        if ground.says and ground.whole:
            kinds.setdefault(ground.alike, []).append(ground)
    for alike, beds in kinds.items():
        springs: dict[str, list[str]] = {}
        for bed in beds:
            springs.setdefault(bed.spring, []).append(name(bed.bed))
        if len(beds) == 1:
            yield beds[0].says
            continue
        head = w.BARE_BEDS.format(names=capital(figures.listed(name(bed.bed) for bed in beds)))
        if len(springs) == 1:
            yield " ".join(part for part in (head, alike, *springs) if part)
            continue
        after = [
            w.OF_THESE.format(names=capital(figures.listed(names)), says=says)
            for says, names in springs.items()
            if says
        ]
        yield " ".join((head, alike, *after))
