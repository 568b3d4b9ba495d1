"""What stands after the last step at the board: what was drilled, what is left to do, and what still fits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from app.drafting.view.step_picture import step_picture
from app.drafting.words import length
from app.model.as_built import Mark
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import CheckResult
from app.service.checks.real_board import gone_marks, harm_of, other_widths, real_board
from app.service.screens.bench.at_board_step import MOST_HARM
from app.service.screens.words import counted, listed
from app.service.sight import Sight
from app.shop.board_steps import BoardStep
from app.units import Unit, format_named
from app.writers import svg


class MarkSeen(Struct, frozen=True):
    """A mark in words: what and whose, and its name in an address."""

    words: str
    code: str


def of_end(sight: Sight, todo: Sequence[BoardStep]) -> dict[str, Any]:
    """What the page says after the last step, by its fields; ``todo`` are the cuts that nobody marked."""
    board, seen = sight.checked.resolved, sight.checked
    real = real_board(seen)
    harm = harm_of(seen, real)
    gone = gone_marks(board)
    return {
        "kind": "end",
        "heading": _end_words(board, todo),
        "summary": _summary(board, todo, sight.unit),
        "harm": harm[:MOST_HARM],
        "more_harm": max(0, len(harm) - MOST_HARM),
        "fits": bool(board.as_built) and not harm and not any(m.spoilt for m in board.as_built.marks),
        "gone": tuple(MarkSeen(gone_words(mark), code_of(mark)) for mark in gone),
        "picture": svg.embed(step_picture(board, "top", (), measured=False), role="step-drawing", names=False),
    }


def code_of(mark: Mark) -> str:
    """Name of what is marked in an address, as that of its step."""
    return f"{mark.key.placement}/{mark.key.cut}/{mark.work.replace(' ', '-')}"


def gone_words(mark: Mark) -> str:
    """What is in the board, and no more in the design."""
    what = "hole" if mark.work in ("through", "halfway", "opening", "pilot") else mark.work
    return f"{mark.name or mark.key.placement}: its {what} is in the board, and not drilled in the design any more"


def _end_words(board: ResolvedBoard, todo: Sequence[BoardStep]) -> str:
    if not board.drilled:
        return "Nothing is drilled in this board."
    if todo:
        return f"{counted(len(todo), 'step')} left to do"
    return "Everything is drilled"


def _summary(board: ResolvedBoard, todo: Sequence[BoardStep], unit: Unit) -> tuple[str, ...]:
    marks = board.as_built.marks
    known = frozenset(p.id for p in board.drilled)
    here = [m for m in marks if m.key.placement in known]
    off = [m for m in here if m.distance > 0 and not m.spoilt]
    spoilt = [m for m in here if m.spoilt]
    said = []
    if off:
        worst = max(off, key=lambda m: m.distance)
        far = length(worst.distance, unit)
        said.append(
            f"{counted(len(off), 'hole')} off its place, {worst.name} the farthest: {far}.".replace(
                "holes off its", "holes off their"
            )
        )
    if spoilt:
        said.append(
            f"Spoilt: {listed(sorted({m.name for m in spoilt}))}. Plug and drill again, or make the board again."
        )
    other = other_widths(board)
    said += [
        f"{mark.name} was drilled {format_named(mark.width, unit)} wide; the design has {format_named(now, unit)} now."
        for mark, now in other[:MOST_HARM]
    ]
    if todo:
        said.append(f"Not marked yet: {listed(_named(todo))}.")
    return tuple(said)


def _named(todo: Sequence[BoardStep]) -> list[str]:
    names = list(dict.fromkeys(step.cut.name for step in todo if step.cut is not None))
    return names if len(names) <= 8 else [*names[:7], f"{len(names) - 7} more"]


def as_drilled_words(seen: CheckResult) -> str:
    """How the board does as it was drilled, beside the report of it as drawn; empty where nothing is drilled."""
    marks = seen.resolved.as_built.marks
    if not marks:
        return ""
    harm = harm_of(seen, real_board(seen))
    counts = [counted(sum(h.severity == s for h in harm), s) for s in ("stop", "caution")]
    more = listed([words for words in counts if not words.startswith("0 ")])
    spoilt = sum(mark.spoilt for mark in marks)
    said = f"As drilled: {more} more than drawn" if more else "As drilled: no more stops or cautions than drawn"
    return f"{said}; {counted(spoilt, 'hole')} spoilt" if spoilt else said
