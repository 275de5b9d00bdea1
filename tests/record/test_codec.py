from __future__ import annotations

import dataclasses
import types
import typing
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any, Literal, TypeVar, Union, get_args, get_origin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lattermath.record import codec
from lattermath.record.codec import canonical, decode, encode, from_plain, kind_of, to_plain
from lattermath.record.plot_facts import SECTIONS
from lattermath.vocabulary.errors import JournalError
from lattermath.vocabulary.events import KINDS, Visit, Watering
from lattermath.vocabulary.label import LabelLine

NUMBERS = st.floats(allow_nan=False, allow_infinity=False)
JSON_DATA = st.dictionaries(
    st.text(max_size=8),
    st.recursive(
        st.none() | st.booleans() | st.integers() | NUMBERS | st.text(max_size=8),
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner),
        max_leaves=5,
    ),
    max_size=4,
)
PLAIN = {
    float: NUMBERS,
    date: st.dates(),
    time: st.times(),
    datetime: st.datetimes(),
    str: st.text(max_size=20),
}


def any_of(hint: Any) -> st.SearchStrategy[Any]:
    """Any value a field of that type may hold."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Literal:
        return st.sampled_from(inner)
    if origin in (Union, types.UnionType):
        return st.one_of([any_of(arm) for arm in inner])
    if origin is tuple and inner[-1] is Ellipsis:
        return st.lists(any_of(inner[0]), max_size=3).map(tuple)
    if origin is tuple:
        return st.tuples(*map(any_of, inner))
    if origin is LabelLine:
        words = st.text(max_size=9)
        value = st.builds(LabelLine, st.just("value"), any_of(inner[0]), words)
        return value | st.builds(
            LabelLine, st.sampled_from(["none", "not copied"]), st.none(), words
        )
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return JSON_DATA
    if dataclasses.is_dataclass(hint):
        fields = typing.get_type_hints(hint)
        return st.builds(hint, **{name: any_of(field) for name, field in fields.items()})
    assert not isinstance(hint, TypeVar)
    return PLAIN[hint] if hint in PLAIN else st.from_type(hint)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_payload_reads_back_as_it_was_written(kind: str) -> None:
    @settings(max_examples=60, deadline=None)
    @given(any_of(KINDS[kind]))
    def reads_back(payload: Any) -> None:
        text = encode(payload)
        assert kind_of(payload) == kind
        assert decode(kind, codec.VERSIONS[kind], text) == payload
        assert encode(decode(kind, codec.VERSIONS[kind], text)) == text

    reads_back()


@pytest.mark.parametrize("section", SECTIONS)
def test_every_fact_of_a_plot_file_reads_back_from_its_row(section: str) -> None:
    @settings(max_examples=25, deadline=None)
    @given(any_of(SECTIONS[section]))
    def reads_back(fact: Any) -> None:
        assert from_plain(SECTIONS[section], to_plain(fact)) == fact

    reads_back()


def test_a_field_added_since_takes_its_default() -> None:
    assert from_plain(Visit, {"minutes": 60}) == Visit(60, "")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"minuets": 60}, "no field 'minuets'"),
        ({"minutes": "60"}, "minutes: '60'"),
        ({"minutes": True}, "minutes: True"),
        ({"minutes": 1.5}, "minutes: 1.5"),
        ([], "of another type"),
    ],
)
def test_data_of_another_shape_is_refused_by_field(data: Any, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        from_plain(Visit, data)


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_what_is_no_number_is_not_written(number: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        canonical({"x": number})


def test_an_old_version_is_lifted_step_by_step(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(codec.VERSIONS, "visit", 3)
    lifts = {
        ("visit", 1): lambda data: {"hours": data["h"]},
        ("visit", 2): lambda data: {"minutes": int(data["hours"] * 60)},
    }
    monkeypatch.setattr(codec, "UPCASTERS", lifts)
    assert decode("visit", 1, '{"h":1.5}') == Visit(90)
    assert decode("visit", 2, '{"hours":2}') == Visit(120)
    assert decode("visit", 3, '{"minutes":5}') == Visit(5)


def test_every_version_below_todays_has_its_way_up() -> None:
    for kind, version in codec.VERSIONS.items():
        assert all((kind, old) in codec.UPCASTERS for old in range(1, version))


@pytest.mark.parametrize(("kind", "version"), [("visit", 2), ("harvest moon", 1)])
def test_what_a_newer_program_wrote_is_refused(kind: str, version: int) -> None:
    with pytest.raises(JournalError, match="newer program"):
        decode(kind, version, "{}")


def test_a_watering_of_before_is_one_of_which_nobody_said_how() -> None:
    old = decode("watering", 1, '{"bed":"c","litres":20.0,"planting":null}')
    assert old == Watering(20.0, bed="c", way=None)
