"""A folk practice that somebody logs is refused with its reason and a way without poison."""

from __future__ import annotations

from pathlib import Path

import pytest

from lattermath.desk.log_names import planting_key, plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.start import start
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Treatment

PLOT = """
format = 1
[place]
latitude = 40.4
longitude = -101.73
time_zone = "America/Denver"
[[planting]]
name = "Kale"
crop = "kale"
"""


@pytest.mark.parametrize(
    ("practice", "reason", "instead"),
    [
        ("washing-up liquid", "burn leaves", "water jet"),
        ("bag with carbaryl dust", "breathing height", "bag the shoot empty"),
        ("tobacco brew", "strong poison", "water jet"),
    ],
)
def test_it_is_refused_with_its_reason(
    tmp_path: Path, practice: str, reason: str, instead: str
) -> None:
    (tmp_path / "plot.toml").write_text(PLOT)
    start(tmp_path)
    key = planting_key(plot_now(tmp_path), "Kale")
    with pytest.raises(InputError) as refused:
        log(tmp_path, Treatment((key,), practice))
    assert "never advised" in str(refused.value) and reason in str(refused.value)
    assert instead in str(refused.value)
