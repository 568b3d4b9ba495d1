"""What is tried in the gate, and what only by ``python -m tests --long``."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import pytest
from hypothesis import settings

long = pytest.mark.long
"""Marks what is left for the long run."""

GATE, EXPLORE = 25, 1000
"""Examples of a law that says nothing of its own, in the gate and where one explores."""

MANY = settings().max_examples > GATE
"""Whether one explores."""


def examples(few: int) -> settings:
    """So many examples of a law in the gate, and 25 times as many where one explores."""
    return settings(max_examples=25 * few if MANY else few)


def in_gate(values: Iterable[Any], kept: Callable[[Any], bool]) -> list[Any]:
    """Values of one parameter, of which the gate tries only those that are kept."""
    return [value if kept(value) else pytest.param(value, marks=long) for value in values]


def rows_in_gate(rows: Iterable[tuple[Any, ...]], kept: Callable[[Any], bool]) -> list[Any]:
    """The same of several parameters at once."""
    return [row if kept(row) else pytest.param(*row, marks=long) for row in rows]


def by_turns(names: Iterable[Any], others: Sequence[Any]) -> list[Any]:
    """Every name with each of the others; the gate tries every name once, with the others by turns."""
    rows = [(n, k, (name, other)) for n, name in enumerate(names) for k, other in enumerate(others)]
    return [row if n % len(others) == k else pytest.param(*row, marks=long) for n, k, row in rows]
