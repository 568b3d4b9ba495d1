"""Two designs compared, as a page or a command says it: pictures of the boards that differ, a table, findings."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Final

from app.catalogue.load import catalogue
from app.compare.change import Change, Comparison, FindingChange
from app.compare.compared import compared
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.view.overlay import overlay_scene
from app.errors import NotFoundError
from app.fit.words.lengths import say
from app.model.resolved import ResolvedBoard
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.screens.board.finding_seen import SEVERITY_WORDS
from app.service.screens.words import counted
from app.units import Unit
from app.writers import svg

MOST_PICTURES: Final = 8
"""Boards that are drawn on one page; of others only the words are shown."""

_KINDS: Final = {"new": "New", "gone": "Gone", "moved": "Moved", "changed": "Changed"}


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """A change as a row of a table.

    Args:
        kind: ``new``, ``gone``, ``moved`` or ``changed``.
        kind_words: the same in words.
        what: a letter, or what else it is.
        words: what became of it.
        moved: how far it moved, in words; empty if it did not.
    """

    kind: str
    kind_words: str
    what: str
    words: str
    moved: str


@dataclass(frozen=True, slots=True)
class ComparedBoard:
    """What is different of a board with one arrangement, or of the design as a whole.

    Args:
        name: of it.
        rows: what is different.
        drawing: the board as it was and as it is, inline SVG; empty where there is nothing to see.
    """

    name: str
    rows: tuple[ChangeRow, ...]
    drawing: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A finding that came or went: how grave, the same in words, where, and what is wrong."""

    severity: str
    severity_words: str
    where: str
    sentence: str


@dataclass(frozen=True, slots=True)
class CompareSeen:
    """Two designs compared.

    Args:
        same: whether nothing is different.
        summed: how much is different, in one line.
        boards: what is different, the design as a whole first.
        gained, lost: findings that only the newer or only the older design has.
    """

    same: bool
    summed: str
    boards: tuple[ComparedBoard, ...]
    gained: tuple[FindingRow, ...]
    lost: tuple[FindingRow, ...]


def compare_seen(before: Design, after: Design, units: str) -> CompareSeen:
    """Two designs compared, from the older to the newer one.

    Args:
        before: the older design.
        after: the newer one.
        units: of the words, ``mm`` or ``inch``.

    Raises:
        EditError: they share no board.
        DocumentError: a board of one of them cannot be put together.
    """
    return apart(has_many_parts(before) or has_many_parts(after), _seen, before, after, units)


def compare_json(before: Design, after: Design) -> str:
    """The same as one JSON object, lengths in mm, sentences in the newer design's units.

    Raises:
        EditError: they share no board.
        DocumentError: a board of one of them cannot be put together.
    """
    found = compared(before, after, catalogue())
    rows = [
        {
            "kind": change.kind, "board": change.board_id, "arrangement": change.arrangement_id, "what": change.what,
            "placements": list(change.placements), "sentence": change.sentence, "before": change.before,
            "after": change.after, "dx": change.dx, "dy": change.dy,
        }
        for change in found.changes
    ]  # fmt: skip
    return json.dumps(
        {
            "before": found.before, "after": found.after, "same": found.is_same, "changes": rows,
            "gained": [_finding(f) for f in found.gained], "lost": [_finding(f) for f in found.lost],
        },
        indent=2, allow_nan=False, ensure_ascii=False,
    )  # fmt: skip


def compare_lines(before: Design, after: Design) -> tuple[str, ...]:
    """The same as lines of text; raises as :func:`compare_json`."""
    seen = _seen(before, after, after.units)
    lines = [seen.summed]
    for board in seen.boards:
        lines += ["", board.name, *(f"  {row.what} {row.words}." for row in board.rows)]
    for head, findings in (("New findings", seen.gained), ("Findings that are gone", seen.lost)):
        if findings:
            lines += ["", head, *(f"  {f.severity_words}, {f.where}: {f.sentence}" for f in findings)]
    return tuple(lines)


def _finding(change: FindingChange) -> dict[str, object]:
    return {
        "board": change.board, "arrangement": change.arrangement, "severity": change.severity, "rule": change.rule,
        "placements": list(change.placements), "sentence": change.sentence,
    }  # fmt: skip


def finding_row(change: FindingChange) -> FindingRow:
    """A finding that came or went, as a page says it."""
    where = f"{change.board}, {change.arrangement}"
    return FindingRow(change.severity, SEVERITY_WORDS[change.severity], where, change.sentence)


def _seen(before: Design, after: Design, units: str) -> CompareSeen:
    unit = Unit(units)
    found = compared(before, after, catalogue(), unit)
    grouped: dict[tuple[str, str], list[Change]] = {}
    for change in found.changes:
        grouped.setdefault((change.board_id, change.arrangement_id), []).append(change)
    boards, drawn = [], 0
    for (board, arrangement), changes in grouped.items():
        wanted = bool(board) and drawn < MOST_PICTURES and _is_drawn(arrangement, board, grouped)
        drawing = _drawing(before, after, board, arrangement, unit) if wanted else ""
        drawn += bool(drawing)
        boards.append(ComparedBoard(_name(changes[0]), tuple(_row(c, unit) for c in changes), drawing))
    gained, lost = (tuple(map(finding_row, some)) for some in (found.gained, found.lost))
    return CompareSeen(found.is_same, _summed(found), tuple(boards), gained, lost)


def _is_drawn(arrangement: str, board: str, grouped: dict[tuple[str, str], list[Change]]) -> bool:
    """Whether a group has a picture: an arrangement has; a board by itself, if no arrangement of it is another."""
    return bool(arrangement) or all(b != board or not a for b, a in grouped)


def _name(change: Change) -> str:
    if not change.board:
        return "The whole design"
    return f"{change.board}, {change.arrangement}" if change.arrangement else change.board


def _row(change: Change, unit: Unit) -> ChangeRow:
    moved = say((change.dx**2 + change.dy**2) ** 0.5, unit) if change.kind == "moved" else ""
    return ChangeRow(change.kind, _KINDS[change.kind], change.what, change.words, moved)


def _drawing(before: Design, after: Design, board: str, arrangement: str, unit: Unit) -> str:
    both = [_resolved(design, board, arrangement) for design in (before, after)]
    if both == [None, None]:
        return ""
    scene = overlay_scene(both[0], both[1], unit=unit)
    return svg.embed(scene, ident=f"compare-{board}-{arrangement or 'board'}", role="drawing map")


def _resolved(design: Design, board: str, arrangement: str) -> ResolvedBoard | None:
    try:
        return resolve(design, board, arrangement or None, catalogue())
    except NotFoundError:
        return None


def _summed(found: Comparison) -> str:
    if found.is_same:
        return "Nothing is different."
    parts = [counted(len(found.changes), "change")] if found.changes else ["No change that shows"]
    if found.gained:
        parts.append(f"{counted(len(found.gained), 'new finding')}")
    if found.lost:
        parts.append(f"{counted(len(found.lost), 'finding')} gone")
    return ", ".join(parts) + "."
