"""Label lines whose copied words say another number: each case worked by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from lattermath.desk.demo import Shown
from lattermath.desk.label_slips import LineTyped, label_slips


@pytest.fixture(scope="module")
def folder(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_demo(tmp_path_factory.mktemp("slips") / "plot").folder


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("pre_harvest_days", 3, "Do not apply within 30 days of harvest."),
        ("pre_harvest_days", 1, "7-14 days before harvest"),
        ("re_entry_hours", 24, "Keep out for 2 days"),  # 48 hours
        ("max_temperature_c", 35, "not above 90 F"),  # 32.2 C
        ("max_wind_m_s", 8, "not in wind above 10 mph"),  # 4.5 m/s
        ("rate_ml_per_l", 200, "20 ml per litre of water"),
        ("season_max", 8, "no more than 4 applications a year"),
    ],
)
def test_another_number_in_the_words_is_asked_about(
    folder: Path, key: str, value: float, words: str
) -> None:
    (slip,) = label_slips(folder, "unknown", [LineTyped("blank", key, value, words)])
    assert slip.name == "blank" and "the words you copied say" in slip.what


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("pre_harvest_days", 30, "Do not apply within 30 days of harvest."),
        ("pre_harvest_days", 7, "7 to 14 days before harvest"),
        ("pre_harvest_days", 3, "wait 3 days; not again within 7 days"),
        ("re_entry_hours", 48, "Keep out for 2 days"),
        ("re_entry_hours", 0, "until dry"),
        ("max_temperature_c", 32, "not above 90 F"),
        ("max_temperature_f", 90, "not above 32 C"),
        ("max_wind_m_s", 4.5, "not in wind above 10 mph"),
        ("max_wind_mph", 10, "not above 16 km/h"),
        ("rate_ml_per_l", 20, "20 ml per litre of water"),
        ("season_max", 4, "no more than 4 applications, 7 days apart"),
        ("season_max", 4, ""),
    ],
)
def test_words_that_agree_are_not(folder: Path, key: str, value: float, words: str) -> None:
    assert label_slips(folder, "unknown", [LineTyped("blank", key, value, words)]) == []
