"""Every refusal that a ruling can give: who forbids, by what, until when, and what to do instead.

The places in the code that can refuse are found by reading it, and each must have refused at least
once here; so a new ruling is asked for by this test without being written down in it. Until when
is tried by waiting: the same is asked again hour by hour and day by day.
"""

from __future__ import annotations

import ast
import random
import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.planning.label_cases import (
    CAUTIONS,
    GROUPS,
    NONE,
    TUESDAY,
    ZURICH,
    applied,
    evening,
    limits,
    product,
    request,
    value,
)
from tests.planning.test_label_limits_reasons import VOICES

import lattermath.planning
from lattermath.knowledge.tables import load_tables
from lattermath.planning.folk_practices import PRACTICES, folk_ruling
from lattermath.planning.garden_limits import Covering, may_cover, may_plant
from lattermath.planning.ground import Ground
from lattermath.planning.label_limits import may_treat
from lattermath.planning.leaf_sightings import SickLeaves
from lattermath.planning.own_cautions import MethodFacts
from lattermath.planning.physical_limits import CLAUSES as PHYSICAL
from lattermath.planning.picking_clearance import (
    AS_GIVEN,
    Interval,
    clearance,
    clearance_of,
    may_enter,
    not_known,
)
from lattermath.planning.potatoes import kept_in_the_ground
from lattermath.planning.sick_leaves import kept_dry, wets_beside
from lattermath.planning.soil_rest import SoilRest
from lattermath.planning.treatment_request import Neighbour, Surroundings, TreatmentRequest
from lattermath.planning.watering import WaterSupply, may_use_hose
from lattermath.vocabulary.evening import Applied
from lattermath.vocabulary.label import LabelLine, ProductLabel
from lattermath.vocabulary.plan import Clearance
from lattermath.vocabulary.plot import GardenRules, Planting
from lattermath.vocabulary.ruling import Because, Ruling, cheapest_way

ROOM = Path(lattermath.planning.__file__).parent
VOICED = ("label", "garden", "our caution")
KNOWN = replace(
    CAUTIONS,
    methods={**CAUTIONS.methods, **{m: MethodFacts(m, False, "", "none", None) for m in PHYSICAL}},
)
Ask = Callable[[datetime], Ruling]
Site = tuple[str, int, int]


# What can refuse, by reading the code


def named(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def argument(call: ast.Call, name: str, place: int) -> ast.expr | None:
    if len(call.args) > place:
        return call.args[place]
    return next((k.value for k in call.keywords if k.arg == name), None)


def may_be_false(holds: ast.expr | None) -> bool:
    return holds is not None and not (isinstance(holds, ast.Constant) and holds.value is True)


def sites_of(path: Path) -> Iterator[Site]:
    """Every `Because` that may not hold and has a voice, and every call of what makes such ones."""
    tree = ast.parse(path.read_text("utf-8"))
    makers: dict[str, int] = {}
    for function in (n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)):
        names = [a.arg for a in function.args.args]
        for call in (n for n in ast.walk(function) if isinstance(n, ast.Call)):
            holds = argument(call, "holds", 1)
            if named(call) != "Because" or not may_be_false(holds):
                continue
            if argument(call, "who", 2) is None:
                continue  # the model reckons, it forbids nothing
            yield path.stem, call.lineno, call.end_lineno or call.lineno
            if isinstance(holds, ast.Name) and holds.id in names:
                makers[function.name] = names.index(holds.id)
    for call in (n for n in ast.walk(tree) if isinstance(n, ast.Call)):
        if named(call) in makers and may_be_false(argument(call, "holds", makers[named(call)])):
            yield path.stem, call.lineno, call.end_lineno or call.lineno


def sites() -> set[Site]:
    return {site for path in sorted(ROOM.glob("*.py")) for site in sites_of(path)}


# What did refuse, by listening


@dataclass
class Heard:
    bars: list[tuple[Because, tuple[tuple[str, int], ...]]]

    def refused_at(self, site: Site) -> bool:
        module, first, last = site
        return any(m == module and first <= line <= last for _, at in self.bars for m, line in at)


