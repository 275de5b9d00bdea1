"""`lattermath log`, the other half: sowing, setting out, picking, watering, pulling, care."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import Annotated, Literal

from cyclopts import Parameter

from lattermath.doors import answering, asking
from lattermath.doors.asking import HERE, AsJson, At, PhotoFile, PlotFolder, UnitsAsked
from lattermath.doors.log_corrections import log_app
from lattermath.doors.log_entries import Named, example, planting_key, plot_at, post
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Care,
    CupCheck,
    Destination,
    Picking,
    Pulling,
    Roots,
    SettingOut,
    Sowing,
    Watering,
)
from lattermath.vocabulary.watering import Way

__all__ = ["log_app"]

LEAVES = Path("leaves.svg")  # the picture of drawn leaves
CropId = Annotated[str, Parameter(help="Crop; `lattermath log words` lists them.")]
GOES_TO: dict[str, Destination] = {
    "bag": "bagged off the plot",
    "compost": "compost",
    "waste": "garden waste",
}


@log_app.command(help_epilogue=example("picked courgettes 2.1"))
def picked(
    planting: Named,
    /,
    *weight: Annotated[str, Parameter(help="2.1 (kg), 800g, or 4lb.")],
    items: Annotated[int | None, Parameter(help="How many, where you counted.")] = None,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """What was picked, by weight or by number."""
    if not weight and items is None:
        raise InputError(
            Fault("a picking needs a weight or a number", "log picked", "", "Add 2.1 or --items 5.")
        )
    kg, held = asking.kilograms(" ".join(weight), units) if weight else None, plot_at(plot)
    picking = Picking(planting_key(held, planting), kg, items)
    return post(plot, picking, at, as_json, held, units, photo=photo)


@log_app.command(help_epilogue=example("watered 'bed C' 2cans --way foot"))
def watered(
    where: Annotated[str, Parameter(help="Bed, or planting.")],
    first: Annotated[str, Parameter(name="AMOUNT", help="2cans, 20 (litres), or 5gal (US).")],
    /,
    *rest: Annotated[str, Parameter(show=False)],
    way: Annotated[
        Way | None,
        Parameter(help="foot, or overhead: sprinkler, hose or rose over the leaves. As plot.toml."),
    ] = None,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    units: UnitsAsked = "metric",
    as_json: AsJson = False,
) -> int:
    """Water given to a bed or to one planting; over the leaves it wets them, for hours at night."""
    from lattermath.desk import log_names

    held = plot_at(plot)
    given = asking.litres(" ".join((first, *rest)), units, held.water.can_litres)
    kind, place, *_ = log_names.ground(held, where)
    watering = Watering(given, **{kind: place}, way=way)
    return post(plot, watering, at, as_json, held, units, photo=photo)


@log_app.command(help_epilogue=example("sown chard 8 cups"))
def sown(
    crop: CropId,
    seeds: int,
    where: Annotated[str, Parameter(help="cups, a bed, or a planting not begun yet.")] = "",
    /,
    *,
    lot: Annotated[str, Parameter(help="Name for a lot in cups; made up when left out.")] = "",
    planting: Annotated[
        str, Parameter(help="Name for a planting sown in place; made up when left out.")
    ] = "",
    bed: Annotated[str, Parameter(help="The bed, as WHERE.")] = "",
    cup_ml: float = 200.0,
    variety: str = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Seed sown, in cups or in place; it asks where when that is not clear."""
    from lattermath.desk import log_names

    held = plot_at(plot)
    when = asking.instant(at)
    went = log_names.sown_in(held, crop, where or bed, lot=lot, planting=planting, at=when)
    entry = Sowing(crop, asking.whole(seeds, "seeds"), *went, cup_ml, variety)
    return post(plot, entry, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("cups 'Spare cucumbers' --up 9 --of 12 --roots filling"))
