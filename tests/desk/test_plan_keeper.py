"""The newest plan is kept: it is made again for what is new, and for nothing else."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from lattermath.desk.demo import Shown
from lattermath.desk.log_visit import log
from lattermath.desk.plan_keeper import PlanKeeper
from lattermath.vocabulary.events import Picking, Withdrawal

KEEPING = """
import multiprocessing, sys, time
from pathlib import Path
from lattermath.desk.plan_keeper import PlanKeeper

if __name__ == "__main__":
    PlanKeeper(Path(sys.argv[1])).look()
    print(multiprocessing.active_children()[0].pid, flush=True)
    time.sleep(300)
"""


def lives(process: int) -> bool:
    """Signal 0 asks, and harms nobody (POSIX kill); what is dead but not yet fetched is dead."""
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    status = Path(f"/proc/{process}/stat")
    return not status.exists() or status.read_text().rsplit(")", 1)[1].split()[0] != "Z"


def test_the_planning_ends_with_the_keeper_however_that_ends(
    make_demo: Callable[[Path], Shown], tmp_path: Path
) -> None:
    folder = make_demo(tmp_path / "plot").folder
    script = tmp_path / "keeping.py"
    script.write_text(KEEPING)
    with subprocess.Popen(
        [sys.executable, script, folder], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as keeper:
        assert keeper.stdout is not None
        worker = int(keeper.stdout.readline())
        time.sleep(3)  # well into its imports or its plan
        assert lives(worker)
        keeper.send_signal(signal.SIGKILL)
    ends = time.monotonic() + 60
    while lives(worker) and time.monotonic() < ends:
        time.sleep(0.1)
    left = lives(worker)
    if left:
        os.kill(worker, signal.SIGKILL)
    assert not left


def test_it_rests_once_a_plan_knows_an_entry_that_was_taken_back(
    make_demo: Callable[[Path], Shown], tmp_path: Path
) -> None:
    folder = make_demo(tmp_path / "plot").folder
    evening = datetime(2011, 7, 30, 20, 15)
    picked = log(folder, Picking("cucumbers", 0.4), evening)
    log(folder, Withdrawal(), evening, supersedes=picked.id)
    keeper = PlanKeeper(folder, date(2011, 7, 30))
    try:
        assert keeper.look().being_made
        made = keeper.wait(120)
        assert made.plan is not None and made.refused is None
        assert not made.being_made and not keeper.look().being_made
    finally:
        keeper.close()


def test_waiting_for_a_plan_that_takes_long_ends_in_time(
    make_demo: Callable[[Path], Shown], tmp_path: Path
) -> None:
    keeper = PlanKeeper(make_demo(tmp_path / "plot").folder, date(2011, 7, 30))
    try:
        keeper.look()
        assert keeper.wait(0.01).being_made
    finally:
        keeper.close()
