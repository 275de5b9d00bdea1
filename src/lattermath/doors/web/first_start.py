"""Until a plot is started, every page leads to where it begins."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from lattermath.desk.set_up import is_started

BEGINS = "/set-up"
OPEN = (
    BEGINS,
    "/static/",
    "/api/",
    "/pair",
    "/manifest.webmanifest",  # each page names it, and a browser complains of one that is a page
)  # programs are told in their own shape that nothing is here
SEE_OTHER = 303


class FirstStart:
    """Shows the set-up page in place of any other, while there is no plot to show."""

    def __init__(self, app: ASGIApp, folder: Path) -> None:
        """Stand before an app that shows the plot in a folder."""
        self._app, self._folder = app, folder

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand the request on, or lead it to the beginning."""
        if (
            scope["type"] == "http"
            and not scope["path"].startswith(OPEN)
            and not is_started(self._folder)
        ):
            await RedirectResponse(BEGINS, SEE_OTHER)(scope, receive, send)
            return
        await self._app(scope, receive, send)
