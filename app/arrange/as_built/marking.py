"""Marking what was done at the board, and clearing a mark again: one undoable step each."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import Edit, number, shown, with_arrangement
from app.document.as_built import entry_of
from app.document.as_built_schema import MarkEntry
from app.document.resolve import find_arrangement, find_board
from app.document.schema import ArrangementEntry, Design
from app.errors import EditError, NotFoundError
from app.model.as_built import CutKey, Mark, Work
from app.model.limits import FARTHEST_OFF, MARKS, NARROWEST_CUT, WIDEST_MEASURED

_NAMED = 3


def mark_cuts(design: Design, board: str | None, arrangement: str | None, marks: Sequence[Mark]) -> Edit:
    """Note what was done to some cuts; what was said of the same cut and work before gives way.

    A cut that is marked again as it is marked already keeps its first date: a button pressed twice says nothing new.

    Args:
        design: the document.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        marks: what was done.

    Raises:
        NotFoundError: no such board or arrangement.
        EditError: a figure is not allowed, or there would be more marks than there may be.
    """
    within = find_arrangement(find_board(design, board), arrangement)
    known = {_key(row): row for row in within.as_built or ()}
    told = [mark for mark in marks if not _says_the_same(known.get(_key(_row(mark))), _row(mark))]
    if not told:
        return Edit(design, "Left what was drilled as it was")
    for mark in told:
        row = _row(mark)
        known[_key(row)] = row
    if len(known) > max(MARKS.most, len(within.as_built or ())):
        raise EditError(MARKS.said(len(known)), "mark")
    return Edit(_with(design, board, arrangement, tuple(known.values())), _summary(told, design.units))


def clear_mark(design: Design, board: str | None, arrangement: str | None, key: CutKey, work: Work) -> Edit:
    """Take a mark back, as if nothing had been done; also of a placement that is gone.

    Raises:
        NotFoundError: no such board or arrangement, or no such mark.
    """
    return clear_marks(design, board, arrangement, [(key, work)])


def clear_marks(
    design: Design, board: str | None, arrangement: str | None, which: Sequence[tuple[CutKey, Work]]
) -> Edit:
    """Take several marks back in one step; what of them is not marked is left out.

    Raises:
        NotFoundError: no such board or arrangement, or none of them is marked.
    """
    within = find_arrangement(find_board(design, board), arrangement)
    wanted = {(key.placement, key.cut, work) for key, work in which}
    gone = [row for row in within.as_built or () if _key(row) in wanted]
    if not gone:
        raise NotFoundError("That is not marked any more. Reload the page.")
    rest = tuple(row for row in within.as_built or () if _key(row) not in wanted)
    if len(gone) > _NAMED:
        said = f"Cleared {len(gone)} marks"
    else:
        what = "; ".join(f"{_WORK[row.work]} of {row.name or row.placement}" for row in gone)
        said = f"Cleared the mark{'s' if len(gone) > 1 else ''}: {what}"
    return Edit(_with(design, board, arrangement, rest), said)


_WORK: dict[Work, str] = {
    "pilot": "pilot",
    "counterbore": "counterbore",
    "recess": "recess",
    "screw pilot": "screw pilot",
    "halfway": "first half",
    "through": "hole",
    "opening": "opening",
}


def _row(mark: Mark) -> MarkEntry:
    for value, words in zip(mark.off, ("How far to the side", "How far to the front or back"), strict=True):
        number(value, words, "off", -FARTHEST_OFF, FARTHEST_OFF)
    if mark.measured is not None:
        number(mark.measured, "The width measured", "measured", NARROWEST_CUT, WIDEST_MEASURED)
    return entry_of(mark)


def _key(row: MarkEntry) -> tuple[str, str, str]:
    return row.placement, row.cut, row.work


def _says_the_same(old: MarkEntry | None, new: MarkEntry) -> bool:
    return old is not None and old == new.model_copy(update={"when": old.when, "name": old.name})


def _with(design: Design, board: str | None, arrangement: str | None, rows: tuple[MarkEntry, ...]) -> Design:
    def change(old: ArrangementEntry) -> ArrangementEntry:
        return old.model_copy(update={"as_built": rows or None})

    return with_arrangement(design, board, arrangement, change)


def _summary(marks: Sequence[Mark], units: str) -> str:
    if len(marks) > _NAMED:
        return f"Marked {len(marks)} holes as drilled"
    return "; ".join(_said(mark, units) for mark in marks)


def _said(mark: Mark, units: str) -> str:
    what = f"{_WORK[mark.work]} of {mark.name or mark.key.placement}"
    if mark.spoilt:
        return f"Marked the {what} spoilt"
    off = f" {shown(mark.distance, units)} off" if mark.distance > 0 else ""
    wide = f", {shown(mark.measured, units)} wide" if mark.measured is not None else ""
    return f"Drilled the {what}{off}{wide}" if mark.work not in ("opening", "recess") else f"Made the {what}{off}{wide}"
