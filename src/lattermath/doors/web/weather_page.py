"""The weather page under /set-up: a week by hand, files sent from here, and files in the folder."""

from __future__ import annotations

from dataclasses import dataclass, field

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.sent_weather import SentFile, keep_sent, read_sent
from lattermath.desk.set_up import plot_text, tried, write
from lattermath.doors.web import weather_form
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.log_fields import Filled
from lattermath.doors.web.sent_files import SentFiles
from lattermath.doors.web.set_up_fields import Placed
from lattermath.doors.web.set_up_now import SEE_OTHER, now_of
from lattermath.doors.web.weather_shown import weather_shown
from lattermath.sheets import weather_words as y
from lattermath.vocabulary.errors import Fault, LattermathError, NotThere

router = APIRouter()


@dataclass
class Asking:
    """What is wrong with a form, and what is only asked about."""

    placed: Placed = field(default_factory=Placed)
    week: bool = False
    held: str = ""  # key of a sent file that waits for an answer


@router.get("/set-up/weather")
def weather(request: Request) -> HTMLResponse:
    """A week's highs, lows and rain, and weather files."""
    house = house_of(request)
    held = plot_text(house.folder, now_of(house))
    return weather_shown(house, held, None, Placed(others=list(held.faults)))


@router.post("/set-up/weather")
async def take(request: Request) -> Response:
    """Write the week down and take a file in; the form again where it cannot be."""
    async with request.form() as form:
        filled = Filled((k, v) for k, v in form.multi_items() if isinstance(v, str))
        came = form.get(weather_form.SENT)
        file = None
        if isinstance(came, UploadFile) and came.filename:
            file = SentFile(came.filename, await came.read())
    return await run_in_threadpool(_take, house_of(request), _sent_files(request), filled, file)


def _take(house: House, sent: SentFiles, filled: Filled, file: SentFile | None) -> Response:
    now, asking = now_of(house), Asking()
    held = plot_text(house.folder, now)
    try:
        file = file or _waiting(sent, filled.one(weather_form.HELD))
        if held.faults:
            raise LattermathError(held.faults)
        read = None
        if file is not None:
            asking.held = sent.keep(file)
            read = read_sent(house.folder, file, **weather_form.answers(filled))
        today = house.today(house.record())
        changes, first = weather_form.read(filled, held, today, asking.placed, read is not None)
        for fault in tried(house.folder, held, changes, now).faults:
            asking.week |= weather_form.place_fault(fault, first, asking.placed)
        if not (asking.placed.by_name or asking.placed.others):
            with house.writing:
                write(house.folder, changes, filled.one("seen"), now)
                taken = keep_sent(house.folder, file, read, now) if file and read else None
            sent.drop(asking.held)
            if taken is None:
                return RedirectResponse("/set-up?done=weather", SEE_OTHER)
            return weather_shown(
                house, plot_text(house.folder, now), None, Placed(), says=taken.says
            )
    except LattermathError as refused:
        weather_form.place_files(refused.faults, filled, file is not None, asking.placed)
        held = plot_text(house.folder, now)
    waiting = (asking.held, file.name) if file and asking.held else ("", "")
    return weather_shown(house, held, filled, asking.placed, asking.week, waiting)


def _sent_files(request: Request) -> SentFiles:
    """The files that wait for an answer, of this app."""
    state = request.app.state
    if not hasattr(state, "sent_files"):
        state.sent_files = SentFiles()
    held: SentFiles = state.sent_files
    return held


def _waiting(sent: SentFiles, key: str) -> SentFile | None:
    """A file that came with an earlier form and waits for an answer."""
    if not key:
        return None
    file = sent.get(key)
    if file is None:
        raise NotThere(Fault(y.FILE_GONE, weather_form.SENT, "", y.FILE_GONE_REMEDY))
    return file
