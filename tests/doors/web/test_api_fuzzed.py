"""The JSON API asked from its own description, by right and by wrong: never worse than a refusal.

Each operation gets the cases that its description's edges give, and some at random. Bodies that
are right are given names of the plot, so that what is asked reaches the desk. That a question
which fits the description is accepted is not checked: a planting, a day or an entry that fits
may still not be there.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date
from itertools import count
from pathlib import Path
from typing import Any, cast

import pytest
import requests
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.python import asgi
from schemathesis.specs.openapi.checks import (
    allow_header_conformance,
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)
from tests.doors.web.planned import planned

from lattermath.desk import keepers
from lattermath.desk.demo import Shown
from lattermath.desk.plan_visit import plan
from lattermath.desk.told_entries import record_of
from lattermath.doors.web.api import make_api
from lattermath.doors.web.app import make_app
from lattermath.doors.web.house import House
from lattermath.record.ids import uuid7
from lattermath.vocabulary.errors import LattermathError

DAY = date(2011, 7, 30)
HERE = "http://localhost:8714/api"
EXAMPLES = 6
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    negative_data_rejection,
    unsupported_method,
    allow_header_conformance,
]
STANDING = {
    "planting": ("melon", "tomatoes", "courgettes", "cucumbers", "Pole beans"),
    "where": ("bed A", "bed B", "melon"),
    "what": ("whitefly", "aphids", "powdery mildew", "ladybird larvae", "pigeons", "specks"),
    "crop": ("chard", "cucumber", "potato"),
    "means": ("soap", "water jet", "hand pick"),
    "bed": ("bed A", "bed B"),
    "lot": ("young-courgettes", "cups-9"),
    "stage": ("eggs", "adult", ""),
    "at": ("2011-07-29T19:05", "2011-07-30T07:00-06:00"),
}
numbers = count()
PATIENCE = 120  # seconds; a plan for another day is waited for, on a busy machine too
schema = schemathesis.openapi.from_dict(
    {**make_api(cast(House, None)).openapi(), "servers": [{"url": "/api"}]}
)


@pytest.fixture(scope="module")
def served(shown: Shown) -> Iterator[FastAPI]:
    """The plot served, its first plan made by a worker that is there for other days too."""
    app = make_app(shown.folder, on=DAY)
    app.state.house.keeper.look()
    assert app.state.house.keeper.wait(120).plan is not None
    yield planned(app, shown.plan)
    app.state.house.keeper.close()


@pytest.fixture(scope="module")
def program(served: FastAPI) -> Iterator[requests.Session]:
    """A program that asks it."""
    with asgi.get_client(served) as session:
        yield session


@schema.parametrize()
@settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
def test_the_api_does_what_it_says_of_itself(
    case: schemathesis.Case, program: requests.Session
) -> None:
    if case.meta.generation.mode.is_positive and isinstance(case.body, dict):
        _name_what_is_there(case.body)
    case.call_and_validate(base_url=HERE, session=program, checks=CHECKS, timeout=PATIENCE)


def _name_what_is_there(body: dict[str, Any]) -> None:
    """Put names of the plot and a fresh id into a body that fits its description."""
    number = next(numbers)
    dice = random.Random(number)
    body["id"] = uuid7(1_311_000_900_000 + number, bytes(10))
    for name, known in STANDING.items():
        if isinstance(body.get(name), str) and not (body.get("kind") == "set-out" == name):
            body[name] = dice.choice(known)
    if "plantings" in body:
        body["plantings"] = [dice.choice(STANDING["planting"])]
    if "entry" in body:
        body["entry"] = str(dice.randint(1, 150))


@pytest.mark.usefixtures("few_draws")
def test_after_many_entries_the_journal_is_sound_and_a_plan_can_be_made(
    folder: Path, program: requests.Session
) -> None:
    """What is let in breaks neither the record nor the planner."""

    @given(case=schema["/log"]["POST"].as_strategy())
    @settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
    def send(case: schemathesis.Case) -> None:
        if isinstance(case.body, dict):
            _name_what_is_there(case.body)
        case.call(base_url=HERE, session=program, timeout=PATIENCE)

    send()
    written = [one for one in record_of(folder).entries if one.id.startswith("01313dbe")]
    assert len(written) > 20
    assert keepers.check(folder).faults == ()
    try:
        assert plan(folder, DAY).visits
    except LattermathError as refused:
        assert refused.faults
