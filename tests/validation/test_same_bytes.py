"""The same design gives the same bytes, whatever process makes it, and whatever that has made before."""

from __future__ import annotations

import json
import os
import subprocess
import sys

from tests.boards.round_boards import ROUND
from tests.tools import ROOT

SEEDS = (3, 4)
"""Of Python's hashes of text, by which sets are ordered; between these two DXF files once differed."""


def digests(seed: int, *options: str) -> dict[str, str]:
    """Of every file that a process of its own makes, its digest."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.drawn_files", *options],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": str(seed)},
        capture_output=True,
        check=True,
        text=True,
    )
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    return found


def test_two_processes_export_the_same_bytes() -> None:
    forth, back = digests(SEEDS[0]), digests(SEEDS[1], "--backwards")
    assert {name.rpartition(".")[2] for name in forth} == {"svg", "dxf", "pdf"}
    assert any(name.startswith(outline) for name in forth for outline in ROUND)
    assert sorted(forth) == sorted(back)
    assert [name for name in forth if forth[name] != back[name]] == []
