"""One thing that has come to a design, and what may not go for it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Final

from msgspec import Struct

from app.arrange.change import name_of
from app.document.as_built import begun
from app.document.schema import AcceptedEntry, ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.errors import EditError

_SHOWN: Final = 4
"""Letters or parts that are named in one sentence."""


class BroughtPiece(Struct, frozen=True):
    """A design with one thing brought to it.

    Args:
        design: the design.
        board, arrangement: ids of where it is.
        called: what it is called, in words, as ``the board “Grille”``.
        notes: sentences about ids, letters and what went for it.
        changed: whether what it took the place of was changed here since it came.
    """

    design: Design
    board: str
    arrangement: str
    called: str
    notes: tuple[str, ...]
    changed: bool = False


def check_replaced(
    board: BoardEntry, going: Iterable[tuple[ArrangementEntry, PlacementEntry]], coming: Iterable[PlacementEntry]
) -> None:
    """Refuse to let placements go that are drilled, or that somebody locked here.

    Args:
        board: the board that they are on.
        going: each with its arrangement.
        coming: what takes their place; what is locked among it was locked where it comes from.

    Raises:
        EditError: which, and what to do.
    """
    going = tuple(going)
    done = {a.id: begun(board, a) for a, _ in going}
    if drilled := _names(p for a, p in going if p.id in done[a.id]):
        raise EditError(
            f"{drilled} drilled already in “{board.name}”, so nothing takes that place. "
            "If that is not so, untick it on the page As built; else look up what a drilled board needs."
        )
    held = {p.id for p in coming if p.locked}
    if locked := _names(p for _, p in going if p.locked and p.id not in held):
        raise EditError(f"{locked} locked in “{board.name}”. Unlock first, then try again.")


def _names(rows: Iterable[PlacementEntry]) -> str:
    """``A is`` or ``A, B and 3 more are``; empty for none."""
    names = list(dict.fromkeys(map(name_of, rows)))
    if not names:
        return ""
    shown = ", ".join(names[:_SHOWN]) + (f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else "")
    return f"{shown} {'is' if len(names) == 1 else 'are'}"


def relettered(board: BoardEntry, before: Collection[PlacementEntry], after: Collection[PlacementEntry]) -> str:
    """A sentence about parts that have other letters here than where they come from; empty if none has."""
    pairs = [(a.label, b.label) for a, b in zip(before, after, strict=True) if a.label != b.label]
    if not pairs:
        return ""
    said = ", ".join(f"{was} becomes {now}" for was, now in pairs[:_SHOWN])
    return f"Letters that “{board.name}” has used change: {said}{', and so on' if len(pairs) > _SHOWN else ''}."


def still_accepted(old: Iterable[AcceptedEntry], rows: Iterable[PlacementEntry]) -> tuple[AcceptedEntry, ...]:
    """Cautions accepted here that are about parts which are there still."""
    there = {p.id for p in rows}
    return tuple(entry for entry in old if there.issuperset(entry.subjects))
