"""Weather that lets a disease in, in words, and the looks it asks for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from lattermath.belief.disease_risk import LAST_DAYS, Risk
from lattermath.planning.watch import Watch
from lattermath.vocabulary.calendar import short
from lattermath.vocabulary.counted import counted
from lattermath.vocabulary.plot import Planting
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import listed

MOST_LINES = 3  # judgement: more than three warnings are read by nobody
RECKONED = "reckoned from highs, lows and rain"
MEASURED = "hours measured"
ORDER = {"yes": 0, "likely": 1, "no": 2}
EXPLOSIVE = "late_blight"


def most_pressing(
    risks: Sequence[Risk], loss: Mapping[str, float]
) -> tuple[list[Risk], list[Risk]]:
    """What is worth a line, and what only a mention: late blight, the sure, the costly first.

    loss : share of the yield that each disease takes at its worst, by disease.
    """
    open_ones = [risk for risk in risks if risk.sure != "no"]
    open_ones.sort(
        key=lambda r: (r.disease != EXPLOSIVE, ORDER[r.sure], -loss.get(r.disease, 0.0), r.disease)
    )
    return open_ones[:MOST_LINES], open_ones[MOST_LINES:]


def mention_line(mentions: Sequence[tuple[Risk, str, Sequence[Planting]]]) -> str:
    """The others in one line: each with its count and where to look; "" for none.

    mentions : risk, name and plantings of each.
    """
    told = [
        f"{name} ({risk.counted[1]:.0f} {risk.what}; {listed([one.name for one in there])})"
        for risk, name, there in mentions
    ]
    return f"The weather suits, less pressing: {listed(told)}." if told else ""


def risk_line(
    risk: Risk,
    name: str,
    plantings: Sequence[Planting],
    first: date,
    begun: date,
    *,
    measured: bool,
    besides: str = "",
) -> str:
    """One line of the sheet: what the weather lets in, by how much, and that it was not seen.

    besides : what else is not known of the figure, in words.
    """
    verb = "lets in" if risk.sure == "yes" else "may let in"
    where = listed([planting.name for planting in plantings])
    return (
        f"Weather {verb} {name}: {_counted(risk, first, begun)} "
        f"({MEASURED if measured else RECKONED}{'; ' if besides else ''}{besides}). "
        f"Not seen yet: look at {where}."
    )


def unknown_line(name: str) -> str:
    """What is said where the last fortnight was hardly measured."""
    return f"Weather for {name}: unknown, for the last {LAST_DAYS} days were hardly measured."


def risk_watches(
    risk: Risk,
    name: str,
    line: str,
    plantings: Sequence[Planting],
    looked: Sequence[date | None],
    today: date,
) -> list[Watch]:
    """A look at each planting that it could be on."""
    rests = (f"reading:{today.isoformat()}", f"table:diseases/{risk.disease}")
    reason = Because(line.split(". Not seen")[0], rests_on=rests)
    return [
        Watch(risk.disease, name, planting, last, suspected=True, because=(reason,))
        for planting, last in zip(plantings, looked, strict=True)
    ]


def _counted(risk: Risk, first: date, begun: date) -> str:
    low, middle, high = (round(n) for n in risk.counted)
    span = f"about {middle} ({low} to {high})" if high > low else f"{middle}"
    if risk.what == "blight days" and not risk.days:
        many = counted(span, "blight days")
        return f"{many}, humid and mild enough two days running, in {LAST_DAYS} days"
    if risk.what == "blight days":
        days = [short(first + timedelta(days=n)) for n in risk.days[-2:]]
        besides = f", {risk.besides}" if risk.besides else ""
        return f"humid and mild enough two days running, up to {listed(days)}{besides}"
    if risk.what == "nights":
        return f"{span} of the last {LAST_DAYS} nights wet long enough"
    return f"{counted(span, 'severity values')} since {short(begun)}, {risk.needed:.0f} are enough"
