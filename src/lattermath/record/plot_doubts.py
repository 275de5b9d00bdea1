"""What a plot file says that can hardly be so: asked about, and taken once it was looked at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from lattermath.record.plot_heat import check_heat
from lattermath.record.plot_references import Complain, Keyed
from lattermath.record.plot_sizes import check_sizes
from lattermath.record.plot_words import Reading


def check_doubts(
    document: Mapping[str, Any], rows: Mapping[str, Keyed], reading: Reading, complain: Complain
) -> None:
    """Complain of sizes, numbers of plants and temperatures that can hardly be so."""
    check_sizes(rows["bed"], rows["planting"], reading.ground_of_word, complain)
    check_heat(rows["week"], document.get("normals"), document.get("place"), complain)
