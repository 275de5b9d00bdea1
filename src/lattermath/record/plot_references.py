"""Does every word in a plot file point at something? Asked of the tables as they are written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from lattermath.record.plot_words import Reading, nearest

Complain = Callable[[str, str, Any, str], None]
"""Takes what is wrong, where, the value and the remedy."""
Keyed = Iterable[tuple[str, Mapping[str, Any]]]


def bed_words(beds: Keyed) -> dict[str, str]:
    """Every word that names a bed, its key or its name in small letters, to its key."""
    words: dict[str, str] = {}
    for key, table in beds:
        words[key] = key
        if isinstance(table.get("name"), str):
            words[table["name"].casefold()] = key
    return words


def check_beds(plantings: Keyed, words: Mapping[str, str], complain: Complain) -> None:
    """Complain of each planting whose bed is not in the file."""
    for key, table in plantings:
        bed = table.get("bed")
        if isinstance(bed, str) and bed.casefold() not in words:
            remedy = nearest(bed.casefold(), words) or "Write it in [[bed]]."
            complain("there is no such bed", f"planting.{key}.bed", bed, remedy)


def check_label_crops(shelf: Keyed, reading: Reading, complain: Complain) -> None:
    """Complain of each crop of a label that is unknown or listed twice."""
    for key, table in shelf:
        crops = table.get("crops")
        listed: dict[str, str] = {}
        for word in crops if isinstance(crops, dict) else ():
            where = f"shelf.{key}.crops.{word}"
            crop = reading.crop_of(word)
            if crop is None:
                complain("this crop is not in the tables", where, word, near_crop(word, reading))
            elif crop in listed:
                remedy = f"It is listed as {listed[crop]} already; write each crop once."
                complain("this crop stands twice", where, word, remedy)
            else:
                listed[crop] = word
        if crops and "crops_line" in table:
            remedy = "Leave crops_line out, or the crops."
            where = f"shelf.{key}.crops_line"
            complain("crops are listed, and said not to be", where, table["crops_line"], remedy)


def check_foods(household: object, reading: Reading, complain: Complain) -> None:
    """Complain of each food that is neither a crop nor a group with its crops."""
    wants = household.get("want") if isinstance(household, dict) else None
    for n, want in enumerate(wants if isinstance(wants, list) else (), 1):
        food = want.get("food") if isinstance(want, dict) else None
        if isinstance(food, str) and not want.get("crops") and reading.crop_of(food) is None:
            remedy = f"{near_crop(food, reading)} A group names its crops in crops = [...]."
            where = f"household.want.{n}.food"
            complain("this crop is not in the tables", where, food, remedy)


def near_crop(word: str, reading: Reading) -> str:
    """A remedy that names the crops nearest to a word."""
    near = reading.near_crops(word)
    return f"Did you mean {' or '.join(near)}?" if near else "Write the crop's plain name."