@pytest.fixture(scope="module")
def heard() -> Iterator[Heard]:
    """Everything that did not hold while all of the rulings were asked."""
    listening, made = Heard([]), Because.__init__

    def listen(self: Because, *args: Any, **over: Any) -> None:
        made(self, *args, **over)
        if self.holds:
            return
        frame, at = sys._getframe(1), []
        while frame is not None and len(at) < 6:
            path = Path(frame.f_code.co_filename)
            if path.parent == ROOM:
                at.append((path.stem, frame.f_lineno))
            frame = frame.f_back  # type: ignore[assignment]
        listening.bars.append((self, tuple(at)))

    Because.__init__ = listen  # type: ignore[method-assign]
    try:
        for asked in everything():
            asked(TUESDAY)
    finally:
        Because.__init__ = made  # type: ignore[method-assign]
    yield listening


# What is asked


def one_of(rng: np.random.Generator, *values: Any) -> Any:
    return values[int(rng.integers(len(values)))]


def a_line(rng: np.random.Generator, *values: Any) -> LabelLine[Any]:
    state = rng.random()
    return LabelLine() if state < 0.15 else NONE if state < 0.4 else value(one_of(rng, *values))


def a_label(rng: np.random.Generator, key: str) -> ProductLabel:
    active = str(one_of(rng, *GROUPS))
    crop = limits(
        "bean_bush" if rng.random() < 0.9 else "tomato",
        pre_harvest_days=a_line(rng, 0.0, 1.0, 7.0),
        retreat_days=a_line(rng, 5.0, 14.0),
        season_max=a_line(rng, 1, 3),
        season_max_scope=str(one_of(rng, "product", "active", "group")),
        season_max_over=str(one_of(rng, "crop", "ground", "year")),
        plant_back_days=a_line(rng, 14.0, 60.0),
    )
    lines: dict[str, Any] = {
        "re_entry_hours": a_line(rng, 4.0, 48.0), "max_temperature_c": a_line(rng, 20.0, 30.0),
        "rain_free_hours": a_line(rng, 1.0, 12.0), "max_wind_m_s": a_line(rng, 0.5, 5.0),
        "bloom": a_line(rng, "never in bloom", "evening only", "no bee wording"),
        "sulfur_oil_gap_days": a_line(rng, 10.0, 30.0), "consecutive_max": a_line(rng, 1, 2),
    }  # fmt: skip
    made = product(active, (crop,), key=key, name=f"invented {key}",
                   form=str(one_of(rng, "spray", "spray", "dust", "bait")),
                   organic_input=one_of(rng, True, True, False, None), **lines)  # fmt: skip
    # thrown from what the label is, so that the dice of the request fall as they would
    strange = random.Random(repr(made)).random() < 0.02
    return replace(made, active="deltamethrin") if strange else made


def some_history(rng: np.random.Generator, shelf: tuple[ProductLabel, ...]) -> tuple[Applied, ...]:
    found = []
    for _ in range(int(rng.integers(0, 4))):
        at = TUESDAY + timedelta(hours=float(rng.integers(-24 * 20, 24 * 6)))
        if rng.random() < 0.3:
            at = TUESDAY - timedelta(hours=float(rng.integers(1, 12)))
        used = shelf[int(rng.integers(len(shelf)))]
        one = applied(used, at, planting=str(one_of(rng, "beans", "peas")))
        if rng.random() < 0.25:
            water = str(one_of(rng, *PHYSICAL, "btk"))
            one = replace(one, product=None, method=water, active=water, group="")
        if rng.random() < 0.1:
            one = replace(one, product="lost")
        found.append(one)
    return tuple(found)


