"""What the demonstration installs is all that its own pages offer."""

from __future__ import annotations

import re
import runpy
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def installed(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Names of everything in the requirements that the demonstration asks for."""
    dev = runpy.run_path(str(ROOT / "dev.py"))
    asked: list[str] = []
    growers = dev["install_for_growers"]
    monkeypatch.setitem(
        growers.__globals__, "install", lambda _, files: asked.extend(name for name, _ in files)
    )
    growers()
    lines = "\n".join((ROOT / "requirements" / name).read_text() for name in asked)
    return {name.lower() for name in re.findall(r"^([\w.-]+)==", lines, re.MULTILINE)}


def test_no_refusal_of_the_program_names_an_extra_that_it_lacks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"][
        "optional-dependencies"
    ]
    sources = "\n".join(p.read_text("utf-8") for p in (ROOT / "src").rglob("*.py"))
    named = set(re.findall(r"lattermath\[(\w+)\]", sources))
    assert {"web", "print", "calendar", "photos"} <= named
    wanted = {re.split(r"[<>=]", one)[0] for extra in named for one in extras[extra]}
    assert wanted <= installed(monkeypatch)
