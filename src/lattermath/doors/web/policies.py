"""Words of content security policies."""

from __future__ import annotations

import base64
import hashlib


def digest_source(text: str) -> str:
    """A digest as content security policies write it (CSP level 3, hash-source)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
