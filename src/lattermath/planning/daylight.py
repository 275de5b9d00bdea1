"""The light of a visit: what wants eyes is done between civil dawn and civil dusk, or not at all.

Civil twilight is the light by which sprays are ruled too. Picking, tying in and watering may be
done by a lamp; eggs, scales and the first white of a mildew are not found by one, and a count made
in the dark would be taken for a count.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import NamedTuple

from lattermath.vocabulary.evening import Evening
from lattermath.vocabulary.plan import NotToday, Task
from lattermath.vocabulary.ruling import Because
from lattermath.vocabulary.sentence import capital, inside

LAMP = "lamp"
SUN = "computed:civil twilight of the place and day"
# Hands that search leaves, or let animals out where the insects sit.
BY_EYE = frozenset({"hand_pick", "prune_leaves", "phytoseiulus", "lacewing_ladybeetle"})
WAIT = timedelta(minutes=25)  # judgement: so long other work, or a pause, fills before first light


class Light(NamedTuple):
    """From civil dawn to civil dusk of one day, by the plot's clock."""

    dawn: datetime
    dusk: datetime


def dawn_of(evening: Evening) -> datetime | None:
    """First light, as long before sunrise as dusk falls after sunset."""
    if evening.sunrise is None or evening.sunset is None or evening.civil_dusk is None:
        return None
    return evening.sunrise - (evening.civil_dusk - evening.sunset)


def light_of(evening: Evening) -> Light | None:
    """The light of the day of a visit; None where nobody knows, or where it never gets dark."""
    dawn = dawn_of(evening)
    return None if dawn is None or evening.civil_dusk is None else Light(dawn, evening.civil_dusk)


def has_light(evening: Evening) -> bool:
    """Is there light in the hours of the visit? Unknown counts as light: northern summers."""
    light = light_of(evening)
    return light is None or (evening.arrive < light.dusk and light.dawn < evening.leave)


def lit(evening: Evening, starts: datetime | None, ends: datetime | None) -> bool:
    """Do these hours lie in the light? What has no hours, or a day without dusk, passes."""
    light = light_of(evening)
    if light is None or starts is None or ends is None:
        return True
    return light.dawn <= starts and ends <= light.dusk


def wants_light(task: Task) -> bool:
    """Looks, and hand work that searches leaves."""
    return task.kind == "look" or (task.kind == "treat" and task.method in BY_EYE)


def looks_first(tasks: Iterable[Task]) -> list[Task]:
    """The same tasks with the looks among what is done on arrival, while there is light."""
    return [replace(t, part="on arrival") if t.kind == "look" else t for t in tasks]


def in_the_dark(tasks: Iterable[Task], evening: Evening) -> list[Task]:
    """What wants light and has hours without it, the last first."""
    dark = [t for t in tasks if wants_light(t) and not lit(evening, t.starts, t.ends)]
    return sorted(dark, key=lambda task: task.ends or evening.leave, reverse=True)


def lamp(tasks: Iterable[Task], evening: Evening) -> tuple[str, ...]:
    """A lamp for the bag, where work at the plot ends in the dark."""
    here = [task for task in tasks if task.part != "at home"]
    return () if all(lit(evening, t.starts, t.ends) for t in here) else (LAMP,)


def no_light(evening: Evening, tasks: Sequence[Task]) -> str:
    """What stands before everything else where the visit holds no light at all; "" else."""
    light = light_of(evening)
    if light is None or has_light(evening) or not tasks:
        return ""
    return f"{capital(_dark(light, evening))}: what is left for this visit is by lamp."


def moved(dark: Sequence[Task], evening: Evening, after: Evening | None) -> tuple[NotToday, ...]:
    """One line on what waits for light.

    after : the next visit with light in its hours; None where none of those known has any.
    """
    light = light_of(evening)
    if light is None or not dark:
        return ()
    why = _dark(light, evening)
    if after is None:
        by_day = f"between {light.dawn:%H:%M} and {light.dusk:%H:%M}"
        why = f"{why}, and no coming visit has light: come by once by day, {by_day}"
    reason = Because(why, holds=False, rests_on=(SUN,))
    what = f"Wants daylight: {_named(dark)}"
    return (NotToday(what, None, (reason,), None if after is None else after.arrive),)


def _dark(light: Light, evening: Evening) -> str:
    """Until or from when it is dark, beside the hours of the visit."""
    if evening.leave <= light.dawn:
        return f"it is dark until {light.dawn:%H:%M}, and you leave by {evening.leave:%H:%M}"
    if evening.arrive < light.dawn:
        return f"it is dark until {light.dawn:%H:%M}, and you come at {evening.arrive:%H:%M}"
    before = light.dusk <= evening.arrive
    tail = f", and you come at {evening.arrive:%H:%M}" if before else " on"
    return f"it is dark from {light.dusk:%H:%M}{tail}"


def _named(dark: Sequence[Task]) -> str:
    """What waits, in the order of the sheet: the plantings to look at, then the work by hand."""
    tasks = list(reversed(dark))
    looks = [inside(t.says.partition(":")[0]) for t in tasks if t.kind == "look"]
    seen = [f"a look at {', '.join(looks)}"] if looks else []
    return "; ".join(seen + [inside(t.says.rstrip(".")) for t in tasks if t.kind != "look"])
