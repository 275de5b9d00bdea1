"""The shelf as its page shows it: what bars each product where, and its label line by line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from lattermath.sheets import figures
from lattermath.sheets import page_words as p
from lattermath.sheets import wording as w
from lattermath.sheets.figures import Units
from lattermath.sheets.front import sentence
from lattermath.sheets.label_views import shelf_lines
from lattermath.vocabulary import calendar
from lattermath.vocabulary.label import ProductLabel
from lattermath.vocabulary.plan import Amount, Clearance
from lattermath.vocabulary.ruling import Because, Ruling
from lattermath.vocabulary.sentence import inside


@dataclass(frozen=True, slots=True)
class Product:
    """One product to show: its label, its active in words, its crops, and rulings by planting.

    uses : name of the planting, whether the label lists its crop, and the ruling.
    """

    label: ProductLabel
    active: str
    crops: tuple[str, ...]
    uses: tuple[tuple[str, bool, Ruling], ...]


def shelf_page(
    products: Iterable[Product], picking: Iterable[tuple[str, Clearance]], units: Units, today: date
) -> dict[str, Any]:
    """What the page of the shelf takes; `bars`: plantings that may not be picked yet."""
    return {
        "products": [_product(one, units, today) for one in products],
        "bars": [_bar(name, clear, units, today) for name, clear in picking if not clear.clear_now],
    }


def _product(one: Product, units: Units, today: date) -> dict[str, Any]:
    (told,) = shelf_lines([one.label])
    uses = [_use(name, ruling, units, today) for name, listed, ruling in one.uses if listed]
    unlisted = [name for name, listed, _ in one.uses if not listed]
    left = one.label.litres_left
    return {
        **told,
        "key": one.label.key,
        "active": p.ACTIVE.format(active=one.active) if one.active else "",
        "group": p.GROUP.format(group=one.label.group) if one.label.group else "",
        "left": ""
        if left is None
        else p.LITRES_LEFT.format(much=figures.quantity(Amount("", left, "l"), units)),
        "crops": p.ON_LABEL.format(crops=figures.listed(one.crops)) if one.crops else p.NO_CROPS,
        "invented": one.label.invented,
        "missing": sum(value == p.LABEL_NOT_COPIED for _, value, _ in told["lines"]),
        "uses": uses,
        "open": [use["name"] for use in uses if use["open"]],
        "barred": [use["name"] for use in uses if not use["open"]],
        "unlisted": figures.listed(unlisted),
    }


def _use(name: str, ruling: Ruling, units: Units, today: date) -> dict[str, Any]:
    """A ruling on one planting: what bars it first, then what passes, each with who says so."""
    again = ruling.ask_again
    return {
        "name": name,
        "open": ruling.allowed,
        "opens": p.OPENS.format(when=calendar.said_opening(again, today)) if again else "",
        "counts": list(_counts(ruling.reasons, units)),
        "bars": [_reason(reason, units) for reason in ruling.bars],
        "passes": [_reason(reason, units) for reason in ruling.reasons if reason.holds],
        "ways": _ways(ruling.bars, units),
    }


def _counts(reasons: Iterable[Because], units: Units) -> Iterator[str]:
    """When it was used last, and which of the most treatments the next would be."""
    for reason in reasons:
        lines = {address.rpartition("/")[2] for address in reason.rests_on}
        says = _reason(reason, units)[0]
        if reason.holds and "retreat_days" in lines:
            yield says
        elif reason.holds and "season_max" in lines:
            yield p.NEXT_WOULD_BE.format(says=inside(says))


def _reason(reason: Because, units: Units) -> tuple[str, str]:
    return sentence(figures.said_in(reason.says, units, figures.DEGREE)), w.WHO[reason.who]


def _ways(bars: Sequence[Because], units: Units) -> list[str]:
    ways = (bar.way_out for bar in bars if bar.way_out)
    return [sentence(figures.said_in(way, units, figures.DEGREE)) for way in dict.fromkeys(ways)]


def _bar(name: str, clear: Clearance, units: Units, today: date) -> dict[str, str]:
    safe = clear.safe_from
    opens = calendar.said_with_hour(safe, today) if safe else p.PICK_UNKNOWN
    says = " ".join(_reason(bar, units)[0] for bar in clear.barred_by)
    return {"name": name, "opens": opens, "says": says}
