"""Sizes and numbers of plants in the plot file that can hardly be so: more likely a point slipped.

Asked of the tables as they are written, so that a fault shows the value as the grower typed it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from lattermath.record.plot_references import Complain, Keyed, bed_words
from lattermath.record.plot_units import FOOT_M

# judgement: a whole community plot is some 10 by 30 m; no bed of it is longer than two such, and
# none is narrower than a hand
LONGEST_BED_M, NARROWEST_BED_M = 60.0, 0.1
# judgement: seed sown thick and not yet thinned stands some times closer than the tables say
CLOSEST = 8.0
SIDES = ("length", "width")
_SHIFTS = (100.0, 10.0, 0.01, 0.1)  # centimetres for metres, and a point that slipped


def check_sizes(
    beds: Keyed,
    plantings: Keyed,
    ground_of: Callable[[str], float | None],
    complain: Complain,
) -> None:
    """Complain of the first side of each bed that can hardly be so, and of plants without room.

    ground_of : ground that one plant of a crop takes, by the crop's word; None: not known. [m2]
    """
    sound = []
    for key, table in beds:
        if table.get("checked") is True or not _side_in_doubt(key, table, complain):
            sound.append((key, table))
    words, known = bed_words(beds), dict(sound)
    for key, table in plantings:
        bed = table.get("bed")
        held = known.get(words.get(bed.casefold(), "")) if isinstance(bed, str) else None
        if held is not None and table.get("checked") is not True:
            _crowded(key, table, held, ground_of, complain)


def _side_in_doubt(key: str, table: Mapping[str, Any], complain: Complain) -> bool:
    for side in SIDES:
        name, value, metres = _written(table, side)
        if metres is None or NARROWEST_BED_M <= metres <= LONGEST_BED_M or metres <= 0:
            continue
        unit = name.rpartition("_")[2]
        what = f"a bed is hardly ever so {'long' if metres > LONGEST_BED_M else 'small'}"
        complain(what, f"bed.{key}.{name}", f"{value:g} {unit}", _meant(value, metres, unit))
        return True
    return False


def _meant(value: float, metres: float, unit: str) -> str:
    """What was probably meant, and how to say that it is so."""
    least, most = 5 * NARROWEST_BED_M, LONGEST_BED_M / 4
    likely = next((value / by for by in _SHIFTS if least <= metres / by <= most), None)
    asked = f"Did you mean {likely:.2f} {unit}? " if likely is not None else ""
    return f"{asked}Mend it; or, if it is so, write checked = true in this [[bed]]."


def _crowded(
    key: str,
    table: Mapping[str, Any],
    bed: Mapping[str, Any],
    ground_of: Callable[[str], float | None],
    complain: Complain,
) -> None:
    length, width = _written(bed, "length")[2], _written(bed, "width")[2]
    plants = table.get("plants")
    ground = ground_of(table["crop"]) if isinstance(table.get("crop"), str) else None
    if length is None or width is None or ground is None or not isinstance(plants, int):
        return
    holds = length * width / ground
    if isinstance(plants, bool) or plants <= max(CLOSEST * holds, CLOSEST):
        return
    what = f"about {max(round(holds), 1)} fit into this bed at the usual spacing"
    remedy = (
        "Look at the number and at the bed's length and width; or, if it is so, write "
        "checked = true in this [[planting]]."
    )
    complain(what, f"planting.{key}.plants", plants, remedy)


def _written(table: Mapping[str, Any], side: str) -> tuple[str, float, float | None]:
    """The key as written, its value, and that in metres; None where it is no number."""
    name = f"{side}_ft" if f"{side}_ft" in table else f"{side}_m"
    value = table.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return name, 0.0, None
    return name, float(value), float(value) * (FOOT_M if name.endswith("_ft") else 1.0)
