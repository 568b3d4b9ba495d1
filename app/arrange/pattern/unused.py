"""Patterns that nothing is placed of any more: they leave the document with their last placement."""

from __future__ import annotations

from app.document.resolve import placements_in
from app.document.schema import Design


def without_unused(before: Design, after: Design) -> Design:
    """The design after an edit, without patterns whose last placement it took away; *Undo* brings both back.

    One that was nowhere before, as a file may have it, stays and is offered among the hardware.
    """
    if not after.patterns:
        return after
    gone = {p.part for p in placements_in(*before.boards)} - {p.part for p in placements_in(*after.boards)}
    rest = tuple(p for p in after.patterns if p.id not in gone)
    return after if len(rest) == len(after.patterns) else after.model_copy(update={"patterns": rest})
