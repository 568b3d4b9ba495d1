"""What is different between two states as tables, for sheets."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

from app.compare.change import Change, ChangeKind, FindingChange
from app.compare.states import ChangedBoard
from app.fit.finding import Severity
from app.fit.words.lengths import say
from app.scene.table import Column, Table
from app.units import Unit

KIND_WORDS: Final[Mapping[ChangeKind, str]] = {
    "new": "New", "gone": "Gone", "moved": "Moved", "resized": "Resized", "renamed": "Renamed", "changed": "Changed",
}  # fmt: skip
_SEVERITY_WORDS: Final[Mapping[Severity, str]] = {"stop": "Stop", "caution": "Caution", "note": "Note"}

_CHANGES = (
    Column("kind", ""),
    Column("what", "What"),
    Column("change", "Change"),
    Column("moved", "Moved by"),
)
_FINDINGS = (Column("severity", ""), Column("where", "Where"), Column("sentence", "What"))


def moved_by(change: Change, unit: Unit) -> str:
    """How far something moved, in words; empty if it did not."""
    return say(math.hypot(change.dx, change.dy), unit) if change.kind == "moved" else ""


def changes_table(board: ChangedBoard, title: str, unit: Unit) -> Table:
    """What is different of a board with one arrangement, or of the design as a whole."""
    rows = tuple((KIND_WORDS[c.kind], c.what, f"{c.words}.", moved_by(c, unit)) for c in board.changes)
    return Table("changes", title, _CHANGES, rows, unit)


def findings_table(name: str, title: str, findings: Sequence[FindingChange], unit: Unit) -> Table:
    """Findings that came, or that went."""
    rows = tuple((_SEVERITY_WORDS[f.severity], f"{f.board}, {f.arrangement}", f.sentence) for f in findings)
    return Table(name, title, _FINDINGS, rows, unit)
