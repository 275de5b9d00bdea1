"""Whether a plan would follow on a crop what may be behind it, and what hands can do where not."""

from __future__ import annotations

from lattermath.desk.leaf_disease_belief import FOLLOWED
from lattermath.desk.living_on import among_hosts
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.plot import Planting

HANDS_FROM = 30.0  # judgement: what takes less of a pest is not worth an evening. [%]
# Kinds of methods that want no product; a net keeps insects off and no spores.
HANDS = {"pest": ("physical", "physical exclusion", "sanitation"), "disease": ("sanitation",)}
NOT_BY_HAND = ("remove_plant",)  # a planting that comes out is no answer to a pest
COURSE = ("treat", "protect")  # deeds that a plan answers with a course, if it follows the cause
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


def by_hand(tables: Tables, cause: str) -> tuple[str, ...]:
    """What needs no product and takes enough of a cause, by the tables, the strongest first.

    Names of methods; none where no figure names the cause.
    """
    crosswalk = tables.crosswalk
    joined = crosswalk.cause_joins.get(cause, ())
    words = {word for one in joined for word in crosswalk.targets.get(one, ())}
    words |= {*crosswalk.cause_targets.get(cause, ())}
    found: dict[str, float] = {}
    kinds = HANDS.get(tables.causes[cause].kind, ())
    for method in tables.methods.values():
        if method.kind in kinds and method.id not in NOT_BY_HAND and words:
            takes = [e.percent.value for e in method.against(tuple(words))]
            found[method.name] = max(takes, default=0.0)
    strong = [name for name, takes in found.items() if takes >= HANDS_FROM]
    return tuple(sorted(strong, key=lambda name: (-found[name], name)))


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
