"""How each kind of entry changes the plot."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import singledispatchmethod
from typing import Any, TypeVar, cast

from lattermath.record.codec import from_plain
from lattermath.record.plot_facts import ONE, SECTIONS, Fact, FactKey
from lattermath.vocabulary.events import (
    Care,
    CupCheck,
    Event,
    Picking,
    PlotRow,
    Pulling,
    SettingOut,
    Sowing,
    Treatment,
    Watering,
)
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plot import Bed, CupLook, Planting, StandbyLot, Tin

F = TypeVar("F")
OF_LOT = ("sown", "variety", "days_to_maturity")  # what plants keep of their lot
MULCHING = ("mulch", "mulched", "mulching")


class PlotFold:
    """The plot while entries are applied to it, one after another, in the order they happened."""

    def __init__(self) -> None:
        self.facts: dict[FactKey, Fact] = {}
        self._rows: dict[FactKey, Mapping[str, Any]] = {}
        self._day = date.min  # of the entry being applied

    def apply(self, event: Event) -> None:
        """Let one entry change the plot. Kinds that change nothing on it are passed over."""
        self._day = event.day
        self._apply(event.payload)

    def assume(self, row: PlotRow, day: date) -> None:
        """Take a fact that was written down after `day` for that day, without what may be newer.

        A planting or lot that was not begun by then is left out.
        """
        self._plot_row(row)
        at = (row.section, row.key)
        fact = self.facts.get(at)
        if isinstance(fact, StandbyLot) and fact.sown > day:
            del self.facts[at]
        if isinstance(fact, Planting):
            self.facts.pop(at)
            if fact.started is None or fact.started <= day:
                self.facts[at] = _as_before(fact, day)

    def all(self, section: str, kind: type[F]) -> tuple[F, ...]:
        """The facts of one section, in the order in which they came."""
        found = (fact for (name, _), fact in self.facts.items() if name == section)
        return tuple(fact for fact in found if isinstance(fact, kind))

    def one(self, section: str, kind: type[F]) -> F | None:
        """The fact of a section that stands once."""
        fact = self.facts.get((section, ONE))
        return fact if isinstance(fact, kind) else None

    def planting(self, key: str) -> Planting | None:
        """The planting of that key, own or the neighbour's."""
        found = self.facts.get(("planting", key)) or self.facts.get(("neighbour", key))
        return found if isinstance(found, Planting) else None

    @singledispatchmethod
    def _apply(self, payload: object) -> None:
        """Visits, sightings, weather and ticks change nothing on the plot itself."""

    @_apply.register
    def _plot_row(self, payload: PlotRow) -> None:
        """A row of the file changes what it says anew; what the journal changed since stays."""
        at = (payload.section, payload.key)
        before = self._rows.pop(at, None)
        if payload.row is None:
            self.facts.pop(at, None)
            return
        kind: type[Any] = SECTIONS[payload.section]
        self._rows[at] = payload.row
        standing = self.facts.get(at)
        written = from_plain(kind, payload.row)
        if standing is None:
            self.facts[at] = written
            return
        unsaid = written if before is None else from_plain(kind, before)
        changed = {
            field.name: getattr(written, field.name)
            for field in dataclasses.fields(kind)
            if (before is None and getattr(written, field.name) != field.default)
            or getattr(written, field.name) != getattr(unsaid, field.name)
        }
        self.facts[at] = replace(cast(Any, standing), **changed)

    @_apply.register
    def _sowing(self, payload: Sowing) -> None:
        if payload.lot is not None:
            self.facts["lot", payload.lot] = StandbyLot(
                key=payload.lot,
                crop=payload.crop,
                plants=payload.seeds,
                sown=self._day,
                cup_ml=payload.cup_ml,
                variety=payload.variety,
                days_to_maturity=self._packet_days(payload.crop, payload.variety),
            )
        elif payload.planting is not None:
            self._begin(
                payload.planting,
                crop=payload.crop,
                plants=payload.seeds,
                bed=payload.bed,
                sown=self._day,
                variety=payload.variety,
                days_to_maturity=self._packet_days(payload.crop, payload.variety),
            )
        self._use_seed(payload)

    @_apply.register
    def _setting_out(self, payload: SettingOut) -> None:
        lot = self.facts.get(("lot", payload.lot or ""))
        from_lot: dict[str, Any] = {}
        if isinstance(lot, StandbyLot):
            from_lot = {name: getattr(lot, name) for name in OF_LOT}
        self._begin(
            payload.planting,
            crop=payload.crop,
            plants=payload.plants,
            bed=payload.bed,
            set_out=self._day,
            **from_lot,
        )
        if isinstance(lot, StandbyLot):
            self._take_from(lot, payload.plants)

    @_apply.register
    def _cup_check(self, payload: CupCheck) -> None:
        """Where all were looked at, those that came up are the plants there are."""
        lot = self.facts.get(("lot", payload.lot))
        if not isinstance(lot, StandbyLot):
            return
        every = payload.up is not None and (payload.cups or 0) >= lot.plants
        look = CupLook(self._day, payload.up, payload.cups, payload.roots)
        plants = payload.up if every and payload.up is not None else lot.plants
        self.facts["lot", lot.key] = replace(lot, plants=plants, looks=(*lot.looks, look))

    @_apply.register
    def _pulling(self, payload: Pulling) -> None:
        planting = self.planting(payload.planting)
        if planting is None:
            lot = self.facts.get(("lot", payload.planting))
            if isinstance(lot, StandbyLot):
                self._take_from(lot, lot.plants if payload.plants is None else payload.plants)
            return
        left = 0 if payload.plants is None else planting.plants - payload.plants
        self._put(
            replace(planting, pulled=self._day) if left <= 0 else replace(planting, plants=left)
        )

    @_apply.register
    def _picking(self, payload: Picking) -> None:
        planting = self.planting(payload.planting)
        if planting is not None and planting.picked_first is None:
            self._put(replace(planting, picked_first=self._day))

    @_apply.register
    def _watering(self, payload: Watering) -> None:
        for planting in (*self.all("planting", Planting), *self.all("neighbour", Planting)):
            named = planting.key == payload.planting
            in_bed = payload.bed is not None and planting.bed == payload.bed
            if planting.wilted and (named or in_bed):
                self._put(replace(planting, wilted=False))

    @_apply.register
    def _care(self, payload: Care) -> None:
        planting = self.planting(payload.planting)
        if planting is None or payload.work.strip().lower() not in MULCHING:
            return
        bed = self.facts.get(("bed", planting.bed or ""))
        if isinstance(bed, Bed):
            self.facts["bed", bed.key] = replace(bed, mulched=True)

    @_apply.register
    def _treatment(self, payload: Treatment) -> None:
        product = self.facts.get(("shelf", payload.product or ""))
        if isinstance(product, ProductLabel) and product.litres_left is not None:
            left = max(0.0, product.litres_left - (payload.litres or 0.0))
            self.facts["shelf", product.key] = replace(product, litres_left=left)

    def _begin(self, key: str, *, plants: int, **fields: Any) -> None:
        """Plants come into the ground: a new planting, the start of one, or gaps filled."""
        standing = self.planting(key)
        if standing is None or standing.pulled is not None:
            self.facts.pop(("planting", key), None)
            name = key.replace("-", " ")
            self._put(Planting(key=key, name=name, plants=plants, **fields))
        elif standing.started is None or (standing.set_out is None and _own_seedlings(fields)):
            said = {name: value for name, value in fields.items() if value}
            self._put(replace(standing, plants=plants, **said))
        else:
            self._put(replace(standing, plants=standing.plants + plants))

    def _put(self, planting: Planting) -> None:
        section = "neighbour" if planting.neighbours_plot else "planting"
        self.facts[section, planting.key] = planting

    def _take_from(self, lot: StandbyLot, plants: int) -> None:
        self.facts["lot", lot.key] = replace(lot, plants=max(0, lot.plants - plants))

    def _packet_days(self, crop: str, variety: str) -> float | None:
        """Days to maturity printed on the packet in the tin, if there is such a packet."""
        tin = self.one("tin", Tin) or Tin()
        packets = (p for p in tin.packets if p.crop == crop and variety in ("", p.variety))
        return next((p.days_to_maturity for p in packets), None)

    def _use_seed(self, sowing: Sowing) -> None:
        """Take seed, cups and mix out of the tin; one seed a cup is reckoned (judgement)."""
        tin = self.one("tin", Tin)
        if tin is None:
            return
        packets, left = [], sowing.seeds
        for packet in tin.packets:
            fits = packet.crop == sowing.crop and sowing.variety in ("", packet.variety)
            used = min(left, packet.seeds) if fits else 0
            left -= used
            packets.append(replace(packet, seeds=packet.seeds - used))
        tin = replace(tin, packets=tuple(packets))
        if sowing.lot is not None and sowing.cup_ml == tin.cup_ml and tin.cups is not None:
            tin = replace(tin, cups=max(0, tin.cups - sowing.seeds))
        if sowing.lot is not None and tin.mix_litres is not None:
            mix = sowing.seeds * sowing.cup_ml / 1000
            tin = replace(tin, mix_litres=max(0.0, tin.mix_litres - mix))
        self.facts["tin", ONE] = tin


def _own_seedlings(fields: Mapping[str, Any]) -> bool:
    """True when what is set out came from no lot: the planting's own seedlings."""
    return fields.get("set_out") is not None and "sown" not in fields


def _as_before(planting: Planting, day: date) -> Planting:
    """A planting as far as it is known for a day before it was written down."""
    since, picked = planting.bearing_since, planting.picked_first
    return replace(
        planting,
        vigour="sound",
        wilted=False,
        in_bloom=None,
        bearing_since=since if since is not None and since <= day else None,
        picked_first=picked if picked is not None and picked <= day else None,
    )
