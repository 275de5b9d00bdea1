"""Where the trade files are wrong, silly or short of a key: each mend with its reason.

Provenance is said more exactly and shapes are made regular; a number is changed only where it
contradicts its own row, which is said beside it.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from typing import Any

from lattermath.knowledge.making.dialects import UNNAMED, Source

# Sources that the trade files describe in passing and give no key.
EXTRA_SOURCES = (
    Source(
        UNNAMED,
        "Pages read while the figures were gathered that are described where they are used but "
        "were given no entry of their own; the note of the figure says which",
        "published",
        "second-hand",
    ),
    Source(
        "virginia_formula",
        "Virginia Cooperative Extension, count-back formula for fall vegetables, as quoted by two "
        "regional columns",
        "published",
        "second-hand",
    ),
    Source(
        "light_frost_list",
        "US newspaper copy of an extension list: light frost 28-32 F, hard frost below 28 F",
        "published",
        "second-hand",
    ),
    Source(
        "seed_house_germination",
        "A seed house's copy of the Harrington & Minges table, with added rows for pumpkin and "
        "squash, chard and broccoli",
        "published",
        "second-hand",
    ),
    Source(
        "larger_cells",
        "Trial of cell volumes of 7 to 100 cm3 for melon transplants (abstract read; not named)",
        "published",
        "abstract",
    ),
    # Of the warmth of cool summers, which no trade file holds.
    Source(
        "british_best_temperatures",
        "A British gardening site's list of optimum growing temperatures: cabbages 15-20, carrots "
        "16, lettuces 10-20, onions 13-24, peas 13-18, potatoes 16-18, spinach 16-18 C",
        "published",
        "source",
    ),
    Source(
        "coventry_potatoes",
        "Allotments in Coventry, Potatoes: first earlies about 10 weeks from planting, second "
        "earlies 13, early maincrop 15, late maincrop 20",
        "published",
        "source",
    ),
    Source(
        "obrien1983",
        "O'Brien, Allen, Bean, Griffith, Jones & Jones, accumulated day-degrees as a measure of "
        "physiological age in early potato varieties, J. agric. Sci.: field growth went with "
        "day-degrees above 4 C",
        "published",
        "abstract",
    ),
    Source(
        "cabbage_white_book",
        "The Book of Caterpillars, page 134 on the cabbage white: 85 percent of what a caterpillar "
        "eats of leaves in the final instar.",
        "published",
        "second-hand",
        "page read",
    ),
    # Of the table of leaf ages, which no trade file holds.
    Source(
        "illinois_eb",
        "University of Illinois Extension, Early Blight or Alternaria Leaf Spot: spots most "
        "characteristic on older leaves",
        "published",
        "source",
    ),
    Source(
        "shaik_steadman_1989",
        "Shaik M. & Steadman J.R. 1989, leaf developmental stage and reactions of Phaseolus "
        "vulgaris to Uromyces appendiculatus, Phytopathology 79:1028-1035",
        "published",
        "abstract",
    ),
)

# Words of the trade files put so that the source is named by its key.
REPHRASED = {
    "published: Virginia Coop. Extension formula": "virginia_formula",
    "published: same formula": "virginia_formula",
    "published: US newspaper extension list": "light_frost_list",
    "published: a seed house extension of the harrington1954 table": "seed_house_germination",
}

# A value of a named source that disagrees with the default and stands beside it.
RIVAL_FIGURES: dict[tuple[str, str], dict[str, Any]] = {
    ("crops", "pepper_sweet"): {"t_base_c.rival": {"value": 18.3, "source": "peet_app2 (65 F)"}},
    ("crops", "bean_bush"): {"t_base_c.rival": {"value": 10.0, "source": "peet_app2"}},
    ("crops", "bean_pole"): {"t_base_c.rival": {"value": 10.0, "source": "peet_app2"}},
}

SOURCE_SEEN = {"reynolds_squash_pm": "abstract"}  # "abstract read" stands outside the brackets

# Powdery mildews are listed under these; the file gives "weights are judgement" for one row only,
# and no word for the others, so all host weights of diseases are judgement.
DISEASE_HOSTS = {"status": "judgement", "source": "judgement"}


def mend_row(table: str, row: dict[str, Any]) -> dict[str, Any]:
    """A row with its shapes made regular before the walk."""
    row = dict(row)
    if table == "organisms":
        row = _mend_organism(row)
    if table == "diseases" and "hosts" in row:
        row["hosts"] = {**row["hosts"], **DISEASE_HOSTS}
    if table == "crops" and "harrington1954" in str(row.get("emergence", {}).get("source", "")):
        row["emergence"] = dict(_split_emergence(row["emergence"]))
    if table == "crops" and "sr28" in row.get("portion_g", {}).get("source", ""):
        # Standard portion, kitchen waste and what follows from both have three different origins.
        portion = row["portion_g"]
        row["portion_g"] = {
            **portion,
            "refuse": {"value": portion["refuse"], "source": "sr28"},
            "as_picked": {"value": portion["as_picked"], "source": "derived"},
        }
    if "late_light_penalty" in row:
        # The exponent is the paper's; only the day length, radiation and start are judgement.
        rule = dict(row["late_light_penalty"])
        low, high = rule.pop("yield_exponent_lo"), rule.pop("yield_exponent_hi")
        rule["yield_exponent"] = {
            "value": rule["yield_exponent"], "lo": low, "hi": high, "source": "marcelis2006"
        }  # fmt: skip
        row["late_light_penalty"] = rule
    if "source_qualitative" in row:
        seen = {"status": "published-read", "source": row.pop("source_qualitative")}
        row["mechanism"] = {"text": row["mechanism"], **seen}
    if table == "methods":
        row["efficacy"] = list(_named_targets(row["efficacy"]))
    if table == "methods" and "repeat_d" in row:
        # The one number of the methods that came without any source: trade habit.
        low, high = row["repeat_d"]
        row["repeat_d"] = {"range": [low, high], "src": "practice"}
    return row


def _named_targets(efficacy: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """A target called `same` leans on the entry above it: it is given that entry's words."""
    before = ""
    for entry in efficacy:
        target = str(entry["target"])
        if re.search(r"\bsame\b", target):
            yield {**entry, "target": f"{before}; {target}"}
        else:
            before = target
            yield entry


