"""What a grower installs: small, and whole."""

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = Path("src", "lattermath")
MOST_BYTES = 10_000_000
BESIDE_CODE = {".toml", ".json", ".html", ".css", ".typ", ".csv", ".md", ".typed"}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from a copy so that nothing is left in the checkout."""
    place = tmp_path_factory.mktemp("wheel")
    caches = shutil.ignore_patterns("__pycache__", "*.egg-info")
    shutil.copytree(ROOT / "src", place / "copy" / "src", ignore=caches)
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, place / "copy" / name)
    pip = [sys.executable, "-m", "pip", "wheel", "--quiet", "--disable-pip-version-check"]
    offline = ["--no-index", "--no-deps", "--no-build-isolation", "--wheel-dir", str(place)]
    subprocess.run([*pip, *offline, str(place / "copy")], check=True)
    (made,) = place.glob("*.whl")
    return made


def test_the_wheel_is_small(wheel: Path) -> None:
    assert 100_000 < wheel.stat().st_size <= MOST_BYTES


def test_the_wheel_holds_what_stands_beside_the_code(wheel: Path) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    files = (p for p in (ROOT / PACKAGE).rglob("*") if p.suffix in {".py", *BESIDE_CODE})
    assert not {p.relative_to(ROOT / "src").as_posix() for p in files} - held
