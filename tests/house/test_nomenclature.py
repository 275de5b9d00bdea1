"""One name, one unit; and the page tells the truth."""

import pytest
from tests.house.nomenclature import PAGE, Name, names, page

NAMES = names()


@pytest.mark.parametrize("name", NAMES.values(), ids=list(NAMES))
def test_one_name_has_one_unit(name: Name) -> None:
    assert len(name.units) <= 1, name.modules
    if name.by_ending and name.units:
        assert name.units == {name.by_ending}


def test_the_page_is_current() -> None:
    """Make it so: python tests/house/nomenclature.py"""
    text = PAGE.read_text("utf-8")
    assert page(text) == text
