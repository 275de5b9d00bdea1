"""The ground of stories told in the dry summer of 2011 at Champion, whose weather is real."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

from lattermath.desk import clock
from lattermath.desk.start import start
from lattermath.desk.take_weather import take

# Ends inside the section of the place, for a region or a name to follow.
PLACE = """
format = 1
season = 2011
[place]
latitude = 40.4
longitude = -101.73
altitude_m = 1029
time_zone = "America/Denver"
usual_first_frost = "09-28"
"""


def opened(folder: Path, plot_file: str, begun: datetime = datetime(2011, 6, 1, 12, 0)) -> Path:
    """A plot begun on the first of June or another day, its weather of the place taken in."""
    folder.mkdir(exist_ok=True)
    for name, content in _begun(plot_file, begun, clock.now).items():
        (folder / name).write_bytes(content)
    return folder


@lru_cache(maxsize=4)
def _begun(plot_file: str, begun: datetime, _: Callable[[], datetime]) -> dict[str, bytes]:
    """Its files: most of it is reading the weather, which the stories of one file share."""
    with TemporaryDirectory() as made:
        folder = Path(made)
        (folder / "plot.toml").write_text(plot_file)
        start(folder, at=begun)
        weather = folder / "champion.csv"
        weather.write_bytes((files("lattermath.demo") / "champion.csv").read_bytes())
        take(folder, weather)
        return {file.name: file.read_bytes() for file in folder.iterdir()}
