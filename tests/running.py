"""Starts the real app as a process and waits until it answers."""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Protocol

from msgspec import Struct

from tests.tools import ROOT

START_LIMIT = 90.0
"""Longest wait for the first answer [s]; a busy machine is slow, a broken app never answers."""

_direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Running(Protocol):
    """A process that was started, as `subprocess.Popen` is one."""

    @property
    def pid(self) -> int: ...
    def poll(self) -> int | None: ...
    def wait(self, timeout: float | None = None) -> int: ...
    def send_signal(self, sig: int) -> None: ...
    def terminate(self) -> None: ...
    def kill(self) -> None: ...


Begin = Callable[[list[str], Path, dict[str, str]], Running]
"""Starts the app: its arguments, the file for its output, and what is added to its environment."""


def _from_nothing(arguments: list[str], log: Path, more: dict[str, str]) -> Running:
    with log.open("wb") as output:
        command = [sys.executable, "-m", "app", *arguments]
        return subprocess.Popen(command, cwd=ROOT, stdout=output, stderr=subprocess.STDOUT, env={**os.environ, **more})


class Server(Struct, frozen=True):
    """The running app: its address without a slash at the end, its data folder, its output so far, its process."""

    url: str
    data: Path
    log: Path
    seconds_to_answer: float
    process: Running


@contextlib.contextmanager
def running_app(data: Path, *more: str, key: str = "", begin: Begin = _from_nothing) -> Iterator[Server]:
    """The app serving ``data`` on a free port of 127.0.0.1; stopped, and its output read, at the end.

    Args:
        data: folder for the designs; its name is that of the log too.
        more: further arguments of the command; with a database among them the designs are there instead.
        key: without which it answers nothing but whether it is well.
        begin: what starts the process.

    Raises:
        AssertionError: it did not answer, or it printed a traceback.
    """
    port = free_port()
    url = f"http://127.0.0.1:{port}"
    log = data.with_name(f"{data.name}.log")
    place = [] if "--database" in more else ["--data", str(data)]
    arguments = ["serve", "--port", str(port), "--no-open", *place, *more]
    began = time.perf_counter()
    process = begin(arguments, log, {"PYTHONUNBUFFERED": "1", "HOLEWISE_KEY": key})
    try:
        _wait(process, f"{url}/health" if key else url, log)
        yield Server(url, data, log, time.perf_counter() - began, process)
    finally:
        _stop(process)
    said = log.read_text("utf-8", "replace")
    assert "Traceback" not in said, f"the app printed a traceback:\n{said}"


def free_port() -> int:
    """A port nothing listens on at this moment."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait(process: Running, url: str, log: Path) -> None:
    limit = time.monotonic() + START_LIMIT
    while time.monotonic() < limit:
        if process.poll() is not None:
            break
        try:
            with _direct.open(url, timeout=5) as answer:
                answer.read()
            return
        except urllib.error.HTTPError as error:
            error.close()
            raise AssertionError(f"first page answered {error.code}:\n{log.read_text('utf-8')}") from None
        except OSError:
            time.sleep(0.02)
    raise AssertionError(f"the app did not answer at {url}:\n{log.read_text('utf-8', 'replace')}")


def _stop(process: Running) -> None:
    process.terminate()
    try:
        process.wait(timeout=20)  # it finishes what it answers, for 10 s at most
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait(timeout=10)
