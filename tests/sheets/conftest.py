"""An invented plan: plot, weather, products and every number are made up for these tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from lattermath.vocabulary.measure import measure
from lattermath.vocabulary.plan import (
    SCHEMA_VERSION,
    Amount,
    Clearance,
    CourseStep,
    NotToday,
    Option,
    Outlook,
    Plan,
    Population,
    SeasonRule,
    Span,
    Stamp,
    StandbyAdvice,
    Strip,
    Task,
    Verdict,
    VisitPlan,
)
from lattermath.vocabulary.ruling import Because

ZONE = ZoneInfo("America/Chicago")
TUESDAY = date(2025, 8, 5)
SATURDAY = date(2025, 8, 9)


def at(day: date, hour: int, minute: int = 0) -> datetime:
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZONE)


def reason(says: str, who: str = "model", holds: bool = True) -> Because:
    return Because(says, holds=holds, who=who)  # type: ignore[arg-type]


def kg(low: float, median: float, high: float) -> Span:
    return Span(low, median, high, "kg")


TASKS = (
    Task(
        "t-9a1",
        "treat",
        "last job",
        "Soap, undersides of aubergines, as your label says",
        15,
        "aubergines",
        "soft-soap",
        "potassium-salts",
        at(TUESDAY, 20, 5),
        at(TUESDAY, 20, 35),
        amounts=(Amount("soap mix", 1.5, "l"),),
        surfaces=("underside",),
        only_if="{task:t-3c2} found 5 or more a leaf",
        cautions=("Gloves, goggles", "Children and dog away until dry"),
        because=(
            reason("only wetted scales die"),
            reason("4 days until you may pick again", "label"),
        ),
        if_skipped="adults from about Wed 13 Aug",
    ),
    Task(
        "t-1f0",
        "water",
        "on arrival",
        "Water: cucumbers row 2, wilted, 2 cans at the foot",
        6,
        "cucumbers-row-2",
        starts=at(TUESDAY, 18, 55),
        amounts=(Amount("", 2, "can"),),
        because=(reason("bed B is about «14 mm» short"),),
        must=True,
    ),
    Task(
        "t-2b7",
        "pick",
        "pick",
        f"Courgettes over {measure(12, 'cm')}, cucumbers row 1, basil tips",
        15,
        starts=at(TUESDAY, 19, 1),
        because=(reason("courgettes left to Saturday are marrows"),),
        must=True,
    ),
    Task(
        "t-3c2",
        "look",
        "look",
        "Aubergines: turn 10 low leaves, count pale scales. Decides {task:t-9a1}",
        5,
        "aubergines",
        because=(reason("ten leaves settle whether soap is worth 15 minutes"),),
    ),
    Task(
        "t-4d8", "care", "care", "Tie in tomatoes, take out side shoots, hoe bed C", 12, "tomatoes"
    ),
    Task(
        "t-5e3",
        "set out",
        "replace",
        "Put 4 cucumbers from the cups in bed D (peas gone), not row 2: water in, shade four "
        "days, slug collars. Cups are full, coil by Sat",
        15,
        because=(reason("cup roots are full"),),
    ),
    Task(
        "t-6a4",
        "pull",
        "replace",
        "Row 2: bag each of the two worst standing, then cut. Off the plot, not compost. Keep the "
        "other two to tide you over",
        6,
        "cucumbers-row-2",
        must=True,
    ),
    Task("t-8b1", "sow", "at home", "Sow 8 chard in cups", 10),
)

VISITS = (
    VisitPlan(
        TUESDAY,
        at(TUESDAY, 18, 55),
        at(TUESDAY, 20, 35),
        at(TUESDAY, 20, 34),
        f"{measure(27, 'C')}, still, dry",
        75,
        TASKS,
        not_today=(
            NotToday(
                "Melon mildew, sulfur",
                "melon",
                (reason("oil went on 8 days ago and it is «33 C» tomorrow", "label", False),),
                at(SATURDAY, 0),
            ),
        ),
        left_out=("the carrots' weeding",),
        short_of_time="",
        water_left="4 cans. Two to beans, one to the new cucumbers, one spare.",
    ),
    VisitPlan(
        SATURDAY,
        at(SATURDAY, 9, 0),
        at(SATURDAY, 10, 15),
        at(SATURDAY, 20, 29),
        "«29 C», breeze",
        75,
        (),
        if_missed="courgettes run to marrows, first soap is wasted",
        bring=("fleece", "twine", "soap", "2 bags"),
    ),
)


def verdicts() -> tuple[Verdict, ...]:
    fight = Option("fight", "fight", kg(6, 9, 13), Span(20, 30, 41, "portions"), 0.83)
    set_out = Option("set out standby now", "", kg(3, 5, 8), Span(12, 19, 27, "portions"), 0.17)
    return (
        Verdict(
            "tomatoes",
            "fight",
            "fight",
            (fight, set_out),
            Span(-20, -11, 2, "portions"),
            0.17,
            0.03,
            None,
            "fight, about 5 to 8 meals a week to mid-September",
            (reason("they still bear on five trusses", "grower"),),
        ),
        Verdict(
            "cucumbers-row-2",
            "replace",
            "set out standby now",
            (replace(set_out, chance_best=0.97), replace(fight, kg=kg(0, 1, 2), chance_best=0.03)),
            Span(5, 11, 19, "portions"),
            0.97,
            0.01,
            date(2025, 8, 13),
            "replace tonight",
        ),
        Verdict(
            "courgettes",
            "let run",
            "leave",
            (),
            Span(0, 0, 0, "portions"),
            0.4,
            0.03,
            None,
            "let run",
        ),
        Verdict(
            "basil", "let run", "leave", (), Span(0, 0, 0, "portions"), 0.2, 0.03, None, "let run"
        ),
    )


def whiteflies() -> Population:
    days = tuple(TUESDAY + timedelta(days=step) for step in range(15))
    rising = tuple(8.0 * 1.09**step for step in range(15))
    falling = tuple(8.0 * 0.8**step for step in range(15))
    strips = tuple(
        Strip(
            name,
            days,
            tuple(share * v for v in falling),
            tuple(share * v * 0.6 for v in falling),
            tuple(share * v * 1.7 for v in falling),
            tuple(share * v for v in rising),
            "a leaf",
        )
        for name, share in (("eggs", 3.0), ("scales", 1.0), ("adults", 0.4))
    )
    return Population(
        "greenhouse-whitefly",
        ("aubergines", "cucumbers-row-2"),
        "Mostly scales now; the first adults of this brood about Wed 13 Aug.",
        strips,
        (
            CourseStep(TUESDAY, "potassium-salts", "soft-soap", ("aubergines",), "soap"),
            CourseStep(date(2025, 8, 11), "potassium-salts", "soft-soap", ("aubergines",), "again"),
        ),
        "Two soaps six days apart reach every egg of tonight after it hatches.",
        Span(0.04, 0.09, 0.2, "share"),
        disagrees="You counted fewer adults on Saturday than was expected.",
    )


def outlooks() -> tuple[Outlook, ...]:
    weeks = tuple(date(2025, 8, 4) + timedelta(weeks=week) for week in range(8))
    return (
        Outlook(
            "tomatoes",
            weeks,
            tuple(kg(0.8 - 0.05 * w, 1.4 - 0.1 * w, 2.1 - 0.15 * w) for w in range(8)),
            tuple(kg(0.6 - 0.05 * w, 1.1 - 0.1 * w, 1.7 - 0.15 * w) for w in range(8)),
        ),
        Outlook(
            "courgettes",
            weeks[:4],
            tuple(kg(1.0, 1.8, 2.6) for _ in range(4)),
            tuple(kg(0.2, 0.5, 1.0) for _ in range(4)),
        ),
    )


def invented_plan() -> Plan:
    return Plan(
        SCHEMA_VERSION,
        "Plot 14",
        at(TUESDAY, 12),
        VISITS,
        verdicts(),
        (
            Clearance(
                "beans",
                False,
                at(date(2025, 8, 7), 20),
                (reason("treated Sun 3 Aug", "label", False),),
            ),
            Clearance("courgettes", True, at(date(2025, 8, 1), 20)),
        ),
        (
            StandbyAdvice(
                "chard",
                "8 chard in cups (you have seed; 5 should make it)",
                sow=8,
                sow_by=date(2025, 8, 7),
            ),
            StandbyAdvice(
                "cucumber",
                "4 cucumbers, roots full, begin to coil about Sat 9 Aug",
                lot="cups-1",
                fill=1.0,
            ),
        ),
        (whiteflies(),),
        outlooks(),
        (),
        Stamp(
            "0.1.0", "3f2a", "linux-x86_64", "77c1", 14, 212, "b0d4", "2025-08-05T12:00", "9e", 64
        ),
        frost="First frost in half of the years by Tue 14 Oct, in 1 of 10 by Mon 29 Sep.",
        names=(
            ("tomatoes", "Cordon tomatoes"),
            ("cucumbers-row-2", "Row 2 cucumbers"),
            ("beans", "the beans"),
            ("courgettes", "courgettes"),
            ("aubergines", "Aubergines"),
            ("basil", "basil"),
            ("melon", "melon"),
        ),
        season=SeasonRule(
            date(2025, 7, 1),
            TUESDAY,
            tuple(max(0.0, 1 - day / 110) for day in range(123)),
            date(2025, 10, 14),
        ),
    )


@pytest.fixture
def plan() -> Plan:
    return invented_plan()
