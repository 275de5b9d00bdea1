"""What every compute kernel shares: strict forms for what is asked and answered, and its faults."""

from __future__ import annotations

import difflib
import json
import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Annotated, Any, Generic, TypeVar
from zoneinfo import ZoneInfo, available_timezones

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from lattermath.vocabulary.errors import Fault, InputError, LattermathError, TableError
from lattermath.vocabulary.sentence import inside

SEE_LIST = "See lattermath compute --list."
MOST = 1e9  # judgement: no quantity here comes near it, and no arithmetic on it overflows
COLDEST_C, HOTTEST_C = -90.0, 70.0  # beyond the extremes of weather and soil; 77 is Fahrenheit
EARLIEST, LATEST = date(1600, 1, 1), date(2999, 12, 31)  # the calendar that the sun times hold for

Number = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=-MOST, le=MOST)]
Celsius = Annotated[float, Field(strict=True, allow_inf_nan=False, ge=COLDEST_C, le=HOTTEST_C)]
Whole = Annotated[int, Field(strict=True)]
Yes = Annotated[bool, Field(strict=True)]
Word = Annotated[str, Field(strict=True, min_length=1)]
Latitude = Annotated[Number, Field(ge=-90, le=90)]
Longitude = Annotated[Number, Field(ge=-180, le=180)]
Share = Annotated[Number, Field(ge=0, le=1)]
Positive = Annotated[Number, Field(gt=0)]
NotNegative = Annotated[Number, Field(ge=0)]
Percent = Annotated[Number, Field(ge=0, le=100)]
Series = Annotated[list[Number], Field(min_length=1)]
CelsiusSeries = Annotated[list[Celsius], Field(min_length=1)]
WaterSeries = Annotated[list[NotNegative], Field(min_length=1)]


def _iso_text(value: object) -> object:
    """Days and hours come as text by ISO 8601, never as a bare number of seconds."""
    if not isinstance(value, str):
        raise ValueError("a day or hour as ISO 8601 text")
    return value


def _iso_day(value: object) -> object:
    if not (isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value)):
        raise ValueError("a day as YYYY-MM-DD")
    return value


def _in_our_calendar(value: datetime) -> datetime:
    if not EARLIEST <= value.date() <= LATEST:
        raise ValueError(f"between {EARLIEST.isoformat()} and {LATEST.isoformat()}")
    return value


Day = Annotated[date, BeforeValidator(_iso_day), Field(ge=EARLIEST, le=LATEST)]
Instant = Annotated[datetime, BeforeValidator(_iso_text), AfterValidator(_in_our_calendar)]
Dated = date  # a day in an answer, also where a field is itself called `date`


