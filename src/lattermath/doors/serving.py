"""`serve`: the pages of this plot, on this machine, and for the phone in the house when asked."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from lattermath.doors import answering, asking
from lattermath.doors.asking import HERE, OnDay, PlotFolder, Units
from lattermath.vocabulary.errors import Fault, InputError

ServedUnits = Annotated[
    Units | None,
    Parameter(name="--units", help="metric or us; those of plot.toml when left out."),
]
if TYPE_CHECKING:
    from lattermath.doors.web.callers import Lan

PORT = 8714
NO_WEB = "the pages need the web extra"
NOT_STARTED = "No plot was started here yet; the page asks for what it needs."
NO_WEB_REMEDY = "Install it with: pip install 'lattermath[web]'"
EVERYWHERE, THIS_MACHINE = "0.0.0.0", "127.0.0.1"


def serve(
    *,
    plot: PlotFolder = HERE,
    port: Annotated[int, Parameter(help="Where this machine listens.")] = PORT,
    lan: Annotated[
        bool, Parameter(negative=(), help="Also for paired phones in the network of the house.")
    ] = False,
    cert: Annotated[
        Path | None, Parameter(help="With --lan: a certificate of your own (PEM), for HTTPS.")
    ] = None,
    key: Annotated[Path | None, Parameter(help="Its key, where that is a file of its own.")] = None,
    name: Annotated[
        str, Parameter(help="With --lan: a name by which phones know this machine.")
    ] = "",
    on: OnDay = None,
    units: ServedUnits = None,
) -> int:
    """Open the plot as pages in your browser; Ctrl C ends it."""
    try:
        import uvicorn

        from lattermath.doors.web.app import make_app
        from lattermath.doors.web.lan import certified, lan_at
    except ImportError as missing:
        raise InputError(Fault(NO_WEB, "lattermath serve", "", NO_WEB_REMEDY)) from missing
    from lattermath.desk.set_up import is_started
    from lattermath.desk.wiring import folder_at, open_journal

    asking.within(port, 1, 65535, "--port")
    if is_started(plot):
        open_journal(folder_at(plot)).close()
    else:
        answering.say([NOT_STARTED])
    asked = {"--cert": cert, "--key": key, "--name": name or None}
    if not lan:
        _only_with_lan(asked)
    secured: dict[str, Any] = certified(cert, key)
    found = lan_at(port, name, bool(secured)) if lan else None
    answering.say(_greeting(port, found))
    uvicorn.run(
        make_app(plot, units, on, found),
        host=EVERYWHERE if lan else THIS_MACHINE,
        port=port,
        log_level="warning",
        proxy_headers=False,  # nobody's word for who asks
        server_header=False,
        **secured,
    )
    return answering.DONE


def _only_with_lan(asked: dict[str, Any]) -> None:
    from lattermath.sheets import phone_words as h

    faults = [
        Fault(h.NO_LAN, option, str(value), h.NO_LAN_REMEDY)
        for option, value in asked.items()
        if value is not None
    ]
    if faults:
        raise InputError(faults)


def _greeting(port: int, lan: Lan | None) -> Iterator[str]:
    """What stands in the window: addresses and, for a phone, a code and its square."""
    from lattermath.sheets import phone_words as h

    yield (
        h.OPEN_HERE.format(port=port)
        if not (lan and lan.secure)
        else h.OPEN_AT.format(address=lan.address)
    )
    if lan is not None:
        from lattermath.sheets.qr_code import on_screen

        code, address = lan.codes.fresh(), f"{lan.address}/pair"
        yield h.OPEN_PHONE.format(address=address)
        yield h.CODE_LINE.format(code=code.spaced, until=f"{code.until.astimezone():%H:%M}")
        if sys.stdout.isatty():
            yield h.CAMERA_LINE
            yield from on_screen(f"{address}?code={code.digits}")
        yield h.MORE_CODES.format(address=lan.address if lan.secure else f"http://localhost:{port}")
        if not lan.secure:
            yield h.PLAIN_HTTP
    yield h.ENDS


COMMANDS: tuple[tuple[Callable[..., int], str, str], ...] = ((serve, "serve", "lattermath serve"),)
