"""Legends as pieces to be cut from film or paper, each in a frame of its own, and how they are packed in rows."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from msgspec import Struct

from app.fit.lettering.ink import Ink, InkPiece
from app.geometry.contours import Box, Contour, Pose, box_of
from app.geometry.shapes import Point
from app.shop.legends import LegendRow
from app.values import replace

ROUND: Final = 3.0
"""Film left round a legend inside its frame [mm]. Common practice, no source."""


class CutPiece(Struct, frozen=True):
    """A legend, or a stretch of one, in its frame.

    Args:
        letter: of its part, and which stretch it is, as ``B`` or ``B, 1 of 2``.
        contours: its rings, from the lower left corner of the frame [mm].
        size: of the frame [mm].
        middle: what its measures are of, in the frame [mm].
        is_ring: whether that is the middle of the part it goes round.
    """

    letter: str
    contours: tuple[Contour, ...]
    size: Point
    middle: Point
    is_ring: bool = False

    def mirrored(self) -> CutPiece:
        """As it is seen from behind."""
        wide = self.size[0]
        turned = tuple(contour.placed(Pose(x=wide, mirrored=True)) for contour in self.contours)
        return replace(self, contours=turned, middle=(wide - self.middle[0], self.middle[1]))

    def at(self, x: float, y: float) -> tuple[Contour, ...]:
        """Its rings where the corner of its frame is at a place [mm]."""
        return tuple(contour.placed(Pose(x=x, y=y)) for contour in self.contours)


def cut_pieces(rows: Iterable[LegendRow], room: float | None = None, *, mirrored: bool = False) -> list[CutPiece]:
    """The pieces of legends, in their order.

    Args:
        rows: the legends.
        room: width that a piece may have; a longer straight one is cut between two letters [mm]; None for any.
        mirrored: whether they are to be seen from behind.
    """
    found: list[CutPiece] = []
    for row in rows:
        if not row.laid.straight:
            found.append(_ring(row))
            continue
        runs = _runs(row.laid.ink, None if room is None else room - 2 * ROUND)
        for k, run in enumerate(runs):
            letter = row.letter if len(runs) == 1 else f"{row.letter}, {k + 1} of {len(runs)}"
            found.append(_framed(letter, [c for piece in run for c in piece.contours], high=row.height))
    return [piece.mirrored() for piece in found] if mirrored else found


def packed(pieces: Sequence[CutPiece], room: float, apart: Point) -> list[list[tuple[CutPiece, float]]]:
    """Pieces in rows, the deepest first, each with its left end: next fit by decreasing height.

    Args:
        pieces: the pieces.
        room: width of a row [mm].
        apart: least gap between two pieces of a row, and the same below each for its name [mm].
    """
    order = sorted(range(len(pieces)), key=lambda k: (-round(pieces[k].size[1], 3), k))
    rows: list[list[tuple[CutPiece, float]]] = []
    x = 0.0
    for k in order:
        piece = pieces[k]
        if not rows or (rows[-1] and x + piece.size[0] > room + 1e-9):
            rows.append([])
            x = 0.0
        rows[-1].append((piece, x))
        x += piece.size[0] + apart[0]
    return rows


def _ring(row: LegendRow) -> CutPiece:
    """A ring with the middle of its part, by which it is laid round the hole."""
    laid, (cx, cy) = row.laid, row.middle
    contours = [
        contour.placed(replace(where, x=where.x - cx, y=where.y - cy))
        for piece, where in zip(laid.ink.pieces, laid.poses, strict=True)
        for contour in piece.contours
    ]
    x0, y0, x1, y1 = box_of(contours)
    return _framed(row.letter, contours, (min(x0, -2.0), min(y0, -2.0), max(x1, 2.0), max(y1, 2.0)))


def _framed(letter: str, contours: Sequence[Contour], box: Box | None = None, high: float = 0.0) -> CutPiece:
    """A piece in its frame: a ring in a ``box`` about its middle, or letters that stand ``high`` on a baseline [mm]."""
    x0, y0, x1, y1 = box or box_of(contours)
    pose = Pose(x=ROUND - x0, y=ROUND - y0)
    size = (x1 - x0 + 2 * ROUND, y1 - y0 + 2 * ROUND)
    middle = (pose.x, pose.y) if box is not None else (size[0] / 2, pose.y + high / 2)
    return CutPiece(letter, tuple(c.placed(pose) for c in contours), size, middle, box is not None)


def _runs(ink: Ink, room: float | None) -> list[list[InkPiece]]:
    """Letters in as few runs as fit a width, cut between two of them; one that is wider stands alone."""
    runs: list[list[InkPiece]] = [[]]
    for piece in ink.pieces:
        if room is not None and runs[-1] and piece.box[2] - runs[-1][0].box[0] > room:
            runs.append([])
        runs[-1].append(piece)
    return runs
