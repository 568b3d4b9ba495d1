"""What a rule is: a name, what it asks for, and a function from a layout to findings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.fit.finding import Finding, Severity
from app.fit.layout import Layout


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule.

    Args:
        name: as findings carry it, such as ``web``.
        meaning: what holds when it is kept, in one line.
        severities: what its findings can be.
        source: where its numbers come from, in one line.
        find: the findings of a layout, in any order; pure.
    """

    name: str
    meaning: str
    severities: tuple[Severity, ...]
    source: str
    find: Callable[[Layout], list[Finding]]