def cups(
    lot: Annotated[str, Parameter(help="Lot in cups, by its name or its key.")],
    /,
    *,
    up: Annotated[int | None, Parameter(help="Cups with a plant; again when more come.")] = None,
    of: Annotated[int | None, Parameter(help="Cups looked at; all when left out.")] = None,
    roots: Annotated[
        Roots | None,
        Parameter(help="A cup turned out: few (falls apart), filling (holds), coiled (circling)."),
    ] = None,
    note: Annotated[str, Parameter(name="--note", help="Anything worth keeping.")] = "",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """A look at cups: how many came up, and how the roots stand."""
    from lattermath.desk import log_names

    held = plot_at(plot)
    key = log_names.lot_key(held, lot)
    seen = CupCheck(key, up, log_names.cups_of(held, key, up, of), roots, note)
    return post(plot, seen, at, as_json, held, photo=photo)


@log_app.command(name="set-out", help_epilogue=example("set-out cucumbers-d cucumber 4 --bed D"))
def set_out(
    planting: Annotated[str, Parameter(help="New name for the planting.")],
    crop: CropId,
    plants: int,
    /,
    *,
    bed: str | None = None,
    lot: Annotated[
        str | None, Parameter(help="Lot the plants came from, by its name or its key.")
    ] = None,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Young plants moved to a bed."""
    from lattermath.desk import log_names

    held = plot_at(plot)
    ground = log_names.bed_key(held, bed) if bed else None
    cups = log_names.lot_key(held, lot) if lot else None
    number = asking.whole(plants, "plants")
    return post(
        plot, SettingOut(planting, crop, number, ground, cups), at, as_json, held, photo=photo
    )


@log_app.command(help_epilogue=example("pulled cucumbers-row-2 --plants 2 --to bag"))
def pulled(
    planting: Named,
    /,
    *,
    plants: Annotated[int | None, Parameter(help="How many; all when left out.")] = None,
    to: Literal["bag", "compost", "waste"] = "compost",
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Plants taken out."""
    held = plot_at(plot)
    pulling = Pulling(planting_key(held, planting), plants, GOES_TO[to])
    return post(plot, pulling, at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("care tomatoes 'tie and side-shoot'"))
def care(
    planting: Named,
    work: Annotated[str, Parameter(help="What was done: tie, hoe, side-shoot, mulch, strip.")],
    /,
    *,
    photo: PhotoFile = None,
    at: At = "",
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """Tending: tying, hoeing, side-shooting, mulching, feeding."""
    held = plot_at(plot)
    return post(plot, Care(planting_key(held, planting), work), at, as_json, held, photo=photo)


@log_app.command(help_epilogue=example("photo spots.jpg --entry 17"))
def photo(
    file: Annotated[Path, Parameter(help="A JPEG, PNG or WebP file, as a camera writes it.")],
    /,
    *,
    entry: Annotated[
        str | None, Parameter(help="Number of the entry it goes with; the newest if left out.")
    ] = None,
    plot: PlotFolder = HERE,
    as_json: AsJson = False,
) -> int:
    """A photo kept with an entry, without the place and whatever else the camera wrote into it."""
    from lattermath.desk import photos
    from lattermath.sheets.schema import as_data

    event = photos.attach(plot, photos.photo_from(file), entry)
    lines = [photos.said_of(event)]
    answering.answer(lines, as_data(event) | {"says": lines}, as_json)
    return answering.DONE


@log_app.command(help_epilogue=example("sketches leaves.svg"))
def sketches(
    file: Annotated[Path, Parameter(help="Where to write the picture.")] = LEAVES,
    /,
    *,
    as_json: AsJson = False,
) -> int:
    """Draw leaves with 1, 5, 10, 25 and 50 % covered, to judge severity by."""
    from lattermath.desk.leaf_sketches import leaf_sketches
    from lattermath.record.whole_file import write_whole
    from lattermath.sheets.leaf_sketches import SAYS

    write_whole(file, leaf_sketches())
    answering.answer([f"Written: {file}.", SAYS], {"file": str(file)}, as_json)
    return answering.DONE


@log_app.command(help_epilogue=example("words"))
def words(*, plot: PlotFolder = HERE, as_json: AsJson = False) -> int:
    """The words that are known: crops, insects, diseases, methods."""
    from lattermath.desk import known_words

    known = known_words.known_words(plot)
    said = (f"{kind}: {', '.join(names)}." for kind, names in known.items())
    lines = [line for each in said for line in wrap(each, 78, subsequent_indent="   ")]
    answering.answer(lines, known, as_json)
    return answering.DONE
