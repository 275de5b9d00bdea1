"""Whether a plan would follow on a crop what may be behind it, and what hands can do where not."""

from __future__ import annotations

from lattermath.desk.leaf_disease_belief import FOLLOWED
from lattermath.desk.living_on import among_hosts
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.sentence import verb

HANDS_FROM = 30.0  # judgement: what takes less of a pest is not worth an evening. [%]
# Kinds of methods that want no product; a net keeps insects off and no spores.
HANDS = {"pest": ("physical", "physical exclusion", "sanitation"), "disease": ("sanitation",)}
NOT_BY_HAND = ("remove_plant",)  # a planting that comes out is no answer to a pest
COURSE = ("treat", "protect")  # deeds that a plan answers with a course, if it follows the cause
COVER = "physical exclusion"  # a cover keeps in what sits under it
CLEAN_ONLY = " over clean plants only"
PICK_OFF = "pick off what you find; the tables have no figure for it"
NO_COURSE = "not reckoned on this crop, so no course"


def followed_as(tables: Tables, cause: str, crop: str) -> tuple[str, ...]:
    """The organisms and leaf diseases which a cause may be and a plan follows on a crop."""
    joined = tables.crosswalk.cause_joins.get(cause, ())
    return tuple(one for one in joined if _lives_on(tables, one, crop))


def no_course(tables: Tables, cause: str, crop: str) -> bool:
    """Whether a cause asks for a course, or is counted, and no plan would follow it on this crop.

    A disease that is joined to its row and asks for anything else is answered without a course.
    """
    if followed_as(tables, cause, crop):
        return False
    joined = tables.crosswalk.cause_joins.get(cause, ())
    return tables.causes[cause].deed in COURSE or any(one in tables.organisms for one in joined)


def hands_on(tables: Tables, cause: str) -> str:
    """What hands can do against a cause that no plan follows on this crop."""
    if tables.causes[cause].kind == "disease":
        return "keep the leaves dry, take off the worst"
    return f"By hand: {'; '.join(by_hand(tables, cause)) or PICK_OFF}"


def short_name(tables: Tables, cause: str) -> str:
    """A cause by its name, without what stands in brackets."""
    return tables.causes[cause].name.partition(" (")[0]


def without_course(tables: Tables, cause: str, crop: str) -> str:
    """That no plan has a course against a cause on this crop, and what hands can do; "" else."""
    if not no_course(tables, cause, crop):
        return ""
    short, does = short_name(tables, cause), hands_on(tables, cause)
    stop = ":" if tables.causes[cause].kind == "disease" else "."
    return f"{short} {verb(short)} {NO_COURSE}{stop} {does}"


def by_hand(tables: Tables, cause: str) -> tuple[str, ...]:
    """What needs no product and takes enough of a cause, by the tables, the strongest first.

    Names of methods; none where no figure names the cause. A cover comes last and is for clean
    plants: it takes nothing off, and over those that have them it keeps them in.
    """
    crosswalk = tables.crosswalk
    joined = crosswalk.cause_joins.get(cause, ())
    words = {word for one in joined for word in crosswalk.targets.get(one, ())}
    words |= {*crosswalk.cause_targets.get(cause, ())}
    found: dict[tuple[bool, str], float] = {}
    kinds = HANDS.get(tables.causes[cause].kind, ())
    for method in tables.methods.values():
        if method.kind in kinds and method.id not in NOT_BY_HAND and words:
            takes = [e.percent.value for e in method.against(tuple(words))]
            found[method.kind == COVER, method.name] = max(takes, default=0.0)
    strong = [one for one, takes in found.items() if takes >= HANDS_FROM]
    strong.sort(key=lambda one: (one[0], -found[one], one[1]))
    return tuple(name + (CLEAN_ONLY if cover else "") for cover, name in strong)


def without_key(tables: Tables, planting: Planting) -> Fault:
    """What can be done for a crop that has no key of diagnosis: what is reckoned, and a clinic."""
    crop, key = planting.crop, planting.key
    sick = [one for one in FOLLOWED if _lives_on(tables, one, crop)]
    insects = [one for one in tables.organisms if _lives_on(tables, one, crop)]
    known = [f"severity {key} {one} 10" for one in sick]
    known += [f"count {key} {one} 12,0,3" for one in insects]
    says = (
        "If it is one of what is reckoned on it: lattermath log "
        f"{'; or lattermath log '.join(known)}. "
        if known
        else ""
    )
    return Fault(
        "there is no key of diagnosis for this crop yet",
        "crop",
        tables.crosswalk.named(crop, 1),
        f'{says}Write what else you see down (lattermath log seen {key} "yellow leaves") and take '
        "a sample to a plant clinic.",
    )


def _lives_on(tables: Tables, one: str, crop: str) -> bool:
    """Whether an organism, or a leaf disease with figures, has a suitability above nothing here."""
    if one in tables.organisms:
        hosts = tables.organisms[one].hosts
    elif one in FOLLOWED:
        hosts = tables.diseases[one].hosts
    else:
        return False
    return among_hosts(hosts, crop, tables)
