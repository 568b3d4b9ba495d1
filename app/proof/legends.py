"""Files of legends read back: every ring of every letter is there, at its size, in its place beside the others.

What has to be there comes from the legends of the board, not from the drawing that was written. Where a legend lies on
its film or paper does not matter; how its letters lie to each other does.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import ProofError
from app.fit.features.layout import layout_of
from app.geometry.contours import Box, Contour, Pose
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.legends.plotter import ARM, LETTERING, REGISTRATION, WEEDING
from app.paper.sheet_kind import SheetJob
from app.proof.curves import Bezier, Bow, Point, Trace
from app.proof.read_pdf import PdfPage, read_pdf
from app.proof.read_svg import READER, read_svg
from app.proof.result import TOLERANCE, Proof

_CELL: Final = 0.1  # mm: rings are looked up by their sizes on such a grid
_NOTHING: Final = 1e-3  # mm: a shorter step is none, as readers have it
_LONG: Final = 100.0  # mm: a longer legend may be cut between two letters on paper


class LegendProof(Proof, frozen=True):
    """That a file shows every legend."""

    @property
    def words(self) -> str:
        """The result in a sentence's length."""
        return f"{self.holes} {'legend' if self.holes == 1 else 'legends'}, largest difference {self.largest:.2f} mm"

    @property
    def detail(self) -> str:
        """What was compared, and by what the file was read."""
        return f"the size and the place of every letter; read back by {self.reader}"


class _Ring(Struct, frozen=True):
    """A ring as it is told from others: its box, and every point it is drawn by [mm]."""

    box: Box
    points: tuple[Point, ...] = ()

    @property
    def size(self) -> tuple[float, float]:
        return (self.box[2] - self.box[0], self.box[3] - self.box[1])


def prove_print(data: bytes | Sequence[PdfPage], job: SheetJob, _before: int) -> Proof:
    """Read printed legends back: a file, or its pages as they were read.

    Raises:
        ProofError: a letter is missing, of another size, or elsewhere than beside its neighbours.
    """
    pages = read_pdf(data) if isinstance(data, bytes) else data
    found = [[_ring(trace) for trace in (*page.clipped, *page.free) if len(trace.curves) > 1] for page in pages]
    lying = pages[0].box[2] > pages[0].box[3]
    stretch = _stretch(job.printing, lying=lying)
    largest = _all_found(job.board, found, stretch, mirrored=job.face == "under", whole=False)
    return LegendProof(len(layout_of(job.board, catalogue()).legends), largest, len(pages), READER)


def prove_cut(data: bytes, board: ResolvedBoard, *, mirrored: bool) -> Proof:
    """Read a plotter's file back.

    Raises:
        ProofError: a letter is missing, of another size or elsewhere; a legend lies outside every weeding box, or
            crosses or boxes are not as they should be; or the file is of another size than it says.
    """
    file = read_svg(data)
    if any(abs(scale - 1) > 1e-5 for scale in file.scale):
        raise _withheld(f"a user unit is {file.scale[0]:.5f} × {file.scale[1]:.5f} mm, not 1")
    if file.texts:
        raise _withheld("it holds words of a font, which another program may set otherwise")
    rings = [_ring(trace) for trace in file.traces if trace.layer == LETTERING]
    boxes = [_ring(trace).box for trace in file.traces if trace.layer == WEEDING]
    crosses = [_ring(trace) for trace in file.traces if trace.layer == REGISTRATION]
    legends = layout_of(board, catalogue()).legends
    largest = _all_found(board, [rings], (1.0, 1.0), mirrored=mirrored, whole=True)
    if len(boxes) != len(legends):
        raise _withheld(f"it has {len(boxes)} weeding boxes for {len(legends)} legends")
    if not _all_inside([ring.box for ring in rings], boxes):
        raise _withheld("a letter lies outside every weeding box")
    if len(crosses) != 8 or any(abs(max(cross.size) - 2 * ARM) > TOLERANCE for cross in crosses):
        raise _withheld("its registration crosses are not four of the right size")
    if any(not _inside(ring.box, (0.0, 0.0, file.width, file.height)) for ring in (*rings, *crosses)):
        raise _withheld("something lies outside its page")
    return LegendProof(len(legends), largest, 1, READER)


