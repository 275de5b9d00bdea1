from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from lattermath.doors.plan_schema import schema_text
from lattermath.sheets.schema import plan_json
from lattermath.vocabulary.plan import Plan

PUBLISHED = Path(__file__).parents[2] / "docs" / "plan.schema.json"


def validator() -> Draft202012Validator:
    schema = json.loads(PUBLISHED.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema, format_checker=FormatChecker())


def test_published_schema_is_current() -> None:
    message = "run: python -m lattermath.doors.plan_schema > docs/plan.schema.json"
    assert PUBLISHED.read_text(encoding="utf-8") == schema_text(), message


def test_a_plan_is_valid_against_the_published_schema(plan: Plan) -> None:
    validator().validate(json.loads(plan_json(plan)))


def test_same_plan_same_bytes(plan: Plan) -> None:
    assert plan_json(plan) == plan_json(plan)
    held = json.loads(plan_json(plan))
    assert list(held)[:3] == ["schema_version", "plot", "as_of"]
    assert held["visits"][0]["date"] == "2025-08-05"
    assert held["visits"][0]["arrive"] == "2025-08-05T18:55:00-05:00"


def test_measures_are_plain_words_unless_a_sheet_is_to_be_reprinted(plan: Plan) -> None:
    assert json.loads(plan_json(plan))["visits"][0]["weather"] == "27 C, still, dry"
    assert json.loads(plan_json(plan, marks=True))["visits"][0]["weather"] == "«27 C», still, dry"


def test_the_schema_refuses_what_no_plan_holds(plan: Plan) -> None:
    held = json.loads(plan_json(plan))
    for broken in (
        {**held, "extra": 1},
        {key: value for key, value in held.items() if key != "stamp"},
        {**held, "schema_version": "one"},
    ):
        assert not validator().is_valid(broken)


def test_a_number_without_a_word_in_json_is_refused(plan: Plan) -> None:
    broken = replace(plan.verdicts[0], chance_error=float("nan"))
    with pytest.raises(ValueError, match="not JSON compliant"):
        plan_json(replace(plan, verdicts=(broken,)))
