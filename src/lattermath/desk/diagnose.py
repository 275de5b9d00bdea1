"""Joins the key of diagnosis to a crop and to what was seen: causes, next look, what to do."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from lattermath.belief.diagnosis import Sign, Told, ask, suspects
from lattermath.knowledge.diagnosis import Cause, Check
from lattermath.knowledge.tables import Tables
from lattermath.planning.next_look import Deed, Look, Verdict, Weighed, verdict
from lattermath.vocabulary.errors import Fault, InputError

LOOK_ALIKE = 0.1  # judgement: from this chance on a look-alike is named before any spraying
AGAINST_ONE = ("treat", "protect", "pull", "clean", "pick")  # deeds that aim at one cause
COURSE = ("treat", "protect")  # deeds that a plan answers with a course, if it knows the cause
CLINIC_ONLY = (  # causes that a look at the plot cannot tell from their kin; memory
    "mosaic_virus", "spotted_wilt", "vascular_wilt", "phytophthora_blight", "aster_yellows",
    "root_knot_nematode", "cucurbit_vascular_wilt", "potato_virus",
)  # fmt: skip
ASK_CLINIC = 0.4  # judgement: from this chance on a sample is worth its postage
UNLISTED = 0.1  # judgement: chance that a trouble which is not listed has made a sign that is seen
MAKES = 0.2  # judgement: a sign that no cause makes as often as this is explained by none
OFF_PLANT = ("ask", "ask: sprayed?", "weather record", "finger test", "walk the plot")
UNSOLVED_AFTER = 3  # judgement: answers after which an open question is for a clinic
# Deeds that are no treatment; of a feed a clinic can say more, so it is none of these. Judgement.
NO_TREATMENT = ("leave", "water", "drain", "nurse")
HOW = {  # how a symptom is looked for, as an action
    "naked eye": "look for",
    "turn leaf over": "turn over the third leaf from the top and look for",
    "hand lens": "take a hand lens and look for",
    "ask": "ask yourself",
    "ask: sprayed?": "ask yourself",
    "weather record": "look up in the weather record",
    "pull up": "pull up the worst plant and look for",
    "dig": "dig by the worst plant and look for",
    "touch": "touch the leaves",
    "part the leaves": "part the leaves and look for",
    "walk the plot": "walk the plot and look for",
}
WHETHER = (  # signs whose words are a whole sentence, which is no thing to look for
    "lower_leaves_first", "new_growth_first", "sudden_wilt_one_vine", "flowers_drop_no_fruit",
    "seedling_pinched_collapse", "centres_fall_out",
)  # fmt: skip
AT_HOME = 0.5  # judgement: a check whose best cause here is likelier by less is for another crop
SHOWN = 0.5  # judgement: a cause of which a crop can show no sign this often is not on that crop
NEAR = 0.6  # judgement: how like a known word an unknown one must be to be offered


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What may be behind it, never certain; `look_alikes` are no pests and come before spraying."""

    told: Told
    verdict: Verdict
    look_alikes: tuple[str, ...]
    clinic: bool  # looking at the plot will not settle it
    unexplained: tuple[str, ...] = ()  # symptoms seen that no cause of this crop and region makes
    makers: frozenset[str] = frozenset()  # causes that make some of what was seen on the plant


def said_look(tables: Tables, sign: str) -> str:
    """A look as an action: what to do, and what to look for."""
    if (check := tables.checks.get(sign)) is not None:
        return check.action
    symptom = tables.symptoms[sign]
    if symptom.look == "naked eye" and sign in WHETHER:
        return f"see whether {symptom.text}"
    how = HOW.get(symptom.look, symptom.look)
    return f"{how}{' ' if how.endswith('for') else ': '}{symptom.text}"


