"""Where a pack is written: whole or not at all, whatever is there, whatever fails, whenever it is killed."""

from __future__ import annotations

import hashlib
import os
import random
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from app.document.load import loads
from app.errors import DocumentError
from app.service.pack.packing import Pack, made_pack
from app.service.pack.place import place_for
from app.service.pack.request import PackRequest
from tests.long_run import long
from tests.tools import ROOT

SOLO = ROOT / "scenarios" / "lantern-hill-solo.json"
SMALL = PackRequest(papers=("a4",), units=("mm",), only=("lists", "design"))
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="signals and devices of a POSIX system")


def small() -> Pack:
    return made_pack(loads(SOLO.read_text("utf-8")), SMALL)


def write(pack: Pack, out: Path) -> None:
    with place_for(out) as place:
        place.write(pack)


def left(folder: Path) -> list[str]:
    return sorted(each.name for each in folder.iterdir())


def test_a_folder_or_a_file_is_there_whole_and_nothing_else(tmp_path: Path) -> None:
    pack = small()
    write(pack, tmp_path / "new" / "deep" / "plan")
    write(pack, tmp_path / "plan.zip")
    assert left(tmp_path) == ["new", "plan.zip"]
    assert left(tmp_path / "new" / "deep") == ["plan"]
    for file in pack.files:
        assert (tmp_path / "new" / "deep" / "plan" / file.path).read_bytes() == file.data
    with zipfile.ZipFile(tmp_path / "plan.zip") as archive:
        assert {archive.read(name) for name in archive.namelist()} == {file.data for file in pack.files}


def test_an_empty_folder_is_taken_and_any_other_refused_before_work_begins(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    write(small(), tmp_path / "empty")
    assert (tmp_path / "empty" / "README.txt").exists()
    (tmp_path / "taken").write_text("mine")
    (tmp_path / "folder.zip").mkdir()
    for name in ("empty", "taken", "folder.zip"):
        with pytest.raises(DocumentError, match=r"is there already\. Nothing was written"), place_for(tmp_path / name):
            raise AssertionError("work began")
    assert (tmp_path / "taken").read_text() == "mine"
    assert left(tmp_path) == ["empty", "folder.zip", "taken"]


@POSIX
def test_an_unwritable_place_is_said_and_nothing_is_left(tmp_path: Path) -> None:
    for out in (Path("/proc/none/plan"), Path("/dev/full"), tmp_path / "file" / "plan"):
        (tmp_path / "file").write_text("no folder")
        with pytest.raises(DocumentError, match=r"cannot be written|full is there already"), place_for(out):
            raise AssertionError("work began")
    assert left(tmp_path) == ["file"]


@pytest.mark.parametrize("name", ["deep/plan", "deep/plan.zip"])
def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Every file of it fails once, as on a disk that is full by then."""
    pack, real = small(), Path.write_bytes
    for good in range(len(pack.files) if name == "deep/plan" else 1):
        written = 0

        def failing(path: Path, data: bytes, good: int = good) -> int:
            nonlocal written
            written += 1
            if written > good:
                real(path, data[: len(data) // 2])
                raise OSError(28, "No space left on device")
            return real(path, data)

        monkeypatch.setattr(Path, "write_bytes", failing)
        with pytest.raises(DocumentError, match=r"No space left on device\. Nothing of the pack is left"):
            write(pack, tmp_path / name)
        assert left(tmp_path) == []


def test_work_that_is_stopped_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt), place_for(tmp_path / "deep" / "plan"):
        raise KeyboardInterrupt
    assert left(tmp_path) == []


@POSIX
def test_what_a_killed_pack_has_left_is_cleared_and_one_at_work_is_not(tmp_path: Path) -> None:
    stale = tmp_path / ".plan.holewise-dead.part"
    (stale / "pack").mkdir(parents=True)
    (stale / "pack" / "half.pdf").write_bytes(b"%PDF")
    other = tmp_path / ".plan.mine.part"
    other.mkdir()
    with place_for(tmp_path / "plan") as first:
        assert not stale.exists()
        assert other.exists()
        write(small(), tmp_path / "plan")  # somebody else, who takes nothing of the first one's away
        with pytest.raises(DocumentError, match="is there already"):
            first.write(small())
    assert left(tmp_path) == [".plan.mine.part", "plan"]
    assert whole(tmp_path / "plan")


def killed(out: Path, after: float, how: int) -> int:
    """Begin a pack, kill it so many seconds later; its exit code."""
    command = [sys.executable, "-m", "app", "pack", str(SOLO), "--papers", "a4", "--out", str(out)]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        process.wait(after)
    except subprocess.TimeoutExpired:
        os.kill(process.pid, how)
    return process.wait(60)


def whole(out: Path) -> bool:
    """Whether what is there is a whole pack: every checksum is right, and no file is missing."""
    sums = [line.split("  ", 1) for line in (out / "SHA256SUMS").read_text("utf-8").splitlines()]
    return all(hashlib.sha256((out / path).read_bytes()).hexdigest() == code for code, path in sums)


@POSIX
@pytest.mark.parametrize("many", [2, pytest.param(50, marks=long)])
def test_killed_at_any_moment_there_is_never_half_a_pack(tmp_path: Path, many: int) -> None:
    began = time.monotonic()
    assert killed(tmp_path / "first", 600.0, signal.SIGKILL) == 0
    longest = time.monotonic() - began
    chance = random.Random(many)
    for n in range(many):
        out = tmp_path / "plan"
        killed(out, chance.uniform(0.1, 1.1) * longest, signal.SIGKILL if n % 3 else signal.SIGINT)
        if out.exists():
            assert whole(out), n
            for each in sorted(out.rglob("*"), reverse=True):
                each.rmdir() if each.is_dir() else each.unlink()
            out.rmdir()
    assert killed(tmp_path / "plan", 600.0, signal.SIGKILL) == 0
    assert whole(tmp_path / "plan")
    assert left(tmp_path) == ["first", "plan"]
