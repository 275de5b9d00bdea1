"""`lattermath log`: what was seen and done at the plot, in the words of the work."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import App, Parameter

from lattermath.doors import answering, asking
from lattermath.doors.asking import HERE, AsJson, At, PhotoFile, PlotFolder, Units, UnitsAsked
from lattermath.vocabulary.events import (
    Event,
    How,
    Level,
    LookedAt,
    Payload,
    Picking,
    SettingOut,
    Sighting,
    Sowing,
    Treatment,
    Visit,
)
from lattermath.vocabulary.plot import Plot

log_app = App(
    name="log",
    suppress_keyboard_interrupt=False,
    help="Write down what was seen and done.",
    help_epilogue="Example: lattermath log count aubergines whitefly 12,0,3 --stage scales",
)
corrects: ContextVar[str | None] = ContextVar("corrects", default=None)  # entry put right

What = Annotated[
    str, Parameter(help="Insect or disease (`lattermath log words` lists them), or your own word.")
]
Named = Annotated[str, Parameter(help="Planting, by its name or its key.")]
Side = Annotated[
    LookedAt, Parameter(help="Where on the plant; flowers: thrips tapped out of them.")
]
Flowers = Annotated[int, Parameter(help="How many flowers, of thrips tapped out of them.")]
NoteWords = Annotated[str, Parameter(name="--note", help="Anything worth keeping.")]
HOWS: dict[str, How] = {
    "as-written": "as written",
    "otherwise": "otherwise",
    "not-done": "not done",
}


def example(words: str) -> str:
    """The last line of a command's help."""
    return f"Example: lattermath log {words}"


def post(
    folder: Path,
    payload: Payload,
    at: str,
    as_json: bool,
    held: Plot | None = None,
    units: Units = "metric",
    photo: Path | None = None,
) -> int:
    """Hand one entry to the desk and say what was written, and what follows from it.

    held  : the plot that names were looked up in, so that it is not put together again.
    photo : a picture that goes with it; where it is none, nothing is written.
    """
    from lattermath.desk import log_visit
    from lattermath.sheets.schema import as_data

    keep = kept_with(photo)
    event = log_visit.log(folder, payload, asking.instant(at), corrects.get(), held)
    lines = [*written(folder, event, held), *keep(folder, event)]
    lines += consequences(folder, event, held)
    answering.answer(lines, as_data(event) | {"says": lines}, as_json, units)
    return answering.DONE


def kept_with(photo: Path | None) -> Callable[[Path, Event], tuple[str, ...]]:
    """Read a picture now, so that a wrong one is refused; what keeps it once there is an entry."""
    from lattermath.desk import photos

    picture = None if photo is None else photos.photo_from(photo)

    def keep(folder: Path, event: Event) -> tuple[str, ...]:
        if picture is None:
            return ()
        return (photos.said_of(photos.attach(folder, picture, event.id)),)

    return keep


def written(folder: Path, event: Event, held: Plot | None) -> tuple[str, ...]:
    """The entry read back, and what is odd about it."""
    from lattermath.desk.log_words import echo

    return echo(folder, event, held)


def consequences(folder: Path, event: Event, held: Plot | None) -> tuple[str, ...]:
    """What a treatment closes, a picking or a planting too early; loaded only then, to be quick."""
    if isinstance(event.payload, Treatment):
        from lattermath.desk.after_treatment import after_treatment

        return after_treatment(folder, event, held)
    if isinstance(event.payload, Picking) and held is not None:
        from lattermath.desk.after_picking import after_picking

        return after_picking(folder, event, held)
    if isinstance(event.payload, (SettingOut, Sowing)) and event.payload.planting:
        from lattermath.desk.planted_early import after_planting

        return after_planting(folder, event)
    return ()


def plot_at(folder: Path) -> Plot:
    """The plot as it stands, in which names are looked up."""
    from lattermath.desk import log_names

    return log_names.plot_now(folder)


def planting_key(held: Plot, words: str) -> str:
    """The key of a planting as the grower says it; refuses a bed, a lot or a product."""
    from lattermath.desk import log_names

    return log_names.planting_key(held, words)


