from __future__ import annotations

import io
import json
import subprocess
import sys
from types import SimpleNamespace
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from lattermath.desk.compute import KERNELS, answer, listing
from lattermath.doors.command import run
from lattermath.vocabulary.errors import Fault, InputError

DAY = {"t_min": [7, 7], "t_max": [14, 20], "lower": 12}


def faults(kernel: str, request: object) -> tuple[Fault, ...]:
    with pytest.raises(InputError) as refusal:
        answer(kernel, request if isinstance(request, str) else json.dumps(request))
    return refusal.value.faults


def test_an_object_gives_an_object_and_an_array_an_array() -> None:
    one = json.loads(answer("degree-days", json.dumps(DAY)))
    assert json.loads(answer("degree-days", json.dumps([DAY, DAY]))) == [one, one]
    assert json.loads(answer("degree-days", "[]")) == []


def test_an_array_is_answered_whole_or_not_at_all() -> None:
    wrong = {"t_max": [14, 20], "lower": 12}
    (fault,) = faults("degree-days", [DAY, DAY, DAY, wrong])
    assert fault.where == "[3].t_min"
    assert fault.what == "this field is missing"


@pytest.mark.parametrize(
    ("change", "where", "remedy"),
    [
        ({"uper": 33}, "uper", "Did you mean upper?"),
        ({"t_min": [7, "7"]}, "t_min[1]", ""),
        ({"t_min": [7, None]}, "t_min[1]", ""),
        ({"t_min": [7, True]}, "t_min[1]", ""),
        ({"t_min": []}, "t_min", ""),
        ({"t_min": [7]}, "t_max", "Give as many as t_min: 1."),
        ({"t_min": [7, 21]}, "t_min[1]", "t_max is 20."),
        ({"method": "triple-sine"}, "method", ""),
        ({"cutoff": "vertical"}, "upper", "Give upper."),
        ({"cutoff": "vertical", "upper": 12}, "input", ""),
    ],
)
def test_wrong_input_names_place_value_and_remedy(
    change: dict[str, Any], where: str, remedy: str
) -> None:
    (fault,) = faults("degree-days", {**DAY, **change})
    assert fault.where == where
    assert remedy in fault.remedy and fault.remedy
    (placed,) = faults("degree-days", [DAY, {**DAY, **change}])
    assert placed.where == ("[1]" if where == "input" else f"[1].{where}")


def test_every_fault_is_named_at_once() -> None:
    found = faults("degree-days", {"t_min": ["a"], "t_max": ["b"], "lowr": 12})
    assert {f.where for f in found} == {"t_min[0]", "t_max[0]", "lower", "lowr"}


@pytest.mark.parametrize(
    "sent",
    ["", "3", '"x"', "[1]", "[[]]", "{", '{"t_min": NaN}', "null", '{"a": Infinity}'],
)
def test_what_is_no_request_is_refused(sent: str) -> None:
    assert all(f.what and f.where and f.remedy for f in faults("degree-days", sent))


def test_bytes_that_are_no_text_are_refused() -> None:
    with pytest.raises(InputError):
        answer("degree-days", b"\xff\xfe")


def test_unknown_kernel_names_the_nearest() -> None:
    (fault,) = faults("degre-days", DAY)
    assert "degree-days" in fault.remedy


def test_nested_unknown_field_names_the_nearest_of_its_own_place() -> None:
    treated = {"at": "2025-08-03T20:00", "pre_harvest_day": 4}
    (fault,) = faults("clearance", {"treatments": [treated], "now": "2025-08-05T20:00"})
    assert fault.where == "treatments[0].pre_harvest_day"
    assert fault.remedy.startswith("Did you mean pre_harvest_days")


@pytest.mark.parametrize("kernel", KERNELS)
def test_listing_is_json_schema_for_every_kernel(kernel: str) -> None:
    listed = json.loads(listing(kernel))[kernel]
    for side in ("input", "output"):
        Draft202012Validator.check_schema(listed[side])
        assert listed[side]["type"] == "object"
    assert listed["input"]["additionalProperties"] is False


