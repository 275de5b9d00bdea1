"""What is said of nothing, now and waiting beside what is advised: each a price or a reason."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest

from lattermath.belief.treatment_effect import Effect
from lattermath.planning.choices_told import Asked, nothing_said, others_told
from lattermath.planning.course_task import Alternative, Candidate, Step
from lattermath.vocabulary.ruling import Because, Ruling, ruling

SOAP = Candidate("soap", "soap", None, "soap", Effect("soap", {}), ("top",), 0.7, 2.0)
DAYS = tuple(date(2026, 8, 1) + timedelta(days=3 * n) for n in range(3))
NOW, LATER = (Step(0, SOAP, (0,)),), (Step(1, SOAP, (0,)),)


@dataclass(frozen=True)
class Stand:
    key: str = "beans"


@dataclass(frozen=True)
class Belief:
    stands: tuple[Stand, ...] = (Stand(),)


@dataclass(frozen=True)
class World:
    """Soap on one planting, barred at some visits."""

    barred: frozenset[int] = frozenset()
    taken: frozenset[tuple[str, int, int]] = frozenset()
    candidates: tuple[Candidate, ...] = (SOAP,)
    belief: Belief = Belief()
    visits: tuple[int, ...] = (0, 3, 6)

    def permits(self, _c: Candidate, visit: int, _p: str, _s: tuple[Step, ...]) -> Ruling:
        return ruling([Because("too hot", holds=visit not in self.barred)])


@dataclass(frozen=True)
class Found:
    steps: tuple[Step, ...]
    alternatives: tuple[Alternative, ...]


def told(found: Found, world: World | None = None, places: tuple[int, ...] = (0,)) -> list[str]:
    made: Any = world or World()
    return [one.says for one in others_told(found, Asked(made, places, DAYS))]


def priced(steps: tuple[Step, ...], cost: float) -> Alternative:
    return Alternative("as found", steps, cost, 0.0)


def test_to_look_again_is_no_alternative_where_it_is_what_is_advised() -> None:
    found = Found((), (priced(LATER, 0.5), priced(NOW, 0.75)))
    assert told(found) == [
        "begin at a later visit: about 0.5 portions worse",
        "begin now: about 0.8 portions worse",
    ]


def test_what_was_found_stands_for_itself_and_the_others_have_their_price() -> None:
    """Beginning now is advised: nothing and waiting are told; of waiting there are two."""
    others = (priced((), 3.0), priced(LATER, 1.0), priced((Step(2, SOAP, (0,)),), 2.0))
    assert told(Found(NOW, (*others, priced(NOW, 0.0)))) == [
        "do nothing: about 3 portions worse",
        "wait and look again: about 1 portion worse",
    ]


def test_what_has_no_price_says_why() -> None:
    nothing = Found((), ())
    assert told(nothing, World(candidates=())) == [
        "begin now: nothing on hand takes of it (Sat 1 Aug)",
        "begin at a later visit: nothing on hand takes of it",
    ]
    assert told(nothing, places=())[0].startswith("begin now: nothing is treated before it is")
    hot = told(nothing, World(barred=frozenset({0})))
    assert hot[0].startswith("begin now: nothing that takes of it may be used then")
    assert hot[1] == "begin at a later visit: nothing was found that is worth its work then"
    anyway = told(nothing, World(taken=frozenset({("soap", 0, 0)})))
    assert anyway[0].startswith("begin now: what may be used then is done anyway")


def test_what_is_no_worse_by_itself_says_that_more_was_weighed() -> None:
    told_so = told(Found(LATER, (priced((), -0.5), priced(NOW, 1.0))))
    assert told_so[0].startswith("do nothing: no worse by itself; what else")


def test_what_its_work_does_for_others_has_its_own_price() -> None:
    """Whoever reads of eight thrips is not told what aphids would cost as theirs."""
    nothing = replace(priced((), 1.1), besides=10.9)
    (says, *_) = told(Found(LATER, (nothing, priced(NOW, 1.0))))
    assert says == (
        "do nothing: about 1.1 portions worse, "
        "or about 12 portions counting what else this work treats"
    )
    saved = told(Found(LATER, (replace(nothing, cost=-0.3), priced(NOW, 1.0))))[0]
    assert saved.startswith("do nothing: no worse by itself, or about 11 portions counting")
    own = told(Found(LATER, (replace(nothing, besides=0.05), priced(NOW, 1.0))))[0]
    assert own == "do nothing: about 1.1 portions worse"
    alike = told(Found(LATER, (replace(nothing, cost=11.2, besides=0.1), priced(NOW, 1.0))))[0]
    assert alike == "do nothing: about 11 portions worse"


@pytest.mark.parametrize(
    ("cost", "error", "says"),
    [
        (0.02, 0.0, "makes no difference worth telling"),
        (0.4, 0.05, "about 0.4 portions worse"),
        (0.4, 0.25, "about 0.4 portions worse, too little to be sure"),
    ],
)
def test_what_comes_to_the_same_is_no_sure_no(cost: float, error: float, says: str) -> None:
    """Beginning now was "under 0.1 portions worse", which reads as though it were ruled out."""
    now = replace(priced(NOW, cost), sd_error=error)
    told_so = told(Found(LATER, (priced((), 1.0), now)))
    assert f"begin now: {says}" in told_so


def test_where_nothing_is_done_as_good_as_nothing_is_told_alike() -> None:
    for cost in (-0.04, 0.0, 0.04):
        told_so = told(Found((), (priced((), 0.0), priced(NOW, cost))))
        assert "begin now: makes no difference worth telling" in told_so


def test_the_last_visit_leaves_nothing_to_wait_for() -> None:
    made: Any = replace(World(), visits=(0,))
    found = Found(NOW, (priced((), 1.0),))
    says = [one.says for one in others_told(found, Asked(made, (0,), DAYS[:1]))]
    assert says[1] == "wait and look again: no other visit is known"


def test_who_waits_may_still_do_nothing() -> None:
    found = Found(NOW, (priced((), 1.2), priced(LATER, 2.8)))
    assert told(found) == ["do nothing: about 1.2 portions worse",
                           "wait and look again: about 1.2 portions worse"]  # fmt: skip


def test_doing_nothing_is_told_with_its_range() -> None:
    """Counted: of 200 draws eight in ten lie between the two numbers, one in ten on either side."""
    draws = np.random.default_rng(5).permutation(np.linspace(0.02, 40.0, 200) ** 2 / 40.0)
    asked = Asked(World(), (0,), DAYS, draws)
    says = nothing_said(float(draws.mean()), asked)
    low, high = (float(word) for word in says.split("(")[1].rstrip(")").split(" to "))
    assert says.startswith("about 13 portions (")
    assert abs((draws < low).sum() - 20) <= 3 and abs((draws > high).sum() - 20) <= 3
    assert nothing_said(3.0, Asked(World(), (0,), DAYS)) == "about 3 portions"
    assert nothing_said(3.0, replace(asked, nothing=draws * 0 + 3.0)) == "about 3 portions"
    assert "(up to " in nothing_said(3.0, replace(asked, nothing=np.maximum(draws - 5, 0.0)))
