"""The next look against enumeration: information and mistakes spared, spelled out."""

from __future__ import annotations

import itertools
import math

import pytest

from lattermath.belief.diagnosis import Sign, Told, ask, suspects
from lattermath.planning.next_look import (
    ENOUGH,
    HARSH_MISTAKE,
    HOLDING,
    KIN_MISTAKE,
    MISTAKE,
    WORTH_A_MINUTE,
    Deed,
    Look,
    verdict,
)

PRIORS = {"borer": 0.1, "wilt": 0.08, "thirst": 0.12, "age": 0.1}
DEEDS = {
    "borer": Deed("pick", "borer"),
    "wilt": Deed("pull", "wilt"),
    "thirst": Deed("water"),
    "age": Deed("leave"),
}
DISORDERS = ("thirst", "age")
STANDS = Sign("stands again", "w", 0.5, {"thirst": 0.9, "wilt": 0.2})
SAWDUST = Sign("sawdust", "s", 0.01, {"borer": 0.88})
THREADS = Sign("threads", "t", 0.01, {"wilt": 0.65})
DULL = Sign("dull", "d", 0.3, {"borer": 0.3 + 1e-9})
LOOKS = [Look(STANDS, 1, 1), Look(SAWDUST, 1), Look(THREADS, 2), Look(DULL, 1)]


FLIES = {"a": 0.4, "b": 0.3, "thirst": 0.05}
FLY_DEEDS = {
    "a": Deed("treat", "a", "fly"),
    "b": Deed("treat", "b", "fly"),
    "thirst": Deed("water"),
}
WINGS = Sign("wings", "g", 0.02, {"a": 0.8})
CURIOUS = Sign("curious", "c", 0.3, {"thirst": 0.6, "a": 0.35})


def sets() -> list[frozenset[str]]:
    return [frozenset(s) for n in (0, 1, 2) for s in itertools.combinations(PRIORS, n)]


def chance(sign: Sign, causes: frozenset[str]) -> float:
    missed = 1 - sign.leak
    for cause in causes:
        missed *= (1 - sign.chances.get(cause, sign.leak)) / (1 - sign.leak)
    return max(1 - missed, min([sign.leak, *sign.chances.values()]))


def cost(deed: Deed | None, causes: frozenset[str]) -> float:
    if deed is None:
        return HOLDING
    if deed in {DEEDS[c] for c in causes}:
        return 0.0
    harmless = all(c in DISORDERS for c in causes)
    return HARSH_MISTAKE if harmless and deed.kind in ("pull", "treat", "protect") else MISTAKE


def by_enumeration(belief: dict[frozenset[str], float], sign: Sign) -> tuple[float, float]:
    """Bits about the right deeds, and expected cost spared by deciding after the answer."""
    joint: dict[tuple[frozenset[Deed], bool], float] = {}
    for causes, weight in belief.items():
        for yes in (True, False):
            p = chance(sign, causes) if yes else 1 - chance(sign, causes)
            key = (frozenset(DEEDS[c] for c in causes), yes)
            joint[key] = joint.get(key, 0.0) + weight * p
    of_answer = {y: sum(p for (_, a), p in joint.items() if a == y) for y in (True, False)}
    of_deeds: dict[frozenset[Deed], float] = {}
    for (deeds, _), p in joint.items():
        of_deeds[deeds] = of_deeds.get(deeds, 0.0) + p
    bits = sum(p * math.log2(p / of_answer[y] / of_deeds[d]) for (d, y), p in joint.items())
    options = [None, *DEEDS.values()]
    now = min(sum(w * cost(d, s) for s, w in belief.items()) for d in options)
    after = 0.0
    for yes in (True, False):
        part = {s: w * (chance(sign, s) if yes else 1 - chance(sign, s)) for s, w in belief.items()}
        after += min(sum(w * cost(d, s) for s, w in part.items()) for d in options)
    return bits, now - after


def believed(told: Told) -> dict[frozenset[str], float]:
    names, held = told.suspects.causes, dict[frozenset[str], float]()
    for row, weight in zip(told.suspects.members, told.belief, strict=True):
        listed = frozenset(c for c, here in zip(names, row, strict=True) if here)
        held[listed] = held.get(listed, 0.0) + float(weight)  # with an unlisted trouble or without
    return held


