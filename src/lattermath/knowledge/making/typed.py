"""Tables that the trade files hold as prose or not at all, and how they are read from it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from lattermath.knowledge.cells import MIDDLE_OURS

# Botanical families: common knowledge.
FAMILIES = {
    "Solanaceae": "tomato_determinate tomato_indeterminate pepper_sweet eggplant potato",
    "Cucurbitaceae": "cucumber_pickling cucumber_slicing summer_squash winter_squash melon",
    "Fabaceae": "bean_bush bean_pole pea_fall runner_bean",
    "Brassicaceae": "kale collard cabbage broccoli cauliflower brussels_sprouts radish turnip "
    "arugula bok_choy kohlrabi chinese_cabbage",
    "Asteraceae": "lettuce_leaf lettuce_head endive",
    "Amaranthaceae": "spinach chard beet",
    "Apiaceae": "carrot cilantro",
    "Amaryllidaceae": "onion_scallion leek garlic",
    "Poaceae": "sweet_corn",
    "Caprifoliaceae": "corn_salad",
    "Malvaceae": "okra",
    "Lamiaceae": "basil",
}

# place.md 4.2: field capacity, wilting point, readily evaporable water [mm], what was seen.
REREAD = ("published", "second-hand", "fao56")
RECALLED = ("memory", "no", "fao56")
SOILS: dict[str, tuple[float, float, tuple[float, float] | None, tuple[str, str, str]]] = {
    "sand": (0.12, 0.04, (2, 7), RECALLED),
    "loamy_sand": (0.15, 0.06, None, REREAD),
    "sandy_loam": (0.23, 0.11, (6, 10), RECALLED),
    "loam": (0.25, 0.12, (8, 10), RECALLED),
    "silt_loam": (0.29, 0.15, (8, 11), RECALLED),
    "silt": (0.32, 0.15, None, REREAD),
    "silty_clay_loam": (0.34, 0.21, None, RECALLED),
    "silty_clay": (0.35, 0.23, None, REREAD),
    "clay": (0.36, 0.22, (8, 12), RECALLED),
}
SOIL_NUMBERS_IN_PROSE = 28  # 18 contents and 10 ends of the REW ranges, counted by hand in 4.2

# checks-crops.md A1, after the tables: a seed house's copy (read). None: none germinated.
EXTRA_DAYS: dict[str, dict[int, float | None]] = {
    "pumpkin_squash": {20: 15, 25: 6, 30: 4, 35: 3},
    "chard": {10: 20, 15: 15, 20: 12, 25: 10, 30: 7, 35: None},
    "broccoli": {10: 20, 15: 10, 20: 6, 25: 5, 30: 5},
}
EXTRA_LINES = {"broccoli": (5.0, 97.0)}
SNAP_BEAN_35 = (
    "one copy has no germination at 35 C in place of 6 days; a third gives 39 % in 6 days"
)
FORMULA_COPY = {"standing": "published", "seen": "second-hand", "source": "harrington1954"}
SEED_HOUSE = {"standing": "published", "seen": "second-hand", "source": "seed_house_germination"}
LINE = {"standing": "derived", "source": "derived_harrington"}


def families() -> Iterator[tuple[str, str]]:
    """Crop id and botanical family."""
    for family, crops in FAMILIES.items():
        for crop in crops.split():
            yield crop, family


def soil_rows() -> dict[str, dict[str, Any]]:
    """Soil textures with their cells."""
    rows: dict[str, dict[str, Any]] = {}
    for key, (full, dry, rew, (standing, seen, source)) in SOILS.items():
        origin = {"standing": standing, "seen": seen, "source": source, "locator": "Table 19"}
        cells: dict[str, Any] = {
            "name": {"text": key.replace("_", " "), "standing": "common-practice"},
            "field_capacity": {"v": full, "unit": "1", **origin},
            "wilting_point": {"v": dry, "unit": "1", **origin},
        }
        if rew:
            middle = {"v": sum(rew) / 2, "lo": rew[0], "hi": rew[1], "unit": "mm"}
            cells["readily_evaporable_mm"] = {**middle, **origin, "note": MIDDLE_OURS}
            cells["readily_evaporable_mm"] |= {"standing": "memory", "seen": "no"}
        rows[key] = cells
    return rows


def germination_rows(checks: str) -> tuple[dict[str, dict[str, Any]], int]:
    """Rows of checks-crops.md A1 with their cells, and the count of numbers in its tables."""
    part = checks.split("## A1.")[1].split("## A2.")[0]
    rows: dict[str, dict[str, Any]] = {}
    numbers = 0
    kind, heads = "", [""]
    for line in part.splitlines():
        if not line.startswith("|") or set(line) <= set("|- "):
            continue
        cells = [cell.strip() for cell in line.strip("|").split("|")]
        if cells[0] == "crop":
            heads = [re.sub(r"\D", "", head) for head in cells[1:10]]
            kind = "days" if len(cells) > 10 else "stand"
            continue
        row = rows.setdefault(cells[0], {})
        for head, cell in zip(heads, cells[1:10], strict=True):
            numbers += cell not in ("NG", "-")
            row |= dict(_node(kind, head, cell))
        if kind == "days":
            base, total = (float(x) for x in cells[10].split(","))
            row |= _line(base, total)
            numbers += 2
    for crop, days in EXTRA_DAYS.items():
        row = rows.setdefault(crop, {})
        for t, d in days.items():
            row[f"days.t{t}"] = _days(d, SEED_HOUSE)
            numbers += d is not None
    for crop, (base, total) in EXTRA_LINES.items():
        rows[crop] |= _line(base, total)
        numbers += 2
    rows["bean_snap"]["days.t35"]["note"] = SNAP_BEAN_35
    return rows, numbers


def _node(kind: str, head: str, cell: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """`NG` is an answer, none germinated; `-` is not tested and leaves no cell."""
    if cell == "-":
        return
    if kind == "days":
        yield f"days.t{head}", _days(None if cell == "NG" else float(cell), FORMULA_COPY)
    else:
        yield f"stand.t{head}", {"v": float(cell), "unit": "%", **FORMULA_COPY}


def _days(days: float | None, origin: Mapping[str, str]) -> dict[str, Any]:
    if days is None:
        return {"text": "none germinated", **origin}
    return {"v": float(days), "unit": "d", **origin}


def _line(base: float, total: float) -> dict[str, Any]:
    return {
        "tb": {"v": base, "unit": "C", **LINE},
        "dd": {"v": total, "unit": "Cd", **LINE},
    }