def _mend_organism(row: dict[str, Any]) -> dict[str, Any]:
    if "dev_days" in row:
        row["dev_days"] = [_range_of_days(entry) for entry in row["dev_days"]]
    if "nonlinear_days" in row:
        # The row's own curve gives 5.85 d and 6.03 d; the file rounds them to 5.8 and 6.1.
        row["nonlinear_days"] = copy.deepcopy(row["nonlinear_days"])
        row["nonlinear_days"]["t15"][2] = 5.9
        row["nonlinear_days"]["t20"][4] = 6.0
    by_t = row.get("survival_by_t", {})
    if "20-32 C read" in by_t.get("note", ""):
        # The note tells which of these were read and which recalled: keep them apart.
        row["survival_by_t"] = {
            k: {"v": v, "src": "takalloozadeh" if k in ("t20", "t24", "t28", "t32") else "memory"}
            if k.startswith("t")
            else v
            for k, v in by_t.items()
        }
    return row


def _range_of_days(entry: dict[str, Any]) -> dict[str, Any]:
    """`d` and `range` side by side mean one figure with its spread."""
    if "range" not in entry:
        return entry
    rest = {k: v for k, v in entry.items() if k not in ("d", "range")}
    return {**rest, "d": {"v": entry["d"], "range": entry["range"]}}


def _split_emergence(emergence: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    """The line is derived from the table; the days at 20, 25 and 30 C are the table's own."""
    said = emergence["source"]
    copy = "seed house" in said
    table = "seed_house_germination" if copy else "harrington1954"
    for key, value in emergence.items():
        if key.startswith("days_at_"):
            yield key, {"value": value, "source": table}
        elif key in ("t_base_c", "dd"):
            yield key, {"value": value, "source": said if "proxy" in said else "derived_harrington"}
        else:
            yield key, value


def rephrase(said: Any) -> Any:
    """Provenance words with unnamed sources put by their new keys."""
    if not isinstance(said, str):
        return said
    for words, key in REPHRASED.items():
        said = said.replace(words, key)
    return said
