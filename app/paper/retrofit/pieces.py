"""What the retrofit template consists of: pieces of the board that lie on two old holes that stay, and guide blocks."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from app.geometry.shapes import Point, Shape, circle
from app.model.part import Face
from app.retrofit.cut import DrilledCut
from app.retrofit.retrofit import Retrofit

_RIM = 8.0  # round what a piece shows [mm]
_NEAREST = 10  # old holes that are tried to lay a piece on
_LAID_ON = 10.0  # mm; through a narrower hole nobody sees whether it lies right
_WOOD = 18.0  # round the holes of a guide block [mm]

Box = tuple[float, float, float, float]


class LaidPiece(Struct, frozen=True):
    """A piece of the template.

    Args:
        face: the face it lies on.
        marks: the cuts to mark, in the coordinates of that face.
        names: what each is called.
        on: two old holes that it is laid on, likewise; none where no two are near.
        on_names: what they are called.
    """

    face: Face
    marks: tuple[Shape, ...]
    names: tuple[str, ...]
    on: tuple[Shape, ...]
    on_names: tuple[str, ...]

    @property
    def box(self) -> Box:
        """What it shows [mm]."""
        return _grown(_around([*self.marks, *self.on]), _RIM)

    @property
    def apart(self) -> float:
        """How far the centres of the two holes are apart that it is laid on; 0 without them [mm]."""
        return math.dist(self.on[0].centre, self.on[1].centre) if len(self.on) == 2 else 0.0


class Guide(Struct, frozen=True):
    """A guide block.

    Args:
        old: the old hole, in the coordinates of the face it is clamped on.
        new: what is bored through it, likewise.
        name: what the old hole is called.
        target: what is bored for, as ``B`` or ``its plug``.
        face: that face.
    """

    old: Shape
    new: Shape
    name: str
    target: str
    face: Face

    @property
    def box(self) -> Box:
        """The block [mm]."""
        return _grown(_around([self.old, self.new]), _WOOD)


def guides_of(found: Retrofit) -> tuple[Guide, ...]:
    """Every guide block, in the order of the work."""
    guides = []
    for step in found.old_steps:
        if step.taken.bored:
            bore = circle(step.taken.wide, *step.cut.shape.centre)
            guides.append(Guide(step.cut.shape, bore, step.cut.name, "its plug", "top"))
    for new in found.new_steps:
        if new.over is not None:
            face = new.cut.face if new.cut.depth is not None else "top"
            old, fresh = (_seen(shape, face, found) for shape in (new.over.shape, new.cut.shape))
            guides.append(Guide(old, fresh, new.over.name, new.cut.name, face))
    return tuple(guides)


def pieces_of(found: Retrofit, width: float, height: float) -> tuple[LaidPiece, ...]:
    """Pieces no larger than a page, which carry every new cut that needs no guide block.

    Args:
        found: what the board needs.
        width: of a page [mm].
        height: of a page [mm].
    """
    room = (width - 2 * _RIM, height - 2 * _RIM)
    stay = [s.kept for s in found.new_steps if s.kept is not None and s.kept.depth is None]
    stay = [cut for cut in stay if cut.shape.is_circle and cut.width >= _LAID_ON]
    pieces: list[LaidPiece] = []
    for face in ("top", "under"):
        work = [s.cut for s in found.new_steps if s.kept is None and s.over is None and _face(s.cut) == face]
        pieces += _laid(found, face, work, stay, room)
    return tuple(pieces)


def _face(cut: DrilledCut) -> Face:
    return "top" if cut.depth is None else cut.face


def _seen(shape: Shape, face: Face, found: Retrofit) -> Shape:
    """A shape as it is seen from a face; from below the board is mirrored."""
    x0, _, x1, _ = found.new.outline.bounds
    return shape if face == "top" else shape.mirrored((x0 + x1) / 2)


def _laid(
    found: Retrofit, face: Face, work: Sequence[DrilledCut], stay: Sequence[DrilledCut], room: Point
) -> Iterator[LaidPiece]:
    left = sorted(work, key=lambda c: (c.shape.centre[0], c.shape.centre[1], c.ident))
    while left:
        first = left[0]
        on = _best_pair(first, stay, room)
        box = _around([first.shape, *(c.shape for c in on)])
        taken = [first]
        for cut in sorted(left[1:], key=lambda c: math.dist(c.shape.centre, first.shape.centre)):
            wider = _joined(box, cut.shape.bounds)
            if _fits(wider, room):
                box = wider
                taken.append(cut)
        mine = {cut.ident for cut in taken}
        left = [cut for cut in left if cut.ident not in mine]
        yield LaidPiece(
            face,
            tuple(_seen(c.shape, face, found) for c in taken),
            tuple(c.name for c in taken),
            tuple(_seen(c.shape, face, found) for c in on),
            tuple(c.name for c in on),
        )


def _best_pair(cut: DrilledCut, stay: Sequence[DrilledCut], room: Point) -> tuple[DrilledCut, ...]:
    """The two old holes furthest from each other that fit on a page with a cut; none if no two do."""
    near = sorted(stay, key=lambda c: (math.dist(c.shape.centre, cut.shape.centre), c.ident))[:_NEAREST]
    fitting = [pair for pair in combinations(near, 2) if _fits(_around([cut.shape, *(c.shape for c in pair)]), room)]
    return max(fitting, key=lambda p: round(math.dist(p[0].shape.centre, p[1].shape.centre), 6), default=())


def _around(shapes: Sequence[Shape]) -> Box:
    x0, y0, x1, y1 = zip(*(s.bounds for s in shapes), strict=True)
    return (min(x0), min(y0), max(x1), max(y1))


def _joined(a: Box, b: Box) -> Box:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def _fits(box: Box, room: Point) -> bool:
    return box[2] - box[0] <= room[0] and box[3] - box[1] <= room[1]
