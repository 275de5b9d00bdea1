"""A bed that got its cups for a later visit is asked again at that visit, whatever is moved."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from tests.belief.season_cases import autumn
from tests.planning.crop_cases import HOUSEHOLD, WORN, choices, cups, lots

from lattermath.planning.asked_again import verdict_again
from lattermath.planning.fates import keeping
from lattermath.planning.keep_or_replace import Table, best, decide, weigh
from lattermath.planning.new_plants import may_begin, replacing_at

TABLE = Table(HOUSEHOLD)


def before_an_absence():
    """Worn cucumbers and ready cups; away from the 4th to the 15th day, so nothing goes in now."""
    season = autumn(date(2025, 7, 20))
    about = choices(season, replace(WORN, vigour="failing"), waiting=lots(season, cups(season, 18)))
    today = season.weather.today
    kept = tuple(v for v in about.visits if not 4 <= v - today <= 15)
    return replace(about, visits=kept)


def test_nothing_moved_gives_what_was_decided() -> None:
    about = before_an_absence()
    assert not replacing_at(about, about.visits[0])
    later = next(visit for visit in may_begin(about) if visit > about.visits[0])
    given = best(weigh(replacing_at(about, later), about, TABLE)).outlook
    found = decide(about, TABLE, given=given)
    assert found.verdict.verdict == "replace"
    assert verdict_again(about, TABLE, found.chosen) == "replace"


@pytest.mark.parametrize("price", [0.0, 1.0, 4.0, 40.0, 400.0])
def test_it_turns_where_keeping_is_worth_more_on_that_day(price: float) -> None:
    """By hand: the means of the lot on its day and of the best way of keeping, at each price."""
    about = before_an_absence()
    later = next(visit for visit in may_begin(about) if visit > about.visits[0])
    given = best(weigh(replacing_at(about, later), about, TABLE)).outlook
    table = TABLE.at_price(price)

    def worth(outlooks) -> float:
        return max(float(np.mean(one.value)) for one in weigh(outlooks, about, table))

    better = worth([given]) > worth(keeping(about))
    assert (verdict_again(about, table, given) == "replace") is better