def looked_over(
    folder: Path, crop: str, what: str, leaves: int, plants: int, flowers: int = 0
) -> tuple[int, str]:
    """How many leaves, plants or flowers, and where that is given; refuses the wrong one."""
    from lattermath.desk import what_was_seen
    from lattermath.desk.wiring import folder_at, tables_of

    tables = tables_of(folder_at(folder))
    number = what_was_seen.looks_at(what, leaves, plants, tables, flowers=flowers, crop=crop)
    named = what_was_seen.named_here(what, crop, tables)
    by_plant = bool(plants or what_was_seen.by_plant(named, tables))
    return number, what_was_seen.OPTIONS[2 if flowers else int(by_plant)]


@log_app.command(help_epilogue=example("count aubergines whitefly 12,0,3 --stage scales"))
def count(
    planting: Named,
    what: What,
    numbers: Annotated[
        str,
        Parameter(
            help="none, few (up to 5 a leaf), many (up to 30) or heavy, with --leaves; or one "
            "number a leaf, 12,0,3; or their sum, with --leaves; or how many leaves had any, "
            "'7 of 10'. Caterpillars, beetles, bugs and borers: the same of plants, with --plants."
        ),
    ],
    /,
    *,
    stage: Annotated[
        str, Parameter(help="Which stage was counted: eggs, scales (not the crawlers), adult.")
    ] = "",
    surface: Side = "underside",
    leaves: Annotated[int, Parameter(help="How many leaves the class or the sum is of.")] = 0,
    plants: Annotated[int, Parameter(help="How many plants, of what is counted by plant.")] = 0,
    flowers: Flowers = 0,
    note: NoteWords = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Count something on leaves or plants, or say by a class how many there are."""
    level = asking.level_said(numbers)
    held = plot_at(plot)
    place = planting_key(held, planting)
    crop = held.planting(place).crop
    given, over = looked_over(plot, crop, what, leaves, plants, flowers)
    looked = asking.leaves_of(given, over) if given or level else 0
    some = asking.leaves_with_some(numbers)
    seen = Sighting(place, what, "count", stage, surface, note=note)
    if level:
        seen = replace(seen, looked_at=looked, level=level)
    elif some:
        seen = replace(seen, measure="some", total=some[0], looked_at=some[1])
    else:
        seen = asking.of_counts(seen, asking.counts(numbers), looked, over)
    seen = asking.of_flowers(asking.of_plants(seen, plants), flowers, leaves or plants)
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(name="none", help_epilogue=example("none beans aphids --leaves 10"))
def none_found(
    planting: Named,
    what: What,
    /,
    *,
    leaves: Annotated[int, Parameter(help="How many leaves were turned.")] = 0,
    plants: Annotated[
        int,
        Parameter(help="How many plants, of caterpillars, beetles, bugs and borers."),
    ] = 0,
    flowers: Flowers = 0,
    stage: str = "",
    surface: Side = "underside",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Looked, and found none: that counts too."""
    held = plot_at(plot)
    place = planting_key(held, planting)
    crop = held.planting(place).crop
    looked = asking.leaves_of(*looked_over(plot, crop, what, leaves, plants, flowers))
    seen = Sighting(place, what, "count", stage, surface, looked, total=0)
    seen = asking.of_flowers(asking.of_plants(seen, plants), flowers, leaves or plants)
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("shake aubergines whitefly many"))
def shake(
    planting: Named,
    what: What,
    level: Annotated[Level, Parameter(help="How many flew up.")],
    /,
    *,
    plants: Annotated[int, Parameter(help="How many plants were shaken.")] = 1,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Shake the plant and say how many fly up."""
    shaken = asking.whole(plants, "--plants")
    held = plot_at(plot)
    place = planting_key(held, planting)
    seen = Sighting(place, what, "shake", "adult", "whole", looked_at=shaken, level=level)
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("card aubergines whitefly 14,9 --days 7"))
def card(
    planting: Named,
    what: What,
    numbers: Annotated[str, Parameter(help="Caught on each card: 14, or 14,9 on two.")],
    /,
    *,
    days: Annotated[int, Parameter(help="How many days it hung there.")],
    note: NoteWords = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Read a yellow sticky card: what flew onto it since it was hung or last read."""
    caught, held = asking.caught(numbers), plot_at(plot)
    place, hung = planting_key(held, planting), asking.whole(days, "--days")
    seen = Sighting(
        place, what, "card", "adult", "whole", len(caught), caught, note=note, days=hung
    )
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("severity melon mildew 15 --surface top"))
def severity(
    planting: Named,
    what: What,
    percent: Annotated[
        str,
        Parameter(help="none, few (up to 5 %), many (up to 30 %) or heavy; or the share: 15, 15%."),
    ],
    /,
    *,
    surface: Side = "top",
    leaves: int = 0,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """How much of the leaf is spotted or white."""
    level = asking.level_said(percent)
    share, held = None if level else asking.percent(percent), plot_at(plot)
    place = planting_key(held, planting)
    seen = Sighting(place, what, "severity", "", surface, leaves, percent=share, level=level)
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("seen beans aphids"))
def seen(
    planting: Named,
    what: What,
    /,
    *,
    surface: Side = "whole",
    note: NoteWords = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Something noticed, not counted."""
    held = plot_at(plot)
    noticed = Sighting(planting_key(held, planting), what, "first seen", "", surface, note=note)
    return post(plot, noticed, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("treated aubergines soap --litres 1.5 --surfaces underside"))
def treated(
    plantings: Annotated[str, Parameter(help="Plantings, with commas between.")],
    product: Annotated[str, Parameter(help="Product of your shelf; leave out for --method.")] = "",
    /,
    *,
    method: Annotated[str, Parameter(help="Method that needs no product: water_jet.")] = "",
    against: Annotated[str, Parameter(help="What it was aimed at.")] = "",
    amount: Annotated[
        str, Parameter(name="--litres", help="Spray used: 1.5, or 0.4gal (US).")
    ] = "",
    surfaces: Annotated[str, Parameter(help="underside,top,stem,soil or whole.")] = "underside,top",
    coverage: Annotated[float, Parameter(help="Share of those surfaces wetted, 0 to 1.")] = 0.7,
    note: NoteWords = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """A treatment: what was used, where, and how well it wetted."""
    from lattermath.desk import log_names

    held = plot_at(plot)
    done = Treatment(
        plantings=tuple(planting_key(held, name.strip()) for name in plantings.split(",")),
        method=method,
        product=log_names.product_key(held, product) if product else None,
        against=against,
        litres=asking.litres(amount, units) if amount else None,
        surfaces=asking.surfaces(surfaces),
        coverage=asking.within(coverage, 0, 1, "--coverage"),
        note=note,
    )
    return post(plot, done, at, as_json, held, units, photo=photo)


@log_app.command(help_epilogue=example("done 3"))
def done(
    task: Annotated[
        str, Parameter(help="Its number on the last sheet, or its name at the end of the back.")
    ],
    /,
    *,
    how: Literal["as-written", "otherwise", "not-done"] = "as-written",
    sheet: Annotated[str, Parameter(help="The mark at the head of a printed sheet: 3f2a9.")] = "",
    note: NoteWords = "",
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """A task of a sheet done as written, or left; anything else is logged by what was done."""
    from lattermath.desk.log_done import log_done

    held = plot_at(plot)
    events = log_done(plot, task, HOWS[how], note, asking.instant(at), held, sheet=sheet)
    lines = [
        line
        for event in events
        for line in (*written(plot, event, held), *consequences(plot, event, held))
    ]
    answering.answer(lines, events, as_json)
    return answering.DONE


@log_app.command(help_epilogue=example("visit --minutes 70"))
def visit(
    *,
    minutes: int | None = None,
    note: NoteWords = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """A stay at the plot."""
    return post(plot, Visit(minutes, note), at, as_json, photo=photo)
