"""The way out that a refusal names is one: it lifts the bar where it is taken, and fits the cause.

Each is tried by doing as it says, and asking again.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.planning.label_cases import CAUTIONS, TUESDAY, evening, product, request, value

from lattermath.planning.hour_limits import bloom, evening_window, heat
from lattermath.planning.label_limits import may_treat
from lattermath.planning.treatment_request import Surroundings, TreatmentRequest
from lattermath.vocabulary.plot import GardenRules
from lattermath.vocabulary.ruling import Because


def last_job(active: str, seen: Surroundings) -> TreatmentRequest:
    sky = evening(TUESDAY, arrive=TUESDAY.replace(hour=18), leave=TUESDAY.replace(hour=21))
    asked = request(product(active=active), surroundings=seen, evening=sky, minutes=12.0)
    return replace(asked, starts=TUESDAY.replace(hour=20, minute=15))


def dry(asked: TreatmentRequest) -> Because:
    [told] = [one for one in evening_window(asked, CAUTIONS) if "dry by about" in one.says]
    return told


def test_what_dries_in_no_night_is_not_told_to_wait_for_the_evening() -> None:
    """Copper takes 12 h to dry: from 20:15 in summer bees fly long before, at any hour tried."""
    asked = last_job("copper_hydroxide", Surroundings(True, True))
    told = dry(asked)
    assert not told.holds and told.lapses is None
    assert told.says.startswith(f"{asked.label.name}: dry by about") if asked.label else False
    assert "no night now is long enough" in told.says and "last job" not in told.way_out
    for quarter in range(12):
        later = replace(asked, starts=asked.starts + timedelta(minutes=15 * quarter))
        assert not dry(later).holds
    assert told.way_out.startswith("wait until nothing flowers")
    calm = replace(asked, surroundings=Surroundings(False, False))
    assert all(one.holds for one in evening_window(calm, CAUTIONS))


@pytest.mark.parametrize(
    ("seen", "says", "way"),
    [
        (Surroundings(False, None), "nobody looked what flowers near it", "near it and enter"),
        (Surroundings(None, False), "nobody looked for bloom", "on it and near it and enter"),
        (Surroundings(True, False), "there is bloom", "mow flowering weeds"),
    ],
)
def test_bloom_that_nobody_looked_for_is_looked_for(
    seen: Surroundings, says: str, way: str
) -> None:
    asked = last_job("pyrethrins", seen)
    [told] = bloom(asked, CAUTIONS)
    assert not told.holds and says in told.says and way in told.way_out
    [looked] = bloom(replace(asked, surroundings=Surroundings(False, False)), CAUTIONS)
    assert looked.holds


@pytest.mark.parametrize("line", ["sold_to_amateurs", "organic_input"])
def test_what_nobody_entered_is_looked_up_and_entered(line: str) -> None:
    asked = request(product(**{line: None}))
    asked = replace(asked, rules=GardenRules(organic_only=True))
    [told] = [one for one in may_treat(asked, CAUTIONS).bars if line[:7] in "".join(one.rests_on)]
    assert told.way_out.startswith("look") and told.way_out.endswith("and enter it")
    known = replace(asked, label=product(**{line: False}))
    [barred] = [one for one in may_treat(known, CAUTIONS).bars if line[:7] in "".join(one.rests_on)]
    assert "enter" not in barred.way_out


def test_a_refusal_by_warmth_names_its_product_and_what_it_is_read_from() -> None:
    sky = evening(TUESDAY, hottest_next_two_days_c=34.0, temperature_low_c=2.0)
    rough = replace(sky, forecast=False, told_by="a rough reckoning")
    oil = product(active="mineral_oil", name="Oil")
    [cold] = [one for one in heat(request(oil, evening=sky), CAUTIONS) if "an oil" in one.says]
    assert cold.says.startswith("down to") and "Oil, an oil, not below" in cold.says
    sulfur = product(active="sulfur", name="Sulfur", max_temperature_c=value(28.0))
    for seen, words in (
        (sky, "in two days; Sulfur"),
        (rough, "in two days, by a rough reckoning;"),
    ):
        told = [one.says for one in heat(request(sulfur, evening=seen), CAUTIONS) if not one.holds]
        ahead = [says for says in told if "two days" in says]
        assert ahead and all(words in says for says in ahead)
