"""One code lets one phone in, and a phone's leave ends when it is taken away."""

from __future__ import annotations

import json
import os
import stat
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lattermath.desk import clock
from lattermath.desk.own_addresses import own_addresses
from lattermath.desk.paired_phones import (
    MOST_PHONES,
    UNSEEN,
    admit,
    change_token,
    known,
    machine_token,
    paired,
    revoke,
)
from lattermath.desk.pairing_code import LASTS_SECONDS, WRONG_TRIES, CodeRefused, PairingCodes
from lattermath.vocabulary.errors import InputError, NotThere


class Running:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.at = 100.0

    def __call__(self) -> float:
        return self.at


def test_a_code_works_once_as_typed() -> None:
    codes = PairingCodes()
    code = codes.fresh()
    assert len(code.digits) == 8 and code.digits.isdecimal()
    codes.use(f" {code.spaced[:4]}-{code.spaced[5:]}\n")
    assert codes.standing() is None
    with pytest.raises(CodeRefused):
        codes.use(code.digits)


def test_a_code_lapses_and_a_new_one_makes_it_void() -> None:
    running = Running()
    codes = PairingCodes(running)
    old = codes.fresh()
    new = codes.fresh()
    if old.digits != new.digits:
        with pytest.raises(CodeRefused):
            codes.use(old.digits)
    running.at += LASTS_SECONDS - 0.001
    assert codes.standing() == new
    running.at += 0.001
    with pytest.raises(CodeRefused):
        codes.use(new.digits)


def test_guessing_makes_a_code_void() -> None:
    codes = PairingCodes()
    code = codes.fresh()
    wrong = "".join(str((int(digit) + 1) % 10) for digit in code.digits)
    for _ in range(WRONG_TRIES - 1):
        with pytest.raises(CodeRefused):
            codes.use(wrong)
    assert codes.standing() == code
    with pytest.raises(CodeRefused):
        codes.use(wrong)
    with pytest.raises(CodeRefused):
        codes.use(code.digits)


@given(st.text(max_size=30))
def test_no_other_words_are_the_code(words: str) -> None:
    codes = PairingCodes()
    digits = codes.fresh().digits
    if digits in "".join(words.split()):
        return
    with pytest.raises(CodeRefused):
        codes.use(words)


def test_two_phones_at_once_and_one_is_let_in() -> None:
    codes = PairingCodes()
    code = codes.fresh()

    def attempt(_: int) -> bool:
        try:
            codes.use(code.digits)
        except CodeRefused:
            return False
        return True

    with ThreadPoolExecutor(8) as many:
        assert sum(many.map(attempt, range(8))) == 1


def test_codes_differ() -> None:
    codes = PairingCodes()
    assert len({codes.fresh().digits for _ in range(200)}) > 195


def test_what_is_kept_lets_nobody_in(tmp_path: Path) -> None:
    secret = admit(tmp_path, "Anna's phone")
    (file,) = (tmp_path / "phones").glob("*.json")
    told = file.read_text("utf-8")
    assert secret not in told and secret not in file.name
    assert set(json.loads(told)) == {"name", "kind", "paired_at"}
    for words in (file.stem, told, "", secret[:-1], secret + "A", f"../{secret}"):
        assert known(tmp_path, words) is None
    phone = known(tmp_path, secret)
    assert phone is not None and phone.name == "Anna's phone"
    if os.name == "posix":
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
        assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
        (tmp_path / "lattermath.journal").touch()
        machine_token(tmp_path)
        assert stat.S_IMODE((file.parent / "pages.key").stat().st_mode) == 0o600


def test_before_there_is_a_plot_nothing_is_written(tmp_path: Path) -> None:
    assert machine_token(tmp_path) == machine_token(tmp_path) != ""
    assert not any(tmp_path.iterdir())


def test_leave_taken_away_is_gone_at_once_and_stays_gone(tmp_path: Path) -> None:
    anna, ben = admit(tmp_path, "Anna"), admit(tmp_path, "Ben")
    assert [one.name for one in revoke(tmp_path, "anna")] == ["Anna"]
    assert known(tmp_path, anna) is None and known(tmp_path, ben) is not None
    assert [one.name for one in paired(tmp_path)] == ["Ben"]
    with pytest.raises(NotThere):
        revoke(tmp_path, "Anna")
    admit(tmp_path, "Ben")
    with pytest.raises(InputError, match="several"):
        revoke(tmp_path, "Ben")
    assert revoke(tmp_path, paired(tmp_path)[0].key)
    assert len(revoke(tmp_path, "all")) == 1
    assert revoke(tmp_path, "all") == ()
    assert known(tmp_path, ben) is None


def test_a_phone_long_unseen_is_forgotten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    secret, begun = admit(tmp_path, "Anna"), datetime.now(UTC)
    for days in (100, 250, 440):  # seen now and then, long after it was paired
        monkeypatch.setattr(clock, "now", lambda days=days: begun + timedelta(days=days))
        assert known(tmp_path, secret) is not None
    late = begun + timedelta(days=440) + UNSEEN + timedelta(hours=1)
    monkeypatch.setattr(clock, "now", lambda: late)
    assert known(tmp_path, secret) is None
    assert paired(tmp_path) == ()


def test_a_file_half_written_lets_nobody_in(tmp_path: Path) -> None:
    secret = admit(tmp_path, "Anna")
    (file,) = (tmp_path / "phones").glob("*.json")
    for words in ("", "{", "[]", '{"name": "x"}', '{"name": 1, "kind": 2, "paired_at": 3}'):
        file.write_text(words)
        assert known(tmp_path, secret) is None
        assert paired(tmp_path) == ()


def test_not_more_phones_than_a_house_has(tmp_path: Path) -> None:
    for _ in range(MOST_PHONES):
        admit(tmp_path, "x")
    with pytest.raises(InputError, match="too many"):
        admit(tmp_path, "x")


@given(st.text(max_size=200))
def test_a_name_is_one_line_of_letters_that_show(name: str) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        admit(Path(folder), name)
        (phone,) = paired(Path(folder))
        assert phone.name.isprintable() and 0 < len(phone.name) <= 40


def test_tokens_of_pages_tell_nothing_of_the_session_and_last(tmp_path: Path) -> None:
    secret = admit(tmp_path, "Anna")
    assert change_token(secret) != change_token(secret[:-1] + "A") or secret.endswith("A")
    assert secret not in change_token(secret)
    assert machine_token(tmp_path) == machine_token(tmp_path)
    assert change_token(secret) != machine_token(tmp_path)


def test_addresses_are_numbers_of_this_machine_and_not_its_own_loop() -> None:
    assert all(not one.startswith("127.") and one.count(".") == 3 for one in own_addresses())
