"""What a run has seen: answers counted, the slowest of them, memory, and every promise that was broken."""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

SLOWEST = 10
_SHOWN = 400


@dataclass
class Figures:
    """The figures of one run over one database, or of several added up. Any thread may write.

    Args:
        answers: how many answers of each status.
        counts: how many of anything else, by its name.
        slow: the slowest answers, as (seconds, what was asked), the slowest first.
        routes: every route there is, and whether it was reached with success.
        memory: resident memory [MB] of the program, by the moment it was read at.
        broken: each promise that was broken, in words, with what was asked and answered.
    """

    answers: Counter[int] = field(default_factory=Counter)
    counts: Counter[str] = field(default_factory=Counter)
    slow: list[tuple[float, str]] = field(default_factory=list)
    routes: dict[str, bool] = field(default_factory=dict)
    memory: dict[str, float] = field(default_factory=dict)
    broken: list[str] = field(default_factory=list)
    _lock: Any = field(default_factory=threading.Lock, repr=False, compare=False)

    def answered(self, status: int, seconds: float, asked: str) -> None:
        """Note one answer."""
        with self._lock:
            self.answers[status] += 1
            if len(self.slow) < SLOWEST or seconds > self.slow[-1][0]:
                self.slow = sorted([*self.slow, (seconds, asked[:_SHOWN])], reverse=True)[:SLOWEST]

    def count(self, name: str, many: int = 1) -> None:
        """Add to a count."""
        with self._lock:
            self.counts[name] += many

    def reach(self, names: Iterable[str], *, success: bool) -> None:
        """Note routes that there are, or that were reached with success."""
        with self._lock:
            for name in names:
                self.routes[name] = self.routes.get(name, False) or success

    def hold(self, held: object, words: str) -> bool:
        """Note a promise that was broken, unless it was held; gives whether it was."""
        if not held:
            with self._lock:
                self.broken.append(words)
        return bool(held)

    def add(self, other: Figures) -> None:
        """Add the figures of another run to these."""
        self.answers.update(other.answers)
        for name, many in other.counts.items():
            self.counts[name] = max(many, self.counts[name]) if name.startswith("largest") else self.counts[name] + many
        self.slow = sorted([*self.slow, *other.slow], reverse=True)[:SLOWEST]
        self.reach((name for name, success in other.routes.items() if success), success=True)
        self.reach(other.routes, success=False)
        for moment, megabytes in other.memory.items():
            self.memory[moment] = max(megabytes, self.memory.get(moment, 0.0))
        self.broken += other.broken

    def __getstate__(self) -> dict[str, Any]:
        """A lock does not go from process to process."""
        return {name: value for name, value in self.__dict__.items() if name != "_lock"}

    def __setstate__(self, state: dict[str, Any]) -> None:
        self.__dict__.update(state, _lock=threading.Lock())

    @property
    def share_reached(self) -> float:
        """The share of routes that were reached with success, from 0 to 1."""
        return sum(self.routes.values()) / len(self.routes) if self.routes else 0.0

    def lines(self) -> list[str]:
        """The figures as they are printed."""
        missed = sorted(name for name, success in self.routes.items() if not success)
        said = [f"{name:34} {many:9,}" for name, many in sorted(self.counts.items())]
        said += [f"answers {status:<26} {many:9,}" for status, many in sorted(self.answers.items())]
        said += [f"memory {moment + ' [MB]':27} {megabytes:9,.0f}" for moment, megabytes in self.memory.items()]
        if self.routes:
            said.append(f"routes reached with success        {self.share_reached:9.1%} of {len(self.routes)}")
            said += [f"  not reached: {name}" for name in missed]
        said += [f"slow {seconds:6.2f} s  {asked}" for seconds, asked in self.slow]
        said += [f"BROKEN: {words}" for words in self.broken]
        return said
