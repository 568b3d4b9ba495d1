"""What stands beside the board in an exchange drawing: squares to prove the scale by, and notes.

Both are behind the back edge, so that the front left corner of the board is the lower left corner of the drawing and
the origin, and each has a layer of its own to be hidden or deleted.
"""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.forms import Box, box_path
from app.drafting.words import exact, revision_words, stop_words
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.metrics import ASCENT, text_width
from app.scene.palette import DIMENSION, TEXT
from app.scene.primitives import Item, Text
from app.units import Unit, format_exact

SQUARES, NOTES = "CHECK_SQUARE", "NOTES"

_APART = 12.0
_SIZE = 6.0
_LEADING = 1.5


def plain(value: float) -> str:
    """A size for a layer's name or a note: at most three decimals, no needless zeros."""
    return format_exact(round(value, 3))


def size_words(board: ResolvedBoard) -> str:
    """The overall size of a board, as in ``600 x 220 mm``: letters every program has."""
    return f"{plain(board.width)} x {plain(board.depth_front_to_back)} mm"


def hole_words(board: ResolvedBoard) -> str:
    """How wide round holes are drawn before any kerf: as the bits that drill them, else as the parts ask."""
    bits = [hole.bit for placed in board.drilled for hole in placed.holes if hole.is_circle]
    if not any(bits):
        return "no bits for the round holes: drawn at the sizes the parts need" if bits else ""
    rest = "" if all(bits) else ", those without a bit at the size the part needs"
    return f"round holes as wide as the bits that drill them{rest}"


def kerf_words(kerf: float) -> str:
    """What the kerf does to the drawing, with its sign."""
    if kerf == 0:
        return "no kerf"
    half = plain(kerf / 2)
    return (
        f"kerf {plain(kerf)} mm: holes and openings drawn {half} mm smaller on every side, the outline {half} mm "
        "larger; what is cut to a depth is as designed"
    )


def width_words(board: ResolvedBoard, kerf: float) -> str:
    """How wide things are drawn: by bits or as asked for, and with which kerf."""
    return "; ".join(words for words in (hole_words(board), kerf_words(kerf)) if words)


def note_lines(board: ResolvedBoard, face: Face, kerf: float, stops: int = 0) -> tuple[str, ...]:
    """The notes of a drawing: what it is, which face, how large, where its origin is, how wide holes are.

    Of a board that cannot be built as drawn, by so many ``stops``, the last line says so.
    """
    x0, y0, x1, _ = board.outline.bounds
    inches = f"{exact(board.width, Unit.INCH)} x {exact(board.depth_front_to_back, Unit.INCH)}"
    thick = f"{plain(board.thickness)} mm thick"
    corner = plain(x0 if face == "top" else x1)
    where = "front left" if face == "top" else "of the board, at the right here,"
    return (
        f"{board.title}: {board.name}, {board.arrangement_name}, {revision_words(board)}",
        "top face" if face == "top" else "UNDERSIDE, mirrored",
        f"{size_words(board)} ({inches}), {thick}",
        f"drawn in mm, 1:1; datum corner {where} at {corner}, {plain(y0)}",
        width_words(board, kerf),
        *((stop_words(stops),) if stops else ()),
    )


def beside(board: ResolvedBoard, lines: tuple[str, ...]) -> tuple[list[Item], Box]:
    """Check squares and notes behind the back edge of a board, and the box round them [mm]."""
    x0, _, x1, y1 = board.outline.bounds
    rule = catalogue().rule
    mm, inch = rule("reference-square-mm"), rule("reference-square-inch")
    low = y1 + _APART
    second = x0 + mm + _APART
    items: list[Item] = []
    for x, side, words in ((x0, mm, f"{plain(mm)} mm"), (second, inch, f"{plain(inch / 25.4)} in")):
        items.append(box_path((x, low, x + side, low + side), DIMENSION, SQUARES))
        items.append(Text((x + 3.0, low + 3.0), f"{words} square", _SIZE * 0.7, TEXT, layer=NOTES))
    right = max(x1, second + inch)
    # Long words become smaller rather than make the drawing wider than the board.
    size = min(_SIZE, *(_SIZE * (right - x0) / text_width(line, _SIZE) for line in lines))
    base = low + inch + _APART / 2
    for k, line in enumerate(reversed(lines)):
        items.append(Text((x0, base + k * _LEADING * size), line, size, TEXT, layer=NOTES))
    return items, (x0, low, right, base + ((len(lines) - 1) * _LEADING + ASCENT) * size)
