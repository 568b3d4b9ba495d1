"""Work in another process: done, ended when its time is up or its reader goes, bounded in memory."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from app.errors import BudgetError, DocumentError
from app.service.background import budget, worker
from app.service.background.budget import Budget, Reader, apart, aside, in_turn, patience, waits
from app.service.background.worker_process import PULSE, handed_over
from app.service.background.workers import JobWorkers
from tests.endless import asleep, halted, improving, is_gone, pid_in, working


def sum_of(one: int, other: int) -> int:
    return one + other


def refused() -> None:
    raise DocumentError("It is none.", "boards[0]")


def broken() -> None:
    raise ZeroDivisionError("by nothing")


def where_am_i() -> int:
    return os.getpid()


def ended() -> None:
    os._exit(3)


def handing_over_and_ending() -> None:
    handed_over("best")
    os._exit(3)


def large(megabytes: int) -> int:
    return len(bytearray(megabytes * 1_000_000))


@pytest.fixture(scope="module")
def workers() -> Iterator[JobWorkers]:
    made = JobWorkers(most=1, memory=400_000_000)
    yield made
    made.close()
    assert made.pids == ()


def run(workers: JobWorkers, job: object, *arguments: object, seconds: float = 60.0) -> object:
    return workers.run(job, arguments, seconds, lambda: False)  # type: ignore[arg-type]


def test_one_process_does_one_job_after_the_other(workers: JobWorkers) -> None:
    assert run(workers, sum_of, 2, 3) == 2 + 3
    first = run(workers, where_am_i)
    assert first == run(workers, where_am_i) != os.getpid()
    assert workers.pids == (first,)


def test_an_error_is_the_same_on_this_side(workers: JobWorkers) -> None:
    with pytest.raises(DocumentError, match=r"boards\[0\]: It is none") as caught:
        run(workers, refused)
    assert caught.value.place == "boards[0]"
    with pytest.raises(RuntimeError, match="ZeroDivisionError: by nothing"):
        run(workers, broken)
    assert run(workers, sum_of, 1, 1) == 1 + 1


def test_work_that_takes_too_long_is_ended_with_its_process(workers: JobWorkers, tmp_path: Path) -> None:
    with pytest.raises(BudgetError, match="time"):
        run(workers, working, tmp_path / "pid", seconds=1.0)
    assert is_gone(pid_in(tmp_path / "pid"))
    assert run(workers, sum_of, 1, 2) == 1 + 2  # another one does what is asked next


def test_work_that_waits_is_ended_by_the_clock(workers: JobWorkers, tmp_path: Path) -> None:
    with pytest.raises(BudgetError, match="time"):
        run(workers, asleep, tmp_path / "pid", seconds=0.2)
    assert is_gone(pid_in(tmp_path / "pid"))


def test_the_best_until_then_is_had_of_work_that_is_ended(workers: JobWorkers, tmp_path: Path) -> None:
    assert run(workers, improving, tmp_path / "pid", seconds=1.0) == 3
    assert is_gone(pid_in(tmp_path / "pid"))
    with pytest.raises(BudgetError, match="time"):  # what one job handed over is none of the next one's
        run(workers, working, tmp_path / "other", seconds=0.5)


def test_the_best_until_then_is_had_of_work_that_dies(workers: JobWorkers) -> None:
    assert run(workers, handing_over_and_ending) == "best"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals to send")
def test_a_process_that_hangs_with_nothing_to_do_is_replaced_and_its_work_done(
    workers: JobWorkers, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(worker, "_TAKES", 1.0)
    hanging = run(workers, where_am_i)
    assert isinstance(hanging, int)
    os.kill(hanging, signal.SIGSTOP)
    assert run(workers, where_am_i) not in (hanging, os.getpid())
    assert is_gone(hanging)
    assert "another one is starting" in caplog.text


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such signals to send")
def test_a_process_that_hangs_at_work_is_ended(
    workers: JobWorkers, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(worker, "_SILENT", 1.5 * PULSE)
    began = time.monotonic()
    with pytest.raises(BudgetError, match="silent"):
        run(workers, halted, tmp_path / "pid", seconds=60.0)
    assert 1.5 * PULSE <= time.monotonic() - began < 60.0
    assert is_gone(pid_in(tmp_path / "pid"))
    assert "stopped answering" in caplog.text
    with pytest.raises(BudgetError, match="time"):  # one that waits is alive: it says so
        run(workers, asleep, tmp_path / "other", seconds=0.6)


def test_work_ends_with_its_reader(workers: JobWorkers, tmp_path: Path) -> None:
    note = tmp_path / "pid"
    with pytest.raises(BudgetError, match="gone"):
        workers.run(working, (note,), 600.0, note.exists)
    assert is_gone(pid_in(note))


def test_a_process_that_dies_is_told_and_replaced(workers: JobWorkers) -> None:
    with pytest.raises(BudgetError, match="memory"):
        run(workers, ended)
    assert run(workers, sum_of, 2, 2) == 2 + 2


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux limits the memory of a process")
def test_more_memory_than_there_may_be_is_refused(workers: JobWorkers) -> None:
    assert run(workers, large, 100) == 100_000_000
    with pytest.raises(BudgetError, match="memory"):
        run(workers, large, 1000)
    assert run(workers, sum_of, 3, 3) == 3 + 3


def test_who_comes_while_all_are_busy_waits_and_goes_when_it_takes_too_long(
    workers: JobWorkers, tmp_path: Path
) -> None:
    stop, note = threading.Event(), tmp_path / "pid"

    def hold() -> None:
        with pytest.raises(BudgetError, match="gone"):
            workers.run(working, (note,), 600.0, stop.is_set)

    holding = threading.Thread(target=hold)
    holding.start()
    try:
        pid_in(note)
        with pytest.raises(BudgetError, match="busy"):
            run(workers, sum_of, 1, 1, seconds=0.05)
        with pytest.raises(BudgetError, match="gone"):
            workers.run(sum_of, (1, 1), 600.0, lambda: True)
    finally:
        stop.set()
        holding.join()
    assert run(workers, sum_of, 4, 4) == 4 + 4


def test_light_work_and_work_nobody_waits_for_stay_here(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(budget, "workers", lambda: pytest.fail("another process was asked"))
    assert apart(True, where_am_i) == os.getpid()  # as on a command line
    token = waits(Reader(Budget(1.0), lambda: False))
    try:
        assert apart(False, where_am_i) == os.getpid()
    finally:
        budget._reader.reset(token)


def test_words_say_what_took_too_long_and_what_to_do(monkeypatch: pytest.MonkeyPatch, workers: JobWorkers) -> None:
    monkeypatch.setattr(budget, "workers", lambda: workers)
    token = waits(Reader(Budget(0.1, 0, "Reading this file", "Simplify the drawing."), lambda: False))
    try:
        with pytest.raises(BudgetError) as caught:
            apart(True, spinning)
    finally:
        budget._reader.reset(token)
    said = str(caught.value)
    assert said.startswith("Reading this file took longer than 0.1 s")
    assert said.endswith("Nothing was changed. Simplify the drawing.")


def spinning() -> None:
    while True:
        pass


def test_patience_ends_with_the_time_and_with_the_reader() -> None:
    gone = threading.Event()
    token = waits(Reader(Budget(1.0), gone.is_set))
    try:
        more = patience(600.0)
        assert more(1.0)
        assert not patience(0.0)(1.0)
        gone.set()
        assert not more(1.0)
    finally:
        budget._reader.reset(token)


def test_of_what_is_drawn_in_turn_one_is_made_at_a_time() -> None:
    inside, most = 0, 0
    gate = threading.Barrier(4)

    def draw() -> None:
        nonlocal inside, most
        inside += 1
        most = max(most, inside)
        time.sleep(0.01)  # lets the others in, if they may come in
        inside -= 1

    def reader() -> None:
        gate.wait()
        in_turn(draw)

    readers = [threading.Thread(target=reader) for _ in range(4)]
    for one in readers:
        one.start()
    for one in readers:
        one.join()
    assert (most, inside) == (1, 0)


def test_a_turn_that_nobody_waits_for_any_more_is_given_up_and_one_that_fails_is_handed_on() -> None:
    drawing, done = threading.Event(), threading.Event()

    def draw() -> None:
        drawing.set()
        done.wait()

    first = threading.Thread(target=in_turn, args=(draw,))
    first.start()
    drawing.wait()
    token = waits(Reader(Budget(60.0, work="This sheet"), gone=lambda: True))
    try:
        with pytest.raises(BudgetError, match="nobody was waiting"):
            in_turn(sum_of, 1, 2)
    finally:
        budget._reader.reset(token)
        done.set()
        first.join()
    with pytest.raises(ZeroDivisionError):
        in_turn(broken)
    assert in_turn(sum_of, 1, 2) == 3


def niceness() -> int:
    return os.nice(0)


@pytest.mark.skipif(not hasattr(os, "nice"), reason="the system knows no such thing")
def test_what_is_made_aside_is_made_by_a_process_that_stands_back() -> None:
    budget.stand_aside()
    made = budget._aside
    assert made is not None and len(made.pids) == 1  # it has begun before anybody asked
    token = waits(Reader(Budget(60.0), gone=lambda: False))
    try:
        assert aside(niceness) == os.nice(0) + 10
        assert aside(os.getpid) == made.pids[0]
    finally:
        budget._reader.reset(token)
        budget._aside = None
        made.close()


def test_what_would_wait_for_too_many_is_made_in_turn_instead(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.service.background.workers.WAITING", 0)
    crowded = JobWorkers(most=1)
    monkeypatch.setattr(budget, "_aside", crowded)
    token = waits(Reader(Budget(60.0), gone=lambda: False))
    try:
        assert aside(os.getpid) == os.getpid()
    finally:
        budget._reader.reset(token)
        crowded.close()


def test_what_is_to_go_first_goes_before_what_waits_already() -> None:
    gate = JobWorkers(most=1)
    token = waits(Reader(Budget(60.0), gone=lambda: False))
    done: list[str] = []

    def ask(name: str, first: bool) -> None:
        gate.run(sum_of, (1, 2), 60.0, lambda: False, first=first)
        done.append(name)

    held = gate._taken(time.monotonic() + 60, lambda: False, False)  # all there is, as by somebody's print
    others = [threading.Thread(target=ask, args=(f"print {k}", False)) for k in range(3)]
    try:
        for one in others:
            one.start()
        while gate._waiting < len(others):
            time.sleep(0.001)
        way_out = threading.Thread(target=ask, args=("way out", True))
        way_out.start()
        while not gate._pressing:
            time.sleep(0.001)
        gate._left(held, ended=False)
        for one in (*others, way_out):
            one.join()
        assert done[0] == "way out" and len(done) == 4
    finally:
        budget._reader.reset(token)
        gate.close()
