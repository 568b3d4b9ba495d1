"""A small picture of a board's outline, on which everything that has to be marked out bears its number."""

from __future__ import annotations

import numpy as np

from app.drafting.forms import Box, outline_path
from app.drafting.scaling import scaled
from app.model.resolved import ResolvedBoard
from app.scene.metrics import CAP_HEIGHT, text_width
from app.scene.palette import MEASURE, OUTLINE, TEXT
from app.scene.primitives import Circle, Group, Item, Line, Point, Style, Text
from app.shop.outline_marks import OutlineMarks
from app.values import replace

_RIM = replace(OUTLINE, width=0.35)
_DOT = Style(stroke=None, fill="#0a5050", role="measure")
_INSIDE = 4.5  # from the rim to the middle of a number [mm]
_SIZE = 3.4
_MOST = 120  # numbers, beyond which the picture says no more


def outline_picture(board: ResolvedBoard, marks: OutlineMarks, box: Box) -> Group:
    """The outline inside ``box``: ends of curves and sloped lines dotted, numbers of curves as ``1``, lines ``L1``."""
    bx0, by0, bx1, by1 = board.outline.bounds
    x0, y0, x1, y1 = box
    k = min((x1 - x0) / (bx1 - bx0), (y1 - y0) / (by1 - by0))
    move = ((x0 + x1 - k * (bx1 - bx0)) / 2, (y0 + y1 - k * (by1 - by0)) / 2)
    rims = scaled([outline_path(loop, _RIM) for loop in (board.outline, *board.openings)], k)

    def to(p: Point) -> Point:
        return (k * p[0] + move[0], k * p[1] + move[1])

    items: list[Item] = [Group(tuple(rims), shift=(move[0] - k * bx0, move[1] - k * by0))]
    named: list[tuple[str, Point, Point]] = []
    for curve in marks.curves:
        items += [Circle(to(p), 0.7, _DOT) for p in curve.ends]
        named.append((str(curve.number), to(curve.middle), to(curve.corner)))
    for line in marks.lines:
        a, b = (to(p) for p in line.ends)
        items.append(Line(a, b, MEASURE))
        items += [Circle(p, 0.7, _DOT) for p in (a, b)]
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        up = 1.0 if middle[1] < (y0 + y1) / 2 else -1.0  # square to the line, towards the middle of the board
        named.append((f"L{line.number}", middle, (middle[0] + up * (b[1] - a[1]), middle[1] - up * (b[0] - a[0]))))
    return Group((*items, *_numbers(named)), name="outline-picture")


def _numbers(named: list[tuple[str, Point, Point]]) -> list[Item]:
    """Each number on the side of its curve that the corner is not on; none over another."""
    found: list[Item] = []
    taken = np.zeros((0, 4))
    for name, at, corner in named[:_MOST]:
        away = np.array(at) - np.array(corner)
        length = float(np.hypot(*away))
        way = away / length if length > 0 else np.array((0.0, 1.0))
        half = np.array((text_width(name, _SIZE, bold=True) / 2 + 0.4, CAP_HEIGHT * _SIZE / 2 + 0.4))
        for off in (_INSIDE, -_INSIDE, 2 * _INSIDE):
            place = np.array(at) + off * way
            box = np.concatenate((place - half, place + half))
            if not ((taken[:, :2] < box[2:]) & (taken[:, 2:] > box[:2])).all(axis=1).any():
                taken = np.vstack((taken, box))
                x, y = place.tolist()
                found.append(Text((x, y - CAP_HEIGHT * _SIZE / 2), name, _SIZE, TEXT, "middle", bold=True))
                break
    return found
