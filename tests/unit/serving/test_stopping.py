"""A stop finishes what is being answered and ends well, with one process and with two; what dies is begun again."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.where import Where
from app.service import open_workshop
from app.service.shelf.documents import scenarios
from app.serving import workers as serving
from tests.running import Server, free_port, running_app
from tests.tools import ROOT

WAIT_S = 60.0
LINUX = Path("/proc/self/task").is_dir()


def until(true: Callable[[], bool], what: str) -> None:
    limit = time.monotonic() + WAIT_S
    while not true():
        assert time.monotonic() < limit, what
        time.sleep(0.05)


def get(server: Server, path: str = "/") -> int:
    place = urlsplit(server.url)
    with contextlib.closing(HTTPConnection(place.hostname or "", place.port, timeout=WAIT_S)) as asking:
        asking.request("GET", path)
        return asking.getresponse().status


def post(server: Server, path: str, **values: str) -> int:
    place = urlsplit(server.url)
    with contextlib.closing(HTTPConnection(place.hostname or "", place.port, timeout=WAIT_S)) as asking:
        form = {"content-type": "application/x-www-form-urlencoded"}
        asking.request("POST", path, urlencode(values), form)
        return asking.getresponse().status


class SlowRequest:
    """A form of which the last piece is kept back until it is wanted."""

    def __init__(self, server: Server, path: str, **values: str) -> None:
        place = urlsplit(server.url)
        self._socket = socket.create_connection((place.hostname or "", place.port or 80), timeout=WAIT_S)
        self._body = urlencode(values).encode()
        head = (
            f"POST {path} HTTP/1.1\r\nHost: {place.netloc}\r\nContent-Type: application/x-www-form-urlencoded\r\n"
            f"Content-Length: {len(self._body)}\r\n\r\n"
        )
        self._socket.sendall(head.encode() + self._body[:-1])

    def finish(self) -> bytes:
        self._socket.sendall(self._body[-1:])
        with self._socket, self._socket.makefile("rb") as answer:
            return answer.readline()


def workers_of(server: Server) -> list[int]:
    """Process ids of the workers: children that run an interpreter anew for us, not the tracker of their resources."""
    pid = server.process.pid
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return [int(child) for child in children if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()]


def runs(pid: int) -> bool:
    """Whether a process still runs; one that has ended may stay listed until somebody asks for its code."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def refuses(server: Server) -> bool:
    place = urlsplit(server.url)
    try:
        socket.create_connection((place.hostname or "", place.port or 80), timeout=1).close()
    except OSError:
        return True
    return False


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals to send")
@pytest.mark.parametrize(("workers", "number"), [("1", signal.SIGTERM), ("2", signal.SIGINT)])
def test_a_stop_finishes_its_answers_takes_no_more_and_ends_well(tmp_path: Path, workers: str, number: int) -> None:
    with running_app(tmp_path / "data", "--workers", workers) as server:
        slow = [SlowRequest(server, "/designs/scenario", name=scenarios()[0].id) for _ in range(4)]
        until(lambda: get(server, "/health") == 200, "it answers others meanwhile")
        server.process.send_signal(number)
        until(lambda: refuses(server), "no more requests are taken")
        assert server.process.poll() is None, "four are not finished"
        assert [request.finish().split()[1] for request in slow] == [b"303"] * 4
        assert server.process.wait(WAIT_S) == 0
    workshop = open_workshop(tmp_path / "data")
    assert len(workshop.shelf.look().items) == 4, "what was finished is kept"
    workshop.close()


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running_app(tmp_path_factory.mktemp("two") / "data", "--workers", "2") as running:
        yield running


def test_no_change_is_lost_between_two_processes(two: Server) -> None:
    workshop = open_workshop(two.data)
    deck = workshop.create(NewDeck(title="Shared", players=1)).design.id

    def at() -> float:
        return next(p.x for p in workshop.look(deck, Where()).checked.resolved.placements if p.id == "d")

    began = at()
    move = {"unit": "mm", "select": "d", "dx": "0.5", "dy": "0", "free": "on"}
    with ThreadPoolExecutor(8) as threads:
        answers = list(threads.map(lambda _: post(two, f"/designs/{deck}/edit/move", **move), range(24)))
    assert answers == [303] * 24
    assert at() == pytest.approx(began + 24 * 0.5, abs=1e-9)
    assert [m.number for m in workshop.moments(deck)] == list(range(1, 26)), "the first revision and 24 steps"
    workshop.close()


