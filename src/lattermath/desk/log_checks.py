"""What cannot have happened on this plot is no entry: every fault of it, with its remedy."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from functools import singledispatch

from lattermath.belief.card_catch import catch_of
from lattermath.desk.kind_words import many_of
from lattermath.desk.what_was_seen import together, unit_of
from lattermath.knowledge.organisms import Organism
from lattermath.knowledge.stage_words import named_stages, stage_words
from lattermath.knowledge.tables import Tables
from lattermath.vocabulary.calendar import said
from lattermath.vocabulary.class_ends import MOST_ON_ONE
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.errors import Fault
from lattermath.vocabulary.events import (
    CupCheck,
    Payload,
    Picking,
    Pulling,
    SettingOut,
    Sighting,
    Sowing,
    Visit,
)
from lattermath.vocabulary.measure import roughly
from lattermath.vocabulary.plot import Planting, Plot, StandbyLot

Faults = Iterator[Fault]

# Judgement: nobody carries home at one picking three times what the best plants of the tables
# give in a whole season; and two kilograms are never argued about.
SEASONS_AT_ONCE = 3.0
NEVER_ARGUED_KG = 2.0
DAY_MINUTES = 24 * 60  # a stay belongs to one day
MOST_CARD_DAYS = 28  # judgement
MOST_LOOKED_AT = 10_000  # judgement: leaves or plants at one look
# Judgement: share of the adults. Whiteflies, beetles and small moths; a tenth of thrips does, and
# what falls from a tapped plant is of all ages.
LEAST_RISING = 0.2
CUP_ML = (5.0, 20_000.0)  # as the plot file allows


def impossible(payload: Payload, plot: Plot, tables: Tables) -> tuple[Fault, ...]:
    """Everything in an entry that cannot be so on the plot as it stood before it.

    Words must be settled to ids and keys. A planting the plot does not know is passed over.
    """
    return tuple(_faults(payload, plot, tables))


@singledispatch
def _faults(_payload: object, _plot: Plot, _tables: Tables) -> Faults:
    """Waterings, care, ticks and treatments are judged elsewhere or not at all."""
    yield from ()


@_faults.register
def _visit(payload: Visit, _plot: Plot, _tables: Tables) -> Faults:
    if payload.minutes is not None and not 1 <= payload.minutes <= DAY_MINUTES:
        remedy = f"Write 1 to {DAY_MINUTES} minutes, or leave it out."
        yield Fault("no stay lasts that long", "--minutes", str(payload.minutes), remedy)


@_faults.register
def _picking(payload: Picking, plot: Plot, tables: Tables) -> Faults:
    if payload.items is not None and payload.items < 1:
        yield Fault("a picking is one or more", "--items", str(payload.items), "Write 1 or more.")
    planting = _standing(plot, payload.planting)
    most = None if planting is None else most_at_once(planting, tables)
    if planting is None or most is None or payload.kg is None or payload.kg <= most:
        return
    remedy = (
        f"{planting.name} has {_counted(planting.plants, 'plant')}; more than "
        f"{roughly(most, 3)} kg at once is taken for a slip (our judgement, from the season's "
        "yield). For grams write 500g."
    )
    yield Fault("more than these plants can bear", "weight", f"{payload.kg:g} kg", remedy)


def most_at_once(planting: Planting, tables: Tables) -> float | None:
    """The most that one picking of a planting may weigh; None where the tables lack the crop.

    Three times the upper yield of a plant over its season, for every plant. [kg]
    """
    crop = tables.crops.get(planting.crop)
    if crop is None:
        return None
    figure = crop.yield_per_plant_kg
    one = figure.value if figure.high is None else figure.high
    return max(NEVER_ARGUED_KG, SEASONS_AT_ONCE * one * planting.plants)


@_faults.register
def _pulling(payload: Pulling, plot: Plot, _tables: Tables) -> Faults:
    planting = _standing(plot, payload.planting)
    if planting is None:
        return
    if planting.pulled is not None:
        remedy = "If that is wrong, withdraw that entry first."
        yield Fault(f"it was pulled on {said(planting.pulled)}", "planting", planting.name, remedy)
    elif payload.plants is not None and not 1 <= payload.plants <= planting.plants:
        there = _counted(planting.plants, "plant")
        remedy = f"{planting.name}: {there}. Leave --plants out to pull them all."
        yield Fault("not that many stand there", "--plants", str(payload.plants), remedy)


@_faults.register
def _sowing(payload: Sowing, plot: Plot, _tables: Tables) -> Faults:
    least, most = CUP_ML
    if payload.lot is not None and not least <= payload.cup_ml <= most:
        remedy = f"Write {least:g} to {most:g} ml."
        yield Fault("this is no cup", "--cup-ml", f"{payload.cup_ml:g}", remedy)
    if payload.lot is not None and _lot(plot, payload.lot) is not None:
        yield _taken("lot", "--lot", payload.lot)
    if payload.planting is not None:
        yield from _name_taken(payload.planting, payload.crop, False, plot)


@_faults.register
def _cup_check(payload: CupCheck, _plot: Plot, _tables: Tables) -> Faults:
    if payload.up is None and payload.roots is None:
        yield Fault(
            "a look at cups needs a number or the roots", "--up", "", "Write --up 9 --of 12."
        )
    if payload.up is not None and not 0 <= payload.up <= (payload.cups or 0):
        remedy = "Write both, as in --up 9 --of 12: of twelve cups looked at, nine with a plant."
        yield Fault("more came up than were looked at", "--up", str(payload.up), remedy)


@_faults.register
def _setting_out(payload: SettingOut, plot: Plot, tables: Tables) -> Faults:
    yield from _name_taken(payload.planting, payload.crop, payload.lot is None, plot)
    lot = None if payload.lot is None else _lot(plot, payload.lot)
    if lot is None:
        return
    if payload.plants > lot.plants:
        remedy = f"{lot.called}: {_counted(lot.plants, 'plant')}."
        yield Fault("the lot does not hold that many", "plants", str(payload.plants), remedy)
    if lot.crop != payload.crop:
        holds = tables.crosswalk.named(lot.crop)
        remedy = f"{lot.called} holds {holds}. Name that crop, or another lot."
        yield Fault("the lot holds another crop", "crop", payload.crop, remedy)


def _name_taken(key: str, crop: str, own_seedlings: bool, plot: Plot) -> Faults:
    """A planting begins once; one declared and not begun, or sown and thinned out, may begin."""
    there = _standing(plot, key)
    if there is None or there.pulled is not None:
        return
    waits = there.started is None or (own_seedlings and there.set_out is None)
    if not (waits and there.crop == crop):
        yield _taken("planting", "planting", there.name)


def _taken(kind: str, where: str, name: str) -> Fault:
    remedy = f"Give a new name, such as {name.lower().replace(' ', '-')}-2."
    return Fault(f"there is a {kind} of this name already", where, name, remedy)


@_faults.register
def _sighting(payload: Sighting, plot: Plot, tables: Tables) -> Faults:
    kind = tables.crosswalk.kinds.get(payload.what, (payload.what,))
    insect, named = tables.organisms.get(kind[0]), many_of(tables.named(payload.what))
    yield from _one_thing(payload, tables)
    yield from _in_flowers(payload, tables)
    if payload.looked_at < 0:
        where = "--plants" if payload.measure == "shake" else "--leaves"
        yield Fault("nobody looks at fewer than none", where, str(payload.looked_at), "Least: 0.")
    if insect is not None and payload.measure == "severity":
        remedy = f"Write: lattermath log count {payload.planting} {payload.what} 12,0,3."
        yield Fault("an insect is counted, not given in percent", "log severity", named, remedy)
    if payload.what in tables.diseases and payload.measure in ("count", "some", "shake", "card"):
        name = payload.what.replace("_", " ")
        remedy = f"Write: lattermath log severity {payload.planting} {payload.what} 15."
        yield Fault(
            "a disease is given in percent, not counted", f"log {_way(payload)}", name, remedy
        )
    if insect is not None and payload.stage and not named_stages(payload.stage, insect.stages):
        words = ", ".join(stage_words(insect.stages))
        remedy = f"Write one of {words}."
        yield Fault(f"{named}: no such stage", "--stage", payload.stage, remedy)
    if payload.measure == "some" and not 0 <= (payload.total or 0) <= payload.looked_at:
        found = f"{payload.total} of {payload.looked_at}"
        many = unit_of(payload, tables)[1]
        remedy = f"Write how many of the {many} looked at had any: 7 of 10."
        yield Fault(f"more {many} had some than were looked at", "log count", found, remedy)
    yield from _on_plants(payload, plot, tables)
    yield from _counted_at_all(payload, unit_of(payload, tables))
    if payload.measure == "card":
        yield from _carded(payload, insect, named)
    if payload.measure == "shake" and any(not _rises(one, tables) for one in kind):
        name = tables.named(payload.what)
        remedy = f"Write: lattermath log count {payload.planting} {payload.what} 12,0,3."
        yield Fault("these do not fly up when plants are shaken", "log shake", name, remedy)


def _rises(one: str, tables: Tables) -> bool:
    """Whether enough adults fly up from a shaken plant to tell of all of them.

    What only falls off was no adult on the wing; of a word that no table knows nothing is said.
    """
    insect, habits = tables.organisms.get(one), tables.habits.get(one)
    if insect is None:
        return True
    share = insect.row.find("disturbance.flush_fraction")
    if share is None and habits is not None:
        share = habits.put_up
    return share is not None and share.value >= LEAST_RISING


def _one_thing(payload: Sighting, tables: Tables) -> Faults:
    """An entry is of one thing: which of the number is whose, nobody could say later."""
    if things := together(payload.what, tables.crosswalk):
        one = f"{_way(payload).replace('first seen', 'seen')} {payload.planting} {things[0]}"
        remedy = f"Write each down by itself: lattermath log {one}, then the same of {things[1]}."
        yield Fault("an entry is of one thing", "what was seen", payload.what, remedy)


def _in_flowers(payload: Sighting, tables: Tables) -> Faults:
    """Of flowers is a count of what gathers there; what one of them holds is known of no other."""
    if payload.surface != "flowers":
        return
    kinds = tables.crosswalk.kinds
    habits = [tables.habits.get(one) for one in kinds.get(payload.what, (payload.what,))]
    known = [one for one in habits if one is not None]
    gathers = any(one.flower_holds is not None for one in known)
    if payload.measure == "first seen" or (payload.measure in ("count", "some") and gathers):
        return
    if known or payload.measure in ("severity", "shake", "card"):
        many = "plants" if known and known[0].counted_by_plant else "leaves"
        name = payload.what.replace("_", " ")
        note = f"lattermath log seen {payload.planting} {shlex.quote(name)}"
        remedy = f"Look at {many} for it, or note it: {note}."
        yield Fault("only thrips are counted in flowers", "--surface", name, remedy)


def _way(payload: Sighting) -> str:
    """The command that a sighting is written with."""
    return "count" if payload.measure == "some" else payload.measure


def _on_plants(payload: Sighting, plot: Plot, tables: Tables) -> Faults:
    """No more plants are looked over or shaken than stand there."""
    planting = _standing(plot, payload.planting)
    if planting is None or payload.looked_at <= planting.plants:
        return
    if unit_of(payload, tables)[0] == "plant":
        there = f"{planting.name}: {_counted(planting.plants, 'plant')}."
        shaken = payload.measure == "shake"
        remedy = there if shaken else f"Write one number a plant looked over. {there}"
        yield Fault("not that many stand there", "--plants", str(payload.looked_at), remedy)


def _counted_at_all(payload: Sighting, unit: tuple[str, str]) -> Faults:
    """No more than a leaf, a plant or a card can hold, and no less than none."""
    one, many = unit
    told = (*payload.counts, *(() if payload.total is None else (payload.total,)))
    if payload.looked_at > MOST_LOOKED_AT:
        where = "--plants" if one == "plant" else "--leaves"
        remedy = f"Most: {MOST_LOOKED_AT} (our judgement)."
        yield Fault(f"nobody looks at that many {many}", where, str(payload.looked_at), remedy)
    if any(number < 0 for number in told):
        yield Fault("nobody counts fewer than none", "counts", str(min(told)), "Least: 0.")
    on_one, found = float(max(payload.counts, default=0)), str(max(payload.counts, default=0))
    if payload.total is not None and payload.measure != "some":
        looked = max(payload.looked_at, 1)
        on_one, found = payload.total / looked, f"{payload.total} on {counted(looked, many, one)}"
    if on_one > MOST_ON_ONE:
        remedy = (
            f"Write one number a {one}, with commas between: 12,0,3. More than {MOST_ON_ONE} on a "
            f"{one} is taken for a slip (our judgement)."
        )
        yield Fault(f"no {one} holds that many", "counts", found, remedy)


def _carded(payload: Sighting, insect: Organism | None, named: str) -> Faults:
    """A card is read after some days, and only for what flies to it."""
    if not 1 <= payload.days <= MOST_CARD_DAYS:
        remedy = f"Least: 1. Most: {MOST_CARD_DAYS}; after that a card is full of dust."
        yield Fault("a card does not hang that long", "--days", str(payload.days), remedy)
    if insect is not None and catch_of(insect) is None:
        remedy = f"Write: lattermath log count {payload.planting} {payload.what} 12,0,3."
        yield Fault("of these a card says nothing", "log card", named, remedy)


def _standing(plot: Plot, key: str) -> Planting | None:
    return next((planting for planting in plot.plantings if planting.key == key), None)


def _lot(plot: Plot, key: str) -> StandbyLot | None:
    """The lot of that key or name that still holds plants."""
    wanted = key.casefold()
    found = (t for t in plot.lots if wanted in (t.key.casefold(), t.called.casefold()))
    return next(found, None)


def _counted(count: int, one: str) -> str:
    return f"{count} {one}" if count == 1 else f"{count} {one}s"
