"""One answer is computed at a time; who waits lets others compute, and nobody waits for long."""

from __future__ import annotations

from collections.abc import Callable
from inspect import signature
from threading import Event, Lock, Thread

import pytest

from app.service.background import computing
from app.service.background.computing import give_way, held, one_at_a_time, waiting

LONG_S = 30.0  # nothing here takes so long unless it hangs


def started(job: Callable[[], object]) -> Thread:
    thread = Thread(target=job, daemon=True)
    thread.start()
    return thread


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Who waits for a turn waits until it comes."""
    monkeypatch.setattr(computing, "MOMENT_S", LONG_S)


@pytest.mark.usefixtures("patient")
def test_two_answers_are_never_computed_side_by_side() -> None:
    beside, most = [0], [0]

    @one_at_a_time
    def answer() -> None:
        for _ in range(200):
            beside[0] += 1
            most[0] = max(most[0], beside[0])
            sum(range(200))
            beside[0] -= 1

    threads = [started(lambda: [answer() for _ in range(20)]) for _ in range(4)]
    for thread in threads:
        thread.join(LONG_S)
    assert most == [1]
    assert beside == [0]


@pytest.mark.usefixtures("patient")
def test_another_is_computed_while_one_waits_for_something_else() -> None:
    came, order = Event(), []

    @one_at_a_time
    def one() -> None:
        with waiting():
            assert came.wait(LONG_S), "the other was not let in"
        order.append("one")

    @one_at_a_time
    def other() -> None:
        order.append("other")
        came.set()

    first = started(one)
    started(other).join(LONG_S)
    first.join(LONG_S)
    assert order == ["other", "one"]


def test_a_long_answer_holds_up_nobody_for_longer_than_a_moment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(computing, "MOMENT_S", 0.01)
    in_it, came = Event(), Event()

    @one_at_a_time
    def long() -> None:
        in_it.set()
        assert came.wait(LONG_S), "the other waited for this one to end"

    thread = started(long)
    assert in_it.wait(LONG_S)
    one_at_a_time(came.set)()
    thread.join(LONG_S)
    assert not thread.is_alive()


@pytest.mark.usefixtures("patient")
@pytest.mark.usefixtures("patient")
def test_another_is_computed_while_one_that_has_computed_waits_to_its_end() -> None:
    came = Event()

    @one_at_a_time
    def one() -> None:
        give_way()
        assert came.wait(LONG_S), "the other was not let in"

    first = started(one)
    started(one_at_a_time(came.set)).join(LONG_S)
    first.join(LONG_S)
    assert not first.is_alive()


@pytest.mark.usefixtures("patient")
def test_who_has_begun_goes_before_who_has_not() -> None:
    in_it, go, order = Event(), Event(), list[str]()

    @one_at_a_time
    def one() -> None:
        in_it.set()
        assert go.wait(LONG_S)

    def begun_before() -> None:
        computing.begun()
        one_at_a_time(lambda: order.append("begun"))()

    def waits(many: int) -> bool:
        return len(computing._TURN._change._waiters) == many  # type: ignore[attr-defined]

    threads = [started(one)]
    assert in_it.wait(LONG_S)
    for many, job in enumerate((one_at_a_time(lambda: order.append("new")), begun_before), start=1):
        threads.append(started(job))
        while not waits(many):
            threads[-1].join(0.001)
    go.set()
    for thread in threads:
        thread.join(LONG_S)
    assert order == ["begun", "new"]


def test_an_answer_that_fails_gives_its_turn_back() -> None:
    @one_at_a_time
    def failing() -> None:
        raise ValueError("a fault")

    with pytest.raises(ValueError, match="a fault"):
        failing()
    done = started(one_at_a_time(lambda: None))
    done.join(LONG_S)
    assert not done.is_alive()


@pytest.mark.usefixtures("patient")
def test_another_is_computed_while_one_waits_for_a_lock() -> None:
    lock, order = Lock(), list[str]()
    lock.acquire()

    @one_at_a_time
    def one() -> None:
        with held(lock):
            order.append("one")

    @one_at_a_time
    def another() -> None:
        order.append("other")
        lock.release()

    first = started(one)
    other = started(another)
    other.join(LONG_S)
    first.join(LONG_S)
    assert order == ["other", "one"]
    assert not lock.locked()


def test_waiting_out_of_turn_takes_none() -> None:
    with waiting():
        pass
    assert not computing._mine.held


def test_what_is_asked_of_an_answer_is_still_read_from_it() -> None:
    def answer(design_id: str, many: int = 1) -> str:
        """Say so."""
        return design_id * many

    turned = one_at_a_time(answer)
    assert turned("a", many=2) == "aa"
    assert signature(turned) == signature(answer, eval_str=True)
    assert (turned.__name__, turned.__doc__) == ("answer", "Say so.")
