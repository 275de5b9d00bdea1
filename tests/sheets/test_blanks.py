"""What the first blank of a look is called: by what the look has counted."""

from __future__ import annotations

import pytest

from lattermath.planning.walk import walk, wanted_of
from lattermath.sheets.pencil import blanks_of, looked_at

LEAF, PLANT = "greenhouse_whitefly", "colorado_potato_beetle"


@pytest.mark.parametrize(
    ("organisms", "called"),
    [((LEAF,), "Leaves"), ((PLANT,), "Plants"), ((LEAF, PLANT), "Leaves or plants"),
     (("onion_thrips",), "Leaves"), (("cucurbit_powdery_mildew",), "Leaves"), ((), "Leaves")],
)  # fmt: skip
@pytest.mark.parametrize("some", [False, True])
def test_a_blank_asks_for_what_the_look_says(
    organisms: tuple[str, ...], called: str, some: bool
) -> None:
    figures = [one for key in organisms for one in wanted_of(key, some=some)]
    first = blanks_of("look", None, None, figures, "metric")[0]
    assert first.says == called
    assert first.name == "Leaves"  # under which what was written by pencil is read, as ever
    told = walk(organisms, 12) if organisms else "turn 10 leaves"
    assert ("leaves" in called.lower()) == ("turn" in told)
    assert ("plants" in called.lower()) == ("plants over" in told)


def test_what_is_tapped_out_of_flowers_is_of_flowers() -> None:
    (figure,) = wanted_of("western_flower_thrips", tapped=True)
    assert looked_at([figure]) == "Flowers"
