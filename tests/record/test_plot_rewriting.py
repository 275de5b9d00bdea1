"""A page changes single values of a plot file; every other line stays as the grower wrote it."""

from __future__ import annotations

import tomllib
from collections import Counter
from datetime import date
from difflib import ndiff
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.record.plot_lines import comments_of, lines_of, statements
from lattermath.record.plot_rewriting import Change, rewritten, written
from lattermath.vocabulary.errors import PlotFileError

OWN = """# my plot, written by hand
format = 1   # always

[place]   # the lane
latitude = 51.5   # off the map
longitude = -0.6

# the beans, my notes
[[planting]]
crop = "bean # 7"   # grandma's
sown = "mid-May"

[visiting]
days = ["tue"]  # club night

# the second one
[[planting]]
crop = "courgette"
plants = 3
# end note of the courgettes

[[shelf]]
name = "soap"
[shelf.crops.courgette]
pre_harvest_days = 1 # as printed

[[shelf]]
name = "oil"

[[week]]
first = 2026-07-25
highs_c = [24, # hot
  25]
lows_c = [1, 2]

# the very end
"""


def changed_lines(old: str, new: str) -> list[str]:
    """The lines of the new text that are not in the old, and those gone, each with its sign."""
    told = ndiff(old.splitlines(), new.splitlines())
    return [line for line in told if line[0] in "+-"]


@pytest.mark.parametrize(
    ("at", "value", "lines"),
    [
        (
            ("place", "latitude"),
            52,
            ["-latitude = 51.5   # off the map", "+latitude = 52   # off the map"],
        ),
        (("place", "altitude_m"), 20.0, ["+altitude_m = 20"]),
        (("place", "longitude"), None, ["-longitude = -0.6"]),
        (("season",), 2026, ["+season = 2026"]),
        (("planting", 0, "plants"), 4, ["+plants = 4"]),
        (
            ("planting", 0, "crop"),
            "chard",
            ['-crop = "bean # 7"   # grandma\'s', '+crop = "chard"   # grandma\'s'],
        ),
        (("planting", 1, "plants"), None, ["-plants = 3"]),
        (("planting", 2), {"crop": "chard"}, ["+", "+[[planting]]", '+crop = "chard"']),
        (("planting", 1), None, ["-[[planting]]", '-crop = "courgette"', "-plants = 3"]),
        (("household",), {"people": 3}, ["+", "+[household]", "+people = 3"]),
        (("water", "hose"), True, ["+", "+[water]", "+hose = true"]),
        (
            ("week", 0, "highs_c"),
            [24, 26],
            ["-highs_c = [24, # hot", "-  25]", "+# hot", "+highs_c = [24, 26]"],
        ),
        (("shelf", 0, "group"), "M02", ['+group = "M02"']),
        (
            ("shelf", 0, "crops", "courgette", "retreat_days"),
            {"value": 7, "words": "7 d"},
            ['+retreat_days = { value = 7, words = "7 d" }'],
        ),
        (
            ("shelf", 0, "crops", "pole bean"),
            {"season_max": 2},
            ["+", '+[shelf.crops."pole bean"]', "+season_max = 2"],
        ),
        (
            ("shelf", 1, "crops", "tomato"),
            {"season_max": 2},
            ["+", "+[shelf.crops.tomato]", "+season_max = 2"],
        ),
        (
            ("shelf", 0),
            None,
            [
                "-[[shelf]]",
                '-name = "soap"',
                "-[shelf.crops.courgette]",
                "-pre_harvest_days = 1 # as printed",
                "+# as printed",
            ],
        ),
        (
            ("shelf", 0, "crops", "courgette"),
            None,
            [
                "-[shelf.crops.courgette]",
                "-pre_harvest_days = 1 # as printed",
                "+# as printed",
            ],
        ),
        (
            ("bed", 0),
            {"name": "A", "length_m": 3},
            ["+", "+[[bed]]", '+name = "A"', "+length_m = 3"],
        ),
    ],
    ids=str,
)
def test_only_the_lines_that_have_to_change_do(at: Any, value: Any, lines: list[str]) -> None:
    new = rewritten(OWN, [Change(at, value)])
    told = [line[0] + line[2:] for line in changed_lines(OWN, new)]
    assert sorted(told) == sorted(lines)


def test_a_row_added_stands_below_its_kind_and_the_notes_on_it() -> None:
    new = rewritten(OWN, [Change(("planting", 2), {"crop": "chard"})])
    assert '# end note of the courgettes\n\n[[planting]]\ncrop = "chard"\n\n[[shelf]]' in new


