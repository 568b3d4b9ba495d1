"""Which bit makes what on a template, so that it can be drawn for one bit alone."""

from __future__ import annotations

from app.model.part import Face
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.model.tooling import Bit
from app.shop.screw_pilots import ScrewPilots, screw_pilots

_SAME = 1e-6  # mm: widths nearer than this are one width


def template_bits(board: ResolvedBoard, face: Face) -> tuple[Bit, ...]:
    """The bits that work from ``face``, the widest first: those a template can be drawn for alone."""
    found: set[Bit] = set()
    for placed in board.drilled:
        if face == "top":
            found |= {hole.bit for hole in placed.holes if hole.bit is not None}
        found |= {bit for bit in (bore_bit(board, placed), recess_bit(board, placed)) if bit and face == "under"}
        pilots = screw_pilots(board, placed)
        pilot = pilot_bit(board, pilots) if pilots is not None and pilots.face == face else None
        found |= {pilot} if pilot else set()
    return tuple(sorted(found, key=lambda b: (-b.diameter, b.kind, b.reach, b.inch)))


def hole_made(hole: Hole, only: Bit | None, face: Face) -> bool:
    """Whether a through hole is drawn: always, or only if ``only`` drills it from this face."""
    return only is None or (face == "top" and hole.bit == only)


def bore_bit(board: ResolvedBoard, placed: Placed) -> Bit | None:
    """The shop's bit as wide as the counterbore."""
    if placed.counterbore is None:
        return None
    width, depth = placed.counterbore.diameter, placed.counterbore.depth
    bit = board.tooling.counterbore_bit(width, depth)
    return bit if bit is not None and abs(bit.diameter - width) < _SAME else None


def recess_bit(board: ResolvedBoard, placed: Placed) -> Bit | None:
    """The shop's router bit for the corners of the recess."""
    if placed.recess is None:
        return None
    return board.tooling.router_for(placed.recess.corner, placed.recess.depth)


def pilot_bit(board: ResolvedBoard, pilots: ScrewPilots) -> Bit | None:
    """The shop's twist bit as wide as the screw pilots."""
    twist = (b for b in board.tooling.bits if b.kind in ("twist", "brad-point"))
    return next((b for b in twist if abs(b.diameter - pilots.diameter) < _SAME), None)
