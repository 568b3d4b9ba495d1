"""Wires: from a terminal to a terminal, with colour, way and cut length."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from app.geometry.shapes import Point
from app.model.part import Connection
from app.model.resolved import Placed, ResolvedBoard
from app.model.wiring import WiringPlan

Net = Literal["signal", "ground", "supply"]


class Terminal(Struct, frozen=True):
    """Where a wire ends.

    Args:
        placement: whose it is.
        name: which of its terminals, as ``signal 2``, ``ground``, ``input 7``.
        tab_width: of a flat tab [mm]; 0 where it is none.
        connection: how wires end at an encoder board; None for tabs of parts.
    """

    placement: str
    name: str
    tab_width: float
    connection: Connection | None = None


class Wire(Struct, frozen=True):
    """A wire.

    Args:
        number: from 1.
        net: what it carries.
        one, other: its ends; of signals the part first.
        colour: id of its colour.
        encoder: the encoder board it belongs to.
        way: from terminal to terminal [mm]: of a wire that ends at an encoder board up to the underside, along it and
            down again; of others from the one straight to the other, round what lies between. None where there is no
            way, or nobody looked for one.
        cut: to be cut to [mm]; None likewise.
        nodes: of its way along the underside, as :class:`app.geometry.wire_ways.Ways` has them; of a wire from tab to
            tab of one part there are none.
    """

    number: int
    net: Net
    one: Terminal
    other: Terminal
    colour: str
    encoder: str
    way: float | None
    cut: float | None
    nodes: tuple[int, ...] = ()


def drop(board: ResolvedBoard, placed: Placed) -> float:
    """From the underside down to the terminals of a part [mm]: they are in its depth, at its end."""
    return placed.depth_below(board.thickness, board.paint)


def cut_length(way: float, plan: WiringPlan, step: float, *, service: bool) -> float:
    """A way with slack, what goes into both ends and, if asked for, the service length; rounded up to a step [mm]."""
    long = way * (1 + plan.slack / 100) + 2 * plan.crimp + (plan.service if service else 0.0)
    return math.ceil(long / step - 1e-9) * step


def across(placed: Placed) -> float:
    """The farthest that two tabs of one part can be from each other, as seen from below [mm]."""
    core, radius = placed.part.body.shape.core, placed.part.body.shape.radius
    return max(math.dist(a, b) for a in core for b in core) + 2 * radius


def straight(board: ResolvedBoard, one: Placed, other: Placed) -> float:
    """From terminal to terminal as the crow flies [mm]: no wire is shorter."""
    (ax, ay), (bx, by) = one.body.centre, other.body.centre
    return math.hypot(ax - bx, ay - by, drop(board, one) - drop(board, other))


Route = tuple[Point, ...]
"""Where a wire runs along the underside [mm]."""