def diagnose(
    tables: Tables,
    crop: str,
    region: str,
    present: Iterable[str],
    absent: Iterable[str] = (),
    factors: Mapping[str, float] | None = None,
    settled: Collection[str] = (),
) -> Diagnosis:
    """Weigh the causes for a crop id, plain crop word or diagnosis group.

    present, absent : symptom or check ids, or plain words for them; what is in neither was not
    looked for. factors : by how much the place and the season move a cause's prior; 0 strikes it.
    settled : signs that need no look, since something else that is known answers them.
    InputError with the nearest words where one is not known.
    """
    group, crop_id = group_of(tables, crop)
    held = {c.id: c for c in tables.causes.values() if _fits(tables, c, group, crop_id, region)}
    weights = {
        key: cause.prior.value * (factors or {}).get(key, 1.0) for key, cause in held.items()
    }
    held = {key: cause for key, cause in held.items() if weights[key] > 0}
    signs = _signs(tables, held, group, crop_id)
    seen = [sign_id(tables, word, "present") for word in present]
    denied = [sign_id(tables, word, "absent") for word in absent]
    _refuse_both(seen, denied)
    once = dict.fromkeys(one for one in seen if not _seen_by_sign(tables, one, seen))
    answers = [(signs[s], True) for s in once]
    answers += [(signs[s], False) for s in dict.fromkeys(denied)]
    other = tables.constants["diagnosis"].figure("other_prior").value
    told = ask(suspects({key: weights[key] for key in held}, other), answers)
    disorders = [key for key, cause in held.items() if cause.kind == "disorder"]
    deeds = {key: deed_of(tables, cause) for key, cause in held.items()}
    looked_at = _that_show(tables.crosswalk.check_signs, signs)
    answered = {*settled, *answered_too(looked_at, seen, denied)}
    open_ = {key: sign for key, sign in signs.items() if key not in answered}
    of_plant = [signs[key] for key in dict.fromkeys(seen) if _on_plant(tables, key)]
    unexplained = [one for one in of_plant if max(one.chances.values(), default=0.0) < MAKES]
    if of_plant and len(unexplained) == len(of_plant):  # no other look tells of it
        groups = {one.group for one in unexplained}
        open_ = {key: sign for key, sign in open_.items() if sign.group in groups}
    makers = _makers(one for one in of_plant if one not in unexplained)
    found = verdict(told, deeds, disorders, _looks(tables, open_), _named(tables), makers)
    found = replace(found, looks=_once_each(found.looks, tables.crosswalk.check_signs))
    clinic = bool(unexplained) or _clinic(told, found, deeds)
    none_makes = tuple(one.id for one in unexplained)
    explained = set(none_makes) < set(seen)
    alikes = _look_alikes(told, disorders, explained=explained)
    return Diagnosis(told, found, alikes, clinic, none_makes, makers)


def _seen_by_sign(tables: Tables, check: str, seen: Collection[str]) -> bool:
    """Whether a check only says again what was seen as one of its symptoms."""
    return bool(set(tables.crosswalk.check_signs.get(check, ())) & set(seen))


def _makers(signs: Iterable[Sign]) -> frozenset[str]:
    """The causes that make one of these signs oftener than it is reported without them."""
    return frozenset(cause for sign in signs for cause, p in sign.chances.items() if p > sign.leak)


def _on_plant(tables: Tables, sign: str) -> bool:
    """Whether a sign is a symptom of the plant, and not of weather, soil or what was done."""
    return sign in tables.symptoms and tables.symptoms[sign].look not in OFF_PLANT


def _once_each(
    looks: Iterable[Weighed], check_signs: Mapping[str, Collection[str]]
) -> tuple[Weighed, ...]:
    """Looks in their order, without those that are the same act as one before.

    A check that looks at one symptom, and the look for that symptom, are one act.
    """
    kept: dict[str, Weighed] = {}
    for weighed in looks:
        signs = tuple(check_signs.get(weighed.look.sign.id, ()))
        act = signs[0] if len(signs) == 1 else weighed.look.sign.id
        kept.setdefault(act, weighed)
    return tuple(kept.values())


@lru_cache(maxsize=128)
def signs_of(tables: Tables, crop: str) -> frozenset[str]:
    """The symptoms and checks that something on a crop could show, wherever the plot lies.

    InputError where the crop has no key.
    """
    group, crop_id = group_of(tables, crop)
    held = {c.id: c for c in tables.causes.values() if _fits(tables, c, group, crop_id, "general")}
    signs = _signs(tables, held, group, crop_id)
    return frozenset(key for key, sign in signs.items() if _at_home(tables, sign))


