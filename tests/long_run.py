"""What is tried in the gate, and what only by ``python -m tests --long``."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import pytest
from hypothesis import settings

long = pytest.mark.long
"""Marks what is left for the long run."""

GATE, EXPLORE = 40, 1000
"""Examples of a law that says nothing of its own, in the gate and where one explores."""

MANY = settings().max_examples > GATE
"""Whether one explores."""


def examples(few: int) -> settings:
    """So many examples of a law in the gate, and as many times more where one explores as of any other law."""
    return settings(max_examples=few * EXPLORE // GATE if MANY else few)


def in_gate(values: Iterable[Any], kept: Callable[[Any], bool]) -> list[Any]:
    """Values of a parameter, of which the gate tries only those that are kept."""
    return [value if kept(value) else pytest.param(*_row(value), marks=long) for value in values]


def _row(value: Any) -> tuple[Any, ...]:
    return value if type(value) is tuple else (value,)
