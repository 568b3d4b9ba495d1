"""Pieces and guide blocks of the retrofit template drawn at true size, as blocks of a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.drafting.forms import box_path, shape_item
from app.fit.words.lengths import say
from app.geometry.shapes import Shape
from app.paper.cover.text import Paragraph
from app.paper.lists.block import SIZE, Block, words_block
from app.paper.retrofit.pieces import Box, Guide, LaidPiece
from app.scene.metrics import text_width
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Item, Line, Style, Text
from app.units import Unit

_NEW = Style(stroke="#23272b", width=0.35, role="hole")
_ON = Style(stroke="#0f6b6b", width=0.7, role="laid-on")
_OLD = Style(stroke="#5a5f64", width=0.25, dash=(1.6, 1.2), role="was")
_CROSS = Style(stroke="#23272b", width=0.18, role="centre")
_BASE = Style(stroke="#0f6b6b", width=0.18, dash=(3.0, 1.5), role="base")
_CUT = Style(stroke="#8a8f94", width=0.18, dash=(0.8, 0.8), role="cut-line")
_BARE = 0.5  # about every centre, where the point goes [mm]
_SMALL = 12.0  # a narrower hole has its name beside it [mm]
_AIR = 3.0
_SHOWN = 6  # names listed before “and 9 more”
_ARM = 6.0  # of a cross at most [mm]


def piece_blocks(piece: LaidPiece, number: int, left: float, width: float, unit: Unit) -> list[Block]:
    """A piece of the template: what it is laid on, then the piece itself, never on two pages.

    One that cannot be laid on two old holes is not drawn: nothing on it would say where it belongs.
    """
    face = "top face" if piece.face == "top" else "underside, as you look at it"
    if not piece.on:
        words = f"No two old holes that stay are near {_listed(piece.names)}. Mark by the measures in the list."
        return [words_block([Paragraph(f"Without a piece: {face}", bold=True), Paragraph(words)], left, width, air=4.0)]
    one, other = piece.on_names
    words = (
        f"Cut both teal circles out, and lay this on the old holes of {one} and {other}, so that both show whole. "
        f"Their centres are {say(piece.apart, unit)} apart: measure that on the board first."
    )
    said = [Paragraph(f"Piece {number}: {face}", bold=True), Paragraph(words)]
    head = words_block(said, left, width, held=True)
    x0, y0, _, y1 = piece.box
    tall = y1 - y0 + _AIR

    def draw(top: float) -> list[Item]:
        by = (left - x0, top - y1)
        items: list[Item] = [box_path(_moved(piece.box, by), _CUT)]
        on = [s.shifted(*by) for s in piece.on]
        if len(on) == 2:
            items.append(Line(on[0].centre, on[1].centre, _BASE))
        marks = [shape.shifted(*by) for shape in piece.marks]
        items += [shape_item(shape, _ON) for shape in on]
        for mark in marks:
            items += [shape_item(mark, _NEW), *_cross(mark)]
        names = [f"old {name}" for name in piece.on_names]
        names += [f"{name}, {say(_wide(mark), unit)}" for name, mark in zip(piece.names, marks, strict=True)]
        return [*items, *_named_all([*on, *marks], names, _moved(piece.box, by))]

    return [head, Block(tall, draw)]


def _listed(names: Sequence[str]) -> str:
    more = len(names) - _SHOWN
    return (
        f"{', '.join(names[:_SHOWN])} and {more} more"
        if more > 0
        else " and ".join(names)
        if len(names) < 3
        else ", ".join(names)
    )


def guide_blocks(guides: Sequence[Guide], left: float, width: float, unit: Unit) -> list[Block]:
    """Guide blocks in rows, as many beside each other as there is room for."""
    if not guides:
        return []
    words = (
        "Cut a block of scrap to each frame and bore it on the solid cross, upright. Draw the dashed circle on its "
        "underside, lay that on the old hole, clamp the block at two places, and bore through it."
    )
    blocks = [words_block([Paragraph("Guide blocks, true size", bold=True), Paragraph(words)], left, width, held=True)]
    row: list[Guide] = []
    used = 0.0
    for guide in guides:
        wide = max(guide.box[2] - guide.box[0], _caption_width(guide, unit))
        if row and used + wide > width:
            blocks.append(_guide_row(row, left, unit))
            row, used = [], 0.0
        row.append(guide)
        used += wide + 2 * _AIR
    return [*blocks, _guide_row(row, left, unit)]


def _caption(guide: Guide, unit: Unit) -> str:
    return f"Old {guide.name} to {say(_wide(guide.new), unit)} for {guide.target}"


def _offset(guide: Guide, unit: Unit) -> str:
    (ax, ay), (bx, by) = guide.old.centre, guide.new.centre
    said = [
        f"{say(abs(d), unit)} {words[d > 0]}"
        for d, words in ((bx - ax, ("left", "right")), (by - ay, ("to the front", "to the back")))
        if abs(d) >= 0.005
    ]
    from_below = "" if guide.face == "top" else ", seen from below"
    return f"centres {' and '.join(said)}{from_below}" if said else "both centres are one"


def _caption_width(guide: Guide, unit: Unit) -> float:
    return max(text_width(_caption(guide, unit), SIZE), text_width(_offset(guide, unit), SIZE))


def _guide_row(row: Sequence[Guide], left: float, unit: Unit) -> Block:
    tall = max(g.box[3] - g.box[1] for g in row) + 2 * SIZE * 1.5 + _AIR

    def draw(top: float) -> list[Item]:
        items: list[Item] = []
        x = left
        for guide in row:
            items += [
                Text((x, top - SIZE), _caption(guide, unit), SIZE, TEXT, bold=True),
                Text((x, top - 2.4 * SIZE), _offset(guide, unit), SIZE, TEXT_MUTED),
            ]
            by = (x - guide.box[0], top - 2 * SIZE * 1.5 - guide.box[3])
            items.append(box_path(_moved(guide.box, by), _CUT))
            old, new = guide.old.shifted(*by), guide.new.shifted(*by)
            items += [shape_item(old, _OLD), shape_item(new, _NEW), *_cross(new)]
            if old.centre != new.centre:
                items += _cross(old, _OLD)
            x += max(guide.box[2] - guide.box[0], _caption_width(guide, unit)) + 2 * _AIR
        return items

    return Block(tall, draw)


def _cross(shape: Shape, style: Style = _CROSS) -> Iterator[Line]:
    """A cross that leaves the centre bare."""
    (x, y), arm = shape.centre, min(shape.reach + 2.0, _ARM)
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        yield Line((x + dx * _BARE, y + dy * _BARE), (x + dx * arm, y + dy * arm), style)


def _named_all(shapes: Sequence[Shape], names: Sequence[str], box: Box) -> Iterator[Text]:
    """The name of each hole below it or, of a small one, beside it: where it covers neither holes nor other names."""
    taken = [_grown(shape) for shape in shapes]
    for shape, words in zip(shapes, names, strict=True):
        places = list(_places(shape, words, box))
        at, its = min(places, key=lambda place: sum(_meet(place[1], other) for other in taken))
        taken.append(its)
        yield Text(at, words, SIZE, TEXT, "middle")


def _places(shape: Shape, words: str, box: Box) -> Iterator[tuple[tuple[float, float], Box]]:
    """Where a name may stand inside a box, the best first: the middle of its baseline, and what it covers."""
    (x, y), half = shape.centre, text_width(words, SIZE) / 2
    beside, below = shape.reach + 2.6 + half, max(shape.size[1] / 2, _ARM) + 1.25 * SIZE
    above = below - 0.9 * SIZE
    around = [(x, y - below), (x, y + above)]
    further = [(x, at + way * by) for by in (4.0, 8.0, 12.0) for way, at in ((1, y + above), (-1, y - below))]
    sides = [(x + beside, y + 0.6), (x - beside, y + 0.6)]
    low, high = box[0] + half + 1.0, box[2] - half - 1.0
    near = (*sides, *around) if shape.reach < _SMALL / 2 else (*around, *sides)
    for ax, ay in (*near, *further):
        if (ax, ay) not in sides:
            ax = min(max(low, ax), high)
        if (low <= ax <= high and box[1] + 1.0 <= ay <= box[3] - SIZE) or ay == around[0][1]:
            yield (ax, ay), (ax - half, ay - 0.25 * SIZE, ax + half, ay + 0.8 * SIZE)


def _grown(shape: Shape) -> Box:
    x0, y0, x1, y1 = shape.bounds
    return (x0 - 0.5, y0 - 0.5, x1 + 0.5, y1 + 0.5)


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _wide(shape: Shape) -> float:
    return 2 * shape.radius if shape.is_circle else min(shape.size)


def _moved(box: Box, by: tuple[float, float]) -> Box:
    return (box[0] + by[0], box[1] + by[1], box[2] + by[0], box[3] + by[1])
