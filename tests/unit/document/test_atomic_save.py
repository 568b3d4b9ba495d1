"""Saving leaves the old file or the new one, whatever happens in between."""

from __future__ import annotations

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from app.document.dump import dumps, save, write_whole
from app.document.load import load
from app.errors import DocumentError
from tests.unit.document.designs import small_design

WRITER = """
import sys
from pathlib import Path
from app.document.dump import save
from tests.unit.document.designs import small_design

design = small_design()
path = Path(sys.argv[1])
print("ready", flush=True)
for n in range(10**9):
    save(design.model_copy(update={"title": "x" * (n % 150), "notes": str(n) * 2000}), path)
"""


@pytest.mark.parametrize("delay", [0.0, 0.013, 0.029, 0.05, 0.071])
def test_a_writer_killed_at_any_moment_leaves_a_whole_file(tmp_path: Path, delay: float) -> None:
    path = tmp_path / "deck.json"
    save(small_design(), path)
    root = Path(__file__).resolve().parents[3]
    writer = subprocess.Popen([sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, cwd=root)
    assert writer.stdout is not None
    try:
        assert writer.stdout.readline() == b"ready\n"
        time.sleep(delay)
    finally:
        writer.send_signal(signal.SIGKILL if hasattr(signal, "SIGKILL") else signal.SIGTERM)
        writer.wait()
        writer.stdout.close()
    found = load(path)
    assert found.boards == small_design().boards
    assert len(found.notes) % 2000 == 0, "notes of one save only"


def test_a_failed_write_leaves_the_old_file_and_no_part(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "deck.json"
    save(small_design(), path)

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DocumentError, match=r"deck\.json cannot be written: No space left on device. Choose another"):
        save(small_design().model_copy(update={"title": "Other"}), path)
    assert load(path) == small_design()
    assert [entry.name for entry in tmp_path.iterdir()] == ["deck.json"]


def test_the_bytes_are_the_text_in_utf_8_with_line_feeds(tmp_path: Path) -> None:
    design = small_design().model_copy(update={"title": "Dæk 3½ × 2"})
    save(design, tmp_path / "deck.json")
    assert (tmp_path / "deck.json").read_bytes() == dumps(design).encode("utf-8")
    assert b"\r" not in (tmp_path / "deck.json").read_bytes()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_a_saved_file_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "deck.json"
    write_whole(b"{}", path)
    path.chmod(0o640)
    write_whole(b"[]", path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert path.read_bytes() == b"[]"
