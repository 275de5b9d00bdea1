"""Writes compiled.json, the quick copy of the tables: python -m ...making.compile_copy.

TOML stays the written source; the copy carries its digest and is passed over when it is stale.
"""

from __future__ import annotations

import json
from pathlib import Path

from lattermath.knowledge.reading import COMPILED, digest_of, pack, read_texts, table_texts


def compiled_text() -> str:
    """The compiled copy of the tables as they are written now."""
    texts = table_texts()
    packed = pack(read_texts(texts, digest_of(texts)))
    return json.dumps(packed, ensure_ascii=False, separators=(",", ":")) + "\n"


if __name__ == "__main__":
    (Path(__file__).parent.parent / COMPILED).write_text(compiled_text(), encoding="utf-8")
