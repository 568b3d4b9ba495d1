"""Several parts evenly apart, centre to centre: the outermost keep their places, as do locked ones."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from app.arrange.change import Edit, shown
from app.arrange.placement.several import changed, chosen, names_of, tidy
from app.document.as_built import begun
from app.document.schema import Design, PlacementEntry
from app.errors import EditError


def space(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], how: str) -> Edit:
    """Space placements evenly ``across`` (left to right) or ``along`` (front to back), keeping the outermost.

    A locked one between them stays, and what is on either side of it is spaced by itself.

    Raises:
        EditError: no such way, fewer than three placements, or none of those between the outermost can move.
    """
    if how not in ("across", "along"):
        raise EditError(f"Parts cannot be spaced “{how[:20]}”. Use across or along.", "how")
    found = chosen(design, board, arrangement, ids, "space them evenly", least=3)

    def at(p: PlacementEntry) -> float:
        return p.x if how == "across" else p.y

    row = sorted(found.all, key=lambda p: (at(p), p.y if how == "across" else p.x, p.id))
    fixed = [k for k, p in enumerate(row) if p.locked or k in (0, len(row) - 1)]
    rows = {}
    for a, b in pairwise(fixed):
        step = (at(row[b]) - at(row[a])) / (b - a)
        for k in range(a + 1, b):
            rows[row[k].id] = {"x" if how == "across" else "y": tidy(at(row[a]) + (k - a) * step)}
    if not rows:
        made = {p.id for p in row[1:-1]} <= begun(found.board, found.within)
        why = "drilled, so it stays where it is." if made else "locked. Unlock it."
        raise EditError(f"The outer two stay put, and what is between them is {why}", "how")
    apart = f", {shown((at(row[-1]) - at(row[0])) / (len(row) - 1), design.units)} apart" if len(fixed) == 2 else ""
    way = "left to right" if how == "across" else "front to back"
    return changed(design, board, arrangement, rows, f"Spaced {names_of(row)} evenly {way}{apart}")
