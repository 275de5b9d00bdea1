"""Whether a plan would follow on a crop what may be behind it, and what hands can do where not."""

from __future__ import annotations

from lattermath.desk.leaf_disease_belief import FOLLOWED
from lattermath.desk.living_on import among_hosts
from lattermath.knowledge.crosswalk import ASIDE, tidy
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
DEEDS = {
    "treat": "a course of treatment, if the counts say so",
    "protect": "protect the leaves that are still clean, and take off the worst",
    "pull": "take the sick plants out and off the plot, after the clean beds",
    "clean": "take off and bin the parts affected",
    "pick": "pick off or trap by hand",
    "keep-out": "net or fence",
    "water": "water evenly, at the foot",
    "drain": "let the soil dry and loosen it; water less",
    "feed": "feed",
    "nurse": "shade and water until it recovers; do not spray",
    "leave": "nothing to spray: leave it, or mend how it grows",
}
# Common practice, where the deed of its kind cannot be done: roots that are eaten are not cut off.
OWN_DEEDS = {
    "cabbage_root_fly": "pull and bin the plants that wilt badly; earth the others up and water "
    "them, so that they root anew above; next time set out with a flat collar round each stem",
    "lettuce_root_aphid": "pull and bin the plants that wilt badly, and water the others well",
}
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


def deed_of(tables: Tables, cause: str) -> str:
    """What is done about a cause, in its own words where those of its kind cannot be done."""
    joined = tables.crosswalk.cause_joins.get(cause, ())
    knife = next((tables.habits[one].by_knife for one in joined if one in tables.habits), "")
    return knife or OWN_DEEDS.get(cause, DEEDS[tables.causes[cause].deed])


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


def named_on(tables: Tables, words: str, crop: str, kinds: tuple[str, ...] = ("pest",)) -> str:
    """The cause of the key of diagnosis that words name on a crop, and no plan follows there.

    By its name in either number; a pest also by some words of it with the last, where one alone
    fits: root aphids, corn borer. "" for none.
    """
    here = tables.crosswalk.diagnosed_as(crop)
    if here is None:
        return ""
    group, own = here
    within = {group, own} if own else {group, *tables.crosswalk.diagnosis_groups[group]}
    said = _in_words(words)
    names = {
        key: _in_words(ASIDE.sub(" ", cause.name))
        for key, cause in tables.causes.items()
        if cause.kind in kinds and within & set(cause.crops)
    }
    found = [key for key, name in names.items() if name == said]
    if not found and len(said) > 1:
        found = [
            key
            for key, name in names.items()
            if tables.causes[key].kind == "pest" and set(said) < set(name) and said[-1] == name[-1]
        ]
    return found[0] if len(found) == 1 and not followed_as(tables, found[0], crop) else ""


def _in_words(name: str) -> list[str]:
    return tidy(name).removesuffix("s").split("_")


def answered(tables: Tables, cause: str, crop: str) -> str:
    """What is done about a cause that no plan follows on a crop, as a sentence without its end."""
    said = f"{short_name(tables, cause)}, not reckoned: {deed_of(tables, cause)}"
    return without_course(tables, cause, crop) or said


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
