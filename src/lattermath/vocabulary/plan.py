"""The plan for the coming visits: what `plan --json` writes and every sheet prints."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from lattermath.vocabulary.at_odds import Disagreement, MayBe
from lattermath.vocabulary.bare_ground import BareGround
from lattermath.vocabulary.blanks import GoesIn, Wanted
from lattermath.vocabulary.figure import Standing
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.season_series import DaySpan, HeatCourse, Strip, Trace, WaterCourse
from lattermath.vocabulary.since import Since
from lattermath.vocabulary.span import Span as Span
from lattermath.vocabulary.spoiled import Spoiled

SCHEMA_VERSION = 1
WATER = "water"  # the amount that goes into the sprayer
OVER = "minutes more than you have"  # of a visit that lasts longer than the holder has
OF_THE_MIX = "the mix for these"  # the amount of a mix that one planting gets
Day = date  # for a field that is itself called `date`

TaskKind = Literal["water", "pick", "look", "care", "set out", "sow", "pull", "cover", "treat"]
Part = Literal[
    "on arrival", "pick", "look", "care", "replace", "sick plants last", "last job", "at home"
]
Fate = Literal[
    "fight",
    "leave",
    "set out standby now",
    "wait for the lot",
    "direct sow",
    "another crop",
    "cover",
    "pull",
]
Verdict_ = Literal["fight", "let run", "replace", "pull"]


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of what to take or mix."""

    what: str
    quantity: float
    unit: str
    standing: Standing = "derived"
    planting: str | None = None  # whose share it is, where a task serves several


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do at one visit."""

    id: str
    kind: TaskKind
    part: Part
    says: str  # begins with a verb; what the grower reads
    minutes: float
    planting: str | None = None
    product: str | None = None
    method: str | None = None
    starts: datetime | None = None
    ends: datetime | None = None
    amounts: tuple[Amount, ...] = ()
    surfaces: tuple[str, ...] = ()
    only_if: str = ""
    look_at: str | None = None  # planting whose look decides `only_if`; None: its own
    cautions: tuple[str, ...] = ()
    because: tuple[Because, ...] = ()
    if_skipped: str = ""
    must: bool = False  # one of the few to do when time is short
    dies: bool = False  # what it is for is lost tonight without it: done whatever the minutes
    worth: float | None = None  # portions that it is reckoned to save; None: not reckoned
    due: Day | None = None  # from when it is wanted; None: at this visit
    wanted: tuple[Wanted, ...] = ()  # the figures that a look brings home
    goes_in: GoesIn | None = None  # of a setting out or a sowing

    @property
    def decided_at(self) -> str | None:
        """The planting whose look decides it, where it waits for one."""
        return self.look_at or self.planting


@dataclass(frozen=True, slots=True)
class NotToday:
    """Something that one might do and must not, or not yet."""

    what: str
    planting: str | None
    because: tuple[Because, ...]
    look_again: datetime | None = None


@dataclass(frozen=True, slots=True)
class VisitPlan:
    """One coming visit."""

    date: Day
    arrive: datetime
    leave: datetime
    sunset: datetime | None
    weather: str
    minutes: float
    tasks: tuple[Task, ...]
    not_today: tuple[NotToday, ...] = ()
    left_out: tuple[str, ...] = ()  # what does not fit in the time
    no_time: tuple[str, ...] = ()  # the ids of these, and of treatments that would be in the dark
    short_of_time: str = ""
    if_missed: str = ""
    bring: tuple[str, ...] = ()
    water_left: str = ""
    warning: str = ""  # what stands before everything else: a frost to come


@dataclass(frozen=True, slots=True)
class Option:
    """One fate of a planting, over the same futures as its rivals."""

    fate: Fate
    says: str
    kg: Span
    value: Span  # household value, in portions
    chance_best: float


@dataclass(frozen=True, slots=True)
class Turn:
    """One input, and the nearest value at which a choice would be another, all else as it is.

    None where no value within `least` to `most` turns it. Where an input is a word, `word` and
    `at_word` have it and the numbers are places in its order.
    """

    input: str
    now: float
    at: float | None
    unit: str
    least: float
    most: float
    turns_to: str = ""
    word: str = ""
    at_word: str = ""


@dataclass(frozen=True, slots=True)
class Verdict:
    """Keep or replace, for one planting."""

    planting: str
    verdict: Verdict_
    choice: Fate
    options: tuple[Option, ...]
    difference: Span  # value of the best replacement less the value of keeping
    chance_replacing_better: float
    chance_error: float  # sampling error of that chance
    decide_by: date | None
    says: str
    because: tuple[Because, ...] = ()
    minds: bool = False  # let run, but with something to know: it gets a line of its own
    turns: tuple[Turn, ...] = ()  # what would change it, one for each input


@dataclass(frozen=True, slots=True)
class Clearance:
    """From when a planting may be picked, and what bars it until then. None: unknown."""

    planting: str
    clear_now: bool
    safe_from: datetime | None
    barred_by: tuple[Because, ...] = ()


@dataclass(frozen=True, slots=True)
class Used:
    """One treatment that still closes something: when it ended, and what it was done with."""

    at: datetime
    product: str | None
    method: str


@dataclass(frozen=True, slots=True)
class Closed:
    """An own planting that treatments close, to pickers or to everybody.

    `planned`: as it will stand at the end of the next visit, once that is done as planned.
    `bed`: the bed as the grower calls it, where the planting has been pulled and nothing stands.
    """

    planting: str
    uses: tuple[Used, ...]  # of this planting, or of another in its bed; the oldest first
    picking: Clearance
    entering: Clearance
    planned: bool = False
    bed: str = ""


@dataclass(frozen=True, slots=True)
class StandbyAdvice:
    """A lot in hand, or a sowing to make."""

    crop: str
    says: str
    lot: str | None = None
    sow: int | None = None
    sow_by: date | None = None
    ready_from: date | None = None
    ready_to: date | None = None
    fill: float | None = None
    delay_days: float | None = None
    early_loss: float | None = None
    missing: str = ""  # what is not in the tin, and by when to get it
    because: tuple[Because, ...] = ()
    named: str = ""  # the crop in everyday words, as many: `courgettes`
    called: str = ""  # a lot in hand as the grower calls it
    plants: int | None = None  # of a lot in hand
    sown: date | None = None
    cup_ml: float | None = None
    variety: str = ""


@dataclass(frozen=True, slots=True)
class LastSowing:
    """The last useful sowing of one crop at this place; None: not that way."""

    crop: str
    named: str
    in_cups: Day | None
    in_place: Day | None

    @property
    def latest(self) -> Day | None:
        """The later of the two."""
        return max((day for day in (self.in_cups, self.in_place) if day is not None), default=None)


@dataclass(frozen=True, slots=True)
class Presence:
    """What probably sits on one planting today, and where it may go from there."""

    planting: str
    seen: bool  # seen on it, and not missed since
    level: Span  # what a grower would count or judge today
    goes_to: tuple[str, ...] = ()  # where what leaves it would settle, the most first


@dataclass(frozen=True, slots=True)
class CourseStep:
    """One treatment of a course."""

    day: date
    method: str
    product: str | None
    plantings: tuple[str, ...]
    says: str
    no_time: tuple[str, ...] = ()  # those of them for which this visit has no time


@dataclass(frozen=True, slots=True)
class Population:
    """What lives on the plantings of one cluster, and the course against it."""

    organism: str
    plantings: tuple[str, ...]
    says: str
    strips: tuple[Strip, ...]
    course: tuple[CourseStep, ...]
    course_says: str
    left_on_last_day: Span  # share of the untreated number
    disagrees: str = ""  # when belief and sighting disagree: what was seen, what was expected
    generation_days: float | None = None  # egg to adult at the expected warmth
    because: tuple[Because, ...] = ()
    where: tuple[Presence, ...] = ()  # one for each of `plantings`
    so_far: tuple[Trace, ...] = ()  # the strips' stages up to today, in the strips' unit
    hatch: DaySpan | None = None  # by when an egg laid today has hatched; None: lays none
    turn: Turn | None = None  # the number at which the course would begin, or cease, to pay
    may_be: tuple[MayBe, ...] = ()  # what may explain that it disagrees, the likeliest first
    to_tell: str = ""  # the look that would tell these apart, as a sentence
    more_at_odds: tuple[Disagreement, ...] = ()  # of other plantings, the worst first
    look_at: tuple[str, ...] = ()  # plantings at which a look would tell what is at odds
    gap: float | None = None  # at most so much of what could be saved is missed; 0 to 1
    spoiled: tuple[Spoiled, ...] = ()  # what it soils of the coming pickings, by planting
    # Plantings on which it was seen that the course leaves out, each with why in few words.
    not_there: tuple[tuple[str, str], ...] = ()
    found: bool = True  # False: looked for on `plantings`, and none found on the plot so far
    called: str = ""  # as it was logged, where nobody named the species: aphids
    reckoned_as: str = ""  # then the name of the species whose figures stand in


@dataclass(frozen=True, slots=True)
class Outlook:
    """What one planting, or the whole plot, will still give by week, with the plan and without."""

    planting: str
    weeks: tuple[date, ...]  # the Monday of each week
    with_plan: tuple[Span, ...]
    without: tuple[Span, ...]
    later: str = ""  # of what is lifted when these weeks are over, or shows in none of them
    later_kg: Span | None = None


@dataclass(frozen=True, slots=True)
class SeasonRule:
    """The season as one stalk a day: the growing warmth still to come, as a drawing's heights."""

    first: date
    today: date
    heights: tuple[float, ...]  # 0 to 1, one a day from `first`; warmth times chance of no frost
    frost: date | None = None  # the usual first frost


