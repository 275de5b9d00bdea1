"""How the values of the plot file are read: crop words, dates, clock times, label lines."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from difflib import get_close_matches
from typing import Annotated, Any
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BeforeValidator, PlainValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from lattermath.record.rough_dates import (
    RoughDate,
    Season,
    read_coming_day,
    read_day_of_year,
    read_rough_date,
)
from lattermath.vocabulary.label import LabelLine

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, slots=True)
class Reading:
    """What is needed to read the words of a file: crop words, and the year of a date."""

    crop_of: Callable[[str], str | None]
    near_crops: Callable[[str], Sequence[str]]
    active_of: Callable[[str], str | None]
    season: Season
    ground_of: Callable[[str], float | None] = lambda _: None  # by crop id; of one plant [m2]

    def ground_of_word(self, word: str) -> float | None:
        """Ground that one plant takes, by the grower's word for its crop. [m2]"""
        crop = self.crop_of(word)
        return None if crop is None else self.ground_of(crop)


def wrong(what: str, remedy: str) -> PydanticCustomError:
    """A fault of one value, with its remedy."""
    return PydanticCustomError("plot_file", "{what}", {"what": what, "remedy": remedy})


def nearest(word: str, known: Iterable[str]) -> str:
    """A remedy that names the nearest known word, or all of them where none is near."""
    words = sorted(known)
    found = get_close_matches(word, words, n=1, cutoff=0.6)
    if found:
        return f"Did you mean {found[0]}?"
    return f"Known here: {', '.join(words)}." if words else ""


def _reading(info: ValidationInfo) -> Reading:
    if not isinstance(info.context, Reading):
        raise TypeError("a plot file is read with its words at hand")
    return info.context


def _crop(word: Any, info: ValidationInfo) -> str:
    reading = _reading(info)
    if not isinstance(word, str):
        raise wrong("a crop is a word", 'Write it in quotes, as in "cucumber".')
    crop = reading.crop_of(word)
    if crop is None:
        near = reading.near_crops(word)
        remedy = (
            f"Did you mean {' or '.join(near)}?"
            if near
            else "`lattermath log words` lists the crops."
        )
        raise wrong("this crop is not in the tables", remedy)
    return crop


def _active(word: Any, info: ValidationInfo) -> str:
    reading = _reading(info)
    if not isinstance(word, str):
        raise wrong("an active ingredient is a word", "Write its common name in quotes.")
    active = reading.active_of(word)
    if active is None:
        what = "this is not in the tables, and may be a slip of what is"
        raise wrong(what, "Write its common name in full, as the label has it.")
    return active


def _rough(value: Any, info: ValidationInfo) -> RoughDate:
    reading = _reading(info)
    if isinstance(value, date) and not isinstance(value, datetime):
        return RoughDate(value)
    if isinstance(value, str):
        try:
            return read_rough_date(value, reading.season)
        except ValueError:
            pass
    raise wrong("this is no date", 'Write 2026-06-15, or words such as "mid-June".')


def _coming(value: Any, info: ValidationInfo) -> date:
    """A day that may lie ahead: with its year, or day and month in the season's year."""
    reading = _reading(info)
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    try:
        return read_coming_day(value, reading.season)
    except (ValueError, AttributeError):
        raise wrong("this is no date", 'Write 2026-11-15, or "15 November".') from None


def _day_of_year(value: Any) -> str:
    if isinstance(value, date):
        return f"{value:%m-%d}"
    try:
        return read_day_of_year(value)
    except (ValueError, AttributeError):
        raise wrong("this is no day of the year", 'Write "10-06" or "6 October".') from None


def _clock(value: Any) -> time:
    if isinstance(value, time):
        return value
    try:
        return time.fromisoformat(value)
    except (ValueError, TypeError):
        raise wrong("this is no time of day", 'Write "18:30".') from None


def _zone(value: Any) -> str:
    try:
        return ZoneInfo(value).key
    except (ValueError, OSError, KeyError, TypeError, AttributeError):
        found = get_close_matches(str(value), available_timezones(), n=1)
        remedy = f"Did you mean {found[0]}?" if found else 'Write it as in "Europe/London".'
        raise wrong("this time zone is not known", remedy) from None


