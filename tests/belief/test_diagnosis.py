"""Causes weighed against enumeration: every set of causes spelled out, in plain numbers."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.belief.diagnosis import Sign, ask, suspects

PRIORS = {"rust": 0.2, "mite": 0.1, "thirst": 0.05, "drift": 0.02}
OTHER, PAIRS = 0.05, 0.4
SIGNS = [
    Sign("powder", "a", 0.02, {"rust": 0.9, "drift": 0.1}, 0.15),
    Sign("dots", "b", 0.04, {"mite": 0.8, "thirst": 0.2}, 0.03),
    Sign("webs", "b", 0.01, {"mite": 0.5}),
    Sign("dry", "c", 0.25, {"thirst": 0.9, "rust": 0.01}),
    Sign("holes", "a", 0.03, {"mite": 0.3, "drift": 0.6}),
]
answers = st.lists(st.tuples(st.sampled_from(SIGNS), st.booleans()), unique_by=lambda a: a[0].id)


UNLISTED = "unlisted"


def weights_of_sets() -> dict[frozenset[str], float]:
    """The prior of every set of one or two troubles, an unlisted one among them."""
    odds = {**PRIORS, UNLISTED: OTHER}
    alone = {frozenset({c}): p for c, p in odds.items()}
    both = {frozenset(two): odds[two[0]] * odds[two[1]]
            for two in itertools.combinations(odds, 2)}  # fmt: skip
    held = alone | {s: w * PAIRS for s, w in both.items()}
    total = sum(held.values())
    return {s: w / total for s, w in held.items()}


def chance(sign: Sign, causes: frozenset[str]) -> float:
    """By counting outcomes: the leak, and each cause by itself, may make the sign."""
    makes = [sign.leak]
    for cause in causes:
        listed = sign.chances.get(cause, sign.leak)
        makes.append(1 - (1 - listed) / (1 - sign.leak))
    none = 0.0
    for outcome in itertools.product((True, False), repeat=len(makes)):
        weight = math.prod(m if o else 1 - m for m, o in zip(makes, outcome, strict=True))
        none += weight if not any(outcome) else 0.0
    lowest = min([sign.leak, *sign.chances.values()])
    return max(1 - none, lowest)


def by_enumeration(told: list[tuple[Sign, bool]]) -> dict[frozenset[str], float]:
    held = {}
    for causes, weight in weights_of_sets().items():
        for group in {sign.group for sign, _ in told}:
            seen = [chance(s, causes) for s, yes in told if yes and s.group == group]
            missed = [1 - chance(s, causes) for s, yes in told if not yes and s.group == group]
            if UNLISTED in causes:  # a trouble that is not listed may make what is seen
                seen = [max(chance(s, causes), s.unlisted) for s, yes in told
                        if yes and s.group == group]  # fmt: skip
            together = math.prod(seen)  # halfway, by its logarithm, to the least of them alone
            weight *= math.sqrt(min(seen, default=1.0) * together) * min(missed, default=1.0)
        held[causes] = weight
    total = sum(held.values())
    return {causes: weight / total for causes, weight in held.items()}


@settings(max_examples=200, deadline=None)
@given(told=answers)
def test_probabilities_are_those_of_enumeration(told: list[tuple[Sign, bool]]) -> None:
    found = ask(suspects(PRIORS, OTHER, PAIRS), told)
    truth = by_enumeration(told)
    for cause, probability in found.probabilities.items():
        assert probability == pytest.approx(sum(w for s, w in truth.items() if cause in s))
    assert found.other == pytest.approx(sum(w for s, w in truth.items() if UNLISTED in s))
    for n_told in range(len(PRIORS) + 1):
        named = {*list(found.probabilities)[:n_told], UNLISTED}
        left = sum(w for s, w in truth.items() if not s & named)
        assert found.besides(named) == pytest.approx(left, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(told=answers, order=st.randoms())
def test_the_order_of_answers_is_nothing(told: list[tuple[Sign, bool]], order: object) -> None:
    held = suspects(PRIORS, OTHER, PAIRS)
    turned = sorted(told, key=lambda a: a[0].id, reverse=True)
    np.testing.assert_allclose(ask(held, told).belief, ask(held, turned).belief)


def test_what_was_not_looked_for_is_not_absent() -> None:
    held = suspects(PRIORS, OTHER)
    before = ask(held, []).probabilities["mite"]
    assert before == ask(held, [(SIGNS[0], True)][:0]).probabilities["mite"]
    assert ask(held, [(SIGNS[1], False)]).probabilities["mite"] < before


def test_a_second_sign_of_the_same_thing_counts_by_half() -> None:
    """By hand: each of two signs of one group is 40 times likelier with mites than without. One
    makes the odds 40 times what they were, both 40 * sqrt(40), and of two groups 40 * 40."""
    held = suspects(PRIORS, OTHER, 0.0)
    x, y = (Sign(name, "g", 0.02, {"mite": 0.8}) for name in "xy")
    apart = Sign("y", "h", 0.02, {"mite": 0.8})
    odds = [p / (1 - p) for p in
            (ask(held, [(s, True) for s in signs]).probabilities["mite"]
             for signs in ((), (x,), (x, y), (x, apart)))]  # fmt: skip
    gains = [after / odds[0] for after in odds[1:]]
    assert gains == pytest.approx([40, 40 * math.sqrt(40), 1600])


def test_a_weak_sign_takes_nothing_from_a_strong_one_of_its_group() -> None:
    """What every cause shows as often as not is no evidence, whatever was seen beside it."""
    held = suspects(PRIORS, OTHER)
    strong, dull = Sign("x", "g", 0.02, {"mite": 0.8}), Sign("y", "g", 0.9, {})
    one = ask(held, [(strong, True)]).probabilities
    both = ask(held, [(strong, True), (dull, True)]).probabilities
    assert both == pytest.approx(one)


def test_two_causes_at_once_explain_what_neither_explains_alone() -> None:
    """With single causes only, one of the two must lose; with pairs both are likely."""
    priors = {"rust": 0.1, "mite": 0.1, "both_a_little": 0.1}
    powder = Sign("powder", "a", 0.01, {"rust": 0.9, "both_a_little": 0.06})
    dots = Sign("dots", "b", 0.01, {"mite": 0.9, "both_a_little": 0.06})
    told = [(powder, True), (dots, True)]
    alone = ask(suspects(priors, 0.05, 0.0), told).probabilities
    assert min(alone["rust"], alone["mite"]) < 0.5
    paired = ask(suspects(priors, 0.05), told).probabilities
    assert min(paired["rust"], paired["mite"]) > 0.8


def test_one_cause_seen_for_certain_leaves_another_the_odds_it_had() -> None:
    """By hand: odds .1 against 1, times .9 of the sign against its leak of .02, once of {mite} and
    once of {mite, rust} is 4.5 to 1, whether the first cause is known or not; a third cause takes
    of it what its own odds of .05 are against 1."""
    priors = {"rust": 0.2, "mite": 0.1}
    powder = Sign("powder", "a", 1e-9, {"rust": 0.9})
    dots = Sign("dots", "b", 0.02, {"mite": 0.9})
    held = suspects(priors, 1e-9)
    sure = ask(held, [(powder, True), (dots, True)]).probabilities
    assert sure["rust"] == pytest.approx(1.0, abs=1e-6)
    assert sure["mite"] == pytest.approx(0.1 * 0.9 / (0.1 * 0.9 + 0.02), abs=1e-6)
    third = ask(suspects({**priors, "thirst": 0.05}, 1e-9), [(powder, True), (dots, True)])
    expected = 0.1 * 0.9 / (0.1 * 0.9 + 0.02 * 1.05)
    assert third.probabilities["mite"] == pytest.approx(expected, abs=1e-6)


def test_what_no_cause_makes_raises_none_of_these_and_what_one_makes_hardly() -> None:
    """By hand: alone at .05 of .42 with chance .2, the four causes at .37 with the leak of .02."""
    held = suspects(PRIORS, OTHER, 0.0)
    strange = Sign("strange", "s", 0.02, {}, 0.2)
    told = ask(held, [(strange, True)])
    assert told.other == pytest.approx(0.05 * 0.2 / (0.05 * 0.2 + 0.37 * 0.02))
    assert told.other > max(told.probabilities.values()) > OTHER
    known = ask(held, [(Sign("known", "s", 0.02, {"mite": 0.9}, 0.2), True)])
    assert known.other < 0.1 and next(iter(known.probabilities)) == "mite"
    denied = ask(held, [(strange, False)])
    assert denied.other == pytest.approx(ask(held, []).other)


def test_one_answer_rules_nothing_out() -> None:
    for sign in SIGNS:
        for yes in (True, False):
            assert all(
                p > 0 for p in ask(suspects(PRIORS, OTHER), [(sign, yes)]).probabilities.values()
            )