def test_with_two_processes_a_data_folder_that_cannot_be_is_said_once(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    more = ["--workers", "2", "--port", str(free_port()), "--no-open", "--data", str(tmp_path / "file")]
    done = subprocess.run([sys.executable, "-m", "app", *more], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1
    assert str(tmp_path / "file") in done.stderr


class Quiet:
    """A first process's end of a pipe to a worker, which says something only in some of the looks.

    Args:
        said: for each look, whether the worker says that it answers.
    """

    def __init__(self, *said: bool) -> None:
        self._said = list(said)
        self._now = False

    def poll(self) -> bool:
        self._now = not self._now and bool(self._said) and self._said.pop(0)
        return self._now

    def recv(self) -> bool:
        return True


def test_a_worker_hangs_when_it_says_nothing_for_as_long_as_it_may() -> None:
    worker = serving._Worker(None, Quiet(True, False, True))  # type: ignore[arg-type]
    assert worker.is_ready()
    worker.listen(serving.SILENT_S - 1)
    assert not worker.hangs
    worker.listen(1.0)
    assert worker.quiet == 0.0, "it has spoken"
    worker.listen(serving.SILENT_S - 1)
    assert not worker.hangs
    worker.listen(1.0)
    assert worker.hangs
    assert not serving._Worker(None, Quiet(), quiet=serving.SILENT_S).hangs  # it begins yet


@pytest.mark.skipif(not LINUX, reason="processes are looked for in /proc")
def test_a_worker_that_hangs_is_ended_and_begun_again(tmp_path: Path) -> None:
    port, log = free_port(), tmp_path / "log"
    place = f"http://127.0.0.1:{port}"
    # As it is started by everybody, but that a worker hangs after 3 s of saying nothing, not after 30.
    program = "import app.serving.workers as w; w.SILENT_S = 3.0; from app.cli import main; raise SystemExit(main())"
    more = ["serve", "--port", str(port), "--no-open", "--data", str(tmp_path / "data"), "--workers", "2"]
    with log.open("wb") as output:
        process = subprocess.Popen([sys.executable, "-c", program, *more], cwd=ROOT, stdout=output, stderr=output)
        server = Server(place, tmp_path / "data", log, 0.0, process)
        try:
            until(lambda: place in log.read_text("utf-8"), "it answers")
            first = workers_of(server)
            time.sleep(3.5)
            assert workers_of(server) == first, "who has nothing to do says so"
            os.kill(first[0], signal.SIGSTOP)
            until(lambda: len(set(workers_of(server)) - {first[0]}) == 2, "the one that hangs is replaced")
            assert first[1] in workers_of(server), "the other goes on"
            assert "A worker said nothing for 3 s and was stopped." in log.read_text("utf-8")
            assert [get(server, "/health") for _ in range(8)] == [200] * 8
        finally:
            process.send_signal(signal.SIGTERM)
            assert process.wait(WAIT_S) == 0


@pytest.mark.skipif(not LINUX, reason="processes are looked for in /proc")
def test_a_worker_that_dies_is_begun_again(two: Server) -> None:
    first = workers_of(two)
    assert len(first) == 2
    os.kill(first[0], signal.SIGKILL)
    until(lambda: len(workers_of(two)) == 2 and first[0] not in workers_of(two), "there are two again")
    os.kill(first[1], signal.SIGTERM)
    until(lambda: len(workers_of(two)) == 2 and not set(first) & set(workers_of(two)), "and again two new ones")
    assert get(two) == 200, "the page waits until one of them answers"
    assert len(re.findall(r"A worker stopped by itself \(code (-9|0)\)", two.log.read_text("utf-8"))) == 2

    # The last test of these two, since it ends with the first process killed: nothing may outlive it.
    left = workers_of(two)
    two.process.kill()
    two.process.wait(WAIT_S)
    until(lambda: not any(runs(pid) for pid in left), "no worker is left")
    assert refuses(two)
