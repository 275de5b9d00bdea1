"""Writing things down on a page: one form a thing, each entry once, and ticks of tasks."""

from __future__ import annotations

from fastapi import APIRouter, Request
from starlette.datastructures import UploadFile
from starlette.responses import HTMLResponse, RedirectResponse, Response

from lattermath.desk.log_visit import log
from lattermath.desk.told_entries import Record, last_of
from lattermath.doors.log_entries import consequences, written
from lattermath.doors.web.house import House, house_of
from lattermath.doors.web.last_values import all_offers
from lattermath.doors.web.log_fields import Blank, Filled, prefilled
from lattermath.doors.web.log_forms import BY_KEY, FORMS, WHEN, LogForm
from lattermath.doors.web.ticks import asked_of, is_ticked, known_of, tick_beside
from lattermath.sheets import page_words as p
from lattermath.sheets.page_views import task_titles
from lattermath.vocabulary.errors import Fault, InputError, LattermathError
from lattermath.vocabulary.events import Event
from lattermath.vocabulary.plan import Plan

router = APIRouter()
SEE_OTHER, UNREADABLE, MISSING = 303, 422, 404
DRAWN_FOR = "spots"  # the form beside which leaves are drawn


@router.get("/log")
def log_page(request: Request) -> HTMLResponse:
    """Everything that can be written down, with what was written last."""
    house = house_of(request)
    kept, record = house.keeper.look(), house.record()
    task = request.query_params.get("task", "")
    return house.page(
        "log.html",
        "/log",
        p.LOG,
        kept,
        keys=[_key(form, record, house) for form in FORMS],
        said=said_of(house, record, request.query_params.get("said", "")),
        task=task,
        how=request.query_params.get("how", ""),
        task_says=_task_says(kept.plan, house, task),
        at_odds=house.at_odds(record),
        today=house.entries(record.on(house.today(record))),
    )


@router.get("/log/{key}")
def form_page(request: Request, key: str) -> HTMLResponse:
    """The blanks of one thing."""
    form = _form(key)
    known = {
        name: words for name, words in request.query_params.items() if name not in ("task", "how")
    }
    house = house_of(request)
    asked = asked_of(house, house.record())
    task = request.query_params.get("task", "")
    known |= known_of(house.keeper.look().plan, task, asked)
    blanks = prefilled([*form.blanks(asked), WHEN], known)
    return _shown(house, form, blanks, task, how=request.query_params.get("how", ""))


@router.post("/log/{key}")
async def take(request: Request, key: str) -> Response:
    """Write an entry down; the form again, with what is wrong, where it cannot be."""
    from starlette.concurrency import run_in_threadpool

    async with request.form() as form:
        filled = Filled((n, value) for n, value in form.multi_items() if isinstance(value, str))
        sent = form.get("photo")
        named = sent.filename if isinstance(sent, UploadFile) else ""
        photo = (await sent.read(), named) if isinstance(sent, UploadFile) and named else None
    return await run_in_threadpool(_take, house_of(request), _form(key), filled, photo)


def _take(
    house: House, form: LogForm, filled: Filled, photo: tuple[bytes, str] | None = None
) -> Response:
    from lattermath.desk import photos

    record = house.record()
    asked, task = asked_of(house, record), filled.one("task")
    try:
        at = filled.hour("at") or house.when(record.plot)
        payload = form.read(filled, asked)
        picture = photos.clean(*photo) if photo else None
        own, made_up = filled.one("id") or house.new_id(), not filled.one("name")
        event = log(house.folder, payload, at, entry_id=own, made_up=made_up)
        if picture is not None:
            photos.attach(house.folder, picture, event.id, sent_with_it=True)
    except LattermathError as refused:
        blanks = filled.over([*form.blanks(asked), WHEN])
        return _shown(
            *(house, form, blanks, task, filled.one("id"), refused.faults), how=filled.one("how")
        )
    with house.writing:
        if task and not is_ticked(house.record(), task):
            tick_beside(house.folder, task, event, at, filled.one("how"))
    back = f"/?said={event.serial}#task-{task}" if task else f"/log?said={event.serial}"
    return RedirectResponse(back, SEE_OTHER)


def _shown(
    house: House,
    form: LogForm,
    blanks: list[Blank],
    task: str,
    entry_id: str = "",
    faults: tuple[Fault, ...] = (),
    how: str = "",
) -> HTMLResponse:
    from lattermath.desk.leaf_sketches import leaf_sketches
    from lattermath.sheets.leaf_sketches import SAYS

    kept = house.keeper.look()
    asked = asked_of(house, house.record())
    return house.page(
        "log_form.html",
        "/log",
        form.title,
        kept,
        UNREADABLE if faults else 200,
        key=form.key,
        fields=blanks,
        offers=all_offers((form,), house.folder, asked)[form.key],
        id=entry_id or house.new_id(),
        task=task,
        how=how,
        task_says=_task_says(kept.plan, house, task),
        faults=faults,
        drawing=leaf_sketches() if form.key == DRAWN_FOR else "",
        drawing_says=SAYS,
    )


def _form(key: str) -> LogForm:
    if key not in BY_KEY:
        raise InputError(Fault("nothing of that name can be logged", "log", key, "Go to Log."))
    return BY_KEY[key]


def _key(form: LogForm, record: Record, house: House) -> dict[str, str]:
    """A key of the log page; its last value where only one form writes that kind of entry."""
    alone = sum(form.kinds == other.kinds for other in FORMS) == 1
    last = last_of(record.entries, form.kinds) if alone else None
    says = house.say(last.says) if last else ""
    return {"key": form.key, "title": form.title, "hint": form.hint, "last": says}


def said_of(house: House, record: Record, serial: str) -> list[str]:
    """What was just written, and what follows from it."""
    event = _event(house, record, serial)
    if event is None:
        return []
    lines = [
        *written(house.folder, event, record.plot),
        *consequences(house.folder, event, record.plot),
    ]
    return [house.say(line) for line in lines]


def _event(house: House, record: Record, serial: str) -> Event | None:
    from lattermath.desk.told_entries import entry_of

    for one in record.entries:
        if one.may_undo and serial in (str(one.serial), one.id):
            return entry_of(house.folder, one.serial)
    return None


def _task_says(plan: Plan | None, house: House, task: str) -> str:
    return task_titles(plan, house.units).get(task, "") if plan and task else ""
