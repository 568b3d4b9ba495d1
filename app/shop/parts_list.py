"""What is bought for a board: hardware with its screws and nuts, board by area, moulding by length, bits."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from app.fit.judging.wood_screws import clamped
from app.geometry.outline import edge_of
from app.geometry.pieces import ArcPiece, LinePiece, Piece
from app.model.part import NutFixing, ScrewFixing
from app.model.resolved import Placed, ResolvedBoard
from app.shop.bit_uses import uses_of

Sort = Literal["hardware", "screw", "nut", "washer", "board", "moulding", "bit"]


@dataclass(frozen=True, slots=True)
class Item:
    """A line of the list.

    Args:
        sort: what it is.
        name: by kind and measured size.
        letters: of the parts that need it, each once.
        count: how many; of board and moulding 1.
        spare: how many more to buy in case.
        size: length of a screw or moulding, thickness of board [mm]; None where it has none.
        area: of board, as a blank is sawn for it [mm²]; None of others.
        measured: whether its sizes were measured, or come from a data sheet; typical ones are measured first.
    """

    sort: Sort
    name: str
    letters: tuple[str, ...]
    count: int
    spare: int
    size: float | None
    area: float | None
    measured: bool

    @property
    def total(self) -> int:
        """How many to buy."""
        return self.count + self.spare


def parts_list(board: ResolvedBoard, spares: float) -> tuple[Item, ...]:
    """Everything for one arrangement of a board; what is typical, and must be measured first, on top.

    Args:
        board: the board.
        spares: share to buy in case, of what is lost or breaks: screws, nuts, washers and buttons [%].
    """
    items = [*_hardware(board, spares), *_fixings(board, spares), *_materials(board), *_bits(board)]
    return tuple(sorted(items, key=lambda item: item.measured))


def spare_of(count: int, spares: float) -> int:
    """So many more, whole ones, that the share is reached."""
    return math.ceil(count * spares / 100 - 1e-9)


def _hardware(board: ResolvedBoard, spares: float) -> Iterator[Item]:
    groups: dict[str, list[Placed]] = {}
    for placed in board.drilled:
        if not placed.part.is_pattern:
            groups.setdefault(placed.part.id, []).append(placed)
    for found in groups.values():
        part = found[0].part
        spare = spare_of(len(found), spares) if part.kind == "button" else 0
        measured = part.source.basis != "typical"
        yield Item("hardware", part.name, _letters(found), len(found), spare, None, None, measured)


def _fixings(board: ResolvedBoard, spares: float) -> Iterator[Item]:
    screws: dict[tuple[float, float | None], list[Placed]] = {}
    nuts: dict[tuple[float, float], list[Placed]] = {}
    washers: dict[float, list[Placed]] = {}
    for placed in board.drilled:
        fixing = placed.part.fixing
        if isinstance(fixing, ScrewFixing) and fixing.holes:
            key = (fixing.screw_diameter, _screw_length(board, placed, fixing))
            screws.setdefault(key, []).extend([placed] * len(fixing.holes))
        elif isinstance(fixing, NutFixing):
            nuts.setdefault((fixing.nut_width, fixing.nut_height), []).append(placed)
            if fixing.washer > 0:
                washers.setdefault(fixing.washer, []).append(placed)
    for (wide, long), found in screws.items():
        name = f"Screw, {wide:g} mm"
        yield Item(
            "screw", name, _letters(found), len(found), spare_of(len(found), spares), long, None, long is not None
        )
    for (across, high), found in nuts.items():
        name = f"Nut, {across:g} mm across corners, {high:g} mm high"
        yield Item("nut", name, _letters(found), len(found), spare_of(len(found), spares), None, None, True)
    for thick, found in washers.items():
        name = f"Washer, {thick:g} mm thick"
        yield Item("washer", name, _letters(found), len(found), spare_of(len(found), spares), None, None, True)


def _screw_length(board: ResolvedBoard, placed: Placed, fixing: ScrewFixing) -> float | None:
    """Under the head: as the part says; of a bolt through the board what it clamps; None where neither is known."""
    if fixing.screw_length is not None:
        return fixing.screw_length
    bolts = [hole.centre for hole in placed.holes]
    through = all(any(math.dist(at, bolt) < 1e-6 for bolt in bolts) for at in placed.screws)
    return board.thickness + clamped(placed.part, fixing) if through else None


def _materials(board: ResolvedBoard) -> Iterator[Item]:
    for layer in board.layers:
        area = board.width * board.depth_front_to_back
        yield Item("board", layer.material.name, (), 1, 0, layer.thickness, area, True)
    long = moulding_length(board)
    if long > 0:
        yield Item("moulding", "Edge moulding", (), 1, 0, long, None, True)


def moulding_length(board: ResolvedBoard) -> float:
    """Along the rim, where an edge has a slot for it [mm]."""
    slotted = {edge.edge for edge in board.edges if edge.slot_depth > 0}
    return sum(_length(piece) for piece in board.outline.pieces if edge_of(piece.a, piece.b) in slotted)


def _length(piece: Piece) -> float:
    if isinstance(piece, LinePiece):
        return math.dist(piece.a, piece.b)
    if isinstance(piece, ArcPiece):
        return abs(math.radians(piece.sweep)) * piece.radius
    # Of an elliptic corner its two chords and the two sides of its corner bound it: their middle is a few per cent off.
    return (math.dist(piece.a, piece.b) + math.dist(piece.a, piece.control) + math.dist(piece.control, piece.b)) / 2


def _bits(board: ResolvedBoard) -> Iterator[Item]:
    for use in uses_of(board):
        if use.buy is not None:
            name = f"Bit, {use.buy.kind}, {use.buy.diameter:g} mm"
            yield Item("bit", name, _letters(use.placements), 1, 0, None, None, True)


def _letters(found: list[Placed] | tuple[Placed, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(placed.label or placed.part.name for placed in found))