def test_several_changes_in_one_go() -> None:
    new = rewritten(
        OWN,
        [
            Change(("units",), "us"),
            Change(("bed", 0), {"name": "A", "length_ft": 10}),
            Change(("bed", 1), {"name": "B", "length_ft": 8}),
            Change(("planting", 0, "bed"), "A"),
            Change(("planting", 1), None),
        ],
    )
    read = tomllib.loads(new)
    assert [bed["name"] for bed in read["bed"]] == ["A", "B"]
    assert [one.get("bed") for one in read["planting"]] == ["A"]
    assert read["units"] == "us"


def test_a_file_from_nothing() -> None:
    new = rewritten(
        "",
        [
            Change(("format",), 1),
            Change(("place",), {"latitude": 51.5, "time_zone": "Europe/London"}),
            Change(("planting", 0), {"crop": "courgette", "set_out": "early June"}),
            Change(("week", 0), {"first": date(2026, 7, 25), "highs_c": [24, "?"]}),
            Change(("shelf", 0), {"name": "x", "crops": {"tomato": {"season_max": 2}}}),
        ],
    )
    assert new == (
        'format = 1\n\n[place]\nlatitude = 51.5\ntime_zone = "Europe/London"\n\n[[planting]]\n'
        'crop = "courgette"\nset_out = "early June"\n\n[[week]]\nfirst = 2026-07-25\n'
        'highs_c = [24, "?"]\n\n[[shelf]]\nname = "x"\n\n[shelf.crops.tomato]\nseason_max = 2\n'
    )


def test_windows_line_ends_stay() -> None:
    old = OWN.replace("\n", "\r\n")
    new = rewritten(old, [Change(("place", "altitude_m"), 20)])
    assert new.replace("altitude_m = 20\r\n", "") == old


@pytest.mark.parametrize(
    ("text", "at", "value"),
    [
        ("place = { latitude = 1 }\n", ("place", "latitude"), 2),
        ("place.latitude = 1\n", ("place", "latitude"), 2),
        ("planting = [{ crop = 'x' }]\n", ("planting", 0, "crop"), "y"),
        ("planting = [{ crop = 'x' }]\n", ("planting", 1), {"crop": "y"}),
    ],
)
def test_what_it_does_not_understand_it_leaves_alone(text: str, at: Any, value: Any) -> None:
    with pytest.raises(PlotFileError) as refused:
        rewritten(text, [Change(at, value)])
    (fault,) = refused.value.faults
    assert "itself" in fault.remedy and fault.where.startswith("plot.toml: ")


def test_a_broken_file_is_refused() -> None:
    with pytest.raises(PlotFileError, match="cannot be read"):
        rewritten("format = \n", [Change(("season",), 2026)])


WORDS = st.text(max_size=12).filter(lambda text: "\r" not in text)
VALUES = st.one_of(
    st.booleans(),
    st.integers(-(10**9), 10**9),
    st.floats(allow_nan=False, allow_infinity=False),
    st.dates(),
    WORDS.filter(lambda text: not any(0xD800 <= ord(c) <= 0xDFFF for c in text)),
)


@given(st.one_of(VALUES, st.lists(VALUES, max_size=4)))
def test_every_value_is_read_back_as_it_was(value: Any) -> None:
    assert tomllib.loads(f"x = {written(value)}")["x"] == value


PATHS = st.sampled_from(
    [
        ("place", "latitude"), ("place", "name"), ("season",), ("planting", 0, "crop"),
        ("planting", 1, "name"), ("planting", 2), ("planting", 0), ("shelf", 0, "name"),
        ("shelf", 0, "crops", "courgette", "pre_harvest_days"), ("shelf", 1, "crops", "leek", "x"),
        ("visiting", "days"), ("week", 0, "highs_c"), ("week", 0, "lows_c"), ("tin", "cups"),
    ]
)  # fmt: skip


@given(PATHS, VALUES | st.none())
def test_whatever_is_put_where_the_rest_says_what_it_said(at: Any, value: Any) -> None:
    """Held to the standard library's reader, and to the comments by their number."""
    row = isinstance(at[-1], int)
    if row and at == ("planting", 2) and value is None:
        return
    put = {"crop": value} if row and value is not None else value
    if row and at == ("planting", 0) and put is not None:
        return
    new = rewritten(OWN, [Change(at, put)])
    assert not Counter(comments_of(OWN)) - Counter(comments_of(new))
    before, after = tomllib.loads(OWN), tomllib.loads(new)
    top = at[0]
    assert {k: v for k, v in before.items() if k != top} == {
        k: v for k, v in after.items() if k != top
    }
    inside: Any = after
    for part in at[:-1]:
        inside = inside[part] if isinstance(part, int) else inside.get(part, {})
    if value is None and not row:
        assert at[-1] not in inside
    elif not row:
        assert inside[at[-1]] == value
    assert statements(lines_of(new))[-1].end == len(lines_of(new))
