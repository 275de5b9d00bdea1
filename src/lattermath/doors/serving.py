"""`serve`: the pages of this plot, on this machine."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

from cyclopts import Parameter

from lattermath.doors import answering, asking
from lattermath.doors.asking import HERE, OnDay, PlotFolder, Units
from lattermath.vocabulary.errors import Fault, InputError

ServedUnits = Annotated[
    Units | None,
    Parameter(name="--units", help="metric or us; those of plot.toml when left out."),
]
PORT = 8714
NO_WEB = "the pages need the web extra"
NOT_STARTED = "No plot was started here yet; the page asks for what it needs."
NO_WEB_REMEDY = "Install it with: pip install 'lattermath[web]'"


def serve(
    *,
    plot: PlotFolder = HERE,
    port: Annotated[int, Parameter(help="Where this machine listens.")] = PORT,
    on: OnDay = None,
    units: ServedUnits = None,
) -> int:
    """Open the plot as pages in your browser, on this machine only; Ctrl C ends it."""
    try:
        import uvicorn

        from lattermath.doors.web.app import make_app
    except ImportError as missing:
        raise InputError(Fault(NO_WEB, "lattermath serve", "", NO_WEB_REMEDY)) from missing
    from lattermath.desk.set_up import is_started
    from lattermath.desk.wiring import folder_at, open_journal

    asking.within(port, 1, 65535, "--port")
    if is_started(plot):
        open_journal(folder_at(plot)).close()
    else:
        answering.say([NOT_STARTED])
    answering.say([f"Open http://localhost:{port} in your browser.", "Ctrl C ends it."])
    uvicorn.run(make_app(plot, units, on), host="127.0.0.1", port=port, log_level="warning")
    return answering.DONE


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = ((serve, "serve", "lattermath serve"),)