def _that_show(
    check_signs: Mapping[str, Collection[str]], signs: Mapping[str, Sign]
) -> dict[str, tuple[str, ...]]:
    """The symptoms that each check looks at, of those that something on this crop shows."""
    shown = {
        check: tuple(one for one in looked_at if signs[one].chances)
        for check, looked_at in check_signs.items()
    }
    return {check: ones for check, ones in shown.items() if ones}


def answered_too(
    check_signs: Mapping[str, Collection[str]], seen: Collection[str], denied: Collection[str]
) -> frozenset[str]:
    """The checks and symptoms that need no look any more, since another look answered them.

    check_signs : the symptoms that each check looks at. A check is answered once one of its
    symptoms was seen, or all were denied; its symptoms once it was denied, or the only one once it
    was answered.
    """
    found: set[str] = set()
    for check, signs in check_signs.items():
        if set(signs) & set(seen) or set(signs) <= set(denied):
            found.add(check)
        if check in denied or (check in seen and len(signs) == 1):
            found.update(signs)
    return frozenset(found)


def group_of(tables: Tables, crop: str) -> tuple[str, str]:
    """The diagnosis group and the crop id of a word; InputError where it means no crop here."""
    found = tables.crosswalk.diagnosed_as(crop)
    if found is None and tables.crosswalk.crop(crop):
        groups = ", ".join(tables.crosswalk.diagnosis_groups)
        what = "there is no key of diagnosis for this crop yet"
        raise InputError(Fault(what, "crop", crop, f"There are keys for: {groups}."))
    if found is None:
        known = [*tables.crosswalk.diagnosis_groups, *tables.crosswalk.crops]
        raise InputError(Fault("no such crop", "crop", crop, _nearest(crop, known)))
    return found


def sign_id(tables: Tables, word: str, where: str) -> str:
    """The id of the symptom or check that a word means; InputError with the nearest."""
    found = tables.crosswalk.symptom(word)
    if found is None:
        remedy = _nearest(word, tables.crosswalk.symptoms)
        raise InputError(Fault("no such symptom", where, word, remedy))
    return found


def deed_of(tables: Tables, cause: Cause) -> Deed:
    """What a cause asks to be done; aimed at that cause alone where the deed needs an aim."""
    joined = tables.crosswalk.cause_joins.get(cause.id, ())
    unreckoned = cause.kind == "disease" and cause.deed in COURSE and not joined
    if cause.deed not in AGAINST_ONE or unreckoned:  # of these the same is told for all
        return Deed(cause.deed)
    return Deed(cause.deed, cause.id, kind_of(tables, cause.id))


def kind_of(tables: Tables, cause: str) -> str:
    """The kind whose species a cause joins to: `whitefly`; "" where it is none or is no insect."""
    joined = set(tables.crosswalk.cause_joins.get(cause, ()))
    kinds = (k for k, species in tables.crosswalk.kinds.items() if joined <= set(species))
    return next(kinds, "") if joined else ""


def _nearest(word: str, known: Iterable[str]) -> str:
    plain = word.lower().replace("-", "_").replace(" ", "_")
    near = difflib.get_close_matches(plain, list(known), n=3, cutoff=NEAR)
    return f"Did you mean {' or '.join(near)}?" if near else "See: lattermath look --help"


def _refuse_both(seen: Iterable[str], denied: Iterable[str]) -> None:
    for both in sorted(set(seen) & set(denied)):
        raise InputError(
            Fault("seen and not seen at once", "absent", both, "Leave it out of one of the two.")
        )


def _fits(tables: Tables, cause: Cause, group: str, crop: str, region: str) -> bool:
    if not cause.known_from(region):
        return False
    within = (crop,) if crop else tables.crosswalk.diagnosis_groups[group]
    return any(name in (group, *within) for name in cause.crops) and any(
        chance.value >= SHOWN and _on_plant(tables, sign) and _can_show(tables, sign, group, crop)
        for sign, chance in cause.chances.items()
    )


def _can_show(tables: Tables, symptom: str, group: str, crop: str) -> bool:
    """Whether a crop has the part that a symptom sits on: no radish splits its head."""
    only = tables.crosswalk.shown_only_on.get(symptom)
    within = (crop,) if crop else tables.crosswalk.diagnosis_groups[group]
    return only is None or any(name in only for name in (group, *within))


