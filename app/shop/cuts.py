"""Everything that is made in a board with a bit: what, from which face, how deep, and for which part."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.bit_selection import drilled_depth
from app.model.part import Face
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.model.tooling import Bit
from app.shop.bit_uses import flat_bits
from app.shop.screw_pilots import screw_pilots

Work = Literal["pilot", "counterbore", "recess", "screw pilot", "halfway", "through", "opening"]
"""``halfway`` is a through hole begun from below, for a bit that does not reach right through from the top."""

_SAME: Final = 1e-6
_MEETING: Final = 1.0  # that a hole from one side goes past the middle, so that both meet [mm]


class Cut(Struct, frozen=True):
    """One thing to make.

    Args:
        work: what is done.
        face: the face that is up.
        bit: the shop's bit for it; None where it has none, or none is needed.
        width: of the cut [mm].
        depth: as the stop is set, of flat bottoms from the bit's rim, of pilots from its tip; None right through [mm].
        letter: of the part.
        owner: id of its placement.
        hole: which of its holes or screws, from 0.
    """

    work: Work
    face: Face
    bit: Bit | None
    width: float
    depth: float | None
    letter: str
    owner: str = ""
    hole: int = 0

    @property
    def tool(self) -> str:
        """What is in the chuck; what is sawn, or has no bit yet, by its width."""
        if self.work == "opening":
            return "saw"
        if self.bit is not None:
            return str(self.bit)
        kind = "hole" if self.work in ("through", "halfway") else self.work
        return f"{kind} {self.width:.4f}"


def cuts_of(board: ResolvedBoard) -> tuple[Cut, ...]:
    """Everything that is made in a board, part by part."""
    return tuple(cut for placed in board.drilled for cut in _of(board, placed))


def _of(board: ResolvedBoard, placed: Placed) -> Iterator[Cut]:
    letter = placed.label or placed.part.name
    for number, hole in enumerate(placed.holes):
        yield from _of_hole(board, placed, hole, number, letter)
    if placed.counterbore is not None:
        width, depth = placed.counterbore.diameter, placed.counterbore.depth
        bit = next((b for b in flat_bits(board.tooling) if abs(b.diameter - width) <= _SAME), None)
        yield Cut("counterbore", "under", bit, width, depth, letter, placed.id)
    if placed.recess is not None:
        bit = board.tooling.router_for(placed.recess.corner, placed.recess.depth)
        yield Cut("recess", "under", bit, 2 * placed.recess.corner, placed.recess.depth, letter, placed.id)
    pilots = screw_pilots(board, placed)
    if pilots is not None:
        bit = _twist(board, pilots.diameter)
        for number in range(len(pilots.at)):
            yield Cut(
                "screw pilot", pilots.face, bit, pilots.diameter, pilots.depth, letter, placed.id, number
            )  # fmt: skip


def _of_hole(board: ResolvedBoard, placed: Placed, hole: Hole, number: int, letter: str) -> Iterator[Cut]:
    if not hole.is_circle:
        yield Cut("opening", "top", None, hole.cutout.width, None, letter, placed.id, number)
        return
    pilot = catalogue().rule("pilot-diameter")
    if hole.diameter > pilot + _SAME:
        yield Cut("pilot", "top", _twist(board, pilot), pilot, None, letter, placed.id, number)
        half = halfway_depth(board, placed, hole)
        if half is not None:
            yield Cut("halfway", "under", hole.bit, hole.diameter, half, letter, placed.id, number)
    yield Cut("through", "top", hole.bit, hole.diameter, None, letter, placed.id, number)


def halfway_depth(board: ResolvedBoard, placed: Placed, hole: Hole) -> float | None:
    """How deep a hole is begun from below, from the underside [mm]; None where its bit reaches through from the top."""
    bit = hole.bit
    deep = drilled_depth(hole.cutout, board.thickness, placed.counterbore, placed.recess)
    if bit is None or bit.reach >= deep - _SAME or bit.both_sides < deep - _SAME:
        return None
    return board.thickness - deep + min(deep / 2 + _MEETING, bit.reach)


def _twist(board: ResolvedBoard, width: float) -> Bit | None:
    """The shop's twist bit of a width, or, within the steps small bits are sold by, the nearest."""
    step = catalogue().rule("screw-pilot-step")
    twist = [b for b in board.tooling.bits if b.kind in ("twist", "brad-point") and abs(b.diameter - width) < step / 2]
    return min(twist, key=lambda b: abs(b.diameter - width), default=None)
