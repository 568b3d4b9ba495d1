"""The rules on the board as it was really drilled, and what a hole that came out elsewhere does to its neighbours."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from app.fit.finding import Finding, Severity
from app.fit.report.acceptance import cause_of
from app.fit.words.lengths import most, off, say
from app.fit.words.messages import message
from app.geometry.clearance import ShapeSet, shape_set
from app.geometry.shapes import Shape
from app.model.as_built import CutKey, Mark
from app.model.as_built_board import as_built_board, hole_numbers, rim_of
from app.model.resolved import ResolvedBoard
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult, judged
from app.units import Unit
from app.values import replace

_SAME = 1e-6
_OF_BOARD = 260  # bytes of memory for each character of the document, as for any board that was judged
_REAL: Memory[CheckResult] = Memory(32_000_000)


class Harm(Struct, frozen=True):
    """What the real board has that the drawn one has not: a finding that is new or worse, in words.

    Args:
        severity: ``stop`` or ``caution``.
        sentence: what is wrong.
        subjects: ids of the placements concerned.
    """

    severity: Severity
    sentence: str
    subjects: tuple[str, ...]


def real_board(seen: CheckResult) -> CheckResult:
    """A board judged as it was drilled: holes where they came out and as wide as they are, old holes among them.

    Every hole is still taken to be off by the allowance besides, drilled ones too: a rule says no less than it would of
    a board that is only drawn. The same result where all is as drawn.
    """
    real = as_built_board(seen.resolved)
    if real is seen.resolved:
        return seen
    document = seen.document
    if document is None:
        return judged(real)
    key = (document, seen.board, seen.arrangement, seen.resolved.units)
    found = _REAL.once(key, lambda: judged(real), lambda _: _OF_BOARD * len(document.text))
    return replace(found, document=None)


def harm_of(seen: CheckResult, real: CheckResult) -> tuple[Harm, ...]:
    """What is wrong with the real board that is not with the drawn one, the gravest first."""
    if real is seen:
        return ()
    known = {_about(f): f for f in seen.report.findings}
    unit = Unit(seen.resolved.units)
    return tuple(
        Harm(finding.severity, message(finding, real.resolved, unit), finding.subjects)
        for finding in real.report.open
        if finding.severity != "note" and _worse(finding, known.get(_about(finding)))
    )


def _about(finding: Finding) -> tuple[str, frozenset[str], str]:
    return finding.rule, frozenset(finding.subjects), cause_of(finding)


def _worse(now: Finding, before: Finding | None) -> bool:
    if before is None or (now.severity == "stop" and before.severity != "stop"):
        return True
    return now.lack > before.lack + _SAME


def came_out(seen: CheckResult, mark: Mark) -> tuple[str, ...]:
    """How a hole came out, and how far it is to what is nearest to it by now, in sentences."""
    unit = Unit(seen.resolved.units)
    said = [_how(mark, unit)]
    if mark.key.sort == "hole":
        real = as_built_board(seen.resolved)
        rim, drawn = rim_of(real, mark.key), rim_of(seen.resolved, mark.key)
        if rim is not None and drawn is not None:
            said += _nearest(seen.resolved, real, mark.key, (drawn, rim), unit)
    elif mark.key.sort == "pocket" and mark.distance > 0:
        said.append("Try the nut or the plate in it before you go on: it has that much less room on one side.")
    return tuple(said)


def _how(mark: Mark, unit: Unit) -> str:
    if mark.spoilt:
        return "Spoilt."
    away = f"{off(mark.distance, unit)} off" if mark.distance > 0 else "where it should be"
    wide = ""
    if mark.measured is not None:
        over = mark.measured - mark.width
        how = (
            "as wide as its bit"
            if abs(over) < _SAME
            else f"{off(abs(over), unit)} {'wider' if over > 0 else 'narrower'}"
        )
        wide = f", {say(mark.measured, unit)} wide: {how}{'' if abs(over) < _SAME else ' than its bit'}"
    return f"{'Drilled' if mark.work not in ('opening', 'recess') else 'Made'} {away}{wide}."


def _nearest(
    drawn: ResolvedBoard, real: ResolvedBoard, key: CutKey, rims: tuple[Shape, Shape], unit: Unit
) -> Iterator[str]:
    """The web to the nearest other hole and the distance to the nearest edge, as they are and as they were drawn."""
    names, others = _others(real, key)
    if names:
        webs = _gaps(rims[1], others)
        k = int(webs.argmin())
        was_names, was = _others(drawn, key)
        before = float(_gaps(rims[0], was)[was_names.index(names[k])]) if names[k] in was_names else None
        yield _compared(f"The web to {names[k][1]}", float(webs[k]), before, unit)
    edge, edge_before = (
        float(board.boundary.inside_distances(shape_set([rim]))[0][0])
        for board, rim in ((real, rims[1]), (drawn, rims[0]))
    )
    yield _compared("The distance to the nearest edge", edge, edge_before, unit)


def _compared(what: str, now: float, before: float | None, unit: Unit) -> str:
    drawn = "" if before is None or abs(now - before) < _SAME else f"; drawn it was {say(before, unit)}"
    if now <= 0:
        return f"{what} is gone: they run into each other{drawn}."
    return f"{what} is now {most(now, unit)}{drawn}."


def _others(board: ResolvedBoard, key: CutKey) -> tuple[list[tuple[str, str]], ShapeSet]:
    """Every other hole of a board: its key and name, and its rim."""
    names: list[tuple[str, str]] = []
    shapes: list[Shape] = []
    for placed in board.drilled:
        letter = placed.label or placed.part.name
        alone = len(placed.holes) == 1 and not placed.part.is_pattern
        for number, hole in zip(hole_numbers(placed.part), placed.holes, strict=True):
            if (placed.id, number) != (key.placement, key.number):
                names.append((f"{placed.id}/{number}", letter if alone else f"{letter}-{number}"))
                shapes.append(hole.shape)
    return names, shape_set(shapes)


def _gaps(rim: Shape, others: ShapeSet) -> np.ndarray:
    """Board between a rim and each of the others, in their order [mm]."""
    one = shape_set([rim])
    first = np.zeros(len(others), np.intp)
    second = np.arange(len(others))
    found: np.ndarray = one.gaps(first, others, second).distance - one.radii[first] - others.radii
    return found


def gone_marks(board: ResolvedBoard) -> tuple[Mark, ...]:
    """What was marked of placements that are not drilled in the design any more, each cut once."""
    return board.as_built.without(p.id for p in board.drilled)


def other_widths(board: ResolvedBoard) -> tuple[tuple[Mark, float], ...]:
    """Holes drilled through that the design has by now in another width, with that width [mm]."""
    found = []
    for mark in board.as_built.within(p.id for p in board.drilled):
        rim = rim_of(board, mark.key)
        if mark.work != "through" or rim is None or not rim.is_circle or same_bit(board, mark):
            continue
        if abs(2 * rim.radius - mark.width) > _SAME:
            found.append((mark, 2 * rim.radius))
    return tuple(found)


def same_bit(board: ResolvedBoard, mark: Mark) -> bool:
    """Whether a hole was drilled with the bit that it is made with now, whose hole was measured in scrap since."""
    placed = board.placed(mark.key.placement)
    if placed is None or mark.key.sort != "hole":
        return False
    holes = zip(hole_numbers(placed.part), placed.holes, strict=True)
    bit = next((hole.bit for number, hole in holes if number == mark.key.number), None)
    return bit is not None and bit.measured is not None and abs(bit.diameter - mark.width) <= _SAME
