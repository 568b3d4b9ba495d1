"""What rounding to a rule does to a board: how far off it puts centres, and what the rules say of where they land."""

from __future__ import annotations

import math
from collections import Counter
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.drafting.outline_words import reading_words
from app.drafting.words import unit_of
from app.fit.finding import Finding
from app.fit.report.report import check
from app.fit.words.messages import message
from app.model.plotting import READINGS
from app.model.resolved import ResolvedBoard
from app.shop.centres import Centre, centres_below, centres_of
from app.shop.marked import marked_board
from app.units import Unit

_TOLD: Final = 3
"""Findings that are told of a reading; the number of the others is."""

_SLIGHT: Final = 1e-6


class Rounded(Struct, frozen=True):
    """A board read to one step of a rule.

    Args:
        reading: the step [mm].
        worst: the centre that is moved farthest; None where nothing is marked.
        allowance: how far off a hole may end up by the way of drilling [mm].
        found: stops and cautions that are open on the marks and not on the exact places.
        marked: the board they were found on, for words.
    """

    reading: float
    worst: Centre | None
    allowance: float
    found: tuple[Finding, ...]
    marked: ResolvedBoard

    @property
    def off(self) -> float:
        """How far off the worst centre is [mm]."""
        return self.worst.off if self.worst is not None else 0.0

    @property
    def coarse(self) -> bool:
        """Whether rounding alone takes more than a hole may be off."""
        return self.off > self.allowance + _SLIGHT

    @property
    def passes(self) -> bool:
        """Whether it will do: no rule breaks that holds exactly, and no centre is farther off than it may be."""
        return not self.coarse and not self.found


def rounded(board: ResolvedBoard, reading: float) -> Rounded:
    """A board read to a step [mm], judged as marked from the datum edges, and from below from either edge."""
    exact = _open(board)
    marks = (*centres_of(board, reading), *(c for c in centres_below(board, reading) if not c.pilot))
    boards = [marked_board(board, reading)]
    other = marked_board(board, reading, "right")
    if any(a.screws != b.screws for a, b in zip(other.placements, boards[0].placements, strict=True)):
        boards.append(other)
    found, at = tuple[Finding, ...](), boards[0]
    for marked in boards:
        new = _new(marked, exact)
        if new and not found:
            found, at = new, marked
    worst = max(marks, key=lambda c: c.off, default=None)
    return Rounded(reading, worst, board.tooling.drilling.position, found, at)


def steps_of(board: ResolvedBoard, first: Rounded) -> tuple[Rounded, ...]:
    """Every step of a rule in the board's unit, the coarsest first; ``first`` is not judged again."""
    return tuple(
        first if math.isclose(each, first.reading) else rounded(board, each) for each in READINGS[unit_of(board)]
    )


def rounded_words(board: ResolvedBoard, reading: float) -> tuple[str, ...]:
    """What has to be said of a reading: how far it puts centres off, what breaks, and which step does not."""
    unit, seen = unit_of(board), rounded(board, reading)
    if seen.worst is None:
        return ()
    read = reading_words(reading, unit)
    most = f"Read to {read}, rounding moves no centre by more than {_up(seen.off)} mm ({seen.worst.name})"
    if seen.off < _SLIGHT:
        most = f"Read to {read}, every centre lies exactly on a line of the rule"
    method = board.tooling.drilling.name.lower()
    if seen.passes:
        return (f"{most}; {_allowed(seen, method)}. Every rule that holds exactly holds for the marks too.",)
    said = []
    if seen.coarse:
        said.append(
            f"Read to {read}, rounding alone moves {seen.worst.name} by {_up(seen.off)} mm: {_allowed(seen, method)}."
        )
    if seen.found:
        told = " ".join(message(f, seen.marked, unit) for f in seen.found[:_TOLD])
        more = len(seen.found) - _TOLD
        told += f" And {more} more." if more > 0 else ""
        said.append(f"Read to {read}, something no longer fits that fits exactly: {told}")
    return (*said, _way_out(steps_of(board, seen), unit))


def _way_out(steps: tuple[Rounded, ...], unit: Unit) -> str:
    """Which steps pass, the finest among them; each was tried."""
    good = [reading_words(step.reading, unit) for step in steps if step.passes]
    if not good:
        tried = ", ".join(reading_words(step.reading, unit) for step in steps)
        return f"No step passes: {tried} were tried. Use the template, whose centres are not rounded."
    if len(good) == 1:
        return f"The finest step that passes is {good[0]}, and no other does. Read to {good[0]}."
    return f"The finest step that passes is {good[-1]}; so does {' and '.join(good[:-1])}. Read to {good[0]} or finer."


def _allowed(seen: Rounded, method: str) -> str:
    return f"with a {method} a hole may be {seen.allowance:g} mm off" if method != "cnc router" else (
        f"on a CNC router a hole may be {seen.allowance:g} mm off"
    )  # fmt: skip


def _up(mm: float) -> str:
    """Never said as less than it is: ``0.25``."""
    return f"{math.ceil(mm * 100 - _SLIGHT) / 100:g}"


Open = Counter[tuple[str, str, tuple[str, ...]]]
"""How often each stop and caution stands open: by severity, rule and parts."""


def _open(board: ResolvedBoard) -> Open:
    return Counter(_named(f) for f in check(board, catalogue()).open if f.severity != "note")


def _new(board: ResolvedBoard, exact: Open) -> tuple[Finding, ...]:
    """What is open on a board and was not before, each as often as it is more often."""
    left, new = exact.copy(), []
    for finding in check(board, catalogue()).open:
        if finding.severity == "note":
            continue
        if left[_named(finding)] > 0:
            left[_named(finding)] -= 1
        else:
            new.append(finding)
    return tuple(new)


def _named(finding: Finding) -> tuple[str, str, tuple[str, ...]]:
    return (finding.severity, finding.rule, finding.subjects)
