"""What findings say that a move may clear: the move that was tried, or why none is advised."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.finding import Finding
from app.fit.words.changes import options, sentence
from app.fit.words.lengths import are, names
from app.units import Unit


def moved(f: Finding, advice: Advice, unit: Unit, where: str, *general: str) -> str:
    """A move with its figures, or the reason why there is none, and what else might do.

    Args:
        f: the finding.
        advice: what was tried about it.
        unit: to say it in.
        where: which way, where no move was tried: “further apart”.
        general: what else might do, as clauses that promise nothing.
    """
    if advice.ways:
        return options(f, advice, unit, *general)
    if not advice.tried:
        return sentence([f"move {names(advice.board, f.subjects)} {where}", *general])
    why, way = _stuck(f, advice)
    return f"{why} {sentence([way, *general])}"


def _stuck(f: Finding, advice: Advice) -> tuple[str, str]:
    """Why no move of the subjects is advised, and what would let them be moved."""
    board = advice.board
    locked = [s for s in f.subjects if (placed := board.placed(s)) and placed.locked]
    free = [s for s in f.subjects if s not in locked]
    pinned = f"{names(board, locked)} {are(locked)} locked" if locked else ""
    if not free:
        return f"{pinned}.", f"unlock {'it' if len(locked) == 1 else 'one of them'} to move it"
    start = f"{pinned}, and moving" if locked else "Moving"
    alone = " or ".join(names(board, [s]) for s in free)
    return f"{start} {alone} alone does not clear it, or causes another problem.", "make room first"


def inward(f: Finding, advice: Advice, unit: Unit) -> str:
    """For what is near an edge: the edge itself, or an inner opening, may give way too."""
    return onto_board(f, advice, unit, f.detail.edge, "further inward")


def onto_board(f: Finding, advice: Advice, unit: Unit, edge: str, where: str) -> str:
    """The same with the edge, ``opening`` for an inner one, and which way."""
    if edge == "opening":
        return moved(f, advice, unit, "further from the opening", "make the opening smaller or move it")
    return moved(f, advice, unit, where, "extend the board there")


def move_all(_finding: Finding, subjects: Sequence[str]) -> str:
    """“, move all”: what to do, behind a title."""
    return f", move {every(subjects)}"


def every(subjects: Sequence[str]) -> str:
    """“all” of several, “it” of one."""
    return "all" if len(subjects) > 1 else "it"