def a_request(seed: int) -> TreatmentRequest:
    """Anything that somebody may wish to do, with what may stand against it."""
    rng = np.random.default_rng(seed)
    shelf = tuple(a_label(rng, f"product {n}") for n in range(3))
    hour = float(one_of(rng, -14.0, -6.0, -1.5, 0.0, 0.0, 0.3, 1.5, 3.0))
    sky: dict[str, Any] = {
        "temperature_high_c": float(one_of(rng, 18.0, 24.0, 31.0, 35.0)),
        "temperature_low_c": float(one_of(rng, 6.0, 16.0)),
        "hottest_next_two_days_c": float(one_of(rng, 26.0, 34.0)),
        "rain_chance_2h": float(one_of(rng, 0.0, 0.8)),
        "wind_m_s": float(one_of(rng, 0.2, 1.0, 6.0)),
        "leaves_wet": bool(rng.random() < 0.2),
    }
    if rng.random() < 0.15:
        gone = str(one_of(rng, "civil_dusk", "sunset", "sunrise", *sky))
        sky[gone] = None
    label: ProductLabel | None = shelf[0]
    method = KNOWN.facts(shelf[0].active)
    if rng.random() < 0.5:
        label, method = None, KNOWN.facts(str(one_of(rng, *PHYSICAL)))
    planting = Planting(
        "beans", "Beans", str(one_of(rng, "bean_bush", "cucumber_slicing")), 20, bed="A",
        in_bloom=one_of(rng, True, False, None), wilted=bool(rng.random() < 0.2),
        neighbours_plot=bool(rng.random() < 0.1),
        pulled=date(2026, 8, 1) if rng.random() < 0.1 else None,
    )  # fmt: skip
    return replace(
        request(shelf[0]), planting=planting, method=method, label=label, shelf=shelf,
        starts=TUESDAY + timedelta(hours=hour), evening=evening(TUESDAY, **sky),
        applied=some_history(rng, shelf),
        next_picks=tuple(TUESDAY + timedelta(hours=float(h)) for h in rng.integers(1, 90, 1)),
        work_in_bed=(TUESDAY + timedelta(hours=2),) if rng.random() < 0.3 else (),
        watered_over=TUESDAY - timedelta(hours=1) if rng.random() < 0.2 else None,
        generation_days=None if rng.random() < 0.3 else 20.0,
        # by the seed, so that the dice of the rest fall as they would
        ground_m2=random.Random(seed).choice((None, 4.0, 4.0, 0.01)),
        dry_soil=one_of(rng, True, False, None), cover=one_of(rng, "fleece", "mesh", None),
        hose=one_of(rng, True, False), hose_ban=bool(rng.random() < 0.1),
        country="" if rng.random() < 0.1 else "CH",
        rules=GardenRules(
            no_sprays=bool(rng.random() < 0.1), organic_only=bool(rng.random() < 0.2),
            no_hose=bool(rng.random() < 0.1),
            gate_closes=time(20) if rng.random() < 0.1 else None,
            gate_opens=time(8) if rng.random() < 0.1 else None,
        ),
        surroundings=Surroundings(
            one_of(rng, True, False, None), False,
            (Neighbour("lettuce_leaf", 1.0, True),) if rng.random() < 0.2 else (),
        ),
    )  # fmt: skip


def at_hour(asked: TreatmentRequest) -> Ask:
    """The same asked at any hour; the sky of its evening stays as it is, day after day."""
    sky = asked.evening

    def ask(at: datetime) -> Ruling:
        days = (at.date() - sky.day).days
        moved = {
            name: None if (hour := getattr(sky, name)) is None else hour + timedelta(days=days)
            for name in ("arrive", "leave", "sunrise", "sunset", "civil_dusk")
        }
        told = replace(sky, day=at.date(), **moved)
        return may_treat(replace(asked, starts=at, evening=told), KNOWN)

    return ask


REQUESTS = 1500


def treatments() -> Iterator[tuple[datetime, Ask]]:
    for _, make in VOICES.values():
        yield make().starts, at_hour(make())
    for seed in range(REQUESTS):
        asked = a_request(seed)
        yield asked.starts, at_hour(asked)


def on_the_ground(seed: int) -> Iterator[Ask]:
    """Covers, planting, entering and picking, with the same histories."""
    rng = np.random.default_rng(seed)
    shelf = tuple(a_label(rng, f"product {n}") for n in range(3))
    done = some_history(rng, shelf)
    beans = Planting("beans", "Beans", "bean_bush", 20, bed="A", in_bloom=False,
                     neighbours_plot=bool(rng.random() < 0.1))  # fmt: skip
    hours, stays = float(one_of(rng, -9.0, -2.0, 0.5, 12.0)), float(one_of(rng, 0.3, 9.0, 30.0))

    def cover(at: datetime) -> Ruling:
        dark = rng.random() < 0.1
        on = at + timedelta(hours=hours)
        day = at.replace(hour=0, minute=0)
        kinds = ("bag", "clear sheet", "fleece")
        covering = Covering(
            kinds[seed % 3], beans, on, on + timedelta(hours=stays),  # type: ignore[arg-type]
            None if dark else day.replace(hour=20, minute=38),
            None if dark else day.replace(hour=6, minute=10) + timedelta(days=1),
            33.0, done, with_pesticide=seed % 5 == 0,
        )  # fmt: skip
        return may_cover(covering, shelf, KNOWN)

    yield cover
    yield lambda at: may_plant(beans, at, done, shelf, KNOWN)
    yield lambda at: may_enter(beans, done, shelf, at, ZURICH, KNOWN)
    yield lambda at: Ruling(clearance_of(beans, done, shelf, at, ZURICH, KNOWN).barred_by)