@dataclass(frozen=True, slots=True)
class Stamp:
    """What a plan was made from; same stamp, same bytes, on the same platform."""

    code: str
    lock: str
    platform: str
    tables: str
    seed: int
    serial: int
    weather: str
    as_of: str
    preferences: str
    budget: int
    previous: str = ""


@dataclass(frozen=True, slots=True)
class Drink:
    """What one planting wants poured at its foot on a day on which a helper comes. [l]"""

    day: Day
    planting: str
    litres: float
    says: str  # the same in the grower's cans


@dataclass(frozen=True, slots=True)
class Absence:
    """Days on which nobody comes: the visits they take, and what these would have brought.

    water : what a helper would pour on the days of `missed`; empty where nothing is due or the
            ground is not followed that far.
    """

    first: Day
    last: Day
    missed: tuple[Day, ...]  # the visits there would be
    loss: Span  # of what the plantings that stay would give, to the end of the season
    says: str
    water: tuple[Drink, ...] = ()
    can: str = ""  # what one can holds


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole visit plan."""

    schema_version: int
    plot: str
    as_of: datetime
    visits: tuple[VisitPlan, ...]
    verdicts: tuple[Verdict, ...]
    picking: tuple[Clearance, ...]
    standby: tuple[StandbyAdvice, ...]
    populations: tuple[Population, ...]
    outlook: tuple[Outlook, ...]
    warnings: tuple[str, ...]
    stamp: Stamp
    frost: str = ""
    rough: tuple[str, ...] = ()
    names: tuple[tuple[str, str], ...] = ()  # key, and the name as the grower typed it
    season: SeasonRule | None = None
    closed: tuple[Closed, ...] = ()  # what must not be picked or entered, for tags and calendar
    harvest: Outlook | None = None  # of all plantings that have an outlook; its planting is ""
    since: Since | None = None  # None: there was no sheet before
    away: tuple[Absence, ...] = ()  # those that begin in the coming four weeks
    last_sowings: tuple[LastSowing, ...] = ()  # of what is in the tin
    bare: tuple[BareGround, ...] = ()  # beds with nothing on them, filled now or not
    water: tuple[WaterCourse, ...] = ()  # of each planting whose ground is followed
    heat: tuple[HeatCourse, ...] = ()  # of insects followed, and of plantings still growing
