"""Any number on a sheet, recomputed from outside: one kernel, JSON in, JSON out."""

from __future__ import annotations

import json
from importlib import import_module
from typing import Any

from lattermath.desk.kernel_forms import Form, nearest, shown
from lattermath.vocabulary.errors import Fault, InputError

# Kernel, and the module that holds its form: a kernel loads no room that it does not need.
KERNELS = {
    "degree-days": "place",
    "sun-times": "place",
    "reference-et": "place",
    "crop-coefficient": "place",
    "water": "water",
    "frost-chance": "water",
    "emergence": "crops",
    "root-fill": "crops",
    "last-planting": "crops",
    "first-pick": "crops",
    "fruit-set": "crops",
    "development": "pests",
    "cohort": "pests",
    "growth-rate": "pests",
    "wet-hours": "diseases",
    "disease-severity-value": "diseases",
    "late-blight-days": "diseases",
    "infection": "diseases",
    "disease-progress": "diseases",
    "logistic-growth": "diseases",
    "efficacy": "counts",
    "sample-size": "counts",
    "sequential-test": "counts",
    "presence-test": "counts",
    "leaves-to-find": "counts",
    "negative-binomial": "counts",
    "residue": "treatments",
    "clearance": "treatments",
    "mix": "treatments",
    "diagnose": "diagnosis",
}


def answer(kernel: str, sent: bytes | str) -> str:
    """The answer to one JSON object, or to an array of them by an array, as JSON text.

    All or nothing: InputError where any request is wrong, each fault with its place, `[3].t_min`.
    """
    form, request = _form(kernel), _read(sent)
    if isinstance(request, list):
        answers = [form.one(one, f"[{place}]") for place, one in enumerate(request)]
        return json.dumps(answers, ensure_ascii=False, allow_nan=False)
    return json.dumps(form.one(request, ""), ensure_ascii=False, allow_nan=False)


def listing(kernel: str = "") -> str:
    """The input and output of every kernel, or of one, as JSON Schema; JSON text."""
    names = [kernel] if kernel else list(KERNELS)
    return json.dumps({name: _described(_form(name)) for name in names}, indent=2)


def _described(form: Form[Any]) -> dict[str, Any]:
    return {
        "says": form.says,
        "input": form.asked.model_json_schema(),
        "output": form.answer.model_json_schema(mode="serialization"),
    }


def _form(kernel: str) -> Form[Any]:
    if kernel not in KERNELS:
        raise InputError(
            Fault("there is no such kernel", "kernel", kernel, nearest(kernel, KERNELS))
        )
    forms: dict[str, Form[Any]] = import_module(
        f"lattermath.desk.kernel_forms_{KERNELS[kernel]}"
    ).FORMS
    return forms[kernel]


def _read(sent: bytes | str) -> object:
    remedy = "Send one JSON object, or an array of them, on standard input."
    try:
        return json.loads(sent, parse_constant=_no_constant)
    except UnicodeDecodeError as error:
        raise InputError(Fault("this is not UTF-8 text", "standard input", "", remedy)) from error
    except json.JSONDecodeError as error:
        where = f"standard input, line {error.lineno}, column {error.colno}"
        near = shown(error.doc[error.pos : error.pos + 30])
        raise InputError(Fault("this is not JSON", where, near, remedy)) from error


def _no_constant(word: str) -> object:
    raise InputError(
        Fault("JSON has no such number", "standard input", word, "Write null for what is unknown.")
    )
