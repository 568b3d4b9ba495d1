"""Work for another process that never ends, and says where it is done; light to import there."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

from app.service.background.worker_process import handed_over


def working(note: Path) -> None:
    """Work without end."""
    note.write_text(str(os.getpid()), encoding="ascii")
    while True:
        pass


def asleep(note: Path) -> None:
    """Wait, which is no work, for longer than any test."""
    note.write_text(str(os.getpid()), encoding="ascii")
    time.sleep(600)


def halted(note: Path) -> None:
    """Halt this process, as by Ctrl+Z: it neither works nor ends."""
    note.write_text(str(os.getpid()), encoding="ascii")
    os.kill(os.getpid(), signal.SIGSTOP)


def improving(note: Path) -> None:
    """Hand over one better thing after the other, and never end."""
    for better in (1, 2, 3):
        handed_over(better)
    working(note)


def pid_in(note: Path) -> int:
    """Where the work is done, as soon as it says so."""
    until = time.monotonic() + 60.0
    while time.monotonic() < until:
        text = note.read_text(encoding="ascii") if note.exists() else ""
        if text:
            return int(text)
        time.sleep(0.02)
    raise AssertionError("the work never began")


def is_gone(pid: int) -> bool:
    """Whether there is no such process any more, or soon is none."""
    until = time.monotonic() + 20.0
    while time.monotonic() < until:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False