def others() -> Iterator[Ask]:
    """What does not hang on the hour."""
    sick = SickLeaves("late_blight", "beans", "late blight", date(2026, 8, 1), 3)
    water = replace(request(), method=KNOWN.facts("water_jet"), label=None)
    yield lambda at: kept_dry(may_treat(water, KNOWN), "water_jet", [sick])
    yield lambda at: Ruling(tuple(wets_beside("water_jet", [sick])))
    yield lambda at: Ruling((not_known(),))
    yield lambda at: folk_ruling("sing to them")
    lacking = replace(request(), method=KNOWN.facts("btk"), label=None)
    yield lambda at: may_treat(lacking, KNOWN)
    given = [Interval(TUESDAY, 3.0), Interval(TUESDAY, None, 12.0), Interval(TUESDAY, 0.0)]
    yield lambda at: Ruling(clearance(given, TUESDAY)[1])
    lift = TUESDAY.date() + timedelta(days=14)
    yield lambda at: Ruling(
        kept_in_the_ground(Clearance("beans", True, TUESDAY), lift, ZURICH).barred_by
    )
    for told in ("bag it and dust inside", "dish detergent on the leaves", "bleach"):
        yield lambda at, told=told: folk_ruling(told)  # type: ignore[misc]
    for hose, ban in ((False, False), (True, True)):
        supply = WaterSupply(hose=hose, hose_ban=ban)  # type: ignore[call-arg]
        yield lambda at, s=supply: may_use_hose(s, GardenRules(no_hose=True))  # type: ignore[misc]
    yield lambda at: Ruling((Ground(1.0, "Fabaceae", "a wilt").suits(a_bean()),))
    rest = SoilRest("b", "bed B", "a wilt", "beans", frozenset({"bean_bush"}), (2.0, 3.0))
    yield lambda at: Ruling((Ground(1.0, rests=(rest,)).suits(a_bean()),))


def a_bean() -> Any:
    from tests.belief.season_cases import autumn

    return autumn().traits("bean_bush")


def everything() -> Iterator[Ask]:
    for starts, ask in treatments():
        yield lambda at, ask=ask, starts=starts: ask(starts)  # type: ignore[misc]
    for seed in range(200):
        yield from on_the_ground(seed)
    yield from others()


def test_every_place_that_can_refuse_did(heard: Heard) -> None:
    silent = sorted(site for site in sites() if not heard.refused_at(site))
    assert len(sites()) > 60
    assert not silent, silent


def test_each_says_whose_it_is_by_what_and_what_to_do_instead(heard: Heard) -> None:
    for bar, at in heard.bars:
        assert bar.who in VOICED, (bar, at)
        assert bar.says and bar.rests_on and bar.way_out, (bar, at)
        if bar.who == "label":
            clauses = ("label:", AS_GIVEN)
            assert any(a.startswith(clauses) for a in bar.rests_on), (bar, at)
        if bar.who == "garden":
            assert any(a.startswith("plot:") for a in bar.rests_on), (bar, at)


def test_what_it_rests_on_is_there(heard: Heard) -> None:
    """Rules and rows that are named stand in the tables."""
    tables = load_tables()
    for address in {a for bar, _ in heard.bars for a in bar.rests_on}:
        kind, _, rest = address.partition(":")
        if kind == "rule":
            assert rest in tables.rows["rules"], address
        elif kind == "table":
            table, row, *column = rest.split("/")
            assert row in tables.rows.get(table, {}) or row in tables.crops, address
            assert column or table == "folk_practices", address


WAITS = (*range(1, 31), *(24 * n for n in range(2, 46)), 24 * 90, 24 * 200, 24 * 400)


