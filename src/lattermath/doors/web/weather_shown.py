"""The weather page as it is shown: blanks, files that were taken in, and what is asked."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.responses import HTMLResponse

from lattermath.desk.sent_weather import taken_files
from lattermath.desk.set_up import PlotText
from lattermath.doors.web import weather_form
from lattermath.doors.web.first_form import days_asked
from lattermath.doors.web.house import House
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.set_up_fields import Box, Placed
from lattermath.doors.web.set_up_now import UNREADABLE
from lattermath.sheets import set_up_words as u
from lattermath.sheets import weather_words as y
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.counted import counted


def weather_shown(
    house: House,
    held: PlotText,
    filled: Filled | None,
    placed: Placed,
    asked: bool = False,
    waiting: tuple[str, str] = ("", ""),
    says: Sequence[str] = (),
) -> HTMLResponse:
    """The page, as typed or as the file has it, with each fault beside its blank.

    waiting : key and name of a file that was sent and waits for an answer; says : of one taken in.
    """
    today = house.today(house.record())
    rows = [placed.over(row) for row in weather_form.boxes(held, today, filled)]
    files = _files(house, held, filled)
    boxes = {box.name: box for box in placed.over(files)}
    wrong = [box for box in (*(b for row in rows for b in row), *boxes.values()) if box.faults]
    sure = {name: bool(filled and filled.one(f"sure.{name}")) for name in ("week", "far")}
    far = any(map(weather_form.is_far, (f for box in boxes.values() for f in box.faults)))
    return house.page(
        "set_up_weather.html",
        "/set-up",
        u.WEEK,
        house.keeper.look(),
        UNREADABLE if filled is not None else 200,
        days=[
            {"n": n, "says": said(day), "today": day == today, "boxes": row}
            for n, (day, row) in enumerate(zip(days_asked(today), rows, strict=True))
        ],
        files=boxes[weather_form.FILES],
        sent=boxes[weather_form.SENT],
        file_units=boxes[weather_form.UNITS],
        forecast=bool(filled and filled.one(weather_form.FORECAST)),
        waiting=waiting,
        says=says,
        taken=[_taken(one) for one in taken_files(house.folder)],
        unit=u.UNITS_US if held.us else u.UNITS_METRIC,
        asked=asked or sure["week"],
        sure=sure["week"],
        far_asked=far or sure["far"],
        far_sure=sure["far"],
        seen=held.digest,
        others=placed.others,
        mends=[
            (box.name, u.NAMED_FAULT.format(label=box.label, what=box.faults[0].what))
            for box in wrong
        ],
        count=len(wrong) + len(placed.others),
    )


def _files(house: House, held: PlotText, filled: Filled | None) -> list[Box]:
    named = ", ".join(map(str, held.document.get("weather", [])))
    typed = (named,) if filled is None else filled.several(weather_form.FILES)
    units = () if filled is None else filled.several(weather_form.UNITS)
    hint = y.FILES_HINT.format(folder=house.folder.resolve())
    return [
        Box(weather_form.FILES, y.FILES, hint=hint, values=tuple(one for one in typed if one)),
        Box(weather_form.SENT, y.SEND_FILE, hint=y.SEND_FILE_HINT),
        Box(
            weather_form.UNITS,
            y.FILE_UNITS,
            "choice",
            options=(("metric", y.FILE_METRIC), ("us", y.FILE_US)),
            values=units,
        ),
    ]


def _taken(one: object) -> str:
    file, first, last, days = (getattr(one, name) for name in ("file", "first", "last", "days"))
    return y.TAKEN_FILE.format(
        file=file,
        first=f"{said(first)} {first.year}",
        last=f"{said(last)} {last.year}",
        days=counted(days, "days"),
    )
