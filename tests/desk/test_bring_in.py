"""`import` takes back what `export` writes: whole onto nothing, else only what is lacking."""

from __future__ import annotations

import io
import json
import shutil
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from lattermath.desk.bring_in import bring_in
from lattermath.desk.demo import Shown
from lattermath.desk.keepers import check, export
from lattermath.desk.log_visit import log
from lattermath.desk.photos import attach, clean
from lattermath.desk.plan_visit import plan
from lattermath.desk.season_account import season_account
from lattermath.desk.start import start
from lattermath.desk.wiring import folder_at, open_journal
from lattermath.vocabulary.errors import InputError, JournalError
from lattermath.vocabulary.events import Care, Picking, Withdrawal

pytestmark = pytest.mark.usefixtures("few_draws")

SATURDAY = date(2011, 7, 30)
EVENING = datetime(2011, 7, 30, 19, 0)


@pytest.fixture(scope="module")
def made(make_demo: Callable[[Path], Shown], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration's plot with a correction, a withdrawal and a photo."""
    folder = make_demo(tmp_path_factory.mktemp("brought") / "plot").folder
    wrong = log(folder, Picking("courgettes", 5.0), EVENING)
    log(folder, Picking("courgettes", 0.5), EVENING, supersedes=wrong.id)
    gone = log(folder, Care("beans", "hoe"), EVENING)
    log(folder, Withdrawal("not done"), supersedes=gone.id)
    picture = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(picture, "PNG")
    attach(folder, clean(picture.getvalue(), "red.png"))
    return folder


@pytest.fixture
def source(made: Path, tmp_path: Path) -> Path:
    export(made, tmp_path / "open")
    return tmp_path / "open"


def files(folder: Path) -> dict[str, bytes]:
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in sorted(folder.rglob("*"))
        if file.is_file()
    }


def entries(folder: Path) -> int:
    with open_journal(folder_at(folder)) as journal:
        return journal.last_serial


def test_onto_nothing_it_is_the_same_record_byte_for_byte(
    made: Path, source: Path, tmp_path: Path
) -> None:
    told = bring_in(tmp_path / "new", source)
    assert "plot.toml brought too." in told.says and not check(tmp_path / "new").faults
    export(tmp_path / "new", tmp_path / "again")
    assert files(tmp_path / "again") == files(source)
    assert season_account(tmp_path / "new") == season_account(made)
    assert start(tmp_path / "new").events == (), "the plot file says nothing that is not known"


def test_the_plan_from_it_is_the_plan_from_the_first(
    made: Path, source: Path, tmp_path: Path
) -> None:
    bring_in(tmp_path / "new", source)
    assert plan(tmp_path / "new", SATURDAY) == plan(made, SATURDAY)


def test_twice_is_once(source: Path, tmp_path: Path) -> None:
    bring_in(tmp_path / "new", source)
    held = entries(tmp_path / "new")
    told = bring_in(tmp_path / "new", source)
    assert told.says[0] == "Brought in: 0 entries." and entries(tmp_path / "new") == held


def test_two_who_logged_apart_come_together(made: Path, source: Path, tmp_path: Path) -> None:
    """Both go on from one record; what the other wrote since is added, what is mine stays."""
    mine, theirs = (Path(shutil.copytree(made, tmp_path / name)) for name in ("mine", "theirs"))
    log(mine, Care("melon", "mulch"), EVENING)
    log(theirs, Care("tomatoes", "feed"), EVENING)
    log(theirs, Picking("beans", 0.3), EVENING)
    export(theirs, tmp_path / "since")
    told = bring_in(mine, tmp_path / "since")
    assert told.says[0] == "Brought in: 2 entries."
    assert entries(mine) == entries(made) + 3 and not check(mine).faults
    says = {act.says for story in season_account(mine).stories for act in story.acts}
    assert {"Melons: mulch", "Cordon tomatoes: feed"} <= says


def test_the_journal_alone_is_enough(source: Path, tmp_path: Path) -> None:
    alone = tmp_path / "alone.json"
    alone.write_bytes((source / "journal.json").read_bytes())
    bring_in(tmp_path / "new", alone)
    assert not (tmp_path / "new" / "plot.toml").exists()
    faults = check(tmp_path / "new").faults
    assert [fault.what for fault in faults] == ["a photo is gone or was changed"]


def test_another_place_is_refused(source: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "plot.toml").write_text(
        'format = 1\n[place]\nlatitude = 51.5\nlongitude = -0.6\ntime_zone = "Europe/London"\n'
    )
    start(other)
    held = entries(other)
    with pytest.raises(InputError, match="another place"):
        bring_in(other, source)
    assert entries(other) == held and "51.5" in (other / "plot.toml").read_text()


def test_one_entry_corrected_by_both_is_refused_whole(made: Path, tmp_path: Path) -> None:
    mine, theirs = (Path(shutil.copytree(made, tmp_path / name)) for name in ("mine", "theirs"))
    log(theirs, Care("tomatoes", "feed"), EVENING)
    for folder, kg in ((mine, 1.0), (theirs, 2.0)):
        first = next(e for e in _events(folder) if isinstance(e.payload, Picking))
        log(folder, Picking("courgettes", kg), supersedes=first.id)
    export(theirs, tmp_path / "since")
    held = entries(mine)
    with pytest.raises(JournalError):
        bring_in(mine, tmp_path / "since")
    assert entries(mine) == held, "nothing of it was written"


def _events(folder: Path) -> Any:
    with open_journal(folder_at(folder)) as journal:
        return journal.events()


def _number_as_words(told: dict[str, Any]) -> None:
    told["readings"][0]["rows"][0][1] = "warm"


def _another_rain(told: dict[str, Any]) -> None:
    told["readings"][0]["rows"][0][3] = 999.0


def _gone(told: dict[str, Any]) -> None:
    del told["entries"][7]


def _strange(told: dict[str, Any]) -> None:
    told["entries"][7]["kind"] = "wish"


def _newer(told: dict[str, Any]) -> None:
    told["schema_version"] = 99


@pytest.mark.parametrize("harm", [_number_as_words, _another_rain, _gone, _strange, _newer])
def test_a_damaged_export_is_refused_and_leaves_nothing(
    source: Path, tmp_path: Path, harm: Callable[[dict[str, Any]], None]
) -> None:
    file = source / "journal.json"
    told = json.loads(file.read_text("utf-8"))
    harm(told)
    file.write_text(json.dumps(told), "utf-8")
    with pytest.raises((InputError, JournalError)) as refused:
        bring_in(tmp_path / "new", source)
    assert refused.value.faults[0].remedy
    assert not files(tmp_path / "new") if (tmp_path / "new").exists() else True


def test_a_photo_that_was_changed_is_refused(source: Path, tmp_path: Path) -> None:
    (photo,) = (source / "photos").iterdir()
    photo.write_bytes(b"something else")
    with pytest.raises(InputError, match="not what its name says"):
        bring_in(tmp_path / "new", source)
    assert not (tmp_path / "new").exists()
