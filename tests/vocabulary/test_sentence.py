"""Names of one thing and of several, by reading them; and the verb of every name of the tables."""

from __future__ import annotations

from datetime import date

import pytest

from lattermath.planning.dry_watering import why_at_the_foot
from lattermath.planning.sick_leaves import SickLeaves, wets_beside
from lattermath.vocabulary.sentence import are_many, verb

SEVERAL = (
    "round spots", "round spots with a red rim", "pale specks and fine webbing", "mould and rot",
    "onion thrips", "slugs and snails", "hoverfly larvae", "eggs of ladybirds", "rusty leaves",
    "root-knot nematodes", "whiteflies (greenhouse, silverleaf)", "spots on the pods",
)  # fmt: skip
SINGLE = (
    "powdery mildew of cucurbits", "rust of French and runner beans", "spotted wilt virus",
    "white stuff under the leaves", "crown and fruit rot", "canker", "water stress", "damping-off",
    "normal ageing of old leaves", "forking by stones", "",
)  # fmt: skip


@pytest.mark.parametrize("name", SEVERAL)
def test_a_name_of_several_takes_are(name: str) -> None:
    assert are_many(name) and verb(name) == "are" and verb(name, "has", "have") == "have"


@pytest.mark.parametrize("name", SINGLE)
def test_a_name_of_one_takes_is(name: str) -> None:
    assert not are_many(name) and verb(name) == "is"


def test_what_is_said_of_sick_leaves_agrees_with_their_name() -> None:
    day = date(2026, 8, 1)
    for name, says, them in (("round spots", "are", "them"), ("mildew", "is", "it")):
        own = SickLeaves("p", name, name, day, 3, known=False)
        why = why_at_the_foot(None, [own])
        assert why is not None
        assert why.says.startswith(f"{name} {says} on it and wet leaves would feed {them} if")
        listed = why_at_the_foot(None, [SickLeaves("p", name, name, day, 3)])
        assert listed is not None and f"wet leaves feed {them}" in listed.says
        (bar,) = wets_beside("water_jet", [own])
        assert bar.says.startswith(f"{name} {says} about")
