"""Whether a grower's own word is a sign of the plant itself (hunger, drift) or of another thing."""

from __future__ import annotations

from lattermath.knowledge.tables import Tables
from lattermath.planning.disorder_signs import names_paleness, plainly_pale, twisted
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

HUNGER, ITS_SIGN = "nitrogen_hunger", "uniform_pale_yellow_old"


def of_the_plant(words: str, planting: Planting | None, tables: Tables) -> bool:
    """Whether a sheet answers a grower's own word as hunger or as drift."""
    return twisted(words) or of_hunger(words, planting, tables)


def of_hunger(words: str, planting: Planting | None, tables: Tables) -> bool:
    """Whether a grower's own word is a sign of hunger.

    As a look takes it on that crop; where a look cannot read it, only where it plainly says that
    leaves are pale. What a look asks back may be several things, and is not called hunger.
    """
    if not names_paleness(words):
        return False
    if planting is None or tables.crosswalk.diagnosed_as(planting.crop) is None:
        return plainly_pale(words)
    from lattermath.desk.sayings_read import asks_back, signs_meant  # only here, to log quickly

    try:
        signs, unread = signs_meant(tables, planting, words, "--seen")
    except InputError as refused:
        return not asks_back(refused) and plainly_pale(words)
    makes = tables.causes[HUNGER].chances
    return not unread and ITS_SIGN in signs and all(sign in makes for sign in signs)


def look_at(words: str, planting: Planting | None, tables: Tables) -> str:
    """That a look weighs a grower's own word on its crop; "" where none can read it."""
    if planting is None or tables.crosswalk.diagnosed_as(planting.crop) is None:
        return ""
    from lattermath.desk.sayings_read import reads  # only here, to log quickly

    if reads(tables, planting, words) is False:
        return ""
    return f'`lattermath look {planting.key} --seen "{words}"` weighs it'
