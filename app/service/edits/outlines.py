"""Outlines taken from files: read, looked at over the present board, taken as one step."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Sequence
from typing import Final

from msgspec import Struct

from app.arrange.board.outline import take_outline
from app.document.where import Where
from app.drafting.view.outline_view import outline_view
from app.errors import DocumentError, EditError, GeometryError
from app.geometry.outline import Corner
from app.model.limits import BOARD_SIDE, CORNERS, OPENINGS
from app.model.resolved import ResolvedBoard
from app.numbers import finite
from app.readers.outline_file import OutlineFile, read_outline
from app.readers.pieces import box_of
from app.service.drawings.formats import DXF, SVG
from app.service.edits.changes import DesignChange
from app.writers import svg

UNITS: Final = {"mm": 1.0, "inch": 25.4, "cm": 10.0, "px": 25.4 / 96}
"""Units a file may be in that does not say: mm in each. A pixel is 1/96 in (CSS Values and Units 3, 5.2)."""

MOST_OPENINGS: Final = OPENINGS.most
"""Openings a board has at most."""

_LONGEST = 1_000_000
_BEGINNING: Final = 2_000
_DRAWN: Final = re.compile(
    rb"(\xef\xbb\xbf)?\s*(<\?xml|<!|<svg|(999\s*?\r?\n[^\r\n]*\r?\n\s*)*0\s*?\r?\n\s*SECTION\s)", re.IGNORECASE
)
"""SVG, or the first group of a DXF file after its comments (group code 999)."""

Corners = tuple[Corner, ...]


class Read(Struct, frozen=True):
    """An outline read from a file, ready to be taken.

    Args:
        name: of the file.
        file: what was read.
    """

    name: str
    file: OutlineFile


def is_drawing(data: bytes, name: str) -> bool:
    """Whether a file is a DXF or SVG drawing, by its name or by how it begins, whether or not it can be read."""
    return name.lower().endswith((DXF.ending, SVG.ending)) or _DRAWN.match(data[:_BEGINNING]) is not None


def read(data: bytes, name: str) -> Read:
    """Read a file.

    Raises:
        DocumentError: it cannot be read as an outline.
    """
    return Read(name, read_outline(data, name))


def sizes(found: Read) -> dict[str, tuple[float, float]]:
    """Width and depth [mm] by the units the file may be in: the one it says, or all that are plausible."""
    width, front_to_back = found.file.size
    if found.file.mm is not None:
        return {"": (width * found.file.mm, front_to_back * found.file.mm)}
    return {unit: (width * mm, front_to_back * mm) for unit, mm in UNITS.items()}


class Offered(Struct, frozen=True):
    """A ring inside an outline that may be taken as an opening.

    Args:
        circle: whether it is one, which is a hole for a part as a rule.
        width, height: of its box [mm].
        middle: of its box, from the left and the front of the outline [mm].
    """

    circle: bool
    width: float
    height: float
    middle: tuple[float, float]


def offered(found: Read, unit: str, rings: Sequence[int]) -> tuple[Offered, ...]:
    """Rings that may be taken, by number, in the file's own unit or the one named."""
    mm = found.file.mm or UNITS[unit]
    left, front, _, _ = box_of(found.file.rim)
    made = []
    for k in rings:
        x0, y0, x1, y1 = box_of(found.file.inner[k])
        middle = (((x0 + x1) / 2 - left) * mm, ((y0 + y1) / 2 - front) * mm)
        made.append(Offered(found.file.circles[k], (x1 - x0) * mm, (y1 - y0) * mm, middle))
    return tuple(made)


def can_be_board(size: tuple[float, float]) -> bool:
    """Whether a board can be so wide and deep [mm]."""
    return BOARD_SIDE.least <= min(size) <= max(size) <= BOARD_SIDE.most


def taken(found: Read, unit: str, openings: Sequence[int]) -> tuple[Corners, tuple[Corners, ...]]:
    """Corners of the outline and of its openings [mm], in the file's own unit or the one named.

    Raises:
        DocumentError: it cannot be a board.
        EditError: no such unit.
    """
    mm = found.file.mm
    if mm is None:
        if unit not in UNITS:
            raise EditError("The file does not say what unit it uses. Choose the one that gives the true size.", "in")
        mm = UNITS[unit]
    return found.file.corners(mm, [k for k in openings if 0 <= k < len(found.file.inner)])


def drawn(board: ResolvedBoard, corners: Corners, openings: Sequence[Corners]) -> str:
    """The outline over the present board, inline SVG."""
    return svg.embed(outline_view(board, corners, openings), role="drawing map", ident="outline-svg")


def openable(found: Read, unit: str) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Rings that can be openings in a unit, and those of them that are taken if none is named.

    Raises:
        DocumentError: the outline cannot be a board.
    """
    mm = found.file.mm if found.file.mm is not None else UNITS[unit]
    return found.file.openable(mm, OPENINGS.most)


def packed(found: Read, unit: str, offered: Sequence[int]) -> str:
    """The outline and the rings inside it that are offered as one line of text, in mm, to travel in a form.

    Raises:
        DocumentError: it is too much for a form.
    """
    mm = found.file.mm if found.file.mm is not None else UNITS[unit]
    rings = found.file.in_mm(mm, offered)
    text = json.dumps([[_row(c) for c in ring] for ring in rings], separators=(",", ":"))
    if len(text) > _LONGEST:
        raise DocumentError("The outline and its openings have too many corners. Draw them with fewer, longer lines.")
    return text


def unpacked(text: str) -> tuple[Corners, tuple[Corners, ...]]:
    """The outline of :func:`packed`, trusted no more than any other form.

    Raises:
        DocumentError: it is none.
    """
    try:
        rows = json.loads(text) if len(text) <= _LONGEST else []
        rings = [tuple(_corner(*row) for row in ring) for ring in rows]
    except (ValueError, TypeError, RecursionError) as error:
        raise DocumentError("The outline did not arrive complete. Choose the file again.") from error
    if not 1 <= len(rings) <= OPENINGS.most + 1 or any(len(ring) > CORNERS.most for ring in rings):
        raise DocumentError("The outline did not arrive complete. Choose the file again.")
    return rings[0], tuple(rings[1:])


def _corner(*row: object) -> Corner:
    """The corner of a row ``x, y, before, after`` [mm].

    Raises:
        ValueError: it is no row of four numbers.
    """
    found = [value for value in map(finite, row) if value is not None]
    if len(row) != 4 or len(found) != 4:
        raise ValueError("four numbers make a corner")
    x, y, before, after = found
    return Corner(x, y, (before, after) if before or after else None)


def outline_taken(where: Where, outline: str, openings: Collection[int], name: str) -> DesignChange:
    """Give the board an outline that was looked at, with those of its openings, by number, as one step.

    Raises:
        EditError: it did not arrive as :func:`packed` made it.
    """
    try:
        corners, rings = unpacked(outline)
    except (DocumentError, GeometryError) as error:
        raise EditError(str(error), "outline") from error
    kept = [ring for k, ring in enumerate(rings) if k in openings]
    return lambda design: take_outline(design, where.board, corners, kept, name)


def _row(corner: Corner) -> list[float]:
    return [corner.x, corner.y, *(corner.setback or (0.0, 0.0))]
