"""A file read as the outline of a board: the largest ring, its inner openings, and what was left out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from app.catalogue.load import catalogue
from app.errors import DocumentError, GeometryError
from app.geometry.outline import Corner, Outline
from app.readers.chain import Chain, Lines
from app.readers.corners import corners_of
from app.readers.dxf_chains import read_dxf
from app.readers.pieces import Ring, area_of, box_of, chords, is_circle
from app.readers.rings import Joined, joined
from app.readers.svg_chains import read_svg

LARGEST_FILE: Final = 8_000_000
"""Largest file that is read [bytes]; an outline has a few thousand."""

_FARTHEST: Final = 1e9
_MOST_CORNERS: Final = 500
_MOST_OPENINGS: Final = 100
_NAMES: Final = ("outline", "board", "contour", "rim", "perimeter")
_INNER: Final = ("opening", "cutout", "cut-out", "window")


@dataclass(frozen=True, slots=True)
class OutlineFile:
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
    svg = data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"<") or name.lower().endswith(".svg")
    lines = read_svg(data, share) if svg else read_dxf(data, share)
    _check_numbers(lines)
    return _chosen(lines)


def _check_numbers(lines: Lines) -> None:
    for chain in lines.chains:
        for piece in chain.pieces:
            if not all(math.isfinite(v) and abs(v) < _FARTHEST for v in (*piece.a, *piece.b)):
                raise DocumentError(
                    f"Layer “{chain.layer[:40]}”: a line ends at {piece.b[0]:g}, {piece.b[1]:g}, where no board is. "
                    "Move the drawing near the origin, and export it again."
                )


def _chosen(lines: Lines) -> OutlineFile:
    """The outline among everything: on a layer that is named so, if there is one."""
    if not lines.chains:
        raise DocumentError(
            "There is no line in it. Export the outline as lines, arcs or polylines, not as text or a picture."
        )
    near = catalogue().rule("outline-join") * _extent(lines.chains)
    named = [c for c in lines.chains if any(word in c.layer.lower() for word in _NAMES)]
    found = joined([c.pieces for c in named], near) if named else Joined((), ())
    first = bool(found.rings)
    if not first:
        found = joined([c.pieces for c in lines.chains], near)
    if not found.rings:
        raise DocumentError(_open(found))
    rings = sorted(found.rings, key=lambda r: -abs(area_of(r)))
    rim = rings[0]
    others = rings[1:]
    if first:  # openings may be on layers of their own, holes on theirs
        rest = joined([c.pieces for c in lines.chains if c not in named], near)
        others = [*others, *rest.rings]
    inner = sorted((r for r in others if _inside(r, rim)), key=lambda r: -abs(area_of(r)))
    notes = _notes(lines, found, len(others) - len(inner), named=first)
    circles = tuple(is_circle(r) for r in inner)
    return OutlineFile(rim, tuple(inner), circles, lines.mm, notes)


def _notes(lines: Lines, found: Joined, outside: int, *, named: bool) -> tuple[str, ...]:
    notes = []
    if named:
        notes.append("The outline was taken from the layer that is named after it.")
    if lines.curves:
        off = f", at most {lines.off * lines.mm:.3f} mm off" if lines.mm else ""
        notes.append(f"{lines.curves} curved pieces that are no arcs were made of arcs{off}.")
    if found.gaps:
        notes.append(f"{len(found.gaps)} open lines were left out.")
    if outside:
        notes.append(f"{outside} closed lines outside the outline were left out.")
    return tuple(notes)


def _open(found: Joined) -> str:
    gap = min(found.gaps, key=lambda g: math.inf if g.wide is None else g.wide, default=None)
    if gap is None:
        return "No line in it encloses anything. Draw the outline as a closed line."
    at = f"{gap.at[0]:g}, {gap.at[1]:g}"
    wide = "nothing goes on from there" if gap.wide is None else f"the nearest other end is {gap.wide:g} away"
    return (
        f"No line in it is closed: at {at} one ends, and {wide} (in the file's units). "
        "Close the outline, and export it again."
    )


def _extent(chains: Sequence[Chain]) -> float:
    points = [p for chain in chains for piece in chain.pieces for p in (piece.a, piece.b)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return math.hypot(max(xs) - min(xs), max(ys) - min(ys)) or 1.0


def _inside(ring: Ring, rim: Ring) -> bool:
    """Whether a ring lies in the rim's box and its first point inside the rim."""
    a, b = box_of(ring), box_of(rim)
    if a[0] < b[0] or a[1] < b[1] or a[2] > b[2] or a[3] > b[3]:
        return False
    x, y = ring[0].a
    points = [p for piece in rim for p in chords(piece, 2.0)]
    inside = False
    for (ax, ay), (bx, by) in zip(points, points[1:] + points[:1], strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
    return inside


def _check(rim: tuple[Corner, ...], openings: tuple[tuple[Corner, ...], ...]) -> None:
    if len(openings) > _MOST_OPENINGS:
        raise DocumentError(f"{len(openings)} openings were chosen; a board has up to {_MOST_OPENINGS}. Take fewer.")
    for what, corners in (("The outline", rim), *((f"Opening {k}", o) for k, o in enumerate(openings, 1))):
        if len(corners) > _MOST_CORNERS:
            raise DocumentError(
                f"{what} has {len(corners)} corners; up to {_MOST_CORNERS} are kept. Draw it with fewer, larger pieces."
            )
    try:
        whole = Outline(rim)
        for k, corners in enumerate(openings, 1):
            if not whole.encloses(Outline(corners)):
                raise DocumentError(f"Opening {k} is not wholly inside the outline. Leave it out, or mend the drawing.")
    except GeometryError as error:
        raise DocumentError(f"The outline cannot be a board. {error}") from error
    largest = max(abs(v) for c in rim for v in (c.x, c.y))
    if largest > catalogue().rule("outline-largest"):
        raise DocumentError(
            f"In this unit the board would be {largest / 1000:,.1f} m large; up to "
            f"{catalogue().rule('outline-largest') / 1000:g} m are. Choose another unit."
        )
