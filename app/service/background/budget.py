"""What an answer may cost, and who waits for it: long work is done in another process and ended with its reader."""

from __future__ import annotations

import math
import threading
from collections.abc import Callable
from contextvars import ContextVar, Token
from time import monotonic, thread_time
from typing import Any, Final, ParamSpec, TypeVar

from msgspec import Struct

from app.errors import BudgetError
from app.service.background.computing import waiting
from app.service.background.worker_process import handed_over
from app.service.background.workers import JobWorkers, workers

__all__ = [
    "Budget",
    "Reader",
    "apart",
    "apart_heard",
    "aside",
    "handed_over",
    "in_turn",
    "patience",
    "stand_aside",
    "waits",
]

_Given = ParamSpec("_Given")
_Found = TypeVar("_Found")


class Budget(Struct, frozen=True):
    """What one address may cost.

    Args:
        seconds: how long its work may take.
        size: the largest body that may be sent to it [bytes].
        work: what takes long there, to begin a sentence with.
        instead: what to do where it takes too long, a sentence.
        first: whether it goes before the prints of others, in the process that both are made in.
    """

    seconds: float
    size: int = 0
    work: str = "This page"
    instead: str = "Try again when this computer is less busy."
    first: bool = False


class Reader(Struct, frozen=True):
    """Who waits for an answer.

    Args:
        budget: of what was asked for.
        gone: whether nobody waits any more.
    """

    budget: Budget
    gone: Callable[[], bool]


_reader: ContextVar[Reader | None] = ContextVar("reader", default=None)


def waits(reader: Reader) -> Token[Reader | None]:
    """Note who waits for what is done from here on, in this task and the threads it asks."""
    return _reader.set(reader)


def apart(heavy: bool, job: Callable[_Given, _Found], *args: _Given.args, **kwargs: _Given.kwargs) -> _Found:
    """``job`` of the arguments: in another process, within the budget, where that is heavy and somebody waits.

    Work that is light is done here and now, as is all that a command line asks for. The job has to be pure; the
    arguments and what comes of it travel between processes.

    Raises:
        BudgetError: it was ended, with the words for the reader.
    """
    reader = _reader.get()
    if reader is None:
        return job(*args, **kwargs)
    budget = reader.budget
    try:
        if not heavy:
            here = job(*args, **kwargs)
            if reader.gone():  # it may have ended early for that
                raise BudgetError("gone")
            return here
        with waiting():
            found: _Found = workers().run(_named, (job, args, kwargs), budget.seconds, reader.gone)
    except BudgetError as error:
        raise BudgetError(_words(str(error), budget)) from error
    return found


def apart_heard(
    hear: Callable[[Any], None], stopped: Callable[[], bool], job: Callable[..., _Found], *args: object
) -> _Found:
    """``job`` of the arguments in another process, as :func:`apart`; ``hear`` is told what it tells of how far it is.

    Raises:
        BudgetError: it was ended, or ``stopped``, with the words for the reader.
    """
    reader = _reader.get()
    budget, gone = (reader.budget, reader.gone) if reader is not None else (Budget(math.inf), _nobody_leaves)

    def ends() -> bool:
        return stopped() or gone()

    try:
        found: _Found = workers().run(_named, (job, args, {}), budget.seconds, ends, hear=hear)
    except BudgetError as error:
        raise BudgetError(_words(str(error), budget)) from error
    return found


_TURN: Final = threading.Lock()
_LOOK: Final = 0.05  # how often one who waits for a turn looks whether anybody waits for the answer [s]


def in_turn(job: Callable[_Given, _Found], *args: _Given.args, **kwargs: _Given.kwargs) -> _Found:
    """``job`` of the arguments, after those of others: of the sheets and files of one process one is made at a time.

    Threads of one process share one processor. Were ten pictures of sheets drawn at once, an answer to a hand that
    drags would have an eleventh of it; so it has a half, and the pictures are there as soon.

    Raises:
        BudgetError: nobody waits for it any more.
    """
    reader = _reader.get()
    with waiting():
        while not _TURN.acquire(timeout=_LOOK):
            if reader is not None and reader.gone():
                raise BudgetError(_words("gone", reader.budget))
    try:
        return job(*args, **kwargs)
    finally:
        _TURN.release()


_STANDS_BACK: Final = 10
"""How far the process of sheets and files stands back: it has a tenth of what an answer has while both want to work."""

_aside: JobWorkers | None = None


def stand_aside() -> None:
    """Make sheets and files in a process of their own from now on, which begins at once and stands back behind pages.

    For a program that serves many people: there a page is not to wait for somebody else's print. Somebody alone would
    wait longer for the first sheet, and have one more process in memory.
    """
    global _aside  # noqa: PLW0603 - as the workers, a process has one
    _aside = JobWorkers(most=1, nice=_STANDS_BACK)
    _aside.begin()


def aside(job: Callable[_Given, _Found], *args: _Given.args, **kwargs: _Given.kwargs) -> _Found:
    """``job`` of the arguments, so that pages wait for it as little as can be; as pure as that of :func:`apart`.

    In the process that stands back, if there is one and not too many wait for it; otherwise in turn, here.

    Raises:
        BudgetError: it was ended, or nobody waits for it any more.
    """
    reader = _reader.get()
    if reader is None or _aside is None:
        return in_turn(job, *args, **kwargs)
    try:
        budget, gone = reader.budget, reader.gone
        with waiting():
            found: _Found = _aside.run(_named, (job, args, kwargs), budget.seconds, gone, first=budget.first)
    except BudgetError as error:
        if str(error) == "busy":
            return in_turn(job, *args, **kwargs)
        raise BudgetError(_words(str(error), reader.budget)) from error
    return found


def patience(seconds: float, clock: float = math.inf) -> Callable[[float], bool]:
    """A question for a search that can end by itself: whether somebody waits, and a share of its time is left.

    Counted is what this thread works, so that the same is found while the computer has a little else to do as well;
    and the clock, as nobody waits longer because the computer is busy.

    Args:
        seconds: how long may be worked.
        clock: how long it may take by the clock [s].
    """
    began, started, reader = thread_time(), monotonic(), _reader.get()
    gone = reader.gone if reader is not None else _nobody_leaves

    def more(share: float) -> bool:
        in_time = thread_time() - began < share * seconds and monotonic() - started < share * clock
        return in_time and not gone()

    return more


def _nobody_leaves() -> bool:
    return False


def _named(job: Callable[..., _Found], args: tuple[object, ...], kwargs: dict[str, object]) -> _Found:
    return job(*args, **kwargs)


def _words(why: str, budget: Budget) -> str:
    done = f"Nothing was changed. {budget.instead}"
    if why == "memory":
        return f"{budget.work} needed more memory than allowed and was stopped. {done}"
    if why == "silent":
        return f"{budget.work} was stopped because its process stopped answering. {done}"
    if why == "busy":
        return f"{budget.work} was not started: the computer is busy with other work. Try again in a minute."
    if why == "gone":
        return f"{budget.work} was stopped because nobody was waiting for it. Nothing was changed."
    return f"{budget.work} took longer than {budget.seconds:g} s and was stopped. {done}"
