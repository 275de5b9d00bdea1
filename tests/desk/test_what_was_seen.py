"""What growers call what they saw: both numbers, one thing an entry, and what lives on the crop."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from lattermath.desk import clock
from lattermath.desk.log_names import plot_now
from lattermath.desk.log_visit import log
from lattermath.desk.log_words import echo
from lattermath.desk.start import start
from lattermath.desk.told_entries import record_of
from lattermath.desk.what_was_seen import by_plant, looks_at, unit_of
from lattermath.doors.command import run
from lattermath.knowledge.tables import load_tables
from lattermath.vocabulary.errors import InputError
from lattermath.vocabulary.events import Sighting

CROPS = ("tomato", "leek", "basil", "kale", "cucumber", "okra", "pole bean", "potato")
PLACE = """
format = 1

[place]
name = "Green Lane"
latitude = 51.5
longitude = -0.6
time_zone = "Europe/London"
usual_first_frost = "10-25"
country = "GB"
"""
BED = """
[[bed]]
key = "bed-{key}"
name = "bed {key}"
length_m = 3.0
width_m = 1.0

[[planting]]
key = "{key}"
name = "{key}"
crop = "{crop}"
bed = "bed-{key}"
plants = 12
set_out = 2026-06-01
"""
EVENING = datetime(2026, 7, 25, 19, 0)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(clock, "now", lambda: datetime(2026, 8, 1, 12, 0, tzinfo=UTC))
    beds = "".join(BED.format(key=crop.replace(" ", "-"), crop=crop) for crop in CROPS)
    tmp_path.joinpath("plot.toml").write_text(PLACE + beds, encoding="utf-8")
    start(tmp_path, datetime(2026, 7, 20, 8, 0, tzinfo=UTC))
    return tmp_path


def written(folder: Path, planting: str, what: str, **more: object) -> tuple[Sighting, str]:
    """What the journal keeps of an entry, and what is said of it."""
    told = {"measure": "count", "counts": (3, 4), "looked_at": 2} | more
    event = log(folder, Sighting(planting, what, **told), EVENING)  # type: ignore[arg-type]
    assert isinstance(event.payload, Sighting)
    return event.payload, " ".join(echo(folder, event, plot_now(folder)))


def test_what_was_tapped_out_of_flowers_is_told_as_that(folder: Path) -> None:
    flower = {"surface": "flowers"}
    _, said = written(folder, "cucumber", "western flower thrips", **flower)
    assert "7 western flower thrips on 2 flowers of cucumber" in said
    _, said = written(folder, "cucumber", "western flower thrips", surface="underside")
    assert "on 2 leaves" in said
    with pytest.raises(InputError, match="only thrips are counted in flowers"):
        written(folder, "cucumber", "aphids", **flower)


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        (["25,31", "--flowers", "2"], "56 western flower thrips on 2 flowers"),
        (["25,31", "--surface", "flowers"], "56 western flower thrips on 2 flowers"),
        (["many", "--flowers", "10"], "many a flower, on 10 flowers"),
        (["7 of 10", "--surface", "flowers"], "on 7 of 10 flowers"),
        (["25,31", "--leaves", "2"], "56 western flower thrips on 2 leaves"),
    ],
)
def test_the_log_has_a_word_for_flowers(
    folder: Path, capsys: pytest.CaptureFixture[str], said: list[str], kept: str
) -> None:
    plot = ["--plot", str(folder)]
    assert run(["log", "count", "cucumber", "western flower thrips", *said, *plot]) == 0
    assert kept in capsys.readouterr().out
    assert run(["log", "none", "cucumber", "thrips", "--flowers", "4", "--leaves", "4", *plot]) != 0


@pytest.mark.parametrize(
    ("what", "plants"),
    [("corn earworms", True), ("corn earworm", True), ("carrot fly", True), ("leafminers", None),
     ("slugs", None), ("unheard-of beetle", None)],
)  # fmt: skip
def test_pests_that_only_the_key_knows_are_counted_where_their_sign_shows(
    what: str, plants: bool | None
) -> None:
    """Earworms sit in cobs: three of them were told as "on 3 leaves"."""
    assert by_plant(what, load_tables()) is plants


@pytest.mark.parametrize("what", ["root aphids", "grey willow aphids"])
def test_one_of_a_kind_that_the_tables_lack_is_told_as_that(folder: Path, what: str) -> None:
    seen, said = written(folder, "kale", what)
    assert seen.what == what and "is of the kind aphid, and is not reckoned by itself" in said
    assert "lattermath log count kale aphid 12,0,3" in said


@pytest.mark.parametrize(
    ("planting", "what", "kind"),
    [("kale", "cabbage aphid", "aphid"), ("pole-bean", "black bean aphids", "aphid"),
     ("leek", "Tobacco thrips", "thrips"), ("potato", "potato aphid", "aphid")],
)  # fmt: skip
def test_a_species_without_figures_is_reckoned_as_its_kind(
    folder: Path, planting: str, what: str, kind: str
) -> None:
    """Who knew the aphid of cabbages by name had nothing reckoned; who wrote aphids had all."""
    seen, said = written(folder, planting, what)
    assert (seen.what, seen.note, seen.counts) == (kind, what, (3, 4))
    many = {"aphid": "aphids"}.get(kind, kind)
    assert (
        f"{what[0].upper()}{what[1:]}: reckoned as {many}, for which the figures stand in" in said
    )
    assert f"7 {what} on 2 leaves of {planting}" in said
    told = " ".join(one.says for one in record_of(folder).entries)
    assert what in told


def test_a_species_without_figures_keeps_the_note(folder: Path) -> None:
    seen, _ = written(folder, "kale", "cabbage aphid", note="on the hearts only")
    assert seen.note == "cabbage aphid; on the hearts only"


@pytest.mark.parametrize("what", ["holes in leaves", "leaf spot", "beetles", "slime trails"])
@pytest.mark.parametrize("planting", ["kale", "okra", "tomato"])
def test_a_look_is_said_to_read_only_what_it_reads(
    folder: Path, capsys: pytest.CaptureFixture[str], planting: str, what: str
) -> None:
    """Held against the command itself: read, asked back, or not known."""
    noticed = {"measure": "first seen", "counts": (), "looked_at": 0, "surface": "whole"}
    _, said = written(folder, planting, what, **noticed)
    code = run(["look", planting, "--seen", what, "--plot", str(folder)])
    told = capsys.readouterr()
    asked = "say which" in told.err or "say so" in told.err
    assert ("reads it" in said) == (code == 0), said
    assert ("asks which" in said) == (code != 0 and asked), (said, told.err)


def test_yellow_of_something_else_is_handed_to_the_look_and_not_called_hunger(folder: Path) -> None:
    noticed = {"measure": "first seen", "counts": (), "looked_at": 0, "surface": "whole"}
    _, webs = written(folder, "tomato", "yellow stippled leaves with fine webs", **noticed)
    assert "lattermath look tomato --seen" in webs and "sign of the plant itself" not in webs
    _, hunger = written(folder, "tomato", "yellow old leaves", **noticed)
    assert "sign of the plant itself" in hunger


def test_enemies_of_which_none_was_found_do_not_work_for_you(folder: Path) -> None:
    none = {"counts": (), "total": 0, "looked_at": 10}
    _, said = written(folder, "kale", "ladybirds", **none)
    assert "none was found" in said and "They work" not in said
    _, said = written(folder, "kale", "ladybirds")
    assert "They work for you" in said


def test_an_organism_is_offered_its_own_stages(folder: Path) -> None:
    with pytest.raises(InputError, match="no such stage") as refused:
        written(folder, "cucumber", "melon aphid", stage="eggs")
    assert "scale" not in str(refused.value) and "pupa" not in str(refused.value)
    assert "nymphs" in str(refused.value)
    with pytest.raises(InputError, match="no such stage") as refused:
        written(folder, "tomato", "greenhouse whitefly", stage="cocoon")
    assert "scales" in str(refused.value) and "eggs" in str(refused.value)


SHARE = {"measure": "severity", "counts": (), "percent": 10.0}


@pytest.mark.parametrize(
    ("what", "kept", "stage"),
    [
        ("red spider mites", "twospotted_spider_mite", ""),
        ("cucumber beetles", "striped_cucumber_beetle", ""),
        ("melon aphids", "melon_aphid", ""),
        ("whitefly scales", "whitefly", "scales"),
        ("greenhouse whitefly nymphs", "greenhouse_whitefly", "nymphs"),
        ("squash bug eggs", "squash_bug", "eggs"),
    ],
)
def test_many_of_one_are_known_and_a_stage_in_the_name(
    folder: Path, what: str, kept: str, stage: str
) -> None:
    seen, said = written(folder, "cucumber", what)
    assert (seen.what, seen.stage) == (kept, stage)
    assert "your own word" not in said and "no figures" not in said


@pytest.mark.parametrize(
    "what", ["aphids and whitefly", "aphids, caterpillars", "whiteflies & spider mites"]
)
@pytest.mark.parametrize("more", [{}, {"measure": "first seen", "counts": ()}])
def test_an_entry_is_of_one_thing(folder: Path, what: str, more: dict[str, object]) -> None:
    with pytest.raises(InputError, match="an entry is of one thing") as refused:
        written(folder, "cucumber", what, **more)
    assert "lattermath log " in refused.value.faults[0].remedy


@pytest.mark.parametrize("what", ["slugs and snails", "rust of French and runner beans"])
def test_two_words_for_one_thing_are_one(folder: Path, what: str) -> None:
    assert written(folder, "pole-bean", what, **SHARE)[0].planting == "pole-bean"


@pytest.mark.parametrize(
    ("planting", "what", "kept"),
    [
        ("leek", "rust", "rust"),
        ("tomato", "mildew", "mildew"),
        ("kale", "powdery mildew", "powdery mildew"),
        ("kale", "blight", "blight"),
        ("pole-bean", "rust", "bean_rust"),
        ("cucumber", "mildew", "cucurbit_powdery_mildew"),
        ("basil", "mildew", "basil_downy_mildew"),
        ("basil", "downy mildew", "basil_downy_mildew"),
        ("potato", "blight", "late_blight"),
        ("tomato", "blight", "late_blight"),
    ],
)
def test_a_general_word_is_of_what_lives_on_that_crop(
    folder: Path, planting: str, what: str, kept: str
) -> None:
    seen, said = written(folder, planting, what, **SHARE)
    assert seen.what == kept
    assert (f"no figures for {what} on" in said) == (kept == what)


@pytest.mark.parametrize(
    ("planting", "what", "kept", "named"),
    [
        ("tomato", "squash bugs", "squash_bug", "squash bug on cordon tomatoes"),
        ("kale", "hornworm", "hornworms", "hornworms on kale"),
        ("cucumber", "cabbage whitefly", "cabbage_whitefly", "cabbage whitefly on cucumbers"),
        ("leek", "whitefly", "whitefly", "whitefly on leeks"),
        ("kale", "mites", "mites", "mites on kale"),
        ("leek", "bean rust", "bean_rust", "bean"),
    ],
)
def test_what_does_not_live_there_is_kept_and_said(
    folder: Path, planting: str, what: str, kept: str, named: str
) -> None:
    more = SHARE if "rust" in what else {}
    seen, said = written(folder, planting, what, **more)
    assert seen.what == kept
    assert "no figures for " in said and "nothing is reckoned from it" in said
    assert named in said


def test_of_what_lives_there_nothing_is_said(folder: Path) -> None:
    for planting, what in (("kale", "caterpillars"), ("tomato", "hornworm"), ("leek", "thrips")):
        assert "no figures" not in written(folder, planting, what)[1]


def test_a_known_word_in_a_strange_one_is_offered(folder: Path) -> None:
    seen, said = written(folder, "kale", "flea beetle traps")
    assert seen.what == "flea beetle traps"
    assert "Did you mean" in said and "flea beetle" in said.partition("Did you mean")[2]


BY_PLANT = (
    "caterpillars",
    "cabbage loopers",
    "flea beetles",
    "hornworm",
    "squash bug",
    "cabbage white",
)


@pytest.mark.parametrize("what", BY_PLANT)
def test_ten_leaves_are_not_taken_for_ten_plants(what: str) -> None:
    tables = load_tables()
    with pytest.raises(InputError, match=r"--leaves: .* counted by plant"):
        looks_at(what, 10, 0, tables)
    assert looks_at(what, 0, 10, tables) == 10
    with pytest.raises(InputError, match="of leaves or of plants"):
        looks_at(what, 10, 10, tables)


@pytest.mark.parametrize("what", ["whitefly", "spider mites", "thrips", "late blight"])
def test_what_is_counted_by_leaf_is_not_taken_by_plant(what: str) -> None:
    with pytest.raises(InputError, match=r"--plants: .* counted by leaf"):
        looks_at(what, 0, 5, load_tables())
    assert looks_at(what, 5, 0, load_tables()) == looks_at("a green thing", 0, 5, load_tables())


def test_ladybirds_are_taken_by_leaf_and_by_plant() -> None:
    """Nobody turns leaves for ladybirds: they are seen on whole plants, and that was refused."""
    tables = load_tables()
    assert looks_at("ladybirds", 0, 5, tables) == 5 == looks_at("ladybirds", 5, 0, tables)
    whole = Sighting("kale", "ladybirds", "count", "", "whole", 5, total=3)
    assert unit_of(whole, tables) == ("plant", "plants")
    assert unit_of(replace(whole, surface="underside"), tables) == ("leaf", "leaves")


def test_counts_by_plant_are_said_so_and_are_of_the_whole_plant(folder: Path) -> None:
    seen, said = written(folder, "kale", "caterpillars")
    assert "7 caterpillars on 2 plants of kale" in said and seen.surface == "whole"
    _, said = written(folder, "kale", "caterpillars", counts=(), level="few", looked_at=5)
    assert "few a plant, on 5 plants" in said
    _, said = written(folder, "kale", "caterpillars", counts=(), total=0, looked_at=5)
    assert "no caterpillars on 5 plants" in said
    assert "5 plants looked at" in record_of(folder).entries[0].says
    seen, said = written(folder, "kale", "aphids")
    assert "on 2 leaves of kale" in said and seen.surface == "underside"


def test_no_more_plants_are_looked_over_than_stand_there(folder: Path) -> None:
    assert written(folder, "kale", "caterpillars", counts=(1,) * 12, looked_at=12)
    with pytest.raises(InputError, match=r"not that many stand.*one number a plant.*12 plant"):
        written(folder, "kale", "caterpillars", counts=(1,) * 13, looked_at=13)
    assert written(folder, "kale", "aphids", counts=(1,) * 13, looked_at=13)


def test_the_command_takes_plants_beside_leaves(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def said(*words: str) -> str:
        run(["log", *words, "--at", "2026-07-25 19:00", "--plot", str(folder)])
        heard = capsys.readouterr()
        return heard.out + heard.err

    assert "counted by plant" in said("none", "kale", "caterpillars", "--leaves", "10")
    assert "no caterpillars on 10 plants" in said("none", "kale", "caterpillars", "--plants", "10")
    assert "counted by plant" in said("count", "kale", "hornworms", "few", "--leaves", "10")
    assert "how many plants" in said("count", "kale", "caterpillars", "few")
    assert "how many leaves" in said("count", "kale", "aphids", "few")
    assert "5 slugs on 4 plants" in said("count", "kale", "slugs", "5", "--plants", "4")
