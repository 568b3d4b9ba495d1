"""Wiring chosen and changed, as functions from a design to an edit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice
from typing import Final, get_args

from app.arrange.change import Edit, known_part
from app.arrange.design import wiring
from app.arrange.design.wiring import OwnEncoder
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.fit.judging.wired_face import wired_face
from app.fit.report.report import check
from app.geometry.free_places import free_places
from app.geometry.shapes import Point, Shape
from app.model.part import Connection, Part
from app.model.resolved import Placed, ResolvedBoard
from app.service.edits.changes import DesignChange
from app.service.edits.landing import snapped
from app.service.edits.new_part_position import free_position

__all__ = ["Connection", "OwnEncoder"]

CONNECTIONS: Final = get_args(Connection)
"""How wires end at an encoder board."""

MOST_ADDED: Final = 20
"""Encoder boards added at once."""

_JUDGED: Final = 6  # places of each turning at which the rules are asked: each takes as long as a report


def wiring_set(where: Where, changes: Mapping[str, object]) -> DesignChange:
    """Choose what feeds encoder boards, what wires are made of, and the rest; None for the usual value."""
    return lambda design: wiring.set_wiring(design, where.board, where.arrangement, changes, catalogue())


def encoder_added(where: Where, parts: Sequence[str], at: Point | None, grid: float) -> DesignChange:
    """Add encoder boards, the first where it is wanted [mm]; the others, or all if ``at`` is None, where there is room.

    Raises:
        EditError: too many at once; and as :func:`app.arrange.design.wiring.add_encoder`.
    """

    def change(design: Design) -> Edit:
        if not 1 <= len(parts) <= MOST_ADDED:
            raise EditError(f"1 to {MOST_ADDED} encoder boards are added at once, got {len(parts)}.", "part")
        first = ""
        for k, part in enumerate(parts):
            found = known_part(design, part, catalogue())
            if found.encoder is None:
                raise EditError("That is no encoder board. Choose one from the list.", "part")
            spot = (*at, 0.0) if at is not None and k == 0 else _room(design, where, found, grid)
            edit = wiring.add_encoder(design, where.board, where.arrangement, part, spot, catalogue())
            design, first = edit.design, first or edit.summary
        return Edit(design, first if len(parts) == 1 else f"Added {len(parts)} encoder boards")

    return change


def encoder_measured(where: Where, own: OwnEncoder, at: Point | None, grid: float) -> DesignChange:
    """Add an encoder board as the builder measured it."""

    def change(design: Design) -> Edit:
        after, part = wiring.measure_encoder(design, own, catalogue())
        return encoder_added(where, (part,), at, grid)(after)

    return change


def pin_fixed(where: Where, placement: str, tab: int, encoder: str, pin: int) -> DesignChange:
    """Put a signal tab on a pin."""
    return lambda design: wiring.fix_pin(design, where.board, where.arrangement, placement, tab, encoder, pin)


def pins_freed(where: Where, placements: tuple[str, ...]) -> DesignChange:
    """Let go of pins that were chosen; of all if no placement is named."""
    return lambda design: wiring.free_pins(design, where.board, where.arrangement, placements)


def apart_set(where: Where, placement: str, *, apart: bool) -> DesignChange:
    """Leave a part out of the wiring, or wire it after all."""
    return lambda design: wiring.set_apart(design, where.board, where.arrangement, placement, apart=apart)


def _room(design: Design, where: Where, part: Part, grid: float) -> tuple[float, float, float]:
    """Where a board finds room below, lying or upright: near what is wired, and with nothing wrong that tells of it.

    Else it is put where circles round the parts leave room, and the fit report says what it meets there.
    """
    board = resolve(design, where.board, where.arrangement, catalogue())
    spots = [
        (snapped(x, grid), snapped(y, grid), angle) for angle in (0.0, 90.0) for x, y in _clear(board, part, angle)
    ]
    for x, y, angle in sorted(spots, key=lambda spot: _far(board, (spot[0], spot[1]))):
        there = Placed("new", part, x, y, angle, "", "", drill=True, holes=())
        found = check(board.populated((*board.placements, there)), catalogue()).findings
        if not any("new" in f.subjects and f.severity != "note" and f.measured is not None for f in found):
            return x, y, angle
    x, y = free_position(board, part)
    return snapped(x, grid), snapped(y, grid), 0.0


def _clear(board: ResolvedBoard, part: Part, angle: float) -> list[Point]:
    rule, off = catalogue().rule, 2 * board.tooling.drilling.position
    taken = [shape for placed in board.drilled for shape in _below(placed)]
    taken += [strip.shape for strip in board.rails]
    taken += [area.shape for area in board.keep_clear if area.face == "under"]
    gap = max(rule("body-gap"), rule("spanner-room")) + off
    body = part.body.shape.placed(0.0, 0.0, angle)
    places = free_places(board.outline, board.openings, taken, body, gap, _middle(board))
    return list(islice(places, 0, 40 * _JUDGED, 40))


def _below(placed: Placed) -> list[Shape]:
    shapes = [placed.body, placed.nut, placed.plate, placed.bore, placed.pocket]
    return [shape for shape in shapes if shape is not None] + [hole.shape for hole in placed.holes]


def _middle(board: ResolvedBoard) -> Point:
    """The middle of what is wired; of the board where nothing is."""
    points = [placed.body.centre for placed in wired_face(board).parts]
    if not points:
        x0, y0, x1, y1 = board.outline.bounds
        return ((x0 + x1) / 2, (y0 + y1) / 2)
    return (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))


def _far(board: ResolvedBoard, spot: Point) -> float:
    x, y = _middle(board)
    return (spot[0] - x) ** 2 + (spot[1] - y) ** 2
