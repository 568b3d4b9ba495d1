"""One running program on a place: started as a user starts it, or as a fork; killed without warning."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

from msgspec import Struct

from tests.endure.asking import Asker, Gone
from tests.endure.figures import Figures
from tests.endure.nursery import Nursery
from tests.running import free_port
from tests.tools import ROOT

START_S = 60.0
"""Longest wait for the first answer [s]."""


class NotStartedError(Exception):
    """A program ended, or did not answer, with what it said."""


class Program(Struct, frozen=True):
    """A program that answers.

    Args:
        pid: its process.
        port: on 127.0.0.1.
        process: what has to be waited for; None for a fork.
    """

    pid: int
    port: int
    process: subprocess.Popen[bytes] | None = None

    def asker(self, figures: Figures) -> Asker:
        """A new window."""
        return Asker(self.port, figures)

    def memory(self) -> float:
        """Resident memory [MB]."""
        status = Path(f"/proc/{self.pid}/status").read_text("ascii")
        return int(status.partition("VmRSS:")[2].split()[0]) / 1024

    def workers(self) -> list[int]:
        """Process ids of its workers, the oldest first: its children but for the tracker of their resources."""
        children = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text("ascii").split()
        found = []
        for pid in children:
            with suppress(FileNotFoundError):  # it has just gone
                if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes():
                    found.append(int(pid))
        return found

    def kill(self) -> None:
        """Kill it, whatever it is doing, and wait until it is gone."""
        with suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        if self.process is not None:
            self.process.wait(timeout=30)
            return
        limit = time.monotonic() + 30
        while Path(f"/proc/{self.pid}").exists() and time.monotonic() < limit:
            time.sleep(0.002)


def arguments_of(where: Path | str, port: int) -> list[str]:
    """The command line that serves a folder, or the database of a URL."""
    place = ["--data", str(where)] if isinstance(where, Path) else ["--database", where]
    return ["serve", "--port", str(port), "--no-open", *place]


def forked(nursery: Nursery, where: Path | str, figures: Figures) -> Program:
    """A program that costs little to start."""
    port = free_port()
    program = Program(nursery.start(arguments_of(where, port)), port)
    _wait(program, figures, nursery.log)
    return program


def started(where: Path | str, log: Path, figures: Figures, *more: str) -> Program:
    """A program, started as a user starts it.

    Args:
        where: folder or URL of the place.
        log: file for what it prints.
        figures: what is noted.
        more: further arguments of its command line.

    Raises:
        NotStartedError: it did not start, with what it said.
    """
    port = free_port()
    command = [sys.executable, "-m", "app", *arguments_of(where, port), *more]
    with log.open("ab") as output:
        process = subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=subprocess.STDOUT)
    program = Program(process.pid, port, process)
    _wait(program, figures, log)
    return program


def refused(where: Path | str, log: Path, figures: Figures) -> str:
    """What a program says that is not to start; empty if it did, and then it is killed."""
    log.unlink(missing_ok=True)
    try:
        started(where, log, figures).kill()
    except NotStartedError as error:
        return str(error)
    return ""


def runs(pid: int) -> bool:
    """Whether a process still runs; one that has ended may stay listed until somebody asks for its code."""
    try:
        return Path(f"/proc/{pid}/stat").read_text("ascii", "replace").rpartition(")")[2].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False


def _wait(program: Program, figures: Figures, log: Path) -> None:
    began = time.monotonic()
    while time.monotonic() - began < START_S:
        if not _runs(program):
            break
        asker = program.asker(figures)
        try:
            asker.get("/static/palette.css")
            return
        except Gone:
            time.sleep(0.005)
        finally:
            asker.close()
    program.kill()
    raise NotStartedError(log.read_text("utf-8", "replace")[-2000:] or "it said nothing")


def _runs(program: Program) -> bool:
    if program.process is not None:
        return program.process.poll() is None
    return runs(program.pid)
