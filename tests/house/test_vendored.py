"""What was taken from elsewhere is what its list says, and nothing else lies beside it."""

from __future__ import annotations

import hashlib
import tomllib
from pathlib import Path

SHEETS = Path(__file__).parents[2] / "src" / "lattermath" / "sheets"
TAKEN = tomllib.loads((SHEETS / "static" / "vendor.toml").read_text("utf-8"))["taken"]
DIGESTS = {name: digest for one in TAKEN for name, digest in one["sha256"].items()}


def test_every_file_taken_has_its_digest_source_and_licence() -> None:
    for name, digest in DIGESTS.items():
        assert hashlib.sha256((SHEETS / name).read_bytes()).hexdigest() == digest, name
    for one in TAKEN:
        assert one["version"] and one["from"] and one["licence"] and one["copyright"]


def test_nothing_unlisted_lies_beside_it() -> None:
    there = {
        str(file.relative_to(SHEETS))
        for folder in ("fonts", "static/fonts")
        for file in (SHEETS / folder).iterdir()
    }
    licences = {"fonts/LICENSE.txt", "static/fonts/LICENSE.txt"}
    assert there == {*DIGESTS, *licences}
    for licence in licences:
        assert "SIL Open Font License, Version 1.1" in (SHEETS / licence).read_text("utf-8")