def _signs(tables: Tables, causes: Mapping[str, Cause], group: str, crop: str) -> dict[str, Sign]:
    """Every symptom and check as a question about these causes, of a crop that can show it."""
    causing = {cause.id: cause.chances for cause in causes.values()}  # read once, not by sign
    found = {
        key: Sign(key, symptom.group, symptom.leak.value, {
            cause: held[key].value for cause, held in causing.items()
            if key in held and _can_show(tables, key, group, crop)
        }, 0.0 if symptom.look in OFF_PLANT else UNLISTED)
        for key, symptom in tables.symptoms.items()
    }  # fmt: skip
    for key, check in tables.checks.items():
        chances = {c: f.value for c, f in check.chances(group).items() if c in causes}
        found[key] = Sign(key, check.group, check.leak.value, chances)
    return found


def _looks(tables: Tables, signs: Mapping[str, Sign]) -> list[Look]:
    """The looks that could tell anything about these causes."""
    minutes = tables.constants["look_minutes"]
    found: list[Look] = []
    for key, sign in signs.items():
        if not _at_home(tables, sign):
            continue
        if (check := tables.checks.get(key)) is not None:
            wait = check.wait_days.value if check.wait_days else 0.0
            found.append(Look(sign, check.minutes.value, wait))
        else:
            found.append(Look(sign, minutes.figure(tables.symptoms[key].look).value))
    return found


def _at_home(tables: Tables, sign: Sign) -> bool:
    """Whether a sign tells anything of these causes, and a check was not made for other crops."""
    check = tables.checks.get(sign.id)
    if check is None or not sign.chances:
        return bool(sign.chances)
    return max(sign.chances.values()) >= AT_HOME * _best(check)


def _best(check: Check) -> float:
    """The chance of a yes under the cause that a check finds best, on whatever crop."""
    return max(figure.value for figure in check.row.under("p_positive").values())


def likelier(told: Told) -> frozenset[str]:
    """The causes that what was answered made likelier than before anybody looked."""
    before = told.suspects.prior @ told.suspects.members
    now = told.probabilities
    chances = zip(told.suspects.causes, before, strict=True)
    return frozenset(cause for cause, prior in chances if now[cause] > prior)


def _look_alikes(told: Told, disorders: Iterable[str], *, explained: bool) -> tuple[str, ...]:
    """Disorders likely enough to be ruled out before anything is sprayed.

    explained : some cause makes what was seen; then one that is only common here is not named, as
                it is not told among the causes.
    """
    kin = set(disorders) & likelier(told) if explained else set(disorders)
    return tuple(c for c, p in told.probabilities.items() if c in kin and p >= LOOK_ALIKE)


def _clinic(told: Told, found: Verdict, deeds: Mapping[str, Deed]) -> bool:
    """Whether a sample for a plant clinic is in place: kin no look tells apart, or no look left.

    Of what wants no treatment a clinic would tell nothing that changes what is done.
    """
    first = next(iter(told.probabilities), "")
    if first in CLINIC_ONLY and told.probabilities[first] >= ASK_CLINIC:
        return True
    if found.next_look is None and _none_treated(told, found, deeds):
        return False
    return found.settled and not found.certain_enough and len(told.asked) >= UNSOLVED_AFTER


def _none_treated(told: Told, found: Verdict, deeds: Mapping[str, Deed]) -> bool:
    """Whether nothing is to be treated by the verdict, nor for any cause that is likely enough."""
    grown = likelier(told)
    likely = [deeds[c] for c, p in told.probabilities.items() if c in grown and p >= LOOK_ALIKE]
    best = [] if found.deed is None else [found.deed]
    return bool(best) and all(deed.kind in NO_TREATMENT for deed in (*best, *likely))


def _named(tables: Tables) -> dict[frozenset[str], str]:
    """For pairs that are often confused, the check that tells them apart."""
    rows = tables.rows["confusions"].values()
    return {frozenset((r.text("a"), r.text("b"))): r.text("best_check") for r in rows}
