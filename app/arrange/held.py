"""What stays where it is: what a builder locked, and what is drilled already."""

from __future__ import annotations

from app.arrange.change import name_of
from app.document.as_built import begun
from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design, PlacementEntry
from app.errors import EditError


def refuse_locked(
    design: Design, board: str | None, arrangement: str | None, placement: PlacementEntry, verb: str
) -> None:
    """Refuse to ``verb`` a placement that is locked or drilled.

    Raises:
        EditError: with which of the two it is, and what to do.
    """
    if not placement.locked:
        return
    holder = find_board(design, board)
    if placement.id in begun(holder, find_arrangement(holder, arrangement)):
        raise EditError(f"{name_of(placement)} {DRILLED}", "locked")
    raise EditError(f"{name_of(placement)} is locked. Unlock it, then {verb} it.", "locked")


DRILLED = "is drilled, so it stays where it is. Was it marked by mistake? Clear its mark at the board first."
"""What is said of a part that is in the real board already."""
