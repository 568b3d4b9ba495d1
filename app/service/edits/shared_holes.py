"""One letter, one hole: a part that several arrangements of a board share is changed in all of them.

Arrangements of one board share letters, so that a one-player deck can grow into a two-player deck without
moving a hole. Where a hole is and what goes into it is therefore the board's; whether it is there and drilled
is each arrangement's own.
"""

from __future__ import annotations

from app.arrange.change import Edit, with_board
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.values import replace

_SHARED = ("part", "x", "y", "angle", "label", "counterbore", "recess", "locked", "legend")


def in_every_arrangement(before: Design, edit: Edit, board_id: str | None, arrangement_id: str | None) -> Edit:
    """The edit, made as well to the same holes of the board's other arrangements.

    A placement is the same hole if it had the same id, part, place, turning and letter before. An arrangement in
    which a letter would come to stand twice is left as it was. An arrangement, or a
    board, that was removed changes no other.
    """
    old_board, board = find_board(before, board_id), find_board(edit.design, board_id)
    was = find_arrangement(old_board, arrangement_id)
    if board.id != old_board.id or all(a.id != was.id for a in board.arrangements):
        return edit
    edited = find_arrangement(board, was.id)
    old = {p.id: p for p in was.placements}
    changed = {p.id: (old[p.id], p) for p in edited.placements if p.id in old and _differ(old[p.id], p)}
    if not changed:
        return edit
    arrangements = tuple(a if a.id == edited.id else _followed(a, changed, edited) for a in board.arrangements)
    if arrangements == board.arrangements:
        return edit
    design = with_board(edit.design, board.model_copy(update={"arrangements": arrangements}))
    return replace(edit, design=design, summary=f"{edit.summary}, in every arrangement")


def _followed(
    arrangement: ArrangementEntry,
    changed: dict[str, tuple[PlacementEntry, PlacementEntry]],
    edited: ArrangementEntry,
) -> ArrangementEntry:
    rows = []
    for placement in arrangement.placements:
        was, now = changed.get(placement.id, (None, None))
        if was is None or now is None or _differ(was, placement):
            rows.append(placement)
        else:
            rows.append(placement.model_copy(update={name: getattr(now, name) for name in _SHARED}))
    labels = [p.label for p in rows if p.label]
    if len(set(labels)) < len(labels):
        return arrangement
    renamed = {was.label for was, now in changed.values() if was.label and was.label != now.label}
    retired = tuple(label for label in edited.retired if label in renamed and label not in arrangement.retired)
    kept = tuple(label for label in arrangement.retired if label not in labels)
    return arrangement.model_copy(update={"placements": tuple(rows), "retired": (*kept, *retired)})


def same_hole(a: PlacementEntry, b: PlacementEntry) -> bool:
    """Whether placements of two arrangements are one hole: same part, place, turning, letter and cuts from below."""
    return not _differ(a, b)


def _differ(a: PlacementEntry, b: PlacementEntry) -> bool:
    return any(getattr(a, name) != getattr(b, name) for name in _SHARED)
