"""What stays where it is: what a builder locked, and what is drilled already."""

from __future__ import annotations

from collections.abc import Collection, Iterable

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


def refuse_held(gone: Iterable[PlacementEntry], drilled: Collection[str], then: str) -> None:
    """Refuse what would take placements away, where some are locked or drilled.

    Args:
        gone: those that would go.
        drilled: ids of those that are drilled; see :func:`begun`.
        then: what is to be done once they are unlocked, as ``delete the station``; ``{it}`` stands for what was locked.

    Raises:
        EditError: with which of them are drilled, else which are locked, and what to do.
    """
    held = [p for p in gone if p.locked]
    made = sorted({name_of(p) for p in held if p.id in drilled})
    if len(made) == 1:
        raise EditError(f"{made[0]} {DRILLED}", "locked")
    if made:
        raise EditError(f"{', '.join(made)} {_ARE_DRILLED}", "locked")
    names = sorted({name_of(p) for p in held})
    if names:
        what, it = ("are", "them") if len(names) > 1 else ("is", "it")
        raise EditError(f"{', '.join(names)} {what} locked. Unlock {it}, then {then.format(it=it)}.", "locked")


_ARE_DRILLED = (
    "are drilled, so they stay where they are. Were they marked by mistake? Clear their marks at the board first."
)
DRILLED = "is drilled, so it stays where it is. Was it marked by mistake? Clear its mark at the board first."
"""What is said of a part that is in the real board already."""
