"""Several parts on one line: by their centres, which are what is marked and drilled.

Rims of alike parts line up with their centres; rims of unlike ones are seldom wanted on a line, since the eye
follows the middles of a row. A locked part stays: if any is among the chosen, the others line up with it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final, Literal

from msgspec import Struct

from app.arrange.change import Edit
from app.arrange.placement.several import changed, chosen, tidy
from app.document.schema import Design
from app.errors import EditError


class _Way(Struct, frozen=True):
    axis: Literal["x", "y"]
    which: int  # −1 the least, 0 midway, 1 the greatest
    said: str


WAYS: Final[Mapping[str, _Way]] = MappingProxyType(
    {
        "left": _Way("x", -1, "at the left"),
        "centre": _Way("x", 0, "on one line front to back"),
        "right": _Way("x", 1, "at the right"),
        "front": _Way("y", -1, "at the front"),
        "middle": _Way("y", 0, "on one line left to right"),
        "back": _Way("y", 1, "at the back"),
    }
)
"""Ways to align: three that give all the same x, three that give all the same y."""


def align(design: Design, board: str | None, arrangement: str | None, ids: Sequence[str], how: str) -> Edit:
    """Bring the centres of placements to one x or one y [mm], by one of :data:`WAYS`.

    ``centre`` and ``middle`` are midway between the outermost centres. Where some are locked, only those say where.

    Raises:
        EditError: no such way, fewer than two placements, or all of them locked.
    """
    if how not in WAYS:
        raise EditError(f"Parts cannot be lined up “{how[:20]}”. Use one of: {', '.join(WAYS)}.", "how")
    way = WAYS[how]
    found = chosen(design, board, arrangement, ids, "line them up")
    held = [p for p in found.all if p.locked] or list(found.all)
    values = [p.x if way.axis == "x" else p.y for p in held]
    at = min(values) if way.which < 0 else max(values) if way.which > 0 else tidy((min(values) + max(values)) / 2)
    rows: dict[str, dict[str, float]] = {p.id: {way.axis: at} for p in found.free}
    return changed(design, board, arrangement, rows, f"Lined up {found.names} {way.said}")
