"""A refusal of the weather says the first evening that allows it. The world is made by hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from tests.planning.label_cases import CAUTIONS, TUESDAY, evening, product, request

from lattermath.planning.evening_sprays import evening_sprays
from lattermath.planning.label_limits import may_treat
from lattermath.planning.treating import Spraying
from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.label import LabelLine
from lattermath.vocabulary.ruling import Ruling

SOAP = product()
BEANS = request().planting


def nights(*heat: float) -> tuple[Evening, ...]:
    days = (TUESDAY + timedelta(days=2 * n) for n in range(len(heat)))
    return tuple(evening(d, temperature_high_c=c) for d, c in zip(days, heat, strict=True))


@dataclass
class Asking:
    """Permits that rule by the evening alone."""

    label: Any = SOAP
    asked: list[datetime] = field(default_factory=list)

    def rule(self, *args: Any, starts: datetime, **over: Any) -> Ruling:
        made = request(self.label, starts=starts, evening=args[3])
        return may_treat(replace(made, dry_soil=None, water_first=over["watered"]), CAUTIONS)


def look_again(evenings: tuple[Evening, ...], label: Any = SOAP) -> datetime | None:
    spray = Spraying("soap", label.key, "aphid", "aphids", BEANS, 15.0, (), ("top",), "Soap", True)
    rules: Any = Asking(label)
    found = evening_sprays(rules, [spray], evenings[0], [], {}, evenings)
    assert found.tasks == [] and len(found.refused) == 1
    return found.refused[0].look_again


def test_the_first_evening_that_is_cool_enough() -> None:
    """Saturday is the first below 32 C; the last job of a quarter hour ends at dusk, 21:10."""
    found = look_again(nights(35.0, 33.0, 28.0, 20.0))
    assert found is not None and f"{found:%a %d %b %H:%M}" == "Sat 08 Aug 20:55"


def test_no_date_where_no_evening_allows_it() -> None:
    assert look_again(nights(35.0, 34.0, 33.0)) is None
    never = replace(SOAP, bloom=LabelLine())
    assert look_again(nights(35.0, 20.0, 20.0), never) is None
