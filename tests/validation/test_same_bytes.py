"""The same design gives the same bytes, whatever process makes it, and whatever that has made before."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from tests.boards.round_boards import ROUND
from tests.long_run import long
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


@pytest.mark.parametrize("options", [("--faces-by-turns",), pytest.param((), marks=long)])
def test_two_processes_export_the_same_bytes(options: tuple[str, ...]) -> None:
    forth, back = digests(SEEDS[0], *options), digests(SEEDS[1], "--backwards", *options)
    assert {name.rpartition(".")[2] for name in forth} == {"svg", "dxf", "pdf"}
    assert any(name.startswith(outline) for name in forth for outline in ROUND)
    assert sorted(forth) == sorted(back)
    assert [name for name in forth if forth[name] != back[name]] == []
