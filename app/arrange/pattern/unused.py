"""Patterns that nothing is placed of any more: they leave the document with their last placement."""

from __future__ import annotations

from app.document.schema import Design


def without_unused(before: Design, after: Design) -> Design:
    """The design after an edit, without patterns whose last placement it took away; *Undo* brings both back.

    One that was nowhere before, as a file may have it, stays and is offered among the hardware.
    """
    if not after.patterns:
        return after
    gone = _placed(before) - _placed(after)
    rest = tuple(p for p in after.patterns if p.id not in gone)
    return after if len(rest) == len(after.patterns) else after.model_copy(update={"patterns": rest})


def _placed(design: Design) -> set[str]:
    rows = (p for board in design.boards for each in board.arrangements for p in each.placements)
    return {p.part for p in rows}
