"""How a look is to be done, in words: one clause on the sheet, the reckoning beside it in `why`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lattermath.planning.ten_leaves import LEAVES
from lattermath.planning.ways_to_look import APART, NOMINAL, PRECISE, Way, precision_at
from lattermath.planning.worth_of_look import LookWorth
from lattermath.vocabulary.ruling import Because

WAYS = "computed:ways to look, each total followed leaf by leaf (decision 0052)"
CALLED = {
    "all": "ten {units} counted out",
    "stopped": "stopped at the number that turns it, or at none on the first few",
    "lines": "Wald's stop lines, closed at the tenth",
    "some": "{units} with any counted, not what sits on them",
}


def stops_at(worth: LookWorth | None, what: str, units: str) -> str:
    """When to stop one count and what number turns it, as a sentence; empty where none does.

    It ends that count only: what else is counted on the same leaves goes on.

    what  : what is counted, in the plural. units : leaves or plants.
    """
    if worth is None:
        return ""
    counted_out = not worth.ways or worth.ways[0].kind == "all"
    if counted_out and worth.turns_at is not None:
        return f"{_begun(what)}: {worth.above} from {worth.turns_at} in all."
    if not worth.ways:
        if worth.enough is None:
            return ""
        leaves, total = worth.enough
        return f"{_begun(what)}: with {total} on {leaves} {units} stop, more tell little."
    way = worth.ways[0]
    if way.kind == "some":
        most = way.many[-1]
        without = LEAVES - most + 1
        return f"{most} {units} with {what}: {worth.above}. {without} without: {worth.below}."
    top = way.many[-1]
    if way.kind == "lines":
        few = _few_or_less(_few_points(way), units)
        (total, n), *more = [*((t, f"on {n}") for n, t in _many_points(way)), (top, "in all")]
        many = ", ".join((f"{total} or more {n}", *(f"{t} {on}" for t, on in more)))
    else:
        none = _none_on(way)
        few = "" if none is None else f"none on first {none} {units}"
        many = f"{top} or more"
    low = f"{few}: {worth.below}. " if few else ""
    return f"{_begun(what)}: {low}{_begun(many)}: {worth.above}."


def _few_or_less(points: Sequence[tuple[int, int]], units: str) -> str:
    """Totals on the first leaves up to which few are there: 8 or fewer on first 3 leaves."""
    told, or_fewer = [], " or fewer"
    for place, (n, total) in enumerate(points):
        on = f"first {n} {units}" if place == 0 else f"{n}"
        told.append(f"{total}{or_fewer} on {on}" if total else f"none on {on}")
        or_fewer = "" if total else or_fewer
    return ", ".join(told)


def finds_enough(worth: LookWorth | None, what: str, units: str, *, some: bool) -> str:
    """What a look has to find for a treatment, after "only if"; empty where no number turns it.

    what  : what is counted, in the plural. units : leaves or plants.
    some  : the look asks for leaves with any, if that is the best way to do it; where leaves of two
            heights serve for several things it has them counted out.
    """
    if worth is None or worth.turns_at is None or not worth.above.startswith("treat"):
        return ""
    by_units = some and worth.ways and worth.ways[0].kind == "some"
    many = worth.ways[0].many[-1] if by_units else worth.turns_at
    if many == 1:
        return f"the look finds any {what}"
    if by_units:
        return f"the look finds {many} {units} or more with {what}"
    return f"the look finds {many} {what} or more in all"


def reckoned(worth: LookWorth, units: str) -> Iterator[Because]:
    """What each way of looking really does beside what it is nominally, and how precise ten are."""
    if not worth.ways or worth.turns_at is None:
        return
    first, *others = worth.ways
    one = "leaf" if units == "leaves" else "plant"
    half, twice = (_number(worth.turns_at * times) for times in (1 / APART, APART))
    yield _told(
        f"of 100 plantings, how many each way of looking calls wrong at half that number ({half} "
        f"on ten, called many) and at twice it ({twice}, called few), with every total followed "
        f"{one} by {one} and the eyes' own error. Taken: "
        f"{_one(first, units)}"
    )
    if others:
        beside = "; ".join(_one(way, units) for way in others)
        yield _told(f"not taken, since they tell less of it or save less time: {beside}")
    for way in worth.ways:
        if way.kind == "lines":
            yield _told(_lines_table(way, units))
    reached, wanted = precision_at(worth.turns_at / LEAVES)
    yield _told(
        f"at that number ten {units} tell the mean to within about {_percent(reached)} (standard "
        f"error); {_percent(PRECISE)} would take about {_number(wanted)} {units}, so only few or "
        "many is asked"
    )


def _one(way: Way, units: str) -> str:
    nominal = (
        f" (nominal {100 * NOMINAL:.0f} and {100 * NOMINAL:.0f})" if way.kind == "lines" else ""
    )
    return (
        f"{CALLED[way.kind].format(units=units)}: {100 * way.few_wrong:.0f} and "
        f"{100 * way.many_wrong:.0f}{nominal}, after {way.few_leaves:.0f} and "
        f"{way.many_leaves:.0f} {units}, about {way.takes:.1f} min"
    )


def _lines_table(way: Way, units: str) -> str:
    rows = ", ".join(
        f"{n}: {few if few >= 0 else 'none'}/{many}"
        for n, (few, many) in enumerate(zip(way.few, way.many, strict=True), start=1)
    )
    return f"Wald's lines after 1 to {LEAVES} {units}, few up to/many from: {rows}".replace(
        "none/", "-/"
    )


def _few_points(way: Way) -> list[tuple[int, int]]:
    """Where the lower line first ends it, and one point further on."""
    ends = [n for n in range(1, LEAVES) if way.few[n - 1] >= 0]
    return [(n, way.few[n - 1]) for n in sorted({ends[0], (ends[0] + LEAVES) // 2})] if ends else []


def _many_points(way: Way) -> list[tuple[int, int]]:
    """The same of the upper line, below the number that turns it."""
    ends = [n for n in range(1, LEAVES) if way.many[n - 1] < way.many[-1]]
    return [(n, way.many[n - 1]) for n in sorted({ends[0], ends[len(ends) // 2]})] if ends else []


def _none_on(way: Way) -> int | None:
    return next((n for n in range(1, LEAVES) if way.few[n - 1] == 0), None)


def _told(says: str) -> Because:
    return Because(says, rests_on=(WAYS,), aside=True)


def _begun(what: str) -> str:
    return what[:1].upper() + what[1:]


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %" if share < 0.995 else f"{share:.1f} times itself"


def _number(value: float) -> str:
    return f"{value:.0f}" if value >= 2 else f"{value:.1f}"
