"""A file read as the outline of a board: the largest ring, its inner openings, and what was left out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import DocumentError, GeometryError
from app.geometry.outline import Corner, Outline, first_meeting
from app.model.limits import BOARD_SIDE, CORNERS, OPENINGS
from app.readers.chain import Chain, Lines
from app.readers.corners import corners_of
from app.readers.dxf_chains import read_dxf
from app.readers.notes import notes_of, why_open
from app.readers.pieces import Bend, Ring, area_of, box_of, is_circle, within
from app.readers.rings import Joined, joined
from app.readers.svg_chains import read_svg

LARGEST_FILE: Final = 8_000_000
"""Largest file that is read [bytes]; an outline has a few thousand."""

_FARTHEST: Final = 1e9
_NAMES: Final = ("outline", "board", "contour", "rim", "perimeter")
_INNER: Final = ("opening", "cutout", "cut-out", "window")


class OutlineFile(Struct, frozen=True):
    """An outline as a file has it.

    Args:
        rim: the outer ring, in the units of the file.
        inner: rings inside it, the largest first.
        circles: which of ``inner`` are circles, which in an exchange drawing are holes for parts.
        mm: mm in a unit of the file; None if it does not say.
        notes: what was left out or made of something else, in sentences.
    """

    rim: Ring
    inner: tuple[Ring, ...]
    circles: tuple[bool, ...]
    mm: float | None
    notes: tuple[str, ...]

    @property
    def size(self) -> tuple[float, float]:
        """Width and depth in the units of the file."""
        x0, y0, x1, y1 = box_of(self.rim)
        return (x1 - x0, y1 - y0)

    def corners(self, mm: float, taken: Sequence[int]) -> tuple[tuple[Corner, ...], tuple[tuple[Corner, ...], ...]]:
        """Corners of the outline and of the openings taken, in mm, the front-left corner of the box at 0, 0.

        Raises:
            DocumentError: it cannot be a board: too large, too many corners, it crosses itself, an opening sticks out.
        """
        rim, *openings = self.in_mm(mm, taken)
        _check(rim, tuple(openings))
        return rim, tuple(openings)

    def in_mm(self, mm: float, taken: Sequence[int]) -> tuple[tuple[Corner, ...], ...]:
        """The corners of the rim and of some rings inside it in mm, whether or not they can be a board."""
        x0, y0, _, _ = box_of(self.rim)
        return tuple(corners_of(ring, mm, (x0, y0)) for ring in (self.rim, *(self.inner[k] for k in taken)))

    def openable(self, mm: float, most: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Rings that can be openings of a board, the largest first, and those of them that are taken if none is named.

        These are no circles, which are holes for parts as a rule, and lie in no other one.

        Raises:
            DocumentError: the rim cannot be a board.
        """
        rim, *rings = self.in_mm(mm, range(min(len(self.inner), most)))
        _check(rim, ())
        whole = Outline(rim)
        found = tuple(k for k, corners in enumerate(rings) if len(corners) <= CORNERS.most and _fits(whole, corners))
        taken: list[int] = []
        for k in found:
            if not self.circles[k] and not any(within(self.inner[other])(self.inner[k]) for other in taken):
                taken.append(k)
        return found, tuple(taken)


def _fits(whole: Outline, corners: tuple[Corner, ...]) -> bool:
    try:
        return whole.encloses(Outline(corners))
    except GeometryError:
        return False


def read_outline(data: bytes, name: str = "") -> OutlineFile:
    """Read a DXF or SVG file; which of them it is, its content tells.

    Raises:
        DocumentError: it cannot be read as an outline; says where and why.
    """
    if not data.strip():
        raise DocumentError("The file is empty. Export the outline again.")
    if len(data) > LARGEST_FILE:
        raise DocumentError(
            f"The file has {len(data):,} bytes; up to {LARGEST_FILE:,} are read. Export the outline alone."
        )
    share = catalogue().rule("outline-fit")
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))  # UTF-16, which XML may be in and DXF is not
    svg = marked or data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<") or name.lower().endswith(".svg")
    lines = read_svg(data, share) if svg else read_dxf(data, share)
    _check_numbers(lines)
    return _chosen(lines)


def _check_numbers(lines: Lines) -> None:
    for chain in lines.chains:
        for piece in chain.pieces:
            values = [*piece.a, *piece.b]
            if isinstance(piece, Bend):
                values += [piece.sweep, *(piece.centre if abs(piece.sweep) >= 1.0 else ())]
            if not all(math.isfinite(v) and abs(v) < _FARTHEST for v in values):
                raise DocumentError(
                    f"Layer “{chain.layer[:40]}”: a line to {lines.place(piece.b)} is far outside any "
                    "board. Move the drawing near the origin and export it again."
                )