def same(bar: Because) -> tuple[str, tuple[str, ...], str]:
    """A refusal but for its hours and days."""
    words = re.sub(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b|\b[A-Z][a-z]{2}\b|[\d:.]+", "", bar.says)
    return bar.who, bar.rests_on, " ".join(words.split())


def lapsing(*, planned: bool = True) -> Iterator[tuple[datetime, Ask]]:
    """Some of all that is asked, with what is planned for later or without it."""
    for _, make in VOICES.values():
        yield make().starts, at_hour(make())
    for seed in range(REQUESTS // 5):
        asked = a_request(seed)
        if not planned:
            done = tuple(a for a in asked.applied if a.at <= asked.starts)
            asked = replace(asked, applied=done)
        yield asked.starts, at_hour(asked)
    for seed in range(40):
        for ask in list(on_the_ground(seed))[1:]:
            yield TUESDAY, ask


def test_no_refusal_outlives_the_day_it_names() -> None:
    """Asked again at that instant it is gone, whatever else may bar by then."""
    seen = 0
    for starts, ask in lapsing():
        for bar in ask(starts).bars:
            if bar.lapses is None:
                continue
            seen += 1
            then = [b for b in ask(bar.lapses).bars if same(b) == same(bar)]
            assert all(b.lapses is None or b.lapses > bar.lapses for b in then), (bar, then)
    assert seen > 200


def test_what_only_needs_waiting_says_until_when() -> None:
    """Where the same refusal is gone after some hours or days of the same sky, it named an end.

    Nothing else is done meanwhile: what is planned for later may end a series, and is no waiting.
    """
    for starts, ask in lapsing(planned=False):
        endless = [bar for bar in ask(starts).bars if bar.lapses is None]
        if not endless:
            continue
        for wait in WAITS:
            still = {same(bar) for bar in ask(starts + timedelta(hours=wait)).bars}
            for bar in endless:
                assert same(bar) in still, (bar, wait)


def test_the_cheapest_way_is_round_what_bars_longest() -> None:
    first = Because("a", False, "label", lapses=TUESDAY, way_out="pick first, then treat")
    later = Because("b", False, "our caution", lapses=TUESDAY + timedelta(days=2), way_out="wait")
    never = Because("c", False, "garden", way_out="hands")
    assert cheapest_way((first, later)) == "wait"
    assert cheapest_way((first, later, never)) == "hands"
    assert cheapest_way((replace(first, holds=True),)) == ""
    assert all(practice.instead and practice.why for practice in PRACTICES)


# By hand, from a label of our own: `wait 7 days before picking; 10 days between applications; at
# most 2 a season; keep out 24 hours; not above 28 C`.
OWN = product(
    "spinosad", (limits(pre_harvest_days=value(7.0), retreat_days=value(10.0),
                        season_max=value(2)),), re_entry_hours=value(24.0),
    max_temperature_c=value(28.0), bloom=value("evening only"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("over", "line", "lapses", "way"),
    [
        ({"next_picks": (datetime(2026, 8, 8, 19, 0, tzinfo=ZURICH),)},
         "bean_bush/pre_harvest_days", datetime(2026, 8, 8, 19, 0, tzinfo=ZURICH),
         "pick first, then treat"),
        ({"applied": (applied(OWN, datetime(2026, 7, 28, 20, 0, tzinfo=ZURICH)),)},
         "bean_bush/retreat_days", datetime(2026, 8, 7, 0, 0, tzinfo=ZURICH),
         "fill the gap with water, hands or mesh"),
        ({"applied": (applied(OWN, datetime(2026, 6, 1, 20, 0, tzinfo=ZURICH)),
                      applied(OWN, datetime(2026, 6, 20, 20, 0, tzinfo=ZURICH)))},
         "bean_bush/season_max", None, "no more of it: another way, or replace the plants"),
        ({"applied": (applied(OWN, datetime(2026, 8, 3, 21, 0, tzinfo=ZURICH), planting="peas"),)},
         "re_entry_hours", datetime(2026, 8, 4, 21, 0, tzinfo=ZURICH), "work in another bed"),
        ({"evening": evening(TUESDAY, temperature_high_c=29.0)}, "max_temperature_c", None,
         "a cooler evening"),
    ],
)  # fmt: skip
def test_by_hand_from_a_label(
    over: dict[str, Any], line: str, lapses: datetime | None, way: str
) -> None:
    bars = may_treat(replace(request(OWN), **over), CAUTIONS).bars
    (bar,) = [bar for bar in bars if any(a.endswith(line) for a in bar.rests_on)]
    assert (bar.who, bar.lapses, bar.way_out) == ("label", lapses, way)


def test_refusals_written_at_the_desk_carry_the_same() -> None:
    """Read, not asked: each has a voice, what it rests on and a way out where it is written."""
    desk = ROOM.parent / "desk"
    found = 0
    for path in sorted(desk.glob("*.py")):
        for call in (n for n in ast.walk(ast.parse(path.read_text("utf-8")))
                     if isinstance(n, ast.Call) and named(n) == "Because"):  # fmt: skip
            who = argument(call, "who", 2)
            if who is None or not may_be_false(argument(call, "holds", 1)):
                continue
            found += 1
            assert argument(call, "rests_on", 3) is not None, (path.name, call.lineno)
            assert argument(call, "way_out", 5) is not None, (path.name, call.lineno)
    assert found >= 3
