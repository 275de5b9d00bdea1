"""Weeks from planting to lifting, by kind.

Source: Allotments in Coventry, Potatoes (read): first earlies planted from mid March about 10
weeks, second earlies from early to mid April about 13, early maincrop from mid to late April about
15, late maincrop about 20. Months of Coventry recalled. The span of the table was made from the
second earlies and the late maincrop; the early maincrop was not used.
"""

from datetime import date

from tests.published.cool_summers import COVENTRY, first_picking


def test_a_potato_of_no_named_kind_comes_with_the_early_maincrop() -> None:
    found = first_picking("potato", "sown", date(2025, 4, 22), COVENTRY)
    assert found.likely is not None
    assert abs(found.likely - 15 * 7) <= 14


def test_its_span_reaches_from_second_earlies_to_late_maincrop() -> None:
    early = first_picking("potato", "sown", date(2025, 4, 8), COVENTRY).low
    late = first_picking("potato", "sown", date(2025, 4, 22), COVENTRY).high
    assert early is not None and late is not None
    assert abs(early - 13 * 7) <= 10 and abs(late - 20 * 7) <= 10
