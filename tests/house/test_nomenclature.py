"""One name, one unit; and the page tells the truth."""

import re
from collections.abc import Iterable
from itertools import groupby

import pytest
from tests.house.nomenclature import NO_UNIT, PAGE, Row, page, rows, told, unit_of_ending

TEXT = PAGE.read_text("utf-8")
ROWS = rows(TEXT)
TOLD = told()
# Short words that mean another thing, in another unit, in another kernel. None may be added.
OWN_MEANING = {
    "a", "day", "first", "full", "high", "kills", "low", "response", "slope", "start", "sums",
}  # fmt: skip
LISTED = TEXT.partition("## Units")[2].partition("##")[0]
UNITS = {NO_UNIT, *re.findall(r"`([^_`(][^`]*)`", LISTED)}


def named(row: Row) -> str:
    return f"{row.name} in {' '.join(sorted(row.where))}"


def test_every_name_of_every_kernel_has_just_one_row() -> None:
    """Make it so: python tests/house/nomenclature.py; then write what is missing into the page."""
    in_page = [(row.name, module) for row in ROWS for module in row.where]
    assert sorted(in_page) == sorted(TOLD)
    assert page(TEXT) == TEXT


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_a_row_says_what_it_is_and_in_what_unit(row: Row) -> None:
    assert row.meaning, "say in the page what this name means"
    assert row.unit in UNITS, "a unit that the page does not list"


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_no_docstring_and_no_ending_contradicts_the_page(row: Row) -> None:
    for module in row.where:
        assert TOLD[row.name, module].units <= {row.unit}, module
    assert unit_of_ending(row.name) in ("", row.unit)


def units_of(same: Iterable[Row]) -> set[str]:
    return {row.unit for row in same}


def test_one_name_has_one_unit() -> None:
    by_name = groupby(sorted(ROWS, key=lambda row: row.name), key=lambda row: row.name)
    many = {name for name, same in by_name if len(units_of(same)) > 1}
    assert many <= OWN_MEANING, "one name, two units"
    assert many == OWN_MEANING, "no longer two units: take the name off the list"


def test_the_page_names_the_short_words_that_are_excepted() -> None:
    told_of = re.search(r"mean another thing[^:]*: ([^.]*)\.", TEXT)
    assert told_of and set(re.findall(r"`(\w+)`", told_of[1])) == OWN_MEANING
