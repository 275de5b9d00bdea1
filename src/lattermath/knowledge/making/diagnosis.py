"""Makes the tables of diagnosis from its trade file and from what was added to it.

Rows are put into the shape the walk reads: every number carries the standing the file gives for
all of them at its head, and each cause says where its signs were read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from lattermath.knowledge.making.dialects import Source

JUDGED = {"status": "judgement", "source": "judgement"}
TABLES = ("symptoms", "causes", "checks", "confusions", "diagnosis_constants")
Rows = dict[str, dict[str, Any]]


def rows_of(key: Mapping[str, Any], more: Mapping[str, Any]) -> dict[str, Rows]:
    """The rows of the five tables, by table name."""
    deeds = {cause: deed for deed, causes in more["deeds"].items() for cause in causes.split()}
    groups = more["check_groups"]
    return {
        "symptoms": {
            s["id"]: _symptom({**s, **more["is_the_trouble"].get(s["id"], {})})
            for s in (*key["symptom"], *more["symptom"])
        },
        "causes": {
            c["id"]: _cause(
                {**c, **more["lives_in"].get(c["id"], {})},
                more["extended"].get(c["id"], []),
                deeds[c["id"]],
                more["more_signs"],
            )
            for c in (*key["cause"], *more["cause"])
        },
        "checks": {c["id"]: _check(c, more, groups[c["id"]]) for c in key["check"]},
        "confusions": {f"{c['a']}+{c['b']}": dict(c) for c in key["confusion"]},
        "diagnosis_constants": {
            "diagnosis": _meta(key["meta"]),
            "look_minutes": {how: _judged(n) for how, n in more["look_minutes"].items()},
        },
    }


def sources(*files: Mapping[str, Any]) -> dict[str, Source]:
    """The sources of both files, with what was seen of them."""
    return {
        name: Source(name, row["text"], row["status"].partition("-")[0], seen_of(row), "page read")
        for file in files
        for name, row in file["source"].items()
    }


def seen_of(row: Mapping[str, str]) -> str:
    """What was open: a page itself, its opening or an excerpt, or a copy in other hands."""
    text = row["text"].lower()
    if not row["status"].endswith("-read"):
        return "no"
    if any(w in text for w in ("newspaper", "second-hand", "derived", "following", "quoting",
                               "answer", "weak", "copies", "column")):  # fmt: skip
        return "second-hand"
    return "abstract" if any(w in text for w in ("opening", "excerpt")) else "source"


def _symptom(row: Mapping[str, Any]) -> dict[str, Any]:
    return {**row, "leak": _judged(row["leak"])}


def _cause(
    row: Mapping[str, Any], extended: list[str], deed: str, more_signs: Mapping[str, Any]
) -> dict[str, Any]:
    """A cause with its signs; those added to it later are of our own judgement, and of no page."""
    source = row["assoc_source"]
    added = {sign: _judged(chance) for sign, chance in more_signs.get(row["id"], {}).items()}
    status = "memory" if source == "memory" else "published-read"
    return {
        "id": row["id"],
        "name": row["name"],
        "kind": row["kind"],
        "crops": [*row["crops"], *extended],
        "region": row["region"],
        "deed": {"text": deed, **JUDGED},
        "association": {"text": _read(status), "status": status, "source": source},
        "prior": _judged(row["prior"]),
        "p": {**row["p"], **added, "status": "judgement", "source": source},
    }


def _read(status: str) -> str:
    return "signs as a page tells them" if status == "published-read" else "signs from memory"


def _check(row: Mapping[str, Any], more: Mapping[str, Any], group: str) -> dict[str, Any]:
    wait = more["wait_days"].get(row["id"])
    by_crop = dict(_by_crop(row))
    added = more["more_chances"].get(row["id"], {})
    return {
        "id": row["id"],
        "action": row["action"],
        "tells": row["tells"],
        "group": {"text": group, **JUDGED},
        "minutes": _judged(row["minutes"]),
        **({} if wait is None else {"wait_days": _judged(wait)}),
        "p_default": _judged(row["p_default"]),
        "p_positive": {**row["p_positive"], **added, **JUDGED},
        **by_crop,
    }


def _by_crop(row: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    if "p_positive_by_crop" in row:
        crops = {crop: {**chances, **JUDGED} for crop, chances in row["p_positive_by_crop"].items()}
        yield "p_positive_by_crop", crops


def _meta(meta: Mapping[str, Any]) -> dict[str, Any]:
    return {k: _judged(v) if isinstance(v, int | float) else v for k, v in meta.items()}


def _judged(number: float) -> dict[str, Any]:
    return {"value": number, **JUDGED}