def _all_found(
    board: ResolvedBoard, pages: Sequence[Sequence[_Ring]], stretch: tuple[float, float], *, mirrored: bool, whole: bool
) -> float:
    """The largest difference of all legends, each found on a page and each ring taken once [mm].

    Args:
        board: whose legends.
        pages: the rings of each page.
        stretch: what pages are enlarged by along x and y.
        mirrored: whether legends are seen from behind.
        whole: whether nothing but legends may be among the rings, and none cut in stretches.

    Raises:
        ProofError: one is not there.
    """
    films = [_Film(rings) for rings in pages]
    largest = 0.0
    for laid in layout_of(board, catalogue()).legends:
        groups = [tuple(c for p in laid.ink.pieces for c in p.contours)] if laid.straight else [laid.contours]
        if not whole and laid.straight and laid.ink.width > _LONG:
            groups = [piece.contours for piece in laid.ink.pieces]
        for group in groups:
            wanted = [_wanted(contour, stretch, mirrored) for contour in group]
            off = next((off for film in films if (off := film.take(wanted)) is not None), None)
            if off is None:
                raise _withheld(f"the legend “{laid.legend.text or laid.legend.sign}” is not as it should be")
            largest = max(largest, off)
    left = sum(film.left for film in films)
    if whole and left:
        raise _withheld(f"{left} more rings are cut than legends have")
    return largest


class _Film:
    """The rings of one page, looked up by their sizes and by their places.

    Args:
        rings: all of them.
    """

    def __init__(self, rings: Sequence[_Ring]) -> None:
        self._rings = rings
        self._gone: set[int] = set()
        self._sizes: dict[tuple[int, int], list[int]] = defaultdict(list)
        self._places: dict[tuple[int, int], list[int]] = defaultdict(list)
        for k, ring in enumerate(rings):
            self._sizes[_cell(ring.size)].append(k)
            self._places[_cell(ring.box[:2])].append(k)

    @property
    def left(self) -> int:
        """How many nobody has taken."""
        return len(self._rings) - len(self._gone)

    def take(self, wanted: Sequence[_Ring]) -> float | None:
        """Take rings that lie to each other as those that are wanted.

        Returns:
            How far they are off at most [mm]; None where they are not there.
        """
        rarest = min(wanted, key=lambda ring: sum(len(self._sizes.get(cell, ())) for cell in _about(_cell(ring.size))))
        for k in self._free(self._sizes, rarest.size):
            ring = self._rings[k]
            dx, dy = ring.points[0][0] - rarest.points[0][0], ring.points[0][1] - rarest.points[0][1]
            found = self._beside(wanted, dx, dy)
            if found is not None:
                self._gone.update(found[0])
                return found[1]
        return None

    def _beside(self, wanted: Sequence[_Ring], dx: float, dy: float) -> tuple[list[int], float] | None:
        """The rings that are those wanted, moved by (dx, dy), and how far the worst is off [mm]."""
        mine: list[int] = []
        largest = 0.0
        for ring in wanted:
            corner = (ring.box[0] + dx, ring.box[1] + dy)
            near = [
                (off, k)
                for k in self._free(self._places, corner)
                if k not in mine and (off := _difference(ring, self._rings[k], dx, dy)) <= TOLERANCE
            ]
            if not near:
                return None
            mine.append(min(near)[1])
            largest = max(largest, min(near)[0])
        return mine, largest

    def _free(self, index: dict[tuple[int, int], list[int]], at: tuple[float, float]) -> list[int]:
        return [k for cell in _about(_cell(at)) for k in index.get(cell, ()) if k not in self._gone]


