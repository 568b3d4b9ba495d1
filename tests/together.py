"""Processes that begin at the same moment."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence


def let_go(processes: Sequence[subprocess.Popen[str]]) -> None:
    """Wait until each has said that it is ready, then tell all of them to go."""
    for process in processes:
        assert process.stdout is not None
        assert process.stdout.readline() == "ready\n"
    for process in processes:
        assert process.stdin is not None
        process.stdin.write("go\n")
        process.stdin.flush()