def _chosen(lines: Lines) -> OutlineFile:
    """The outline among everything: on a layer that is named so, if there is one."""
    if not lines.chains:
        raise DocumentError(
            "There is no line in it. Export the outline as lines, arcs or polylines, not as text or a picture."
        )
    near = _near(lines)
    named = [c for c in lines.chains if any(word in c.layer.lower() for word in _NAMES)]
    found = joined([c.pieces for c in named], near) if named else Joined((), ())
    first = bool(found.rings)
    if not first:
        found = joined([c.pieces for c in lines.chains], near)
    if not found.rings:
        raise DocumentError(why_open(lines, found))
    rim, *others = sorted(found.rings, key=lambda r: -abs(area_of(r)))
    if first:  # openings may be on layers of their own, holes on theirs
        rest = joined([c.pieces for c in lines.chains if c not in named], near)
        others = [*others, *rest.rings]
    others = [ring for ring in _distinct(others, near) if not _same(ring, rim, near)]
    inside = within(rim)
    inner = sorted((r for r in others if inside(r)), key=lambda r: -abs(area_of(r)))
    mm, notes = lines.mm, notes_of(lines, found, len(others) - len(inner), named=first)
    x0, y0, x1, y1 = box_of(rim)
    if mm is not None and (large := max(x1 - x0, y1 - y0) * mm) > BOARD_SIDE.most:
        mm, said = None, f"In the file’s own unit, the board would be {large / 1000:,.1f} m large; choose its unit."
        notes = (said, *notes)
    return OutlineFile(rim, tuple(inner), tuple(is_circle(r) for r in inner), mm, notes)


def _distinct(rings: Sequence[Ring], near: float) -> list[Ring]:
    """Each ring once, though drawn twice in other pieces."""
    cell = max(near, 1e-12)
    return list({(*(round(v / cell) for v in box_of(r)), round(abs(area_of(r)) / cell)): r for r in rings}.values())


def _same(ring: Ring, rim: Ring, near: float) -> bool:
    """Whether a ring is the rim drawn once more."""
    a, b = box_of(ring), box_of(rim)
    return max(abs(u - v) for u, v in zip(a, b, strict=True)) <= near and (
        abs(abs(area_of(ring)) - abs(area_of(rim))) <= near * 2 * (b[2] - b[0] + b[3] - b[1])
    )


def _near(lines: Lines) -> float:
    """How near ends of lines are one, in the units of the file."""
    extent = _extent(lines.chains)
    near = catalogue().rule("outline-join") * extent
    if lines.mm is None or extent * lines.mm > 20 * BOARD_SIDE.most:
        return near
    return min(near, catalogue().rule("outline-gap") / lines.mm)


def _extent(chains: Sequence[Chain]) -> float:
    points = [p for chain in chains for piece in chain.pieces for p in (piece.a, piece.b)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return math.hypot(max(xs) - min(xs), max(ys) - min(ys)) or 1.0


def _check(rim: tuple[Corner, ...], openings: tuple[tuple[Corner, ...], ...]) -> None:
    if len(openings) > OPENINGS.most:
        raise DocumentError(f"{len(openings)} openings were chosen; a board has up to {OPENINGS.most}. Choose fewer.")
    for what, corners in (("The outline", rim), *((f"Opening {k}", o) for k, o in enumerate(openings, 1))):
        if len(corners) > CORNERS.most:
            raise DocumentError(
                f"{what} has {len(corners)} corners; up to {CORNERS.most} are kept. Draw it with fewer, longer lines."
            )
    try:
        whole = Outline(rim)
        for k, corners in enumerate(openings, 1):
            if not whole.encloses(Outline(corners)):
                raise DocumentError(
                    f"Opening {k} is not wholly inside the outline. Leave it out, or correct the drawing."
                )
        if (pair := first_meeting([Outline(corners) for corners in openings])) is not None:
            raise DocumentError(f"Openings {pair[0] + 1} and {pair[1] + 1} touch or overlap. Leave one out.")
    except GeometryError as error:
        raise DocumentError(f"The outline cannot be a board. {error}") from error
    x0, y0, x1, y1 = whole.bounds
    if not BOARD_SIDE.least <= min(x1 - x0, y1 - y0) <= max(x1 - x0, y1 - y0) <= BOARD_SIDE.most:
        raise DocumentError(
            f"In this unit the board would be {x1 - x0:,.6g} × {y1 - y0:,.6g} mm large; {BOARD_SIDE.least} to "
            f"{BOARD_SIDE.most:,} mm either way are possible. Choose another unit."
        )
