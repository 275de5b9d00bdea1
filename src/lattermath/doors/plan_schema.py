"""The JSON Schema of `lattermath plan --json`, made from the records themselves."""

from __future__ import annotations

import json
import sys
from typing import Any

from lattermath.vocabulary.plan import Plan

TITLE = "Lattermath visit plan"
ABOUT = (
    "What `lattermath plan --json` writes. Weights in kg, temperatures in C, days as YYYY-MM-DD, "
    "hours with their offset. A low and a high are the 10th and 90th percentile of the draws."
)


def plan_schema() -> dict[str, Any]:
    """The schema as data: every record named once under `$defs`, no further keys allowed."""
    from pydantic import TypeAdapter

    schema = TypeAdapter(Plan).json_schema(mode="serialization")
    for record in (schema, *schema["$defs"].values()):
        if record.get("type") == "object":
            record["additionalProperties"] = False
            record["required"] = list(record["properties"])  # all is written, nulls too
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": TITLE,
        "description": ABOUT,
    }
    return {**head, **{key: value for key, value in schema.items() if key not in head}}


def schema_text() -> str:
    """The schema as published in docs, with a line feed at the end."""
    return json.dumps(plan_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema_text())