@pytest.mark.parametrize("answers", [[], [(STANDS, False)], [(STANDS, True), (THREADS, False)]])
def test_information_and_mistakes_spared_are_those_of_enumeration(
    answers: list[tuple[Sign, bool]],
) -> None:
    told = ask(suspects(PRIORS, 0.05), answers)
    belief = believed(told)
    assert set(belief) == set(sets())
    found = verdict(told, DEEDS, DISORDERS, LOOKS)
    assert len(found.looks) == len(LOOKS) - len(answers)
    for weighed in found.looks:
        bits, spared = by_enumeration(belief, weighed.look.sign)
        assert weighed.bits == pytest.approx(bits, abs=1e-9)
        assert weighed.spared == pytest.approx(max(spared, 0.0), abs=1e-9)


def test_looks_stand_in_the_order_of_what_they_tell_per_effort() -> None:
    found = verdict(ask(suspects(PRIORS, 0.05), []), DEEDS, DISORDERS, LOOKS)
    worth = [w.bits / w.look.effort for w in found.looks]
    assert worth == sorted(worth, reverse=True)
    assert found.looks[-1].look.sign.id == "dull" and found.looks[-1].bits < 1e-6
    assert found.next_look is not None and not found.certain_enough


def test_looking_stops_when_the_deed_would_no_longer_change() -> None:
    told = ask(suspects(PRIORS, 0.05), [(SAWDUST, True)])
    found = verdict(told, DEEDS, DISORDERS, [Look(DULL, 1)])
    assert found.deed == DEEDS["borer"] and found.chance >= ENOUGH
    assert found.certain_enough and found.next_look is None


def test_with_nothing_known_it_is_better_to_hold_back() -> None:
    found = verdict(ask(suspects(PRIORS, 0.05), []), DEEDS, DISORDERS, [])
    assert found.deed is None and not found.certain_enough


def test_a_look_taken_is_not_offered_again() -> None:
    told = ask(suspects(PRIORS, 0.05), [(SAWDUST, False)])
    assert "sawdust" not in [w.look.sign.id for w in verdict(told, DEEDS, DISORDERS, LOOKS).looks]


def test_spraying_what_has_no_pest_costs_more_than_another_mistake() -> None:
    """As likely thirst as a wilt: pulling is not chosen where watering errs as often."""
    even = {"wilt": 0.1, "thirst": 0.1}
    told = ask(suspects(even, 0.0001, 0.0), [])
    assert verdict(told, DEEDS, DISORDERS, []).deed != DEEDS["wilt"]


def test_treating_one_species_for_another_of_its_kind_is_a_small_mistake() -> None:
    """Of two flies the likelier is treated; by hand: 0.3 of 0.7 are the other, a quarter each."""
    told = ask(suspects({"a": 0.4, "b": 0.3}, 1e-9, 0.0), [])
    deeds = {cause: FLY_DEEDS[cause] for cause in ("a", "b")}
    found = verdict(told, deeds, (), [Look(WINGS, 1)])
    assert found.deed == FLY_DEEDS["a"] and found.chance == pytest.approx(1.0)
    yes = 0.4 * 0.8 + 0.3 * 0.02
    wrong = {"yes": 0.3 * 0.02, "no": min(0.4 * 0.2, 0.3 * 0.98)}
    spared = KIN_MISTAKE * (0.3 - sum(wrong.values())) / 0.7
    assert 0 < yes < 0.7
    assert found.looks[0].spared == pytest.approx(spared, abs=1e-6)
    other = {"a": Deed("treat", "a"), "b": Deed("treat", "b")}
    assert verdict(told, other, (), []).chance == pytest.approx(0.4 / 0.7)


def test_only_looks_that_could_change_the_deed_are_asked_for() -> None:
    """A look may tell most and change nothing: it is known, and it is not asked for."""
    told = ask(suspects(FLIES, 0.01), [(Sign("cloud", "cl", 0.01, {"a": 0.9, "b": 0.9}), True)])
    found = verdict(told, FLY_DEEDS, ("thirst",), [Look(WINGS, 1), Look(CURIOUS, 1)])
    curious = next(w for w in found.looks if w.look.sign.id == "curious")
    assert curious.bits > 0 and curious.spared < WORTH_A_MINUTE * curious.look.effort
    assert [w.look.sign.id for w in found.worth_taking] == ["wings"]
    after = ask(told.suspects, [(Sign("cloud", "cl", 0.01, {"a": 0.9, "b": 0.9}), True),
                                (WINGS, True)])  # fmt: skip
    assert verdict(after, FLY_DEEDS, ("thirst",), [Look(CURIOUS, 1)]).next_look is None
