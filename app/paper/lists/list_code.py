"""The code of a list: what stands on its pages, so that a printed one can be told from what holds now."""

from __future__ import annotations

from collections.abc import Sequence

from app.model.resolved import ResolvedBoard
from app.paper.sheet.title_strip import short_code
from app.scene.table import Table, Value


def list_code(board: ResolvedBoard, tables: Sequence[Table], said: Sequence[str] = ()) -> str:
    """Short code of all a list says, as ``7K-42``: the same as long as nothing on it changes, whatever else does.

    Args:
        board: the board.
        tables: all of the list.
        said: sentences before them.
    """
    content = [
        (t.name, t.title, t.unit.value, tuple(c.head for c in t.columns), [tuple(map(_plain, row)) for row in t.rows])
        for t in tables
    ]
    return short_code((board.title, board.id, board.arrangement_id, content, tuple(said)))


def _plain(value: Value) -> Value:
    return round(value, 4) + 0.0 if isinstance(value, float) else value
