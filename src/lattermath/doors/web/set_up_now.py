"""What every set-up page needs: the words of its form, and the hour it is written at."""

from __future__ import annotations

from datetime import datetime

from fastapi import Request

from lattermath.desk import clock
from lattermath.doors.web.house import House
from lattermath.doors.web.log_fields import Filled

SEE_OTHER, UNREADABLE = 303, 422


async def filled_of(request: Request) -> Filled:
    """The words of a form, blank by blank."""
    pairs = (await request.form()).multi_items()
    return Filled((name, value) for name, value in pairs if isinstance(value, str))


def now_of(house: House) -> datetime:
    """This instant; on a named day, this hour of it."""
    now = clock.now().astimezone()
    return now if house.on is None else datetime.combine(house.on, now.timetz())
