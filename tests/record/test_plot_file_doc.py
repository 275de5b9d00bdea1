"""Every example of the plot file's page loads, and the page names every key there is."""

from __future__ import annotations

import re
import typing
from datetime import date
from pathlib import Path

import pytest
from pydantic import BaseModel

from lattermath.record.plot_file import read_plot_file
from lattermath.record.plot_sections import MANY, SINGLE, TOP_KEYS
from lattermath.record.plot_units import US_NAMES

PAGE = (Path(__file__).parents[2] / "docs" / "plot-file.md").read_text("utf-8")
BLOCKS = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
TOP = "format = 1\n[place]\nlatitude = 52.2\nlongitude = 0.1\ntime_zone = 'Europe/London'\n"


@pytest.mark.parametrize("block", BLOCKS, ids=[block.splitlines()[0] for block in BLOCKS])
def test_every_example_loads(crop_of, block: str) -> None:
    if not block.startswith("format"):
        top = TOP if "[place]" not in block else "format = 1\n"
        block = top + block
    file = read_plot_file(block, today=date(2026, 7, 25), crop_of=crop_of)
    assert len(file.facts) > 1


def test_the_examples_together_use_every_section() -> None:
    text = "\n".join(BLOCKS)
    for name in SINGLE:
        assert f"[{name}]" in text
    for name in MANY:
        assert f"[[{name}]]" in text


def test_the_page_names_every_key() -> None:
    keys = {*TOP_KEYS, *US_NAMES}
    for section in (*SINGLE.values(), *MANY.values()):
        keys |= set(keys_of(section))
    missing = {key for key in keys if not re.search(rf"\b{key}\b", PAGE)}
    assert missing == set()


def keys_of(hint: object) -> typing.Iterator[str]:
    for inner in typing.get_args(hint):
        yield from keys_of(inner)
    if isinstance(hint, type) and issubclass(hint, BaseModel):
        for name, field in hint.model_fields.items():
            yield name
            yield from keys_of(field.annotation)
