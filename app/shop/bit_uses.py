"""Which bit makes what: a row for each size of hole, counterbore and recess, and how far off its bit is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from app.catalogue.load import catalogue
from app.fit.limits.cut_depths import narrowest_bore
from app.model.bit_selection import drilled_depth, routed
from app.model.part import Cutout, Part
from app.model.resolved import Counterbore, Hole, Placed, ResolvedBoard
from app.model.tooling import Bit, Tooling

_SAME = 1e-6  # mm: widths nearer than this are one width


class BitUse(Struct, frozen=True):
    """One size of hole, counterbore or recess, and the bit for it.

    Args:
        sort: ``hole``, ``counterbore``, ``recess``, or ``opening`` for a cut-out that is not round.
        part: the hardware it is for.
        placements: the placements that have it, in their order on the board.
        count: how many there are: a part may have several alike.
        nominal: width asked for [mm]; of a recess the widest that leaves its inside corners, twice their radius.
        smallest: narrowest with which the body, or the nut, goes in [mm].
        largest: widest that the flange still covers [mm]; None where nothing has to cover it.
        depth: how deep the bit has to drill, at most [mm].
        bit: the shop's bit for it; None if none will do, or none is needed.
        nearest: where none will do, the one that comes nearest; None if the shop has none of the sort.
        routed: whether a machine cuts it with a narrower router bit.
        paint: thickness on the wall [mm].
        buy: the bit to buy; None if the shop has one, or buying one does not help.
    """

    sort: Literal["hole", "counterbore", "recess", "opening"]
    part: Part
    placements: tuple[Placed, ...]
    count: int
    nominal: float
    smallest: float
    largest: float | None
    depth: float
    bit: Bit | None
    nearest: Bit | None
    routed: bool
    paint: float
    buy: Bit | None = None

    @property
    def shown(self) -> Bit | None:
        """The bit the figures are about: the one for it, else the nearest."""
        return self.bit or self.nearest

    @property
    def difference(self) -> float | None:
        """Width of the bit less the width asked for [mm]; positive if wider."""
        return None if self.shown is None else self.shown.makes - self.nominal

    @property
    def enters(self) -> bool | None:
        """Whether the body, or the nut, goes in after painting; None if there is no bit to ask about."""
        return None if self.room is None else self.room >= -_SAME

    @property
    def room(self) -> float | None:
        """Room for the body, or the nut, to go in [mm]; negative by how much is missing; None of a recess."""
        if self.sort == "recess":  # as wide as it is routed, whatever the bit
            return None
        return None if self.shown is None else self.shown.makes - 2 * self.paint - self.smallest

    @property
    def covered(self) -> bool | None:
        """Whether the flange still covers the painted hole; None if nothing has to."""
        return None if self.cover is None else self.cover >= -_SAME

    @property
    def cover(self) -> float | None:
        """How much wider the hole might be and still be covered [mm]."""
        if self.shown is None or self.largest is None:
            return None
        return self.largest + 2 * self.paint - self.shown.makes

    @property
    def corner(self) -> float | None:
        """Inside radius that the bit leaves less the one asked for [mm]; above 0 where the corners come out rounder."""
        return None if self.difference is None or self.sort != "recess" else self.difference / 2

    @property
    def reaches(self) -> bool | None:
        """Whether the bit goes deep enough from one side."""
        return None if self.shown is None else self.shown.reach >= self.depth - _SAME

    @property
    def both_sides(self) -> bool:
        """Whether it goes through from both sides, where it does not from one."""
        bit = self.shown
        return self.sort == "hole" and bit is not None and bit.both_sides >= self.depth - _SAME


def uses_of(board: ResolvedBoard) -> list[BitUse]:
    """Every size of hole, then of counterbore and recess, on the drilled placements of a board, with its bit.

    What to buy is said of recesses alone: of the others it is what clears their finding.
    """
    return [*_holes(board), *_counterbores(board), *recess_uses(board)]


def _holes(board: ResolvedBoard) -> list[BitUse]:
    groups: dict[tuple[str, Cutout, Bit | None], list[tuple[Placed, Hole]]] = {}
    for placed in board.drilled:
        for hole in placed.holes:
            groups.setdefault((placed.part.id, hole.cutout, hole.bit), []).append((placed, hole))
    return [_hole_row(board, cutout, bit, found) for (_, cutout, bit), found in groups.items()]


def _hole_row(board: ResolvedBoard, cutout: Cutout, bit: Bit | None, found: list[tuple[Placed, Hole]]) -> BitUse:
    drills = [b for b in board.tooling.bits if b.kind != "router"] if cutout.is_circle else []
    return BitUse(
        sort="hole" if cutout.is_circle else "opening",
        part=found[0][0].part,
        # By id: to tell apart two of a pattern as they are, all their holes would be looked at for each of them.
        placements=tuple({placed.id: placed for placed, _ in found}.values()),
        count=len(found),
        nominal=cutout.width,
        smallest=cutout.smallest,
        largest=cutout.largest,
        depth=max(drilled_depth(cutout, board.thickness, p.counterbore, p.recess) for p, _ in found),
        bit=bit,
        nearest=None if bit else _nearest(drills, cutout.width + 2 * board.paint),
        routed=bit is None and cutout.is_circle and routed(board.tooling, cutout.width),
        paint=board.paint,
    )


def _counterbores(board: ResolvedBoard) -> list[BitUse]:
    groups: dict[tuple[str, float], list[Placed]] = {}
    for placed in board.drilled:
        if placed.counterbore:
            groups.setdefault((placed.part.id, placed.counterbore.diameter), []).append(placed)
    return [_bore_row(board, width, found) for (_, width), found in groups.items()]


def _bore_row(board: ResolvedBoard, width: float, found: list[Placed]) -> BitUse:
    flat = flat_bits(board.tooling)
    bit = next((b for b in flat if abs(b.diameter - width) <= _SAME), None)
    bores = [p.counterbore for p in found if isinstance(p.counterbore, Counterbore)]
    return BitUse(
        sort="counterbore",
        part=found[0].part,
        placements=tuple(found),
        count=len(found),
        nominal=width,
        smallest=narrowest_bore(found[0].part) or max((h.diameter for h in found[0].holes[:1]), default=0.0),
        largest=None,
        depth=max(bore.depth for bore in bores),
        bit=bit,
        nearest=None if bit else _nearest(flat, width),
        routed=bit is None and routed(board.tooling, width),
        paint=board.paint,
    )


def recess_uses(board: ResolvedBoard) -> list[BitUse]:
    """Every recess by its inside corners, with the widest router bit of the shop that leaves them and reaches."""
    groups: dict[tuple[str, float], list[Placed]] = {}
    for placed in board.drilled:
        if placed.recess:
            groups.setdefault((placed.part.id, placed.recess.corner), []).append(placed)
    return [_recess_row(board, corner, found) for (_, corner), found in groups.items()]


def _recess_row(board: ResolvedBoard, corner: float, found: list[Placed]) -> BitUse:
    depth = max(p.recess.depth for p in found if p.recess)
    bit = board.tooling.router_for(corner, depth)
    routers = [b for b in board.tooling.bits if b.kind == "router"]
    return BitUse(
        sort="recess",
        part=found[0].part,
        placements=tuple(found),
        count=len(found),
        nominal=2 * corner,
        smallest=0.0,
        largest=None,
        depth=depth,
        bit=bit,
        nearest=None if bit else _nearest(routers, 2 * corner),
        routed=False,
        paint=board.paint,
        buy=None if bit or corner <= 0 else _router_to_buy(board, 2 * corner, depth),
    )


def _router_to_buy(board: ResolvedBoard, widest: float, depth: float) -> Bit:
    """The widest router bit of a starter set, the board's units first, that leaves the corners and reaches."""
    sets, own = catalogue().bit_sets, "inch" if board.units == "inch" else "metric"
    for name in sorted(sets, key=lambda n: n != own):
        fitting = [b for b in sets[name] if b.kind == "router" and b.diameter <= widest + _SAME and b.reach >= depth]
        if fitting:
            return max(fitting, key=lambda b: b.diameter)
    return Bit("router", widest, reach=depth)


def flat_bits(tooling: Tooling) -> list[Bit]:
    """The shop's bits that bore a flat bottom."""
    return [b for b in tooling.bits if b.kind == "forstner"]


def _nearest(bits: Sequence[Bit], width: float) -> Bit | None:
    return min(bits, key=lambda b: (round(abs(b.diameter - width), 6), -b.diameter), default=None)
