"""A drawing that is looked at, on one page at a stated scale: a section, or the board from either face."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.drafting.forms import box_path
from app.drafting.scaling import scaled
from app.drafting.section.captions import scale_words
from app.drafting.section.section import scaled_section
from app.drafting.view.board_view import board_scene
from app.drafting.weights import shrunk
from app.drafting.words import revision_words
from app.errors import PaperError
from app.fit.finding import Finding
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Paper
from app.paper.sheet.layout import GAP, SheetLayout, layouts
from app.paper.sheet.stopped import head_items
from app.scene.metrics import fitting_size, shortened
from app.scene.palette import FRAME, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Scene, Text
from app.units import Unit
from app.values import replace

REDUCTIONS = (
    *(1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0),
    *(100.0, 200.0, 500.0, 1000.0),
)
"""How many times smaller than it is a board may be drawn to fit a page; by the last few, with parts far beyond it."""

_PAD = 2.0

Drawn = tuple[Scene, float]
"""A drawing in mm of paper, and its scale."""


def section_page(
    board: ResolvedBoard,
    placement_id: str,
    printing: Printing | Paper,
    *,
    findings: Sequence[Finding] = (),
    unit: Unit | None = None,
) -> Scene:
    """The section through a part on a page of paper, at the largest scale that fits.

    Raises:
        NotFoundError: no such placement.
        PaperError: the paper is too small.
    """
    placed = board.placed(placement_id)
    name = (placed.label or placed.part.name) if placed else placement_id
    return _best(
        board, printing, f"Section through {name}",
        lambda room: scaled_section(board, placement_id, findings, unit=unit, room=room),
    )  # fmt: skip


def board_page(
    board: ResolvedBoard,
    face: Face,
    printing: Printing | Paper,
    *,
    findings: Sequence[Finding] = (),
    unit: Unit | None = None,
) -> Scene:
    """One face of the board with its elevation on a page of paper, at the largest scale that fits.

    Raises:
        PaperError: the paper is too small.
    """
    scene = board_scene(board, findings, face=face, unit=unit)

    def fitted(room: tuple[float, float]) -> Drawn:
        fits = (r for r in REDUCTIONS if scene.width <= r * room[0] and scene.height <= r * room[1])
        k = 1.0 / next(fits, REDUCTIONS[-1])
        # The size alone says which page is the best one: what is on it is drawn for that one.
        return Scene(k * scene.x0, k * scene.y0, k * scene.x1, k * scene.y1, (), scene.title, scene.note), k

    def drawn(chosen: Drawn) -> Drawn:
        window, k = chosen
        return replace(window, items=shrunk(scaled(scene.items, k), k)), k

    return _best(board, printing, "Underside, mirrored" if face == "under" else "Top face", fitted, drawn)


def _best(
    board: ResolvedBoard,
    asked: Printing | Paper,
    what: str,
    draw: Callable[[tuple[float, float]], Drawn],
    finish: Callable[[Drawn], Drawn] = lambda drawn: drawn,
) -> Scene:
    """The page, upright or lying, on which the drawing is largest; ``finish`` gives that one what it lacks."""
    best: tuple[SheetLayout, Drawn] | None = None
    printing = Printing.of(asked)
    for layout in layouts(printing):
        room = _room(layout)
        drawn = draw(room)
        fits = drawn[0].width <= room[0] + 1e-9 and drawn[0].height <= room[1] + 1e-9
        if fits and (best is None or drawn[1] > best[1][1] + 1e-9):
            best = (layout, drawn)
    if best is None:
        raise PaperError(
            f"Paper {printing.paper.name} is too small for this drawing at any scale. Choose a larger one."
        )
    return _page(board, best[0], finish(best[1]), what, printing.stops)


def _room(layout: SheetLayout) -> tuple[float, float]:
    x0, x1, y1 = layout.ink[0], layout.ink[2], layout.window[3]
    return (x1 - x0 - 2 * _PAD, y1 - layout.strip[3] - GAP - 2 * _PAD)


def _page(board: ResolvedBoard, layout: SheetLayout, drawn: Drawn, what: str, stops: int) -> Scene:
    scene, k = drawn
    x0, x1, y1 = layout.ink[0], layout.ink[2], layout.window[3]
    low = layout.strip[3] + GAP
    shift = ((x0 + x1 - scene.x0 - scene.x1) / 2, (low + y1 - scene.y0 - scene.y1) / 2)
    drawing = Group(scene.items, name="drawing", shift=shift)
    items = (drawing, *head_items(layout, stops), *_strip(board, layout, what, k))
    width, height = layout.page
    note = f"{what}, scale {scale_words(k)}, on {layout.paper.name}"
    return Scene(0.0, 0.0, width, height, items, title=f"{board.title}: {what}", note=note)


def _strip(board: ResolvedBoard, layout: SheetLayout, what: str, k: float) -> tuple[Item, ...]:
    """What it is, of which design, at which scale; a drawing to read, not to drill from."""
    x0, y0, x1, y1 = layout.strip
    third = (x1 - x0) / 3
    cells = (
        (x0, 2 * third, (board.title, f"{revision_words(board)}, {board.arrangement_name}, {board.name}", what)),
        (x0 + 2 * third, third, (f"Scale {scale_words(k)}", f"on {layout.paper.name}, printed at actual size",
                                 "For reference; drill from the template.")),
    )  # fmt: skip
    items: list[Item] = [box_path((x0 + 0.175, y0 + 0.175, x1 - 0.175, y1 - 0.175), FRAME)]
    for x, width, lines in cells:
        for row, text in enumerate(lines):
            size = fitting_size(text, width - 4.0, 3.4 if row == 0 else 2.8, bold=row == 0)
            size = max(size, 2.0)
            words = shortened(text, width - 4.0, size, bold=row == 0)
            at = (x + 2.0, y1 - 4.6 - 4.1 * row)
            items.append(Text(at, words, size, TEXT if row == 0 else TEXT_MUTED, bold=row == 0))
    return tuple(items)
