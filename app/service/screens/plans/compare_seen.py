"""Two designs compared, as a page or a command says it: pictures of the boards that differ, a table, findings."""

from __future__ import annotations

import json
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.compare.change import Change, FindingChange
from app.compare.compared import compared
from app.compare.states import ChangedBoard, compared_states
from app.compare.tables import KIND_WORDS, moved_by
from app.document.schema import Design
from app.drafting.view.overlay import overlay_scene
from app.service.background.budget import apart
from app.service.checks.long_designs import has_many_parts
from app.service.screens.board.finding_seen import SEVERITY_WORDS
from app.units import Unit
from app.writers import svg

MOST_PICTURES: Final = 8
"""Boards that are drawn on one page; of others only the words are shown."""


class ChangeRow(Struct, frozen=True):
    """A change as a row of a table.

    Args:
        kind: ``new``, ``gone``, ``moved``, ``resized``, ``renamed`` or ``changed``.
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


class ComparedBoard(Struct, frozen=True):
    """What is different of a board with one arrangement, or of the design as a whole.

    Args:
        name: of it.
        rows: what is different.
        drawing: the board as it was and as it is, inline SVG; empty where there is nothing to see.
    """

    name: str
    rows: tuple[ChangeRow, ...]
    drawing: str


class FindingRow(Struct, frozen=True):
    """A finding that came or went: how grave, the same in words, where, and what is wrong."""

    severity: str
    severity_words: str
    where: str
    sentence: str


class CompareSeen(Struct, frozen=True):
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
    states = compared_states(before, after, catalogue(), unit)
    drawn = [board.ident for board in states.boards if board.is_drawn][:MOST_PICTURES]
    boards = tuple(
        ComparedBoard(
            board.name,
            tuple(_row(change, unit) for change in board.changes),
            _drawing(board, unit) if board.ident in drawn else "",
        )
        for board in states.boards
    )
    gained, lost = (tuple(map(finding_row, some)) for some in (states.found.gained, states.found.lost))
    return CompareSeen(states.found.is_same, states.summed, boards, gained, lost)


def _row(change: Change, unit: Unit) -> ChangeRow:
    return ChangeRow(change.kind, KIND_WORDS[change.kind], change.what, change.words, moved_by(change, unit))


def _drawing(board: ChangedBoard, unit: Unit) -> str:
    scene = overlay_scene(board.before, board.after, unit=unit)
    return svg.embed(scene, ident="-".join(("compare", *(part or "board" for part in board.ident))), role="drawing map")
