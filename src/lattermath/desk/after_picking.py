"""A picking that was just written down: was it clear by then?"""

from __future__ import annotations

from pathlib import Path
from zoneinfo import ZoneInfo

from lattermath.desk.wiring import folder_at, open_journal, tables_of
from lattermath.planning.own_cautions import own_cautions
from lattermath.planning.picking_clearance import clearance_of
from lattermath.record.read_back import effective, treatments
from lattermath.vocabulary.calendar import said_with_hour
from lattermath.vocabulary.events import Event, Picking
from lattermath.vocabulary.plot import Plot


def after_picking(path: Path | str, event: Event, plot: Plot) -> tuple[str, ...]:
    """Warn of a picking inside a waiting period: what bars it and until when. The entry is kept.

    Nothing is said where it was clear. `plot` gives planting, shelf and time zone.
    """
    picked = event.payload
    found = [p for p in plot.plantings if isinstance(picked, Picking) and p.key == picked.planting]
    if not found:
        return ()
    folder = folder_at(path)
    with open_journal(folder) as journal:
        applied = treatments(effective(journal.events()))
    zone = ZoneInfo(plot.place.time_zone)
    cautions = own_cautions(tables_of(folder))
    clear = clearance_of(found[0], applied, plot.shelf, event.local, zone, cautions)
    if clear.clear_now:
        return ()
    bars = "; ".join(dict.fromkeys(bar.says.rstrip(". ") for bar in clear.barred_by))
    when = "" if clear.safe_from is None else f", all over {said_with_hour(clear.safe_from)}"
    return (
        f"CAUTION: do not eat this picking. {found[0].name}, not clear yet: {bars}"
        f"{when if len(clear.barred_by) > 1 else ''}. The entry is kept.",
    )
