"""What can be written down on a page: for each thing its blanks, and how they become an entry."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import get_args

from lattermath.desk import log_names
from lattermath.doors import asking
from lattermath.doors.asking import Units
from lattermath.doors.web import log_cups
from lattermath.doors.web.log_fields import Blank, Filled, beds, plantings, words
from lattermath.sheets import page_words as p
from lattermath.vocabulary.errors import Fault, InputError
from lattermath.vocabulary.events import (
    Care,
    Destination,
    Level,
    LookedAt,
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    Surface,
    Treatment,
    Visit,
    Watering,
)
from lattermath.vocabulary.plot import Plot
from lattermath.vocabulary.watering import Way


@dataclass(frozen=True, slots=True)
class Asked:
    """What the blanks and their reading need to know."""

    plot: Plot
    units: Units
    known: Mapping[str, tuple[str, ...]]  # plain words by what they are for


@dataclass(frozen=True, slots=True)
class LogForm:
    """One thing that can be written down."""

    key: str
    title: str
    hint: str
    kinds: tuple[str, ...]  # of journal entries it writes
    blanks: Callable[[Asked], Sequence[Blank]]
    read: Callable[[Filled, Asked], Payload]


SIDES = words(get_args(Surface))
LOOKED_AT = words(get_args(LookedAt))
LEVELS = words(get_args(Level))
LEAF_LEVELS = tuple(zip(get_args(Level), p.LEAF_CLASSES, strict=True))
WAYS = (("foot", "at the foot"), ("overhead", "over the leaves"))
GOES_TO = words(get_args(Destination))
WORKS = ("tie and side-shoot", "tie", "hoe", "strip", "mulch", "feed", "weed", "top")


def _planting(asked: Asked, neighbours: bool = True) -> Blank:
    return Blank("planting", "Where", "choice", plantings(asked.plot, neighbours))


def _what(asked: Asked) -> Blank:
    kinds = ("insects and mites", "diseases", "animals, watched only")
    known = [word for kind in kinds for word in asked.known.get(kind, ())]
    return Blank("what", "What", "words", words(known), hint="As you call it.")


def _side(usual: Surface) -> Blank:
    return Blank("surface", "Looked at", "choice", SIDES, (usual,))


def _counted_on() -> Blank:
    return Blank("surface", "Looked at", "choice", LOOKED_AT, ("underside",), hint=p.IN_FLOWERS)


def _counted(asked: Asked) -> Sequence[Blank]:
    return (
        _planting(asked),
        _what(asked),
        Blank("level", p.ON_EACH, "choice", LEAF_LEVELS, hint=p.CLASS_WILL_DO, required=False),
        Blank("leaves", p.LOOKED_AT, "amount", values=("10",), hint=p.OR_PLANTS, required=False),
        Blank("some", p.WITH_ANY, "amount", required=False),
        Blank("counts", p.COUNT_EACH, "leaves", hint=p.COUNTS_OUTRANK),
        Blank("stage", "Stage", hint=p.STAGE_HINT, required=False),
        _counted_on(),
    )


def _read_counted(form: Filled, asked: Asked) -> Payload:
    place, what = _place(form, asked), form.asked("what", "what was counted")
    seen = Sighting(place, what, "count", form.one("stage"), _looked_at(form))
    if form.one("some") and not form.several("counts"):
        turned = asking.leaves_of(form.number("leaves") or 0, p.LOOKED_AT)
        return replace(seen, measure="some", looked_at=turned, total=form.number("some"))
    if form.one("level") and not form.several("counts"):
        turned = asking.leaves_of(form.number("leaves") or 0, p.LOOKED_AT)
        return replace(seen, looked_at=turned, level=_level(form))
    counts = asking.counts(",".join(form.several("counts")))
    return replace(seen, looked_at=len(counts), counts=counts)


def _none_seen(asked: Asked) -> Sequence[Blank]:
    leaves = Blank("leaves", p.LOOKED_AT, "amount", values=("10",), hint=p.OR_PLANTS)
    return (_planting(asked), _what(asked), leaves, _counted_on())


def _read_none(form: Filled, asked: Asked) -> Payload:
    looked = asking.whole(form.number("leaves") or 0, p.LOOKED_AT)
    where, what = _place(form, asked), form.asked("what", "what was looked for")
    return Sighting(where, what, "count", "", _looked_at(form), looked, total=0)


def _shaken(asked: Asked) -> Sequence[Blank]:
    return (
        _planting(asked),
        _what(asked),
        Blank("level", "Flew up", "choice", LEVELS),
        Blank("plants", "Plants shaken", "amount", values=("1",)),
    )


def _read_shaken(form: Filled, asked: Asked) -> Payload:
    return Sighting(
        _place(form, asked),
        form.asked("what", "what flew up"),
        "shake",
        "adult",
        "whole",
        looked_at=asking.whole(form.number("plants") or 0, "plants shaken"),
        level=_level(form),
    )


def _carded(asked: Asked) -> Sequence[Blank]:
    caught = Blank("counts", "On each card", hint="14, or 14,9 on two.")
    days = Blank("days", "Days it hung", "amount", values=("7",))
    return (_planting(asked), _what(asked), caught, days)


def _read_carded(form: Filled, asked: Asked) -> Payload:
    caught = asking.counts(form.asked("counts", "what was caught"))
    days = asking.whole(form.number("days") or 0, "days it hung")
    place, what = _place(form, asked), form.asked("what", "what was caught")
    return Sighting(place, what, "card", "adult", "whole", len(caught), caught, days=days)


def _spots(asked: Asked) -> Sequence[Blank]:
    return (
        _planting(asked),
        _what(asked),
        Blank("percent", "Share of the leaf", "amount", hint="In percent: 15."),
        _side("top"),
        Blank("leaves", "Leaves looked at", "amount", values=("10",), required=False),
    )


def _read_spots(form: Filled, asked: Asked) -> Payload:
    return Sighting(
        _place(form, asked),
        form.asked("what", "what was seen"),
        "severity",
        "",
        _surface(form),
        form.number("leaves") or 0,
        percent=asking.percent(form.asked("percent", "the share")),
    )


def _seen(asked: Asked) -> Sequence[Blank]:
    return (_planting(asked), _what(asked), Blank("note", "Note", required=False))


def _read_seen(form: Filled, asked: Asked) -> Payload:
    return Sighting(
        _place(form, asked),
        form.asked("what", "what was seen"),
        "first seen",
        "",
        "whole",
        note=form.one("note"),
    )


def _picked(asked: Asked) -> Sequence[Blank]:
    weight = "2.5, or 3 lb 4 oz as 3.25" if asked.units == "us" else "1.2, or 800g."
    return (
        _planting(asked, neighbours=False),
        Blank("weight", "Weight", "amount", hint=weight, required=False),
        Blank("items", "Or how many", "amount", required=False),
    )


def _read_picked(form: Filled, asked: Asked) -> Payload:
    weight, items = form.one("weight"), form.number("items")
    if not weight and items is None:
        remedy = "Fill in one of them."
        raise InputError(Fault("a picking needs a weight or a number", "weight", "", remedy))
    kg = asking.kilograms(weight, asked.units) if weight else None
    return Picking(_place(form, asked), kg, items)


# A bare number is read in the reader's units, so the blank names them.
WATER_HINT = {
    "metric": "2 cans, or 20; a bare number is litres.",
    "us": "2 cans, or 5; a bare number is gallons.",
}
SPRAY_HINT = {"metric": "Litres: 1.5.", "us": "Gallons: 0.4."}


def _watered(asked: Asked) -> Sequence[Blank]:
    places = (*beds(asked.plot), *plantings(asked.plot, neighbours=False))
    chosen = beds(asked.plot) or places
    return (
        Blank("bed", "Where", "choice", chosen),
        Blank("amount", "How much", "amount", hint=WATER_HINT[asked.units]),
        Blank("way", "How", "choice", WAYS, required=False),
    )


def _read_watered(form: Filled, asked: Asked) -> Payload:
    place = form.asked("bed", "the bed")
    given = asking.litres(
        form.asked("amount", "the water"), asked.units, asked.plot.water.can_litres
    )
    kind, key, *_ = log_names.ground(asked.plot, place)
    way = next((one for one in get_args(Way) if one == form.one("way")), None)
    if kind == "bed":
        return Watering(given, bed=key, way=way)
    return Watering(given, planting=key, way=way)


def _treated(asked: Asked) -> Sequence[Blank]:
    shelf = tuple((label.key, label.name) for label in asked.plot.shelf)
    without = ("water jet", "hand pick", "prune leaves")
    return (
        Blank("planting", "Where", "several", plantings(asked.plot, neighbours=False)),
        Blank("with", "With", "choice", (*shelf, *words(without))),
        Blank("against", "Against", required=False),
        Blank("litres", "Spray used", "amount", hint=SPRAY_HINT[asked.units], required=False),
        Blank("surfaces", "Wetted", "several", SIDES, ("underside", "top")),
        Blank(
            "coverage",
            "How well",
            "choice",
            (("0.9", "nearly all"), ("0.7", "most"), ("0.4", "less than half")),
            ("0.7",),
        ),
    )


def _read_treated(form: Filled, asked: Asked) -> Payload:
    places = form.several("planting")
    if not places:
        raise InputError(Fault("no planting was chosen", "where", "", "Choose one or more."))
    means, amount = form.asked("with", "the means"), form.one("litres")
    product = next((label.key for label in asked.plot.shelf if label.key == means), None)
    wetted = form.several("surfaces") or ("underside", "top")
    return Treatment(
        plantings=tuple(log_names.planting_key(asked.plot, place) for place in places),
        method="" if product else means,
        product=product,
        against=form.one("against"),
        litres=asking.litres(amount, asked.units) if amount else None,
        surfaces=asking.surfaces(",".join(wetted)),
        coverage=asking.within(_share(form.one("coverage")), 0, 1, "how well"),
    )


def _set_out(asked: Asked) -> Sequence[Blank]:
    lots = tuple((lot.key, lot.called) for lot in asked.plot.lots)
    return (
        Blank("lot", "From the cups", "choice", lots, required=False),
        Blank("crop", "Crop", options=words(asked.known.get("crops", ()))),
        Blank("plants", "Plants", "amount"),
        Blank("bed", "Into", "choice", beds(asked.plot), required=False),
        Blank("name", "Name of the new planting", hint=p.NAME_MADE_UP, required=False),
    )


def _read_set_out(form: Filled, asked: Asked) -> Payload:
    crop = form.asked("crop", "the crop")
    return SettingOut(
        log_names.or_made_up(asked.plot, form.one("name"), crop, form.hour("at")),
        crop,
        asking.whole(form.number("plants") or 0, "plants"),
        log_names.bed_key(asked.plot, form.one("bed")) if form.one("bed") else None,
        log_names.lot_key(asked.plot, form.one("lot")) if form.one("lot") else None,
    )


def _pulled(asked: Asked) -> Sequence[Blank]:
    return (
        _planting(asked, neighbours=False),
        Blank("plants", "Plants", "amount", hint="Empty: all of them.", required=False),
        Blank("to", "Where they went", "choice", GOES_TO, ("bagged off the plot",)),
    )


def _read_pulled(form: Filled, asked: Asked) -> Payload:
    to = next(one for one in get_args(Destination) if one == (form.one("to") or "compost"))
    return Pulling(_place(form, asked), form.number("plants"), to)


def _sown(asked: Asked) -> Sequence[Blank]:
    return (
        Blank("crop", "Crop", options=words(asked.known.get("crops", ()))),
        Blank("seeds", "Seeds", "amount"),
        Blank("place", "Where", "choice", (("cups", "in cups"), *beds(asked.plot)), ("cups",)),
        Blank("name", "Name", hint=p.NAME_OF_SOWN, required=False),
        Blank("cup_ml", "Cup", "amount", values=("200",), hint="In ml.", required=False),
    )


def _read_sown(form: Filled, asked: Asked) -> Payload:
    crop = form.asked("crop", "the crop")
    seeds = asking.whole(form.number("seeds") or 0, "seeds")
    name, place = form.one("name"), form.asked("place", "the place")
    named = {"lot" if place == "cups" else "planting": name}
    went = log_names.sown_in(asked.plot, crop, place, **named, at=form.hour("at"))
    return Sowing(crop, seeds, *went, cup_ml=float(form.number("cup_ml") or 200))


def _care(asked: Asked) -> Sequence[Blank]:
    return (_planting(asked, neighbours=False), Blank("work", "Work", options=words(WORKS)))


def _read_care(form: Filled, asked: Asked) -> Payload:
    return Care(_place(form, asked), form.asked("work", "the work"))


def _stay(_: Asked) -> Sequence[Blank]:
    return (
        Blank("minutes", "Minutes", "amount", required=False),
        Blank("note", "Note", required=False),
    )


def _read_stay(form: Filled, _: Asked) -> Payload:
    return Visit(form.number("minutes"), form.one("note"))


def _place(form: Filled, asked: Asked) -> str:
    """The planting chosen; InputError names what there is where it is none."""
    return log_names.planting_key(asked.plot, form.asked("planting", "the planting"))


def _surface(form: Filled) -> Surface:
    return asking.surfaces(form.one("surface") or "underside")[0]


def _looked_at(form: Filled) -> LookedAt:
    return asking.looked_at_place(form.one("surface") or "underside")


def _level(form: Filled) -> Level:
    said = form.asked("level", "how many")
    if level := asking.level_said(said):
        return level
    raise InputError(Fault("no such answer", "level", said, "Choose none, few, many or heavy."))


def _share(written: str) -> float:
    try:
        return float(written or "0.7")
    except ValueError:
        raise InputError(Fault("this is no share", "how well", written, "Choose one.")) from None


FORMS = (
    LogForm("counted", "Counted", "Insects and mites", ("sighting",), _counted, _read_counted),
    LogForm("none-seen", "None seen", "That counts too", ("sighting",), _none_seen, _read_none),
    LogForm("picked", "Picked", "By weight or number", ("picking",), _picked, _read_picked),
    LogForm("watered", "Watered", "Cans or litres", ("watering",), _watered, _read_watered),
    LogForm("treated", "Treated", "What, where, how well", ("treatment",), _treated, _read_treated),
    LogForm("set-out", "Set out", "From cups to a bed", ("setting out",), _set_out, _read_set_out),
    LogForm("pulled", "Pulled", "And where they went", ("pulling",), _pulled, _read_pulled),
    LogForm("spots", "Spots", "Mildew and the like", ("sighting",), _spots, _read_spots),
    LogForm("shaken", "Shaken", "What flies up", ("sighting",), _shaken, _read_shaken),
    LogForm("card", "Card", "Caught on a card", ("sighting",), _carded, _read_carded),
    LogForm("seen", "Seen", "Noticed, not counted", ("sighting",), _seen, _read_seen),
    LogForm("sown", "Sown", "In cups or in place", ("sowing",), _sown, _read_sown),
    LogForm("cups", "Cups", "Come up, and roots", ("cup check",), log_cups.blanks, log_cups.read),
    LogForm("care", "Tended", "Tied, hoed, stripped", ("care",), _care, _read_care),
    LogForm("visit", "Stay", "Minutes at the plot", ("visit",), _stay, _read_stay),
)
BY_KEY = {form.key: form for form in FORMS}
WHEN = Blank("at", p.WHEN, hint=p.WHEN_NOTE, required=False)
