"""What was taken back or put right since is marked wherever a reason rests on it."""

from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path

from lattermath.desk.addresses import Ground, unfold
from lattermath.knowledge.tables import load_tables
from lattermath.record.journal import Entry, Journal
from lattermath.vocabulary.events import Event, Payload, Picking, Withdrawal
from lattermath.vocabulary.place import Place
from lattermath.vocabulary.plot import Plot

NOW = datetime(2026, 7, 25, 18, 0, tzinfo=UTC)
PLOT = Plot("Plot 14", "", Place("garden", 51.5, -0.6, "Europe/London"))


def unfolded(events: tuple[Event, ...], serial: int, folder: Path) -> str:
    return unfold(f"event:{serial}", Ground(PLOT, events, load_tables(folder), None))


def test_withdrawn_and_corrected_entries_are_marked(tmp_path: Path) -> None:
    new_id = map("id-{}".format, count(1)).__next__
    with Journal.open(tmp_path / "plot.journal", create=True) as journal:

        def write(payload: Payload, over: Event | None = None) -> Event:
            entry = Entry(NOW, "Europe/London", payload, over.id if over else None)
            (event,) = journal.append([entry], NOW, new_id)
            return event

        stands = write(Picking("beans", 1.0))
        wrong = write(Picking("beans", 12.0))
        right = write(Picking("beans", 1.2), wrong)
        write(Withdrawal("not mine"), right)
        bare = write(Picking("beans", 3.0))
        write(Withdrawal(), bare)
        events = journal.events()
    told = [unfolded(events, n, tmp_path).partition("(your record, ")[2] for n in range(1, 7)]
    assert told == [
        f"entry {stands.serial})",
        "entry 2) (corrected by entry 3 (WITHDRAWN by entry 4: not mine))",
        "entry 3) (WITHDRAWN by entry 4: not mine)",
        "entry 4)",
        "entry 5) (WITHDRAWN by entry 6)",
        "entry 6)",
    ]
    assert events[0].day == date(2026, 7, 25)