def _weekday(value: Any) -> str:
    day = str(value).strip().lower()[:3]
    if day not in WEEKDAYS:
        raise wrong("this is no day of the week", f"Write {', '.join(WEEKDAYS)}.")
    return day


def _maybe_number(value: Any) -> float | None:
    if value == "?":
        return None
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    raise wrong("this is no number", 'Write a number, or "?" where it is not known.')


def _label_line(read: Callable[[Any], Any], example: str) -> PlainValidator:
    """A validator of one label line: a value, "none", either with words."""

    def line(given: Any) -> LabelLine[Any]:
        words = ""
        if isinstance(given, dict):
            if given.keys() - {"value", "words"} or "value" not in given:
                raise wrong("a label line has a value and words", f"Write {example}.")
            given, words = given["value"], str(given.get("words", ""))
        if given == "none":
            return LabelLine("none", None, words)
        try:
            return LabelLine("value", read(given), words)
        except ValueError as fault:
            raise wrong(
                str(fault),
                f'Write {example}; "none" where the label gives none and you looked; '
                "leave it out while it is not copied.",
            ) from None

    return PlainValidator(line)


def _amount(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value < 1e6:
        raise ValueError("this label line is no amount")
    return float(value)


def _above_nothing(value: Any) -> float:
    """A rate or a maximum of 0 is no line of a label: nothing could be mixed by it."""
    if _amount(value) == 0:
        raise ValueError("a rate or a maximum is above 0")
    return float(value)


def _warmth(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not -20 <= value <= 60:
        raise ValueError("this label line is no air temperature")
    return float(value)


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise ValueError("this label line is no whole number")
    return value


BLOOM = ("never in bloom", "evening only", "no bee wording")


def _bloom(value: Any) -> str:
    if value not in BLOOM:
        raise ValueError("this is none of the bloom words")
    return str(value)


_SERVICE = re.compile(r"https://[A-Za-z0-9.-]+(:\d+)?(/[\w./~-]*)?")
_HERE = re.compile(r"http://(127\.0\.0\.1|localhost|\[::1\])(:\d+)?(/[\w./~-]*)?")


def _service(value: Any) -> str:
    """An address that others on the way cannot read or change, or one on this machine."""
    if not isinstance(value, str) or not (_SERVICE.fullmatch(value) or _HERE.fullmatch(value)):
        raise ValueError("this is no address that begins with https:// and has no ? in it")
    return value


_DIGITS_OF_A_NUMBER, _LONGEST_NUMBER = 3, 80


def _telephone(value: Any) -> str:
    """A number to ring, with a word or two; nothing looks whether anybody answers there."""
    words = " ".join(value.split()) if isinstance(value, str) else ""
    digits = sum(letter.isdigit() for letter in words)
    if digits < _DIGITS_OF_A_NUMBER or len(words) > _LONGEST_NUMBER:
        raise ValueError("this is no number to ring: write it in quotes, as it is dialled")
    return words


CropWord = Annotated[str, PlainValidator(_crop)]
Telephone = Annotated[str, PlainValidator(_telephone)]
ActiveWord = Annotated[str, PlainValidator(_active)]
Rough = Annotated[RoughDate, PlainValidator(_rough)]
ComingDay = Annotated[date, PlainValidator(_coming)]
DayOfYear = Annotated[str, PlainValidator(_day_of_year)]
Clock = Annotated[time, PlainValidator(_clock)]
Zone = Annotated[str, PlainValidator(_zone)]
ServiceAddress = Annotated[str, PlainValidator(_service)]
DayOfWeek = Annotated[str, PlainValidator(_weekday)]
MaybeNumber = Annotated[float | None, BeforeValidator(_maybe_number)]
AmountLine = Annotated[LabelLine[float], _label_line(_amount, "a number such as 3")]
RateLine = Annotated[LabelLine[float], _label_line(_above_nothing, "a number such as 3")]
WarmthLine = Annotated[LabelLine[float], _label_line(_warmth, "a temperature such as 30")]
CountLine = Annotated[LabelLine[int], _label_line(_whole, "a whole number such as 2")]
BloomLine = Annotated[
    LabelLine[str], _label_line(_bloom, " or ".join(f'"{words}"' for words in BLOOM))
]
