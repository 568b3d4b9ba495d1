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
    if placement.locked:
        holder = find_board(design, board)
        drilled = begun(holder, find_arrangement(holder, arrangement))
        refuse_held([placement], drilled, f"{verb} {{it}}")


def refuse_held(gone: Iterable[PlacementEntry], drilled: Collection[str], then: str) -> None:
    """Refuse what would move placements or take them away, where some are locked or drilled.

    Args:
        gone: those that would go.
        drilled: ids of those that are drilled; see :func:`begun`.
        then: what is to be done once they are unlocked, as ``delete the station``; ``{it}`` stands for what was locked.

    Raises:
        EditError: with which of them are drilled, else which are locked, and what to do.
    """
    held = [p for p in gone if p.locked]
    made = sorted({name_of(p) for p in held if p.id in drilled})
    if made:
        raise EditError(drilled_words(", ".join(made), several=len(made) > 1), "locked")
    names = sorted({name_of(p) for p in held})
    if names:
        what, it = ("are", "them") if len(names) > 1 else ("is", "it")
        raise EditError(f"{', '.join(names)} {what} locked. Unlock {it}, then {then.format(it=it)}.", "locked")


def drilled_words(names: str, *, several: bool) -> str:
    """What is said of parts that are in the real board already, by their names."""
    if several:
        stays, was, mark = "are drilled, so they stay where they are", "Were they", "their marks"
    else:
        stays, was, mark = "is drilled, so it stays where it is", "Was it", "its mark"
    return f"{names} {stays}. {was} marked by mistake? Clear {mark} at the board first."
