"""Where hands lie: from a wrist at the front edge, how far a palm and the fingertips reach, for each station."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians
from typing import Final

from app.catalogue.load import catalogue
from app.drafting.forms import crossings
from app.drafting.words import length, unit_of
from app.model.resolved import Placed, ResolvedBoard
from app.scene.curves import at_angle
from app.scene.palette import INK, TEAL, TEXT_GUIDE
from app.scene.primitives import Arc, ArcTo, Circle, Group, Item, Line, LineTo, Path, Point, Style, Text

_SPREAD: Final = 27.0  # degrees to either side that are drawn: only how much of an arc shows, not a measure of a hand
_REACH = Style(stroke=None, fill=TEAL, opacity=0.12, role="hand-fingers")
_LINE = Style(stroke=INK, width=0.35, dash=(4.0, 1.2, 0.8, 1.2), opacity=0.75, role="hand-line")
_WRIST = Style(stroke=INK, width=0.35, fill=TEAL, role="hand-wrist")


def hands(board: ResolvedBoard, scale: float = 1.0) -> Group:
    """The group ``hands``: for each station a fan from a wrist at the front edge, below its stick and its buttons.

    The inner arc is the length of a palm, at which a new deck has its front row; the outer one that of a hand, on
    which fingertips lie: both are medians or means of people, rows of the catalogue with their source, and no limit.

    Args:
        board: the board.
        scale: size of letters and thin details against their size on a board 640 mm wide.
    """
    palm, hand = catalogue().rule("station-palm-rest"), catalogue().rule("station-arc-radius")
    items = [item for wrist in _wrists(board, hand) for item in _fan(wrist, palm, hand, board, scale)]
    return Group(tuple(items), name="hands", role="hands")


def has_hands(board: ResolvedBoard) -> bool:
    """Whether there is a station with something in reach of a hand at the front edge."""
    return any(True for _ in _wrists(board, catalogue().rule("station-arc-radius")))


def _wrists(board: ResolvedBoard, hand: float) -> Iterator[Point]:
    """Where at the front edge a wrist lies: below each station's stick, and below the middle of its buttons [mm].

    A hand lies only before what it reaches: not before buttons at the back.
    """
    stations: dict[str, list[Placed]] = {}
    for placed in board.placements:
        if placed.station:
            stations.setdefault(placed.station, []).append(placed)
    for parts in stations.values():
        for stick in (True, False):
            held = [p for p in parts if (p.part.lever is not None) == stick]
            if not held:
                continue
            x = (min(p.x for p in held) + max(p.x for p in held)) / 2
            edge = crossings(board.outline, x, axis=0)
            if edge and min(p.y for p in held) - edge[0] <= hand:
                yield x, edge[0]


def _fan(wrist: Point, palm: float, hand: float, board: ResolvedBoard, scale: float) -> Iterator[Item]:
    low, sweep = 90.0 - _SPREAD, 2 * _SPREAD
    inner, outer = at_angle(wrist, palm, low + sweep), at_angle(wrist, hand, low)
    steps = (
        ArcTo(at_angle(wrist, hand, low + sweep), wrist, sweep),
        LineTo(inner),
        ArcTo(at_angle(wrist, palm, low), wrist, -sweep),
    )
    yield Path(outer, steps, _REACH, closed=True)
    for radius in (palm, hand):
        yield Arc(wrist, radius, low, sweep, _LINE)
    yield Line(wrist, at_angle(wrist, hand, 90.0), _LINE)
    yield Circle(wrist, 2.2 * scale, _WRIST)
    unit, size = unit_of(board), 4.6 * scale
    # Below the lowest point of the inner arc, and above the highest of the outer one.
    for name, mm, off in (
        ("palm", palm, palm * cos(radians(_SPREAD)) - 1.2 * size),
        ("fingertips", hand, hand + 0.5 * size),
    ):
        yield Text((wrist[0] + 0.6 * size, wrist[1] + off), f"{name} {length(mm, unit)}", size, TEXT_GUIDE)
