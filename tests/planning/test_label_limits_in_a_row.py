"""Uses of one mode of action in a row, as labels limit them; every label is invented."""

from __future__ import annotations

import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    NONE,
    applied,
    days_before,
    limits,
    product,
    request,
    value,
)

from lattermath.planning.in_a_row import in_a_row
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.ruling import Because

FREE = limits(retreat_days=value(1.0), season_max=value(99))


def of(active: str, line: LabelLine[int], **over: object) -> ProductLabel:
    return product(active, (FREE,), key=active, consecutive_max=line, **over)


def bars(label: ProductLabel, *before: tuple[ProductLabel, float], **over: object) -> list[Because]:
    past = tuple(applied(other, days_before(days), **over) for other, days in before)
    asked = request(label, applied=past, shelf=(label, *(other for other, _ in before)))
    return [reason for reason in in_a_row(asked, CAUTIONS) if not reason.holds]


@pytest.mark.parametrize(("most", "before", "ok"), [(2, 1, True), (2, 2, False), (1, 1, False)])
def test_no_longer_a_run_than_the_label_allows(most: int, before: int, ok: bool) -> None:
    label = of("spinosad", value(most))
    found = bars(label, *((label, 3.0 * (n + 1)) for n in range(before)))
    assert (not found) is ok
    assert all(bar.who == "label" and bar.way_out for bar in found)


def test_one_alone_needs_no_line_and_a_second_does() -> None:
    label = of("soap", LabelLine())
    assert not bars(label)
    (bar,) = bars(label, (label, 7.0))
    assert bar.who == "our caution"
    assert "not copied" in bar.says
    assert not bars(of("soap", NONE), (of("soap", NONE), 7.0))


def test_another_mode_of_the_same_list_ends_a_run() -> None:
    one = of("spinosad", value(1))
    assert bars(one, (one, 9.0))
    assert not bars(one, (one, 9.0), (of("btk", NONE), 4.0))
    assert bars(one, (of("btk", NONE), 9.0), (one, 4.0))  # the change came before, not between
    for no_change in ("soap", "myclobutanil", "mineral_oil", "iron_phosphate"):
        assert bars(one, (one, 9.0), (of(no_change, NONE), 4.0)), no_change


def test_a_run_is_of_the_mode_and_the_shortest_limit_rules() -> None:
    lax, strict = of("carbaryl", value(3)), of("malathion", value(1))
    (bar,) = bars(lax, (strict, 5.0))
    assert "at most 1 with invented malathion" in bar.says
    assert not bars(of("carbaryl", value(3)), (of("malathion", value(3)), 5.0))


def test_what_is_planned_after_counts_and_other_plantings_do_not() -> None:
    label = of("spinosad", value(1))
    assert bars(label, (label, -4.0))
    assert not bars(label, (label, 4.0), planting="peas")


def test_what_nobody_noted_may_have_been_of_it() -> None:
    label = of("spinosad", value(1))
    assert bars(label, (label, 4.0), product=None, active="carbaryl", method="carbaryl", group="")
    assert not bars(label, (label, 4.0), product=None, active="water_jet", method="water_jet")


def test_two_products_of_one_active_are_one_run_though_it_is_exempt() -> None:
    one, other = of("soap", value(1)), product("soap", (FREE,), key="other", consecutive_max=NONE)
    assert bars(one, (other, 5.0))
    assert bars(other, (one, 5.0))


def test_a_run_says_why_it_may_go_on() -> None:
    """One reason a printed limit, one where none is printed, none where a bar speaks."""

    def said(line: LabelLine[int], *before: float) -> list[str]:
        label = of("spinosad", line)
        past = tuple(applied(label, days_before(days)) for days in before)
        return [r.says for r in in_a_row(request(label, applied=past), CAUTIONS)]

    assert said(value(2)) == ["treatment 1 in a row, at most 2 with invented spinosad"]
    assert (
        said(NONE) == said(NONE, 4.0) == said(LabelLine()) == ["no label limits how many in a row"]
    )
    assert len(said(LabelLine(), 4.0)) == 1
