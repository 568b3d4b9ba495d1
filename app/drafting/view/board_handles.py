"""Handles of a board: what a hand or the keyboard takes hold of to change its outline, openings and areas.

Each is a group with its name in the data, a grip wider than what is drawn, and words. The names are those of
:mod:`app.arrange.board.drag`. What a handle moves can be told by its form: a round one a corner, a bar an edge, a
diamond the end of a set-back, a square with a cross something whole, a plain square a size.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct

from app.arrange.board.corners import edge_name
from app.drafting.forms import box_path, polyline
from app.drafting.words import bare, exact, unit_of
from app.geometry.outline import Corner, Outline
from app.model.resolved import ResolvedBoard
from app.scene.palette import LIGHT
from app.scene.primitives import Circle, Group, Item, Line, Point, Style

MOST_DRAWN: Final = 60
"""With more corners than this, only those near the one in hand get handles: others are reached by the list."""

_NEAR: Final = 3
_SHORTEST: Final = 26.0  # an edge shorter than this at full scale gets no handle: its ends' would cover it [mm]
_SET_OFF: Final = 16.0  # where the handles of a set-back stand that is still none, at full scale [mm]

_FORM = Style(stroke=LIGHT["teal-deep"], width=0.7, fill=LIGHT["raised"], role="handle-form")
_HELD = Style(stroke=LIGHT["raised"], width=0.7, fill=LIGHT["teal"], role="handle-form handle-held")
_GRIP = Style(stroke=None, fill=LIGHT["raised"], opacity=0.0, role="grip")
_SIGN = Style(stroke=LIGHT["teal-deep"], width=0.6, role="handle-sign")
_SIGN_HELD = Style(stroke=LIGHT["raised"], width=0.6, role="handle-sign handle-held")


class Handle(Struct, frozen=True):
    """One handle.

    Args:
        name: what it moves, as ``corner-0-2``.
        at: its middle [mm].
        words: what it is, for a screen reader.
        along: direction of its edge, for a bar [degrees].
    """

    name: str
    at: Point
    words: str
    along: float = 0.0

    @property
    def kind(self) -> str:
        """``corner``, ``edge``, ``before``, ``after``, ``opening``, ``clear`` or ``size``."""
        return self.name.partition("-")[0]


def handles_of(board: ResolvedBoard, held: str, scale: float) -> tuple[Handle, ...]:
    """Every handle of a board, in reading order: the rim, openings, areas.

    Args:
        board: the board.
        held: name of the one in hand; a sharp corner in hand gets handles for its set-back.
        scale: size of thin details.
    """
    rings = (board.outline, *board.openings)
    total = sum(len(ring.corners) for ring in rings)
    found: list[Handle] = []
    for k, ring in enumerate(rings):
        if k:
            found.append(_whole_opening(board, k, ring))
        found += _of_ring(board, k, ring, held, scale, few=total > MOST_DRAWN)
    unit = unit_of(board)
    for k, area in enumerate(board.keep_clear):
        x0, y0, x1, y1 = area.shape.bounds
        size = f"{bare(x1 - x0, unit)} × {exact(y1 - y0, unit)}"
        found.append(Handle(f"clear-{k}", ((x0 + x1) / 2, (y0 + y1) / 2), f"Area {k + 1} to keep clear, {size}"))
        found.append(Handle(f"size-{k}", (x1, y1), f"Far corner of area {k + 1}: sets its size"))
    return tuple(found)


def handle_groups(handles: Sequence[Handle], held: str, scale: float) -> tuple[Group, ...]:
    """The handles as groups that can be taken hold of."""
    return tuple(_group(handle, scale, held=handle.name == held) for handle in handles)


def _of_ring(board: ResolvedBoard, k: int, ring: Outline, held: str, scale: float, *, few: bool) -> Iterator[Handle]:
    unit, corners = unit_of(board), ring.corners
    of = f" of opening {k}" if k else ""
    for i, corner in enumerate(corners):
        if few and not _near(held, k, i, len(corners)):
            continue
        where = f"{exact(corner.x, unit)} from the left edge, {exact(corner.y, unit)} from the front edge"
        yield Handle(f"corner-{k}-{i}", (corner.x, corner.y), f"Corner {i + 1}{of}, {where}")
        in_hand = held in (f"corner-{k}-{i}", f"before-{k}-{i}", f"after-{k}-{i}")
        if corner.setback or in_hand:
            yield from _easing(board, f"{k}-{i}", corners, i, scale, of)
        nxt = corners[(i + 1) % len(corners)]
        length = math.dist((corner.x, corner.y), (nxt.x, nxt.y))
        start, end = corner.setback[1] if corner.setback else 0.0, length - (nxt.setback[0] if nxt.setback else 0.0)
        if end - start >= _SHORTEST * scale:
            at = _toward(corner, nxt, (start + end) / 2)
            turn = math.degrees(math.atan2(nxt.y - corner.y, nxt.x - corner.x))
            name = edge_name(k, corners, i)
            yield Handle(f"edge-{k}-{i}", at, f"{name[:1].upper()}{name[1:]}, {exact(length, unit)} long", turn)


def _easing(
    board: ResolvedBoard, name: str, corners: Sequence[Corner], i: int, scale: float, of: str
) -> Iterator[Handle]:
    corner, unit = corners[i], unit_of(board)
    offsets = corner.setback or (0.0, 0.0)
    for which, other, offset in (
        ("before", corners[i - 1], offsets[0]),
        ("after", corners[(i + 1) % len(corners)], offsets[1]),
    ):
        length = math.dist((corner.x, corner.y), (other.x, other.y))
        at = _toward(corner, other, offset or min(_SET_OFF * scale, length / 3))
        said = f"Set-back of corner {i + 1}{of}, {which} it" + (f", {exact(offset, unit)}" if offset else ", none yet")
        yield Handle(f"{which}-{name}", at, said)


def _whole_opening(board: ResolvedBoard, k: int, ring: Outline) -> Handle:
    x0, y0, x1, y1 = ring.bounds
    unit = unit_of(board)
    said = f"Opening {k}, {bare(x1 - x0, unit)} × {exact(y1 - y0, unit)}"
    return Handle(f"opening-{k}", ((x0 + x1) / 2, (y0 + y1) / 2), said)


def _near(held: str, ring: int, index: int, count: int) -> bool:
    """Whether a corner is the one in hand, or one of the few beside it; of no other ring any is."""
    kind, _, rest = held.partition("-")
    k, _, i = rest.partition("-")
    if kind not in ("corner", "edge", "before", "after") or k != str(ring) or not i.isdigit():
        return False
    apart = abs(int(i) - index) % count
    return min(apart, count - apart) <= _NEAR


def _toward(here: Corner, there: Corner, by: float) -> Point:
    t = by / math.dist((here.x, here.y), (there.x, there.y))
    return (here.x + (there.x - here.x) * t, here.y + (there.y - here.y) * t)


def _group(handle: Handle, scale: float, *, held: bool) -> Group:
    grip = Circle(handle.at, 9.0 * scale, _GRIP)
    return Group(
        (grip, *_form(handle, scale, _HELD if held else _FORM, _SIGN_HELD if held else _SIGN)),
        name=f"handle-{handle.name}",
        data={"handle": handle.name},
        title=handle.words,
        role=" ".join(["handle", f"handle-{handle.kind}", *(["held"] if held else [])]),
    )


def _form(handle: Handle, scale: float, style: Style, sign: Style) -> tuple[Item, ...]:
    x, y = handle.at
    r = 3.6 * scale
    if handle.kind == "corner":
        return (Circle(handle.at, r, style),)
    if handle.kind == "edge":
        c, s = math.cos(math.radians(handle.along)), math.sin(math.radians(handle.along))
        half = ((1.9 * r, 0.55 * r), (-1.9 * r, 0.55 * r), (-1.9 * r, -0.55 * r), (1.9 * r, -0.55 * r))
        return (polyline([(x + a * c - b * s, y + a * s + b * c) for a, b in half], style, closed=True),)
    if handle.kind in ("before", "after"):
        return (polyline([(x + r, y), (x, y + r), (x - r, y), (x, y - r)], style, closed=True),)
    box = box_path((x - r, y - r, x + r, y + r), style)
    if handle.kind == "size":
        return (box,)
    arm = 0.55 * r
    return (box, Line((x - arm, y), (x + arm, y), sign), Line((x, y - arm), (x, y + arm), sign))
