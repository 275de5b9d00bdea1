"""The weather of the crops' day counts: where the trade file's own words correct its figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

# Crops of cool weather whose listed days the file takes as counted at 23 C, the mean of midsummer.
# Its head says that published heat totals (lettuce, broccoli) put such days at 16 to 18 C.
COOL_C = 17.0
COOL = frozenset(
    {"kale", "collard", "cabbage", "cauliflower", "brussels_sprouts", "lettuce_leaf", "spinach",
     "chard", "beet", "carrot", "radish", "turnip", "onion_scallion", "leek", "cilantro",
     "arugula", "bok_choy"}
)  # fmt: skip
COOL_SAID = (
    "derived: the head of the trade file, days of cool crops belong to means of 16-18 C by the "
    "published heat totals of lettuce and broccoli"
)
# Above that mean of the day they grow no faster: the listed days hold from there up.
BEST = {"value": COOL_C, "source": "judgement from british_best_temperatures"}

# By osu1969 itself 84 days go with 444 C d above 10 C (a mean of 15.3 C) and 64 days with 644
# (20.1 C): above 10 the heat to harvest differs by 45 %, above 5 by 12. 10 stays as the rival.
BEAN_BASE_C = 5.0
BEANS = frozenset({"bean_bush", "bean_pole"})
BEAN_SAID = "derived from osu1969: 84 days at a mean of 15.3 C, 64 at 20.1"
NURSERY_C = 25.0  # the mean in which the file's nursery days are counted
STARTS = ("setout_to_first_pick", "sow_to_first_pick", "setout_to_full_size")


def own_figures(table: str, crop: str) -> dict[str, Any]:
    """Figures that the trade file lacks."""
    return {"t_best_c": BEST} if table == "crops" and crop in COOL else {}


def mend_warmth(table: str, crop: str, row: Mapping[str, Any]) -> dict[str, Any]:
    """A row of the crop table with its days counted in their own weather, its heat with them."""
    mended = dict(row)
    if table != "crops" or crop not in COOL | BEANS:
        return mended
    if crop in BEANS:
        mended["t_base_c"] = {"value": BEAN_BASE_C, "source": BEAN_SAID}
        cup = mended["nursery"]
        heat = [round(days * (NURSERY_C - BEAN_BASE_C)) for days in cup["ready_days"]]
        mended["nursery"] = {**cup, "dd_ready": heat}
    base = mended["t_base_c"]["value"]
    for start in STARTS:
        if start in mended:
            mended[start] = _counted(mended[start], base, crop in COOL)
    return mended


def _counted(stage: Mapping[str, Any], base_c: float, cool: bool) -> dict[str, Any]:
    mean = COOL_C if cool else stage["mean_c"]
    heat = [round(days * (mean - base_c)) for days in stage["days"]]
    said = {"value": mean, "source": COOL_SAID} if cool else mean
    return {**stage, "mean_c": said, "dd": heat}
