"""Sharing out water: who comes first, how much is due, and what too little costs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.belief.soil import (
    BedSoil,
    Ground,
    SoilWeather,
    WaterUse,
    believe_soil,
    chance_of_stress,
    short_mm,
    watered,
)
from lattermath.planning.watering import (
    ASK_ABOVE,
    ENOUGH_AT,
    BedNeed,
    _due_in,
    may_use_hose,
    share_at_visit,
    share_water,
    tenths,
)
from lattermath.planning.watering_tasks import cans, water_left, watering_tasks
from lattermath.vocabulary.plot import GardenRules, WaterSupply

TUESDAY, THURSDAY = date(2024, 8, 6), date(2024, 8, 8)


def soil(
    dry: float = 0.5,
    et0: float = 5.0,
    area: float = 2.4,
    root: float = 0.5,
    n: int = 60,
    rain: float = 0.0,
    wilted: bool = False,
    seed: int = 3,
) -> BedSoil:
    """Loam with `dry` of its readily available water gone on average, of et0 scattered by 20 %."""
    stages = (20.0, 30.0, 40.0, 15.0)
    use = WaterUse("p", -60, stages, (0.6, 1.0, 0.8), (0.2, 0.9, 0.7), root, 0.45, wilted=wilted)
    rng = np.random.default_rng(seed)
    # A soaking, then as many dry days as use up that share.
    gone = round(dry * 0.45 * 130 * root / et0)
    water = np.zeros((n, gone + 12))
    water[:, 0], water[:, gone + 1 :] = 200.0, rain
    sky = SoilWeather(gone, 0, rng.gamma(25, et0 / 25, water.shape), water)
    return believe_soil(Ground("bed", area, 0.25, 0.12), use, sky, (), rng)


def need(key: str, kind: str = "fruiting", days: int = 2, **more: object) -> BedNeed:
    found = more.pop("soil", None)
    return BedNeed(key, f"the {key}", kind, THURSDAY, days, found, **more)  # type: ignore[arg-type]


def test_a_moist_bed_gets_nothing():
    share = share_water([need("beans", soil=soil(dry=0.1))], None, 10, False)
    assert share.litres == 0 and share.shares[0].due_litres == 0


def test_due_by_can_is_just_what_carries_to_the_next_visit():
    bed = soil(dry=0.9)
    one = share_water([need("beans", soil=bed)], None, 10, False).shares[0]
    assert one.chance_unwatered == chance_of_stress(bed, 2) > ASK_ABOVE
    assert one.given_litres == one.due_litres and one.given_litres % 5 == 0
    assert one.chance == chance_of_stress(watered(bed, one.given_litres), 2) <= ENOUGH_AT
    least_soak = 5.0 * 2.4
    less = one.given_litres - 5
    assert less < least_soak or chance_of_stress(watered(bed, less), 2) > ENOUGH_AT


def test_hose_refills_and_counts_no_cans():
    bed = soil(dry=0.9)
    share = share_water([need("beans", soil=bed)], 1, 10, True)
    refill = bed.depletion_mm[:, 0].mean() * 2.4
    assert refill <= share.litres < refill + 5
    assert share.spare_cans is None


def test_turns_when_cans_run_out():
    beds = [
        need("sweetcorn", "deep-rooted", soil=soil(1.0)),
        need("lettuce", "leafy", soil=soil(1.0)),
        need("beans", "fruiting", soil=soil(1.0)),
        need("new cucumbers", "set out", soil=soil(1.0)),
        need("cups", "cups", cups_litres=4.0),
        need("courgettes", "deep-rooted", soil=soil(1.0), wilted=True),
    ]
    enough = share_water(beds, None, 10, False)
    order = [one.need.key for one in enough.shares]
    assert order == ["courgettes", "new cucumbers", "cups", "beans", "lettuce", "sweetcorn"]
    for n in range(int(enough.litres / 10) + 2):
        share = share_water(beds, n, 10, False)
        assert share.litres == min(10 * n, enough.litres)
        # Nobody drinks before everyone of an earlier turn has had all that is due.
        waiting = min((s.need.turn for s in share.gone_short), default=9)
        assert all(s.given_litres == 0 for s in share.shares if s.need.turn > waiting)


def test_within_a_turn_water_goes_where_it_saves_most():
    beds = [
        need("a", soil=soil(1.0, area=1.2, seed=1)),
        need("b", soil=soil(1.1, et0=6.0, area=2.4, seed=2)),
        need("c", soil=soil(0.9, root=0.4, area=1.8, seed=3)),
    ]
    due = [one.due_litres for one in share_water(beds, None, 10, False).shares]
    steps = [round(litres / 5) for litres in due]

    def shortage(given: tuple[int, ...]) -> float:
        return sum(
            short_mm(watered(bed.soil, 5.0 * g), 2) * bed.soil.litres_a_mm
            for bed, g in zip(beds, given, strict=True)
        )

    for n in (1, 2, 3):
        ours = tuple(round(one.given_litres / 5) for one in share_water(beds, n, 10, False).shares)
        every = [
            g for g in product(*(range(s + 1) for s in steps)) if sum(g) == min(2 * n, sum(steps))
        ]
        assert shortage(ours) == pytest.approx(min(map(shortage, every)), rel=1e-6, abs=1e-6)


def test_the_short_ones_say_what_they_lose():
    share = share_water([need("beans", soil=soil(1.2))], 0, 10, False)
    (one,) = share.gone_short
    loss = one.because[-1]
    assert loss.says.startswith("not enough water") and "Thu 8 Aug" in loss.says
    assert loss.way_out and one.short_mm > 0
    assert one.short_mm >= 0.5 and f"about «{round(one.short_mm)} mm»" in loss.says


def test_rain_to_come_saves_cans():
    dry = share_water([need("beans", soil=soil(1.0))], None, 10, False)
    wet = share_water([need("beans", soil=soil(1.0, rain=4.9))], None, 10, False)
    assert wet.litres < dry.litres


@pytest.mark.parametrize("hose", [False, True])
@pytest.mark.parametrize("seed", range(6))
def test_more_rain_before_the_next_visit_never_raises_the_litres(hose, seed):
    rng = np.random.default_rng(seed)
    dry, days = float(rng.uniform(0.6, 1.3)), int(rng.integers(1, 6))
    area, kind = float(rng.uniform(0.5, 6.0)), str(rng.choice(["fruiting", "leafy", "set out"]))
    rains = np.sort(rng.uniform(0.0, 25.0, 8)).tolist()
    litres = [
        share_water(
            [need("beans", kind, days, soil=soil(dry, area=area, rain=rain, seed=seed))],
            None,
            10,
            hose,
        ).litres
        for rain in [0.0, *rains, 200.0]
    ]
    assert litres == sorted(litres, reverse=True)
    assert litres[0] > litres[-1] or litres[0] == 0


def test_a_hose_leaves_room_for_the_rain_that_is_expected():
    """A third of the futures stays dry, so the bed is watered, but not filled."""
    dry, wet = (soil(1.2, area=6.0), soil(1.2, area=6.0, rain=12.0))
    some = np.arange(dry.rain_mm.shape[0]) % 3 > 0
    mixed = replace(
        dry,
        **{
            name: np.where(some[:, None], getattr(wet, name), getattr(dry, name))
            for name in ("rain_mm", "depletion_mm", "ks")
        },
    )
    full, less = (
        share_water([need("beans", days=2, soil=bed)], None, 10, True).litres
        for bed in (dry, mixed)
    )
    assert 0 < less < full


def test_a_longer_gap_wants_more():
    by_gap = [
        share_water([need("beans", days=days, soil=soil(0.9))], None, 10, False).litres
        for days in (1, 3, 6)
    ]
    assert by_gap == sorted(by_gap) and by_gap[0] < by_gap[-1]


def test_soil_that_cannot_hold_enough_is_said():
    share = share_water([need("lettuce", days=7, soil=soil(1.0, root=0.2))], None, 10, False)
    assert any("even so" in because.says for because in share.shares[0].because)


@pytest.mark.parametrize(
    ("supply", "rules", "who"),
    [
        (WaterSupply(hose=False), GardenRules(), "our caution"),  # nobody wrote one down
        (WaterSupply(hose=True), GardenRules(no_hose=True), "garden"),
        (WaterSupply(hose=True, hose_ban=True), GardenRules(), "garden"),
    ],
)
def test_no_hose_where_none_may_be_used(supply, rules, who):
    ruling = may_use_hose(supply, rules)
    assert not ruling.allowed and ruling.bars[-1].who == who and ruling.bars[-1].way_out
    share, _ = share_at_visit([need("beans", soil=soil(1.0))], supply, rules)
    assert not share.by_hose


def test_a_hose_that_may_be_used_is_used():
    share, ruling = share_at_visit(
        [need("beans", soil=soil(1.0))], WaterSupply(hose=True), GardenRules()
    )
    assert ruling.allowed and share.by_hose


def test_refusals():
    with pytest.raises(ValueError, match="can must hold"):
        share_water([], 3, 0, False)
    with pytest.raises(ValueError, match="no cans"):
        share_water([], -1, 10, False)
    with pytest.raises(ValueError, match="not among"):
        share_water([need("beans", days=90, soil=soil())], 3, 10, False)


@settings(max_examples=20, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["set out", "fruiting", "leafy", "deep-rooted"]),
            st.floats(0, 1.4),
            st.booleans(),
        ),
        max_size=4,
    ),
    st.integers(0, 12),
)
def test_cans_are_never_overdrawn_and_none_gets_more_than_due(beds, n):
    wants = [
        need(str(i), kind, soil=soil(dry, n=20), wilted=wilted)
        for i, (kind, dry, wilted) in enumerate(beds)
    ]
    share = share_water(wants, n, 10, False)
    assert share.litres + 10 * share.spare_cans == pytest.approx(10 * n)
    for one in share.shares:
        assert 0 <= one.given_litres <= one.due_litres
        assert (one.given_litres / 5) % 1 == 0
        assert one.chance <= one.chance_unwatered + 1e-9
    more = share_water(wants, n + 1, 10, False)
    assert sum(s.short_mm for s in more.shares) <= sum(s.short_mm for s in share.shares) + 1e-9


def test_tasks_and_words():
    beds = [
        need("cucumbers", soil=soil(1.2, wilted=True), wilted=True),
        need("beans", soil=soil(1.0)),
        need("new squash", "set out", soil=soil(1.0)),
    ]
    share = share_water(beds, 12, 10, False)
    first, rest = watering_tasks(TUESDAY, share)
    assert first.says.startswith("Water: the cucumbers, wilted,") and first.must
    assert first.minutes == pytest.approx(2 * share.shares[0].given_litres / 10, abs=0.5)
    assert "the new squash" in rest.says and rest.must and rest.cautions
    assert watering_tasks(TUESDAY, share)[0].id == first.id
    assert "to the beans" in water_left(share) and "spare" in water_left(share)
    short = share_water(beds, 1, 10, False)
    assert "Not enough for" in water_left(short)
    assert watering_tasks(TUESDAY, share_water([], 3, 10, False)) == []


def test_a_barred_hose_is_explained_and_bars_nothing():
    supply, rules = WaterSupply(hose=True, hose_ban=True, cans_a_visit=9), GardenRules()
    share, ruling = share_at_visit([need("beans", soil=soil(1.0))], supply, rules)
    (task,) = watering_tasks(TUESDAY, share, ruling)
    assert any("hose ban" in because.says for because in task.because)
    assert all(because.holds for because in task.because)


@pytest.mark.parametrize(
    ("number", "words"),
    [(0.5, "half a can"), (1, "1 can"), (2, "2 cans"), (2.5, "2 and a half cans")],
)
def test_cans_in_words(number, words):
    assert cans(number) == words


def test_chances_in_words():
    assert [tenths(c) for c in (0.0, 0.02, 0.68, 0.98, 1.0)] == [
        "0 in 10",
        "less than 1 in 10",
        "7 in 10",
        "more than 9 in 10",
        "10 in 10",
    ]


@pytest.mark.parametrize(
    ("first_short", "says"),
    [
        ((1, 1, 1), "water is due tomorrow"),
        ((1, 4, 4), "water is due in 1 to 4 days"),
        ((1, None, None), "water is due tomorrow or much later"),
        ((3, None, None), "water is due in 3 days or much later"),
        ((None, None, None), "water is hardly due again this season"),
    ],
)
def test_when_water_is_due_is_said_of_one_day_too(
    first_short: tuple[int | None, ...], says: str
) -> None:
    """Futures in which plants run short from a given day on; one day read as "1 days"."""
    days = np.arange(6)
    ks = np.array([np.where(days >= (6 if d is None else d), 0.5, 1.0) for d in first_short])
    assert _due_in(replace(soil(n=3), ks=ks)) == says
