"""What is cut into a board, one by one: as a design asks for it, or as it was really made."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from app.geometry.shapes import Shape, circle
from app.model.as_built import CutKey, Mark
from app.model.as_built_board import as_built_board, hole_numbers
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.shop.screw_pilots import screw_pilots
from app.values import replace

_WORDS: Final = {"counterbore": "counterbore", "recess": "recess", "screw pilot": "screw pilot", "pilot": "pilot"}


class DrilledCut(Struct, frozen=True):
    """One cut of a board.

    Args:
        key: which it is.
        name: what a builder calls it, as ``B`` or ``B, screw pilot 2``.
        shape: at its place [mm].
        depth: from its face [mm]; None right through.
        face: the face it is cut from.
        work: what it is: ``through``, ``opening``, ``counterbore``, ``recess``, ``screw pilot`` or ``pilot``.
        smallest, largest: widths that its part takes [mm]; the same where it takes one only.
        measured: whether it is there as it is known; else it may be off by the allowance of the drilling method.
        usable: whether it was not spoilt.
    """

    key: CutKey
    name: str
    shape: Shape
    depth: float | None
    face: Face
    work: str
    smallest: float
    largest: float
    measured: bool = False
    usable: bool = True

    @property
    def ident(self) -> str:
        """The same as text, as an address has it."""
        return f"{self.key.placement}/{self.key.cut}"

    @property
    def width(self) -> float:
        """Diameter of a round one, the smaller side of another [mm]."""
        if self.shape.is_circle:
            return 2 * self.shape.radius
        return min(self.shape.size) if len(self.shape.core) > 2 else 2 * self.shape.radius

    @property
    def is_seen(self) -> bool:
        """Whether it shows on the top face."""
        return self.depth is None or self.face == "top"

    @property
    def has_point(self) -> bool:
        """Whether the bit that makes it is led by a point in its centre."""
        return self.shape.is_circle and self.work != "recess"


def cuts_of(board: ResolvedBoard) -> tuple[DrilledCut, ...]:
    """Every cut that a board wants, in the order of its placements: holes, pockets, screw pilots."""
    return tuple(cut for placed in board.drilled for cut in _cuts(board, placed))


def made_cuts(board: ResolvedBoard) -> tuple[DrilledCut, ...]:
    """Every cut that is in a board: as drawn, or if anything was marked as made, what was, where it came out."""
    built = board.as_built
    if not built:
        return cuts_of(board)
    marks = {mark.key: mark for mark in built.marks if mark is built.latest(mark.key)}
    real = as_built_board(board)
    there = {cut.key: cut for cut in cuts_of(real)}
    return tuple(_as_made(mark, there.get(key)) for key, mark in marks.items())


def _as_made(mark: Mark, cut: DrilledCut | None) -> DrilledCut:
    round_one = circle(mark.diameter, *mark.centre)
    name = mark.name or (cut.name if cut else mark.key.placement)
    if cut is None or mark.work == "pilot":
        depth = mark.depth
        return DrilledCut(
            mark.key, _named(name, mark.work), round_one, depth, mark.face if depth is not None else "top", mark.work,
            mark.diameter, mark.diameter, measured=True, usable=not mark.spoilt,
        )  # fmt: skip
    shape = round_one if cut.shape.is_circle else cut.shape
    return replace(cut, shape=shape, measured=True, usable=not mark.spoilt)


def _named(name: str, work: str) -> str:
    return f"{name}, {_WORDS[work]}" if work in _WORDS and "," not in name else name


def _cuts(board: ResolvedBoard, placed: Placed) -> Iterator[DrilledCut]:
    label, numbers = placed.label or placed.part.name, hole_numbers(placed.part)
    wall = 2 * board.paint
    for number, hole in zip(numbers, placed.holes, strict=True):
        several = f"{label}-{number}" if placed.part.is_pattern else f"{label}, hole {number}"
        low, high = hole.cutout.smallest + wall, hole.cutout.largest + wall
        work = "through" if hole.is_circle else "opening"
        key = CutKey(placed.id, "hole", number)
        yield DrilledCut(key, several if len(numbers) > 1 else label, hole.shape, None, "top", work, low, high)
    yield from _pockets(placed, label)
    pilots = screw_pilots(board, placed)
    if pilots is not None:
        for number, at in enumerate(placed.screws, 1):
            if at in pilots.at:
                shape, key = circle(pilots.diameter, *at), CutKey(placed.id, "screw", number)
                name = f"{label}, screw pilot {number}"
                wide = pilots.diameter
                yield DrilledCut(key, name, shape, pilots.depth, pilots.face, "screw pilot", wide, wide)


def _pockets(placed: Placed, label: str) -> Iterator[DrilledCut]:
    number = 1
    if placed.bore is not None and placed.counterbore is not None:
        wide, depth = placed.counterbore.diameter, placed.counterbore.depth
        key = CutKey(placed.id, "pocket", number)
        yield DrilledCut(key, f"{label}, counterbore", placed.bore, depth, "under", "counterbore", wide, wide)
        number += 1
    if placed.pocket is not None and placed.recess is not None:
        wide = min(placed.recess.width, placed.recess.height)
        key = CutKey(placed.id, "pocket", number)
        yield DrilledCut(key, f"{label}, recess", placed.pocket, placed.recess.depth, "under", "recess", wide, wide)