def test_listing_holds_all_kernels() -> None:
    assert list(json.loads(listing())) == list(KERNELS)


def test_schema_of_the_input_agrees_with_what_is_answered() -> None:
    listed = json.loads(listing("degree-days"))["degree-days"]
    assert Draft202012Validator(listed["input"]).is_valid(DAY)
    assert not Draft202012Validator(listed["input"]).is_valid({**DAY, "uper": 1})
    answered = json.loads(answer("degree-days", json.dumps(DAY)))
    Draft202012Validator(listed["output"]).validate(answered)


def test_command_answers_on_standard_output_and_refuses_on_standard_error(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def typed(text: str) -> None:
        monkeypatch.setattr(sys, "stdin", SimpleNamespace(buffer=io.BytesIO(text.encode())))

    typed(json.dumps(DAY))
    assert run(["compute", "degree-days"]) == 0
    assert set(json.loads(capsys.readouterr().out)) == {"degree_days", "total"}
    typed('{"t_min": 1}')
    assert run(["compute", "degree-days"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert set(json.loads(told.err)) == {"what", "where", "value", "remedy", "others"}
    assert run(["compute", "--list"]) == 0
    assert run(["compute"]) == 2


def test_a_kernel_loads_no_room_that_it_does_not_need() -> None:
    code = (
        "import sys; from lattermath.desk.compute import answer;"
        'answer(\'degree-days\', \'{"t_min": [1], "t_max": [2], "lower": 0}\');'
        "print([m for m in sys.modules if m.startswith(('numba', 'lattermath.belief',"
        " 'lattermath.knowledge', 'lattermath.planning'))])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_group_words_of_stages_and_unknown_ones() -> None:
    steady = {"organism": "greenhouse_whitefly", "temperature_c": 25, "days": 1}
    still = {"mortality": False, "reproduction": False, "start": {"nymph": 100}}
    kill = {"treatments": [{"day": 0, "kill": {"nymph": 0.5}}]}
    halved = json.loads(answer("cohort", json.dumps({**steady, **still, **kill})))
    assert halved["total"] == pytest.approx([100, 50], rel=1e-4)
    wrong = {"treatments": [{"day": 0, "kill": {"larva": 0.5}}]}
    (fault,) = faults("cohort", [{**steady, **still, **wrong}])
    assert fault.where == "[0].treatments[0].kill.larva"


@pytest.mark.parametrize(
    ("kernel", "request_", "where"),
    [
        (
            "development",
            {"organism": "unicorn fly", "stage": "egg", "temperature_c": 20},
            "organism",
        ),
        ("emergence", {"crop": "cucmber_slicing", "soil_temperature_c": 20}, "crop"),
        (
            "development",
            {"organism": "greenhouse_whitefly", "stage": "larva", "temperature_c": 20},
            "stage",
        ),
        (
            "growth-rate",
            {"organism": "greenhouse_whitefly", "host": "granite", "temperature_c": 20},
            "host",
        ),
        (
            "sun-times",
            {"latitude": 91, "longitude": 0, "date": "2024-03-20", "time_zone": "UTC"},
            "latitude",
        ),
        (
            "sun-times",
            {"latitude": 9, "longitude": 0, "date": "20 March", "time_zone": "UTC"},
            "date",
        ),
        (
            "sun-times",
            {"latitude": 9, "longitude": 0, "date": "2024-03-20", "time_zone": "Europe/Londn"},
            "time_zone",
        ),
        ("residue", {"half_life_days": 0, "days": 3}, "half_life_days"),
        (
            "clearance",
            {"treatments": [{"at": "Sunday"}], "now": "2025-08-05T18:55"},
            "treatments[0].at",
        ),
    ],
)
def test_words_nobody_knows_are_refused_by_their_field(
    kernel: str, request_: dict[str, Any], where: str
) -> None:
    (fault,) = faults(kernel, request_)
    assert fault.where == where
