"""The picture of a step, drawn from the design: its boards, and on them what the step is about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.drafting.build_steps.marked import DOT, Marked, face_of, holes_drawn, marked, quiet_parts
from app.drafting.build_steps.tiles import SIZE, PictureTile, cell_width, tiles
from app.drafting.facing import facing
from app.drafting.forms import box_path, outline_path
from app.drafting.scaling import scaled
from app.drafting.section.section import bare_section
from app.model.resolved import ResolvedBoard
from app.scene.bounds import bounds
from app.scene.metrics import CAP_HEIGHT, shortened, text_width
from app.scene.palette import INK, TEXT, TEXT_MUTED, WHITE
from app.scene.palette import board as board_style
from app.scene.primitives import Circle, Group, Item, Line, Point, Scene, Style, Text
from app.shop.build_steps.build_step import BuildStep

PICTURE: Final = (64.0, 40.0)
"""Width and height that a picture may take [mm of paper]."""

_QUIET = Style(stroke="#8a8f94", width=0.13, fill=WHITE, role="step-quiet")
_RIM = Style(stroke=INK, width=0.25, role="outline")
_CROSS = Style(stroke=DOT.fill, width=0.25, role="step-cross")
_EDGE: Final = 1.0
_CAPTION: Final = 4.0
_MOST_LETTERS: Final = 60
_DOTS: Final = 400
_SECTION: Final = 19.0
_QUIET_WORKS: Final = ("close", "test", "wire", "legends")


def step_picture(step: BuildStep, room: Point = PICTURE, title: str = "") -> Scene:
    """The picture of a step, no wider and higher than ``room`` [mm of paper]."""
    wide, high = room[0] - 2 * _EDGE, room[1] - 2 * _EDGE
    if step.work == "layers":
        items, size = _stack(step.board, (wide, high))
    elif step.work == "mount" and any(p.counterbore is not None or p.recess is not None for p in step.placements):
        items, size = _mounting(step, (wide, high))
    else:
        items, size = _boards(step, (wide, high))
    return Scene(-_EDGE, -_EDGE, size[0] + _EDGE, size[1] + _EDGE, items, title=title)


def _boards(step: BuildStep, room: Point) -> tuple[tuple[Item, ...], Point]:
    """The boards of a step side by side; below a single one, which face is up."""
    alone = len(step.boards) == 1
    laid, (wide, high) = tiles(step.boards, (room[0], room[1]))
    items: list[Item] = []
    for tile in laid:
        items += _tile(step, tile, lettered=alone)
        words = _face_words(step, tile.board) if alone else tile.board.name
        items += _name(tile, words, alone=alone)
        if alone:
            wide = max(wide, min(text_width(words, SIZE), room[0]))
    return tuple(items), (wide, high)


def _face_words(step: BuildStep, board: ResolvedBoard) -> str:
    if face_of(step) == "under":
        return f"{board.name}: underside up, mirrored"
    return f"{board.name}: top face up, front below"


def _name(tile: PictureTile, words: str, *, alone: bool) -> Iterator[Item]:
    x, y = tile.at
    room = PICTURE[0] - 2 * _EDGE if alone else cell_width(tile.board, tile.scale)
    text = shortened(words, room, SIZE)
    if len(text) > 2 or text == words:
        yield Text((x, y - 2.9), text, SIZE, TEXT_MUTED)


def _tile(step: BuildStep, tile: PictureTile, *, lettered: bool) -> Iterator[Item]:
    board, k = tile.board, tile.scale
    view = facing(board, face_of(step))
    x0, y0, _, _ = board.outline.bounds
    shift = (tile.at[0] - k * x0, tile.at[1] - k * y0)
    face = board_style((board.layers[-1] if view.mirrored else board.layers[0]).material.family)
    rim = view.outline(board.outline)
    ground = Style(stroke=None, fill=face.fill, opacity=0.4, role=face.role)
    stands_out = marked(step, board, view)
    under = step.work in ("sand", "paint", "fill", "caulk")  # the face itself stands out, below its holes
    plain: list[Item] = [outline_path(rim, ground)]
    plain += stands_out.items if under else ()
    plain += [outline_path(view.outline(ring), _QUIET) for ring in board.openings]
    plain += [item for placed in board.drilled for item in holes_drawn(placed, view, _QUIET)]
    plain += quiet_parts(board, view, _QUIET) if step.work in _QUIET_WORKS else ()
    plain.append(outline_path(rim, _RIM))
    plain += () if under else stands_out.items
    yield Group(scaled(plain, k), shift=shift)
    yield from _dots(step, stands_out, k, shift)
    if lettered:
        yield from _letters(stands_out, k, shift)


def _dots(step: BuildStep, found: Marked, k: float, shift: Point) -> Iterator[Item]:
    small = len(found.dots) > _DOTS
    for px, py in found.dots:
        x, y = shift[0] + k * px, shift[1] + k * py
        if small or step.work in ("screws-under", "screws-top"):
            yield Circle((x, y), 0.25 if small else 0.6, DOT)
        else:
            yield Line((x - 1.1, y), (x + 1.1, y), _CROSS)
            yield Line((x, y - 1.1), (x, y + 1.1), _CROSS)


def _letters(found: Marked, k: float, shift: Point) -> Iterator[Item]:
    """Letters of parts where there is room between them."""
    if len(found.letters) > _MOST_LETTERS:
        return
    taken: list[tuple[float, float, float]] = []
    beside = 1.5 if found.dots else 0.0
    for words, (px, py), below in found.letters:
        half = text_width(words, SIZE, bold=True) / 2
        x, y = shift[0] + k * px, shift[1] + k * py - below
        if beside and not below:
            x, y = x + beside + half, y + beside
        if any(abs(x - ox) < half + other + 0.4 and abs(y - oy) < SIZE for ox, oy, other in taken):
            continue
        taken.append((x, y, half))
        yield Text((x, y - CAP_HEIGHT * SIZE / 2), words, SIZE, TEXT, "middle", bold=True)


def _mounting(step: BuildStep, room: Point) -> tuple[tuple[Item, ...], Point]:
    """The board with the parts of a step, and over it a section through the first that is sunk into it."""
    sunk = next(p for p in step.placements if p.counterbore is not None or p.recess is not None)
    below, (wide, high) = _boards(step, (room[0], room[1] - _SECTION - _CAPTION))
    box = bounds(bare_section(step.board, sunk.id))
    if box is None:
        return below, (wide, high)
    k = min(room[0] / (box[2] - box[0]), _SECTION / (box[3] - box[1]), 1.0)
    section = bare_section(step.board, sunk.id, k)
    x0, y0, x1, y1 = bounds(section) or box
    shift = (-x0, high + _CAPTION - y0)
    words = f"section through {sunk.label}" if sunk.label else "section"
    caption = Text((0.0, high + 0.9), shortened(words, room[0], SIZE), SIZE, TEXT_MUTED)
    size = (max(wide, x1 - x0, text_width(words, SIZE)), high + _CAPTION + y1 - y0)
    return (*below, caption, Group(section, shift=shift)), (min(size[0], room[0]), size[1])


def _stack(board: ResolvedBoard, room: Point) -> tuple[tuple[Item, ...], Point]:
    """The layers of a board apart, seen from the front, with the material of each beside it."""
    total, count = board.thickness, len(board.layers)
    bar, y = 0.55 * room[0], 0.0
    high = min(room[1], 26.0) - 2.0 * (count - 1)
    items: list[Item] = []
    for layer in reversed(board.layers):
        deep = max(high * layer.thickness / total, 1.2)
        style = board_style(layer.material.family)
        items.append(box_path((0.0, y, bar, y + deep), Style(INK, 0.25, fill=style.fill, role=style.role)))
        words = shortened(layer.material.name, room[0] - bar - 2.0, SIZE)
        items.append(Text((bar + 2.0, y + deep / 2 - CAP_HEIGHT * SIZE / 2), words, SIZE, TEXT))
        y += max(deep, 3.0) + 2.0
    return tuple(items), (room[0], y - 2.0)
