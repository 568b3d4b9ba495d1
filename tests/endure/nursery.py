"""Starts of the program that cost little: one process has read its code and templates, and each start is a fork of it.

A fork goes through the program's own command line, from its arguments on: it opens its store, listens and answers as
any other; only reading what is the same for all programs is saved. It is killed, and dies, like any other process.
``python -m tests.endure.nursery`` is the process that is forked.
"""

from __future__ import annotations

import gc
import importlib
import json
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

from tests.tools import ROOT

_ONLY_WHEN_RUN = ("uvicorn.protocols.http.auto", "sqlalchemy.dialects.sqlite.pysqlite", "psycopg")


class Nursery:
    """The process that has everything imported.

    Args:
        log: file for all that its programs print.
    """

    def __init__(self, log: Path) -> None:
        self.log = log
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.endure.nursery", str(log)],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def start(self, arguments: Sequence[str]) -> int:
        """Start a program with the arguments of its command line; gives its process id."""
        stdin, stdout = self._process.stdin, self._process.stdout
        assert stdin is not None and stdout is not None
        stdin.write(json.dumps(list(arguments)) + "\n")
        stdin.flush()
        said = stdout.readline()
        assert said, "the process to fork from is gone"
        return int(said)

    def close(self) -> None:
        """End it; its programs end with it."""
        assert self._process.stdin is not None and self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait(timeout=30)
        self._process.stdout.close()


def main() -> int:
    """Fork a program for each line of arguments, until there are no more lines."""
    log = Path(sys.argv[1])
    _import_all()
    _use_once()
    gc.freeze()  # what is shared with the forks is not looked through, and so not copied
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # who died is not waited for
    children = []
    for line in sys.stdin:
        arguments = json.loads(line)
        pid = os.fork()
        if not pid:
            _be_program(arguments, log)
        children.append(pid)
        print(pid, flush=True)
    for pid in children:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
    return 0


def _import_all() -> None:
    for name in ("app.cli", "app.serving", "app.service", "app.web.app", *_ONLY_WHEN_RUN):
        with suppress(ModuleNotFoundError):
            importlib.import_module(name)


def _use_once() -> None:
    """Look at the pages that are looked at after each kill, over a place of its own, which is gone before any fork."""
    from tests.endure.figures import Figures
    from tests.endure.inside import inside

    with tempfile.TemporaryDirectory() as folder, inside(Path(folder) / "designs", Figures()) as window:
        design = window.post("/designs/scenario", {"name": "pine-shelf-compact"}).design
        window.post(f"/designs/{design}/edit/title", {"title": "warm"})
        for page in ("/", "/static/palette.css", f"/designs/{design}", f"/designs/{design}/timeline"):
            window.get(page)


def _be_program(arguments: Sequence[str], log: Path) -> NoReturn:
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    nothing = os.open(os.devnull, os.O_RDONLY)
    output = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o644)
    for source, target in ((nothing, 0), (output, 1), (output, 2)):
        os.dup2(source, target)
    from app.cli import main as run

    code = 70  # what sysexits.h calls a fault of the software
    try:
        code = run(arguments)
    finally:
        os._exit(code)


if __name__ == "__main__":
    sys.exit(main())
