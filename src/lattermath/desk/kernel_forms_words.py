"""Words of the tables as kernels are asked with them: crops, organisms, hosts."""

from __future__ import annotations

from lattermath.belief.crop_traits import CropTraits, crop_traits
from lattermath.desk.kernel_forms import unknown_word
from lattermath.knowledge.crops import Crop
from lattermath.knowledge.tables import Tables, load_tables


def tables() -> Tables:
    """The standard tables."""
    return load_tables()


def crop_id(word: str) -> str:
    """The crop id a word means; InputError with the nearest ids when it means none."""
    held = tables()
    found = word if word in held.crops else held.crosswalk.crop(word)
    if found is None:
        raise unknown_word("no such crop", "crop", word, held.crops)
    return found


def seed_crop(word: str) -> str:
    """The crop id a word means, rows of the germination table (`bean_snap`) included."""
    held = tables()
    if word not in held.crops and word in held.germination:
        own = (c for c in held.crops.values() if not c.germination_by_proxy)
        named = [crop.id for crop in own if crop.germination_row == word]
        if named:
            return named[0]
    return crop_id(word)


def crop_row(word: str) -> Crop:
    """The table row of a crop."""
    return tables().crops[crop_id(word)]


def traits(word: str) -> CropTraits:
    """What growth needs of a crop."""
    return crop_traits(tables(), crop_id(word))
