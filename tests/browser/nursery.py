"""The app in processes forked from one that has imported all of it: a start costs a tenth of one from nothing.

Each is the app as its command starts it, with a data folder, a port and a log of its own. How it begins from nothing
is tested elsewhere, by `tests.running` alone.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import json
import os
import signal
import subprocess
import sys
import time
import traceback
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.tools import ROOT

_IMPORTED = (
    *("app.cli", "app.serving", "app.web.app", "app.web.rest", "app.service.room.room"),
    *("app.proof.sheets", "app.proof.drawing", "app.writers.dxf", "app.writers.pdf"),
    *("highspy", "reportlab.pdfgen.canvas", "shapely", "svgelements"),
)

_FOR_EVER = 3600.0
_CHILD = frozenset({signal.SIGCHLD})


class Forked:
    """One app; what it is told goes through the process it was forked from, which alone can wait for its end."""

    def __init__(self, nursery: Nursery, pid: int) -> None:
        self._nursery = nursery
        self._code: int | None = None
        self.pid = pid

    def poll(self) -> int | None:
        """Its exit code, minus the number of the signal that ended it; None while it runs."""
        return self._ended(0.0)

    def wait(self, timeout: float | None = None) -> int:
        """Its exit code, waited for as long as ``timeout`` says [s]."""
        code = self._ended(_FOR_EVER if timeout is None else timeout)
        if code is None:
            raise subprocess.TimeoutExpired("app", timeout or _FOR_EVER)
        return code

    def _ended(self, within: float) -> int | None:
        if self._code is None:
            self._code = self._nursery.ask({"end of": self.pid, "within": within})
        return self._code

    def send_signal(self, sig: int) -> None:
        """Send it a signal, if it has not ended."""
        if self.poll() is None:
            os.kill(self.pid, sig)

    def terminate(self) -> None:
        """Ask it to stop."""
        self.send_signal(signal.SIGTERM)

    def kill(self) -> None:
        """End it."""
        self.send_signal(signal.SIGKILL)


class Nursery:
    """The process that others are forked from; it has no thread of its own and listens nowhere."""

    def __init__(self) -> None:
        command = [sys.executable, "-m", "tests.browser.nursery"]
        self._process = subprocess.Popen(
            command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8"
        )

    def ask(self, asked: dict[str, Any]) -> Any:
        """What it answers."""
        assert self._process.stdin
        assert self._process.stdout
        self._process.stdin.write(f"{json.dumps(asked)}\n")
        self._process.stdin.flush()
        return json.loads(self._process.stdout.readline())

    def begin(self, arguments: list[str], log: Path, more: dict[str, str]) -> Forked:
        """Start the app: its arguments, the file for its output, what is added to its environment."""
        return Forked(self, self.ask({"fork": arguments, "log": str(log), "env": more}))

    def close(self) -> None:
        """End it."""
        with self._process as process:
            if process.stdin:
                process.stdin.close()


@contextlib.contextmanager
def nursery() -> Iterator[Nursery]:
    """A process that has imported the app, until the block ends."""
    made = Nursery()
    yield made
    made.close()


def _fork(asked: dict[str, Any]) -> int:
    if pid := os.fork():
        return pid
    code = 1
    try:
        signal.pthread_sigmask(signal.SIG_UNBLOCK, _CHILD)
        with Path(asked["log"]).open("wb") as output, Path(os.devnull).open("rb") as nothing:
            for descriptor, of in ((0, nothing), (1, output), (2, output)):
                os.dup2(of.fileno(), descriptor)
        os.environ.update(asked["env"])
        from app.cli import main

        code = main(asked["fork"])
        sys.stdout.flush()
    except BaseException:  # noqa: BLE001 - nothing may go on in here as if it were the nursery
        traceback.print_exc()
    finally:
        os._exit(code)


def _end(pid: int, within: float) -> int | None:
    """Exit code of a child, waited for so long [s]; None if it still runs."""
    limit = time.monotonic() + within
    while True:
        ended, status = os.waitpid(pid, os.WNOHANG)
        if ended:
            return os.waitstatus_to_exitcode(status)
        left = limit - time.monotonic()
        if left <= 0.0:
            return None
        signal.sigtimedwait(_CHILD, left)  # of this child, or of another


def _serve() -> None:
    for name in _IMPORTED:
        importlib.import_module(name)
    from app.service.background.garbage import collect_seldom

    collect_seldom()
    gc.freeze()
    signal.pthread_sigmask(signal.SIG_BLOCK, _CHILD)  # it is waited for, and must not be missed
    for line in sys.stdin:
        asked = json.loads(line)
        answer = _fork(asked) if "fork" in asked else _end(asked["end of"], asked["within"])
        sys.stdout.write(f"{json.dumps(answer)}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    _serve()
