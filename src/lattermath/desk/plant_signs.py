"""Whether a grower's own word is a sign of the plant itself (hunger, drift) or of another thing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lattermath.knowledge.crosswalk import ASIDE, tidy
from lattermath.knowledge.tables import Tables
from lattermath.planning.disorder_signs import names_paleness, plainly_pale, twisted
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.plot import Planting

if TYPE_CHECKING:
    from lattermath.desk.diagnose import Diagnosis

UNTIL_THEN = {  # judgement: what can be done before it has a name, by what is probably behind it
    "disease": "Keep the leaves dry, take off the worst",
    "pest": "Take off the worst",  # dry leaves suit mites, and no insect minds wet ones
    "disorder": "Take nothing off and spray nothing",
}
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


def names_a_disease(words: str, tables: Tables) -> bool:
    """Whether a grower's own word is the name of a disease, which a look would only give again.

    With or without what the name says in brackets: powdery mildew, powdery mildew (pea).
    """
    plain = tidy(ASIDE.sub(" ", words))
    return any(
        cause.kind == "disease" and tidy(ASIDE.sub(" ", cause.name)) == plain
        for cause in tables.causes.values()
    )


def until_then(words: str, planting: Planting, tables: Tables, region: str) -> str:
    """What can be done about a grower's own word until a look has named what is behind it.

    By the kind of its likeliest cause on that crop and in that region; as of a disease, which wet
    leaves help on, where a look cannot read it.
    """
    cause = likeliest(words, planting, tables, region)
    return UNTIL_THEN[tables.causes[cause].kind if cause else "disease"]


def no_course_on(words: str, planting: Planting, tables: Tables, region: str) -> str:
    """That no plan has a course against what was seen on that crop, and what hands can do; "" else.

    Of an insect of the tables, a kind of them or a name that the key of diagnosis has, at once; of
    a grower's own word where a look would only say so, since no further look would change what to
    do.
    """
    from lattermath.desk.look_reckoned import (  # only here, to log quickly
        answered,
        named_on,
        without_course,
    )

    if cause := named_on(tables, words, planting.crop, ("pest", "disease")):
        return answered(tables, cause, planting.crop)
    named = {words, *tables.crosswalk.kinds.get(words, ())} & set(tables.organisms)
    if named:
        joins = tables.crosswalk.cause_joins.items()
        cause = next((one for one, rows in joins if named & set(rows)), "")
    else:
        found = _diagnosed(words, planting, tables, region)
        if found is None or found.verdict.deed is None or found.verdict.next_look is not None:
            return ""
        cause = next(iter(found.told.probabilities), "")
    return without_course(tables, cause, planting.crop) if cause else ""


def likeliest(words: str, planting: Planting, tables: Tables, region: str) -> str:
    """The likeliest cause of a grower's own word on its crop; "" where a look cannot read it."""
    found = _diagnosed(words, planting, tables, region)
    return "" if found is None else next(iter(found.told.probabilities), "")


def _diagnosed(words: str, planting: Planting, tables: Tables, region: str) -> Diagnosis | None:
    """A look at what a grower's own word says, without the record; None: it cannot be read."""
    if tables.crosswalk.diagnosed_as(planting.crop) is None:
        return None
    from lattermath.desk.diagnose import diagnose  # only for a strange word, to log quickly
    from lattermath.desk.sayings_read import signs_meant

    try:
        signs, _ = signs_meant(tables, planting, words, "--seen")
        return diagnose(tables, planting.crop, region, signs)
    except InputError:
        return None
