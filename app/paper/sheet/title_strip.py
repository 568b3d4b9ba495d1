"""The title strip of a sheet: what it is, how to print it, where it belongs, and the usual cautions."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from itertools import pairwise

from app.drafting.forms import box_path
from app.drafting.words import exact, revision_words, thickness, unit_of
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.sheet.layout import Box, SheetLayout
from app.paper.sheet.tiling import Tile, Tiling
from app.scene.metrics import fitting_size, shortened
from app.scene.palette import FRAME, FRAME_FILLED, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, LineTo, Path, Style, Text
from app.units import Unit

CAUTIONS = (
    "Wear eye and ear protection and a dust mask. Clamp the work and back it up.",
    "No gloves near a spinning bit. Follow the tool makers' instructions first.",
)

PRINTING = ("Print at actual size.", "Measure both bars", "before you drill.")

_ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # no 0, 1, I, O: read aloud and copied by hand
_CELL = Style(stroke="#23272b", width=0.18, role="frame")
_THIS = FRAME_FILLED
_MARK = 6.5
_PLACE = 47.0  # width of the cell that says which sheet it is [mm]
_SEEN = 1.2  # sheets smaller than this on the small map are not told apart [mm]
_SIZES = {3: (3.5, 2.8), 4: (3.0, 2.5), 5: (2.5, 2.05)}
"""Size of the first line and of the others, by how many there are [mm]."""


def check_code(board: ResolvedBoard, face: Face, tiling: Tiling, printing: Printing, only: Bit | None = None) -> str:
    """Short code of everything that makes two sheets belong together, as ``7K-42``.

    From design, revision, arrangement, face, paper, seams and correction, and from every hole, so that a sheet printed
    before a change does not pass for one printed after it. One in 887 503 different sets agrees by chance.
    """
    holes = [
        (p.id, p.label, *(round(v, 4) for h in p.holes for v in (*h.centre, h.shape.reach)), p.counterbore, p.recess)
        for p in board.drilled
    ]
    layers = [(layer.material.id, layer.thickness) for layer in board.layers]
    paper = (tiling.layout.paper.id, tiling.layout.page, tiling.layout.margin, tiling.vertical, tiling.horizontal)
    how = (printing.correction.x, printing.correction.y, tiling.overlap, only, *([True] if printing.stops else []))
    printed = (
        board.title,
        board.revision,
        board.id,
        board.arrangement_id,
        face,
        paper,
        layers,
        holes,
        board.outline,
        how,
    )
    return short_code(printed)


def short_code(printed: object) -> str:
    """A code of four letters and figures for what is printed, by its ``repr``, as ``7K-42``."""
    number = int.from_bytes(hashlib.sha256(repr(printed).encode()).digest()[:8], "big")
    letters = ""
    for _ in range(4):
        number, index = divmod(number, len(_ALPHABET))
        letters += _ALPHABET[index]
    return f"{letters[:2]}-{letters[2:]}"


def special(printing: Printing, only: Bit | None, *, lying: bool = False) -> tuple[str, ...]:
    """What sets these sheets apart from the usual ones, in words: a correction, one bit alone.

    The factors are those of the paper held upright, as they are kept for the printer; a sheet that is read lying
    says so.
    """
    said = []
    correction = printing.correction
    if not correction.none:
        whose = f" for {correction.printer}" if correction.printer else ""
        how = " (paper held upright)" if lying else ""
        said.append(f"corrected x {correction.x:.4f} y {correction.y:.4f}{how}{whose}")
    if only is not None:
        size = exact(only.diameter, Unit.INCH if only.inch else Unit.MM)
        said.append(f"ONLY what the {size} {only.kind.replace('-', ' ').replace('forstner', 'Forstner')} bit drills")
    return tuple(said)


def title_strip(
    board: ResolvedBoard, face: Face, layout: SheetLayout, tiling: Tiling, unit: Unit, more: Sequence[str] = ()
) -> Group:
    """What stands at the foot of every sheet of a template, and its corner mark.

    Args:
        board: the board.
        face: the face the sheets are of.
        layout: how each page is divided.
        tiling: which sheets there are.
        unit: unit of the words.
        more: lines that set the sheets apart from the usual ones.
    """
    x0, y0, x1, y1 = layout.strip
    cuts = (x0, x0 + 45.0, x1 - _PLACE - 37.0, x1 - _PLACE, x1)
    items: list[Item] = [box_path((x0 + 0.175, y0 + 0.175, x1 - 0.175, y1 - 0.175), FRAME)]
    items += [Line((x, y0 + 0.175), (x, y1 - 0.175), _CELL) for x in cuts[1:-1]]
    boxes = [(a + 1.8, y0, b - 1.8, y1) for a, b in pairwise(cuts)]
    items += _face_cell(boxes[0], face, played=board.role == "deck")
    what = (*_what(board, layout, unit), *more)
    sizes = _SIZES[len(what)]
    items += _lines(boxes[1], what, (sizes[0], *[sizes[1]] * (len(what) - 1)), _bold(len(what), len(more)))
    items += _lines(boxes[2], PRINTING, (2.9, 2.9, 2.9), bold=(True, False, False))
    items += _map(_SmallMap(layout, tiling))
    items += caution_items(layout)
    items += corner_items(layout)
    return Group(tuple(items), name="title")


def place_cell(layout: SheetLayout, tiling: Tiling, tile: Tile, code: str) -> Group:
    """Which of the sheets this one is: filled on the small map, and in words with the check code."""
    small = _SmallMap(layout, tiling)
    lines = (
        f"row {tile.row} of {tiling.rows}",
        f"column {tile.column} of {tiling.columns}",
        f"code {code}",
    )
    words = _lines((small.box[0] + 19.5, *small.box[1:]), lines, (2.9, 2.9, 2.9), (True, True, False))
    return Group((box_path(small.cell(tile), _THIS), *words), name="place")


def _what(board: ResolvedBoard, layout: SheetLayout, unit: Unit) -> tuple[str, str, str]:
    made = " on ".join(f"{thickness(layer.thickness, unit_of(board))} {layer.material.name}" for layer in board.layers)
    units = "inches" if unit is Unit.INCH else "mm"
    return (
        board.title,
        f"{revision_words(board)}, {board.arrangement_name}, {board.name[:1].lower()}{board.name[1:]}",
        f"{made}; {layout.paper.name}, {units}",
    )


def _lines(
    box: Box, lines: Sequence[str], sizes: Sequence[float], bold: Sequence[bool] = (True, False, False)
) -> list[Item]:
    x0, _, x1, y1 = box
    items: list[Item] = []
    y = y1 - 0.4
    pace = 4.25 if len(lines) <= 3 else (y1 - box[1] - 1.6) / len(lines)
    for text, size, heavy in zip(lines, sizes, bold, strict=True):
        fitted = max(fitting_size(text, x1 - x0, size, heavy), 0.75 * size)
        y -= pace
        items.append(Text((x0, y), shortened(text, x1 - x0, fitted, heavy), fitted, TEXT, bold=heavy))
    return items


def _bold(lines: int, last: int) -> tuple[bool, ...]:
    """The first line and the last ones are set bold."""
    return tuple(k == 0 or k >= lines - last for k in range(lines))


def _face_cell(box: Box, face: Face, *, played: bool) -> list[Item]:
    x0, y0, x1, _ = box
    name = "TOP FACE" if face == "top" else "UNDERSIDE"
    edge = "this edge towards the player" if played else "this edge is the front"
    words = edge if face == "top" else f"mirrored; {edge}"
    room = x1 - x0 - 4.0
    size = fitting_size(words, room, 2.8)
    y = y0 + 2.6
    arrow = Path((x0 + 1.3, y - 0.6), (LineTo((x0, y + 2.0)), LineTo((x0 + 2.6, y + 2.0))), _THIS, closed=True)
    return [
        Text((x0, y0 + 7.0), name, fitting_size(name, x1 - x0, 8.0, bold=True), TEXT, bold=True),
        arrow,
        Text((x0 + 4.0, y), words, size, TEXT),
    ]


class _SmallMap:
    """The sheets of a template as a small map in the last cell of the strip."""

    def __init__(self, layout: SheetLayout, tiling: Tiling) -> None:
        _, y0, x1, y1 = layout.strip
        self.tiling = tiling
        self.box: Box = (x1 - _PLACE + 1.8, y0, x1 - 1.8, y1)
        self.side = min(17.5 / tiling.columns, (y1 - y0 - 3.6) / tiling.rows, 6.0)
        self.left = self.box[0] + (17.5 - self.side * tiling.columns) / 2
        self.top = (y0 + y1 + self.side * tiling.rows) / 2

    @property
    def seen(self) -> bool:
        """Whether its sheets can be told apart."""
        return self.side >= _SEEN

    @property
    def whole(self) -> Box:
        """All of it [mm]."""
        width, height = self.side * self.tiling.columns, self.side * self.tiling.rows
        return (self.left, self.top - height, self.left + width, self.top)

    def cell(self, tile: Tile) -> Box:
        """A sheet on it [mm]."""
        air = 0.3 if self.seen else 0.0
        x, y = self.left + (tile.column - 1) * self.side, self.top - tile.row * self.side
        return (x + air, y + air, x + self.side - air, y + self.side - air)


def _map(small: _SmallMap) -> list[Item]:
    """Every sheet; of many only the rectangle round all of them."""
    boxes = [small.cell(tile) for tile in small.tiling.tiles] if small.seen else [small.whole]
    return [box_path(box, _CELL) for box in boxes]


def caution_items(layout: SheetLayout) -> list[Item]:
    """The usual cautions, beside the level check bars."""
    x0, y0, x1, y1 = layout.bars
    left = x0 + 116.0
    room = x1 - left
    size = min(fitting_size(line, room, 2.5) for line in CAUTIONS)
    middle = (y0 + y1) / 2
    return [
        Text((x1, middle + 0.55), CAUTIONS[0], size, TEXT_MUTED, "end"),
        Text((x1, middle - 0.55 - 0.75 * size), CAUTIONS[1], size, TEXT_MUTED, "end"),
    ]


def corner_items(layout: SheetLayout) -> list[Item]:
    """A filled corner at the upper left only: seen in a mirror, the sheet shows it on the other side."""
    x0, _, _, y1 = layout.side
    return [
        Path(
            (x0, y1),
            (LineTo((x0, y1 - _MARK)), LineTo((x0 + _MARK, y1))),
            Style(None, fill="#23272b", role="corner"),
            True,
        )
    ]
