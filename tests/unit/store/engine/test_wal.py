"""What SQLite wrote ahead is damaged: said, and kept. SQLite itself is asked what it can still read of each file."""

from __future__ import annotations

import logging
import shutil
import sqlite3
import struct
from contextlib import closing
from pathlib import Path

import pytest

from app.errors import StoreError
from app.store import open_store
from app.store.engine.wal import Damage, damage, keep_damaged

HEAD, FRAME = 32, 24
CHANGES = 40
PAGE = 4096


@pytest.fixture(scope="module", params=[512, PAGE, 65536])
def left_behind(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database as it lies there after its program was killed: a table and forty more changes are in its log only."""
    return killed(tmp_path_factory.mktemp("killed"), request.param)


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    return killed(tmp_path, PAGE)


def killed(folder: Path, page: int) -> Path:
    whole, file = folder / "whole.db", folder / "holewise.db"
    with closing(sqlite3.connect(whole, isolation_level=None)) as raw:
        raw.execute(f"PRAGMA page_size={page}")
        raw.execute("PRAGMA journal_mode=WAL")
        raw.execute("PRAGMA wal_autocheckpoint=0")
        raw.execute("CREATE TABLE t(x)")
        for number in range(CHANGES):
            raw.execute("INSERT INTO t VALUES (?)", (f"{number} " * 300,))
        for ending in ("", "-wal"):
            shutil.copyfile(whole.with_name(whole.name + ending), file.with_name(file.name + ending))
    return file


def log_of(file: Path) -> Path:
    return file.with_name(f"{file.name}-wal")


def spoilt(file: Path, folder: Path, at: int) -> Path:
    """A copy of the database with one byte of its log changed."""
    copy = folder / "spoilt.db"
    shutil.copyfile(file, copy)
    bytes_ = bytearray(log_of(file).read_bytes())
    bytes_[at] ^= 0xFF
    log_of(copy).write_bytes(bytes_)
    return copy


def changes_read(file: Path) -> int:
    """How many changes SQLite itself reads: the table, and what is in it."""
    with closing(sqlite3.connect(file)) as raw:
        if not raw.execute("SELECT * FROM sqlite_master").fetchall():
            return 0
        return 1 + int(raw.execute("SELECT count(*) FROM t").fetchone()[0])


def test_a_log_that_is_whole_is_not_damaged(left_behind: Path, tmp_path: Path) -> None:
    assert damage(log_of(left_behind)) is None
    copy = spoilt(left_behind, tmp_path, 12)  # then put right again
    shutil.copyfile(log_of(left_behind), log_of(copy))
    assert changes_read(copy) == CHANGES + 1


@pytest.mark.parametrize("at", [0, 3, 6, 9, 13, 18, 23, 27, 31])
def test_any_byte_of_the_head_costs_everything(left_behind: Path, tmp_path: Path, at: int) -> None:
    copy = spoilt(left_behind, tmp_path, at)
    assert damage(log_of(copy)) == Damage(0, head=True)
    assert changes_read(copy) == 0


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6, 0.999])
@pytest.mark.parametrize("within", [2, 6, 10, 17, 22, FRAME + 300])
def test_what_sqlite_reads_before_the_damage_is_what_is_said(
    left_behind: Path, tmp_path: Path, share: float, within: int
) -> None:
    """A frame's page number, size, salts, checksum and page, near the first, in the middle, and in the last one."""
    whole = log_of(left_behind).read_bytes()
    step = FRAME + struct.unpack(">I", whole[8:12])[0]
    frames = (len(whole) - HEAD) // step
    copy = spoilt(left_behind, tmp_path, HEAD + int(share * frames) * step + within)
    found, read = damage(log_of(copy)), changes_read(copy)
    if found is None:  # no change ends behind it that is still to be told from an earlier round's
        assert share == 0.999 and within in (6, 10, 17) and read == CHANGES
    else:
        assert found == Damage(read)


def test_a_change_that_was_not_finished_is_no_damage(plain: Path, tmp_path: Path) -> None:
    whole = log_of(plain).read_bytes()
    for less in (1, FRAME + PAGE - 1, FRAME + PAGE, FRAME + PAGE + 1, len(whole) - 32, len(whole) - 31, len(whole)):
        log = tmp_path / "cut-wal"
        log.write_bytes(whole[: len(whole) - less])
        assert damage(log) is None
    assert damage(tmp_path / "none-wal") is None


def test_what_is_left_of_an_earlier_round_is_no_damage(tmp_path: Path) -> None:
    file = tmp_path / "a.db"
    with closing(sqlite3.connect(file, isolation_level=None)) as raw:
        raw.execute("PRAGMA journal_mode=WAL")
        raw.execute("CREATE TABLE t(x)")
        for number in range(CHANGES):
            raw.execute("INSERT INTO t VALUES (?)", (number,))
        long = log_of(file).stat().st_size
        raw.execute("PRAGMA wal_checkpoint(RESTART)")
        raw.execute("INSERT INTO t VALUES (0)")
        assert log_of(file).stat().st_size == long and damage(log_of(file)) is None


def test_checksums_over_big_endian_words_are_read_as_sqlite_reads_them(plain: Path) -> None:
    raw = bytearray(log_of(plain).read_bytes())
    raw[3] |= 1  # the magic number that says so
    state = (0, 0)

    def add(data: bytes, state: tuple[int, int]) -> tuple[int, int]:
        words = struct.unpack(f">{len(data) // 4}I", data)
        a, b = state
        for x, y in zip(words[::2], words[1::2], strict=True):
            a = (a + x + b) & 0xFFFFFFFF
            b = (b + y + a) & 0xFFFFFFFF
        return a, b

    state = add(bytes(raw[:24]), state)
    raw[24:32] = struct.pack(">2I", *state)
    for at in range(HEAD, len(raw), FRAME + PAGE):
        state = add(bytes(raw[at : at + 8] + raw[at + FRAME : at + FRAME + PAGE]), state)
        raw[at + 16 : at + 24] = struct.pack(">2I", *state)
    log_of(plain).write_bytes(raw)
    assert damage(log_of(plain)) is None
    raw[HEAD + 5 * (FRAME + PAGE) + 500] ^= 1
    log_of(plain).write_bytes(raw)
    found = damage(log_of(plain))
    assert found == Damage(changes_read(plain)) and found.kept > 0


# -- opening a store


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A store as it lies there after a kill: one design is in its log only."""
    file, left = tmp_path / "at-work" / "holewise.db", tmp_path / "left" / "holewise.db"
    left.parent.mkdir()
    open_store(file.parent).close()
    store = open_store(file.parent)
    store.add("as it is", "The one that counts", "Made")
    for ending in ("", "-wal"):
        shutil.copyfile(file.with_name(file.name + ending), left.with_name(left.name + ending))
    store.close()
    return left


@pytest.mark.parametrize(("at", "words"), [(5, "None of it can be read"), (HEAD + FRAME + 100, "It was read up to")])
def test_a_damaged_log_is_kept_and_said(shelf: Path, at: int, words: str, caplog: pytest.LogCaptureFixture) -> None:
    raw = bytearray(log_of(shelf).read_bytes())
    raw[at] ^= 0xFF
    log_of(shelf).write_bytes(raw)
    with caplog.at_level(logging.WARNING):
        for _ in range(2):  # killed again before it wrote: its log lies there as it was, and is kept once
            open_store(shelf.parent).close()
            log_of(shelf).write_bytes(raw)
    (copy,) = shelf.parent.glob("*.damaged-*")
    assert copy.read_bytes() == raw
    assert words in caplog.text and str(copy) in caplog.text


def test_a_log_that_is_whole_is_read_without_a_word(shelf: Path, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING):
        store = open_store(shelf.parent)
        (one,) = store.designs()
        assert one.title == "The one that counts"
        store.close()
    assert not list(shelf.parent.glob("*damaged*")) and not caplog.text


def test_without_room_for_the_copy_the_store_is_not_opened(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    raw = bytearray(log_of(shelf).read_bytes())
    raw[5] ^= 0xFF
    log_of(shelf).write_bytes(raw)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfile", full)
    with pytest.raises(StoreError, match="cannot be written"):
        open_store(shelf.parent)
    assert log_of(shelf).read_bytes() == raw


def test_a_log_that_is_being_written_is_looked_at_twice(plain: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = log_of(plain).read_bytes()
    log_of(plain).write_bytes(bytes([whole[0] ^ 1]) + whole[1:])
    monkeypatch.setattr("time.sleep", lambda _: log_of(plain).write_bytes(whole))
    assert keep_damaged(plain) is None