def _cell(at: Sequence[float]) -> tuple[int, int]:
    return (round(at[0] / _CELL), round(at[1] / _CELL))


def _about(cell: tuple[int, int]) -> list[tuple[int, int]]:
    return [(cell[0] + dx, cell[1] + dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1)]


def _difference(ring: _Ring, other: _Ring, dx: float, dy: float) -> float:
    """How far the worst point of a ring, moved by (dx, dy), is from that of another; infinite if it has others [mm]."""
    if len(ring.points) != len(other.points):
        return math.inf
    pairs = zip(ring.points, other.points, strict=True)
    return max(max(abs(a[0] + dx - b[0]), abs(a[1] + dy - b[1])) for a, b in pairs)


def _wanted(contour: Contour, stretch: tuple[float, float], mirrored: bool) -> _Ring:
    seen = contour.placed(Pose(mirrored=True)) if mirrored else contour
    (x0, y0, x1, y1), (sx, sy) = seen.box, stretch
    points = [seen.start]
    for here, piece in seen.steps:
        points += piece if math.dist(here, piece[-1]) > _NOTHING else ()
    if math.dist(points[-1], seen.start) > _NOTHING:
        points.append(seen.start)
    drawn = tuple((sx * x, sy * y) for x, y in points)
    return _Ring((sx * x0, sy * y0, sx * x1, sy * y1), drawn)


def _stretch(printing: Printing, *, lying: bool) -> tuple[float, float]:
    return printing.correction.on(lying=lying)


def _ring(trace: Trace) -> _Ring:
    """A line of a file by its exact box and its points."""
    points = []
    for curve in trace.curves:
        points += [curve.a, curve.b]
        if isinstance(curve, Bezier):
            points += [curve.at(t) for k in (0, 1) for t in _turns(curve, k)]
        elif isinstance(curve, Bow):
            points += curve.points()
    xs, ys = zip(*points, strict=True)
    drawn = [trace.curves[0].a]
    for curve in trace.curves:
        drawn += [curve.p, curve.q, curve.b] if isinstance(curve, Bezier) else [curve.b]
    return _Ring((min(xs), min(ys), max(xs), max(ys)), tuple(drawn))


def _turns(curve: Bezier, k: int) -> list[float]:
    """Where a Bézier turns back along x or y."""
    u, v, w = (b[k] - a[k] for a, b in ((curve.a, curve.p), (curve.p, curve.q), (curve.q, curve.b)))
    p, q, r = u - 2 * v + w, 2 * (v - u), u
    if abs(p) < 1e-12:
        return [t for t in ([-r / q] if abs(q) > 1e-12 else []) if 0 < t < 1]
    inside = q * q - 4 * p * r
    return [t for s in (1, -1) if inside >= 0 and 0 < (t := (-q + s * math.sqrt(inside)) / (2 * p)) < 1]


def _all_inside(inner: Sequence[Box], outer: Sequence[Box]) -> bool:
    """Whether each of some boxes lies in one of others."""
    if not inner or not outer:
        return not inner
    x0, y0, x1, y1 = np.array(outer).T
    for a0, b0, a1, b1 in inner:
        held = (a0 >= x0 - TOLERANCE) & (b0 >= y0 - TOLERANCE) & (a1 <= x1 + TOLERANCE) & (b1 <= y1 + TOLERANCE)
        if not held.any():
            return False
    return True


def _inside(box: Box, other: Box) -> bool:
    return (
        box[0] >= other[0] - TOLERANCE
        and box[1] >= other[1] - TOLERANCE
        and box[2] <= other[2] + TOLERANCE
        and box[3] <= other[3] + TOLERANCE
    )


def _withheld(what: str) -> ProofError:
    return ProofError(f"The file of legends, read back, is wrong: {what}. It is withheld; please report this.")