class Asked(BaseModel):
    """One request: exact field names, numbers as numbers, nothing unknown."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Answer(BaseModel):
    """One answer; what is not known is null."""

    model_config = ConfigDict(frozen=True)


A = TypeVar("A", bound=Asked)


@dataclass(frozen=True, slots=True)
class Form(Generic[A]):
    """One kernel as it is asked from outside."""

    asked: type[A]
    answer: type[Answer]
    run: Callable[[A], Answer]
    says: str

    def one(self, request: object, place: str) -> dict[str, Any]:
        """Answer one request; `place` is where it stands in what was sent, `[3]` or nothing."""
        try:
            asked = self.asked.model_validate(request)
            answered = self.run(asked)
        except ValidationError as error:
            raise InputError(list(_faults(error, self.asked, place))) from error
        except LattermathError as error:
            raise InputError([_moved(f, error, place) for f in error.faults]) from error
        except (ValueError, OverflowError) as error:
            raise InputError(Fault(str(error), place or "input", "", SEE_LIST)) from error
        plain = null_for_unknown(answered.model_dump(mode="json"))
        assert isinstance(plain, dict)
        return plain


def _moved(fault: Fault, error: LattermathError, place: str) -> Fault:
    """A fault at its place in what was sent; one of a table at the word that asked for it."""
    if not isinstance(error, TableError):
        return replace(fault, where=at(place, fault.where), remedy=fault.remedy or SEE_LIST)
    remedy = f"{fault.remedy} The table's cell is {fault.where}.".strip()
    return replace(fault, where=at(place, "crop"), remedy=remedy)


def at(place: str, field: str) -> str:
    """The place of a field: `[3].t_min`."""
    return f"{place}.{field}" if place else field


def refuse(what: str, field: str, value: object, remedy: str) -> InputError:
    """A refusal of one field."""
    return InputError(Fault(what, field, shown(value), remedy))


def same_length(first: str, one: Sequence[object], second: str, other: Sequence[object]) -> None:
    """Refuse two series of unlike length."""
    if len(one) != len(other):
        remedy = f"Give as many as {first}: {len(one)}."
        raise refuse("the series differ in length", second, len(other), remedy)


def extremes(t_min: Sequence[float], t_max: Sequence[float]) -> None:
    """Refuse daily extremes of unlike length, or a minimum above its maximum."""
    same_length("t_min", t_min, "t_max", t_max)
    for day, (low, high) in enumerate(zip(t_min, t_max, strict=True)):
        if low > high:
            raise refuse(
                "the minimum is above the maximum", f"t_min[{day}]", low, f"t_max is {high:g}."
            )


def extreme(t_min: float, t_max: float) -> None:
    """Refuse a minimum above its maximum."""
    if t_min > t_max:
        raise refuse("the minimum is above the maximum", "t_min", t_min, f"t_max is {t_max:g}.")


def unknown_word(what: str, field: str, word: str, known: Iterable[str]) -> InputError:
    """A refusal of a word that nobody knows, with the nearest that is known."""
    return refuse(what, field, word, nearest(word, known))


def zone_named(name: str) -> ZoneInfo:
    """The IANA zone of that name; InputError with the nearest where there is none."""
    if name not in available_timezones():
        raise unknown_word("no such time zone", "time_zone", name, available_timezones())
    return ZoneInfo(name)


def nearest(word: str, known: Iterable[str]) -> str:
    """A remedy that names the nearest known words."""
    names = list(known)
    near = difflib.get_close_matches(word, names, n=3, cutoff=0.5)
    return f"Did you mean {' or '.join(near)}?" if near else f"Known: {', '.join(sorted(names))}."


def shown(value: object) -> str:
    """A value as an error shows it, cut to a line."""
    text = value if isinstance(value, str) else json.dumps(value, default=str, ensure_ascii=False)
    return text if len(text) <= 80 else f"{text[:77]}..."


def null_for_unknown(value: Any) -> Any:
    """The same data with null for every number that is not finite."""
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, Mapping):
        return {key: null_for_unknown(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [null_for_unknown(item) for item in value]
    return value


def _faults(error: ValidationError, asked: type[Asked], place: str) -> Iterable[Fault]:
    for found in error.errors(include_url=False):
        where = place + _path(found["loc"], place)
        what, remedy = _words(found["type"], found["msg"])
        if found["type"] == "extra_forbidden":
            remedy = nearest(str(found["loc"][-1]), _fields(asked, found["loc"]))
        value = "" if found["type"] == "missing" else shown(found["input"])
        yield Fault(what, where or "input", value, remedy)


def _words(kind: str, message: str) -> tuple[str, str]:
    if kind == "missing":
        return "this field is missing", "Add it."
    if kind == "extra_forbidden":
        return "there is no such field", ""
    if kind == "model_type":
        return "this is not a JSON object", "Send {...}, or an array of them."
    plain = message.removeprefix("Input should be ").removeprefix("Value error, ")
    if plain != message:
        return f"this should be {plain}", f"Give {plain}."
    return inside(message), SEE_LIST


def _path(loc: tuple[int | str, ...], place: str) -> str:
    path = ""
    for part in loc:
        if isinstance(part, int):
            path += f"[{part}]"
        else:
            path += f".{part}" if path or place else part
    return path


def _fields(asked: type[Asked], loc: tuple[int | str, ...]) -> list[str]:
    """The field names known at the place where an unknown one stood."""
    held: type[BaseModel] = asked
    for part in loc[:-1]:
        if isinstance(part, str) and part in held.model_fields:
            inner = _model_in(held.model_fields[part].annotation)
            held = inner or held
    return list(held.model_fields)


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    inner = (_model_in(part) for part in getattr(annotation, "__args__", ()))
    return next((model for model in inner if model), None)
