"""The board where a section cuts it: layers, holes and pockets, hatched as their material."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

from msgspec import Struct

from app.drafting.forms import box_path
from app.drafting.hardware.side_frame import SideFrame, pockets
from app.geometry.shapes import Point, rotate
from app.model.resolved import Placed, ResolvedBoard
from app.scene.palette import INK, RAIL, grain, layer_cut
from app.scene.primitives import Item, Line, LineTo, Path, Style

Interval = tuple[float, float]

_RIM = Style(stroke=INK, width=0.35, role="cut-rim")
_JOINT = Style(stroke=INK, width=0.18, role="cut-joint")
_BREAK = Style(stroke=INK, width=0.18, role="break-line")
_PITCH = {"aluminium": 1.6, "steel": 1.2, "metal": 1.4, "acrylic": 5.0}
_TINY = 1e-6


class SectionCut(Struct, frozen=True):
    """The board along the line of the section, in mm from the middle of the part.

    Args:
        left, right: where what is drawn of the board ends.
        left_rim, right_rim: whether the board really ends there.
        rails: where rails are glued below.
    """

    left: float
    right: float
    left_rim: bool
    right_rim: bool
    rails: tuple[Interval, ...]


def cut_along(board: ResolvedBoard, placed: Placed, angle: float, reach: float) -> SectionCut:
    """What the line through a part at ``angle`` degrees on the board meets within ``reach`` mm."""
    low, high = -math.inf, math.inf
    points = [rotate((x - placed.x, y - placed.y), -angle) for x, y in board.outline.flattened(0.05)]
    for (ax, ay), (bx, by) in pairwise([*points, points[0]]):
        if (ay <= 0) != (by <= 0):
            at = ax + (bx - ax) * ay / (ay - by)
            low, high = (max(low, at), high) if at <= 0 else (low, min(high, at))
    left, right = max(low, -reach), min(high, reach)
    if left >= right:  # off the board: there is no rim on one side
        left, right = -reach, reach
    rails = tuple(_rails(board, placed, rotate((1.0, 0.0), angle), (left, right)))
    return SectionCut(left, right, left == low, right == high, rails)


def _rails(board: ResolvedBoard, placed: Placed, u: Point, ends: Interval) -> Iterator[Interval]:
    for rail in board.rails:
        crossed = _crossed(rail.shape.core, (placed.x, placed.y), u)
        a, b = max(crossed[0], ends[0]), min(crossed[1], ends[1])
        if b - a > _TINY:
            yield (a, b)


def _crossed(core: Sequence[Point], at: Point, u: Point) -> Interval:
    """Where a line through ``at`` along ``u`` is in a convex core, anticlockwise; empty where it passes by [mm]."""
    low, high = -math.inf, math.inf
    for a, b in zip(core, (*core[1:], core[0]), strict=True):
        along = (b[0] - a[0], b[1] - a[1])
        rise = along[0] * u[1] - along[1] * u[0]
        height = along[0] * (at[1] - a[1]) - along[1] * (at[0] - a[0])  # left of the side is inside
        if abs(rise) < _TINY:
            if height < 0:
                return (math.inf, -math.inf)
            continue
        t = -height / rise
        low, high = (max(low, t), high) if rise > 0 else (low, min(high, t))
    return (low, high)


def cut_items(board: ResolvedBoard, here: Placed, frame: SideFrame, cut: SectionCut, k: float) -> list[Item]:
    """Layers with their hatch, open where holes and pockets are, enlarged ``k`` times; break lines at the ends."""
    t = board.thickness
    holes = merged([frame.span(h.shape) for h in here.holes])
    bored = pockets(here, frame)
    joints = [0.0, *accumulate(layer.thickness for layer in board.layers)]
    levels = sorted({*joints, *(min(max(t - depth, 0.0), t) for _, depth in bored)})
    bands: list[tuple[float, float, list[Interval]]] = []
    items: list[Item] = []
    for top, low in pairwise(levels):
        if low - top < _TINY:
            continue
        open_ = merged([*holes, *(span for span, depth in bored if t - depth < low - _TINY)])
        solid = _rest((cut.left, cut.right), open_)
        bands.append((top, low, solid))
        layer = board.layers[max(i for i, z in enumerate(joints[:-1]) if z <= top + _TINY)]
        for a, b in solid:
            items += _filled((k * a, -k * low, k * b, -k * top), layer.material.family)
    items += [Line((k * a, -k * z), (k * b, -k * z), _JOINT) for z in joints[1:-1] for a, b in _at(bands, z)]
    items += _rims(bands, cut, k)
    items += [box_path((k * a, -k * (t + (b - a)), k * b, -k * t), RAIL) for a, b in cut.rails]
    return [*items, *_breaks(cut, k, t)]


def merged(spans: Sequence[Interval]) -> list[Interval]:
    """Intervals in order, those that touch as one."""
    found: list[Interval] = []
    for a, b in sorted(spans):
        if found and a <= found[-1][1] + _TINY:
            found[-1] = (found[-1][0], max(found[-1][1], b))
        else:
            found.append((a, b))
    return found


def _rest(whole: Interval, gaps: Sequence[Interval]) -> list[Interval]:
    """What is left of ``whole`` between the gaps."""
    left, here = [], whole[0]
    for a, b in gaps:
        if a > here + _TINY:
            left.append((here, min(a, whole[1])))
        here = max(here, b)
    if here < whole[1] - _TINY:
        left.append((here, whole[1]))
    return left


def _at(bands: Sequence[tuple[float, float, list[Interval]]], z: float) -> list[Interval]:
    """Where the board is solid on both sides of the depth ``z``."""
    above = next((s for _, low, s in bands if abs(low - z) < _TINY), [])
    below = next((s for top, _, s in bands if abs(top - z) < _TINY), [])
    both = ((max(a, c), min(b, d)) for a, b in above for c, d in below)
    return [(a, b) for a, b in both if b - a > _TINY]


def _rims(bands: Sequence[tuple[float, float, list[Interval]]], cut: SectionCut, k: float) -> list[Item]:
    """Lines where board meets air: walls of holes, floors of pockets, both faces; not where it is broken off."""
    items: list[Item] = []
    broken = [x for x, rim in ((cut.left, cut.left_rim), (cut.right, cut.right_rim)) if not rim]
    above: list[Interval] = []
    for top, low, solid in [*bands, (bands[-1][1], bands[-1][1], [])]:
        for a, b in [*_less(solid, above), *_less(above, solid)]:
            items.append(Line((k * a, -k * top), (k * b, -k * top), _RIM))
        for a, b in solid:
            items += [Line((k * x, -k * top), (k * x, -k * low), _RIM) for x in (a, b) if x not in broken]
        above = solid
    return items


def _less(some: Sequence[Interval], others: Sequence[Interval]) -> list[Interval]:
    return [part for whole in some for part in _rest(whole, [o for o in others if o[1] > whole[0]])]


def _breaks(cut: SectionCut, k: float, t: float) -> list[Item]:
    """The line with a zigzag that says the board goes on."""
    items: list[Item] = []
    for x, rim in ((k * cut.left, cut.left_rim), (k * cut.right, cut.right_rim)):
        if not rim:
            middle = -k * t / 2
            steps = ((x, middle + 2.0), (x + 1.5, middle + 0.7), (x - 1.5, middle - 0.7), (x, middle - 2.0))
            ends = (*steps, (x, -k * t - 2.5))
            items.append(Path((x, 2.5), tuple(LineTo(p) for p in ends), _BREAK))
    return items


def _filled(box: tuple[float, float, float, float], family: str) -> list[Item]:
    """A cut surface with the hatch of its material and without a rim."""
    look = layer_cut(family)
    plain = Style(stroke=None, fill=look.fill, role=look.role)
    return [box_path(box, plain), *_hatch(box, family)]


def _hatch(box: tuple[float, float, float, float], family: str) -> list[Item]:
    """Plies of plywood, scattered fibres of fibreboard, slanted lines in metal and, wide apart, in acrylic."""
    x0, y0, x1, y1 = box
    look, height = grain(family), y1 - y0
    if family == "plywood":
        plies = max(3, 2 * round(height / 5.0) + 1)
        lines: list[Item] = []
        for ply in range(plies):
            y = y0 + height * ply / plies
            if ply:
                lines.append(Line((x0, y), (x1, y), look))
            if ply % 2:  # a crossed ply shows its end grain
                end = Style(look.stroke, height / plies, (0.25, 1.6), None, 0.35, look.role)
                lines.append(Line((x0, y + height / plies / 2), (x1, y + height / plies / 2), end))
        return lines
    if family in _PITCH:
        return _slanted(box, _PITCH[family], look)
    count = max(2, round(height / 2.6))
    dashed = [Style(look.stroke, 0.25, (2.0 + n % 3, 4.0 + 1.5 * (n % 2)), None, 0.7, look.role) for n in range(count)]
    return [
        Line((min(x0 + 1.3 * (n % 4), x1), y0 + height * (n + 0.5) / count), (x1, y0 + height * (n + 0.5) / count), s)
        for n, s in enumerate(dashed)
    ]


def _slanted(box: tuple[float, float, float, float], pitch: float, look: Style) -> list[Item]:
    """Lines at 45 degrees, level with those of the neighbouring boxes."""
    x0, y0, x1, y1 = box
    step = pitch * math.sqrt(2.0)
    lines: list[Item] = []
    for n in range(math.ceil((x0 - y1) / step), math.floor((x1 - y0) / step) + 1):
        c = n * step  # x − y along the line
        a, b = max(x0, c + y0), min(x1, c + y1)
        if b - a > 0.05:
            lines.append(Line((a, a - c), (b, b - c), look))
    return lines
