"""Bare ground: what it may carry, why nothing goes in, and what to do then."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import numpy as np
import pytest
from tests.belief.season_cases import autumn
from tests.planning.crop_cases import HOUSEHOLD, WORN, choices, cups, lots

from lattermath.knowledge.tables import load_tables
from lattermath.planning.bare_ground import pays
from lattermath.planning.bare_ground_told import ground_told
from lattermath.planning.fates import Care, Choices
from lattermath.planning.ground import Ground
from lattermath.planning.keep_or_replace import Table
from lattermath.planning.new_plants import replacing_at
from lattermath.planning.pest_beside import PestNear
from lattermath.planning.season_left import usual_frost
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.plot import SeedPacket, StandbyLot
from lattermath.vocabulary.ruling import Because

TABLE = Table(HOUSEHOLD)
NONE = replace(WORN, plants=0, crop="chard")


def bare(today: date, *packets: SeedPacket, held: int = 0, ground: Ground | None = None) -> Choices:
    """Three square metres with nothing on them."""
    season = autumn(today)
    waiting: tuple[StandbyLot, ...] = (cups(season, held),) if held else ()
    free = ground or Ground(3.0, name="bed C")
    return choices(season, NONE, waiting=lots(season, *waiting), packets=packets, ground=free)


def told(about: Choices, *, filled: bool = False) -> BareGround:
    return ground_told(about, TABLE, filled=filled)


def test_what_it_gives_is_what_the_same_ground_gives_when_it_is_filled() -> None:
    about = bare(date(2025, 7, 20), SeedPacket("bean_bush", 80), held=18)
    given = {(one.use, one.crop): one for one in told(about, filled=True).may if one.held}
    for outlook in replacing_at(about, about.visits[0]):
        one = given["set out" if outlook.lot else "sow", outlook.crop]
        assert one.kg is not None
        assert one.kg.median == pytest.approx(float(np.median(outlook.kg())))
    assert told(about, filled=True).says == "" and pays(about, TABLE)


def test_the_last_useful_day_is_counted_back_from_the_frost_with_the_rows_own_days() -> None:
    """Frost of half the futures, less days to first picking, less the days it is to bear."""
    about = bare(date(2025, 7, 20), SeedPacket("bean_bush", 80))
    rows = load_tables().crops["bean_bush"].row
    days = rows.figure("sow_to_first_pick.days").span[0]
    frost = about.season.weather.day(0) + timedelta(days=int(usual_frost(about.season)))
    beans = next(one for one in told(about).may if one.crop == "bean_bush" and one.held)
    assert beans.latest is not None
    margin = about.season.traits("bean_bush").margin_days
    assert abs((frost - timedelta(days=days + margin) - beans.latest).days) <= 1


def test_where_nothing_pays_it_says_why_and_what_to_do_instead() -> None:
    about = bare(date(2025, 10, 10), SeedPacket("bean_bush", 80))
    found = told(about)
    assert not pays(about, TABLE) and not any(one.pays for one in found.may if one.crop)
    beans = next(one for one in found.may if one.crop == "bean_bush")
    assert beans.latest is not None and beans.latest < date(2025, 10, 10)
    assert found.says.startswith("Bed C: bare. Nothing in hand goes in now: dwarf beans: the last")
    assert "mulch" in found.says and "rest" in found.says
    cold = told(bare(date(2025, 10, 10), held=40)).says
    assert "Nothing begun now pays: " in cold and "from the cups now would give hardly any" in cold
    assert "the last useful day for any of what is in hand was about" in cold
    young = told(bare(date(2025, 10, 10), held=10)).says
    assert "6 cucumbers in cups: not ready before the season ends" in young


def test_seed_that_the_tin_lacks_is_named_where_it_would_still_pay() -> None:
    found = told(bare(date(2025, 8, 5)))
    best = next(one for one in found.may if one.crop)
    assert best.pays and not best.held
    name = bare(date(2025, 8, 5)).season.traits(best.crop).many
    assert f"With seed of {name} it would still give about" in found.says
    assert "the tin holds nothing for it" in found.says


def test_green_manure_is_named_only_where_a_row_of_the_tables_names_it() -> None:
    """Within four weeks of frost, and the row it rests on is there with its standing."""
    early, late = told(bare(date(2025, 8, 5))), told(bare(date(2025, 10, 10)))
    assert "green manure" not in early.says
    (manure,) = [one for one in late.may if "green manure" in one.says]
    (address,) = manure.because[0].rests_on
    table, row, column = address.removeprefix("table:").split("/")
    cell = load_tables().rows[table][row].text(column)
    assert "green manure" in cell


def test_mulch_and_rest_are_always_among_what_it_may_carry() -> None:
    for today in (date(2025, 7, 20), date(2025, 10, 1)):
        uses = [one.use for one in told(bare(today)).may]
        assert "cover" in uses and "rest" in uses


def test_ground_that_may_not_be_planted_says_whose_bar_it_is() -> None:
    bar = Because(
        "plant from Sat 20 Sep", False, "label", ("label:x/plant_back_days",),
        datetime(2025, 9, 20, 12, 0), "plant another bed",
    )  # fmt: skip
    ground = Ground(3.0, name="bed C", bar=bar)
    found = told(bare(date(2025, 8, 5), SeedPacket("bean_bush", 80), ground=ground))
    assert "Nothing may be planted yet: plant from Sat 20 Sep." in found.says
    assert found.because[0] is bar and not any(one.pays for one in found.may if one.crop)


def test_next_spring_is_told_with_it() -> None:
    spring = Because("next spring no cucumbers there", who="our caution")
    found = ground_told(bare(date(2025, 10, 1)), TABLE, filled=False, spring=(spring,))
    assert found.says.endswith("Next spring no cucumbers there.")
    assert spring in found.because


def test_the_free_part_of_a_bed_is_told_as_a_part() -> None:
    about = bare(date(2025, 8, 5), SeedPacket("radish", 80))
    found = ground_told(about, TABLE, filled=False, whole=False)
    assert not found.whole and found.area_m2 == 3.0
    assert "about «3 m2» of it is bare, by the spacing of the tables" in found.says


def test_untested_soil_is_said_in_the_table_too() -> None:
    """Kale was tested up to 25 C: no number of it stands bare where the soil will be warmer."""
    for warmest in (34.0, 18.0):
        season = autumn(date(2025, 8, 5), warmest_c=warmest, coldest_c=8.0)
        for packets in ((SeedPacket("kale", 80),), ()):
            about = choices(season, NONE, packets=packets, ground=Ground(3.0, name="bed C"))
            for one in told(about).may:
                if one.use == "sow" and one.kg is not None:
                    assert ("soil untested" in one.named) == ("not tested" in one.says)
                    if one.crop == "kale":
                        assert ("soil untested" in one.named) == (warmest > 25)
            if packets:
                assert any(one.crop == "kale" and one.kg is not None for one in told(about).may)


def test_nothing_pays_beside_its_own_pest_untreated() -> None:
    """Beans that would pay there are barred by what stands beside; other crops are as before."""
    about = bare(date(2025, 7, 20), SeedPacket("bean_bush", 80))
    before = {(one.crop, one.held): one.pays for one in told(about).may}
    assert before["bean_bush", True]
    bar = PestNear("beans", "Beans", "bean aphid", beside=True)
    near = replace(about, care=Care(near={"bean_bush": (bar,)}))
    after = {(one.crop, one.held): one.pays for one in told(near).may}
    assert {key for key in before if before[key] != after[key]} == {("bean_bush", True)}
    assert "but beans in the same bed have bean aphid, untreated" in told(near).says
