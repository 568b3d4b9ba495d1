"""The cover sheet: read first. Which sheet goes where, with which settings, in which order, and what to measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from app.drafting.forms import box_path
from app.drafting.words import unit_of
from app.fit.report.acceptance import AcceptedFinding
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Paper
from app.paper.cover.composed import COMPOSED, composed
from app.paper.cover.map import SEAM, map_scale, small_map
from app.paper.cover.measures import hole_pairs
from app.paper.cover.text import Paragraph, fitting, height, set_text
from app.paper.cover.words import (
    SETTINGS,
    accepted_unseen,
    accepted_words,
    face_words,
    measures,
    printed_on,
    steps,
    subtitle,
)
from app.paper.sheet.bars import check_bars
from app.paper.sheet.layout import SheetLayout, upright
from app.paper.sheet.page_foot import DEFERRING, page_foot
from app.paper.sheet.sheets import SheetSet, plan_sheets
from app.paper.sheet.stopped import head_items
from app.paper.sheet.title_strip import CAUTIONS
from app.scene.metrics import CAP_HEIGHT, fitting_size, shortened, text_width
from app.scene.palette import BASELINE, FRAME, MEASURE, TEXT, TEXT_LIGHT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Scene, Style, Text
from app.units import Unit

_WIDTH, _HEIGHT = COMPOSED
_BAND = Style(stroke=None, fill="#23272b", role="cover-band")
_RULE = Style(stroke="#5a5f64", width=0.18, role="rule")
_MAPS = 61.0
_STEPS = 106.0
_SIZES = (3.6, 3.45, 3.3, 3.15, 3.0, 2.85, 2.7, 2.55)
_ACCEPTED_ROOM = 34.0


def cover_page(
    board: ResolvedBoard,
    printing: Printing | Paper,
    *,
    unit: Unit | None = None,
    accepted: Sequence[AcceptedFinding] | None = None,
    files: Mapping[Face, str] | None = None,
    first_page: int = 1,
    plans: tuple[SheetSet, SheetSet] | None = None,
) -> Scene:
    """The cover of a board's sheets, one page of the same paper, all ink inside the same rectangle.

    Args:
        board: the board.
        printing: paper, margins and correction the sheets are made for.
        unit: unit of the words; None for the design's own.
        accepted: accepted cautions as they stand (``Report.accepted``); None if nobody has looked.
        files: names of the files of both faces, for the words; missing ones are described.
        first_page: number of the page the first sheet is on in its file: 2 where this cover is the first.
        plans: the sheets of the top face and of the underside, if they are laid already.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    unit = unit or unit_of(board)
    asked = Printing.of(printing)
    top, under = plans or _plans(board, asked, unit)
    layout = upright(asked, COMPOSED)
    names = files or {}
    body: list[Item] = [*_head(board), *settings_strip(asked)]
    body += _map_cell(board, top, (0.0, 0.0), first_page, names.get("top", ""))
    body += _map_cell(board, under, (_WIDTH / 2 + 1.5, 0.0), first_page, names.get("under", ""))
    body += _lower(board, top, under, accepted, unit)
    width, height_ = layout.page
    items = (
        composed(body, layout),
        *head_items(layout, asked.stops),
        *check_bars(layout),
        Group(_foot(layout, top, under), name="cover-foot"),
    )
    note = f"{layout.paper.name}, codes {top.code} and {under.code}"
    return Scene(
        0.0, 0.0, width, height_, items, title=f"{board.title}: cover sheet", note=note, stretch=layout.stretch
    )


def _plans(board: ResolvedBoard, printing: Printing, unit: Unit) -> tuple[SheetSet, SheetSet]:
    top = plan_sheets(board, "top", printing, unit=unit)
    return top, plan_sheets(board, "under", printing, unit=unit, above=top.ruled)


def _head(board: ResolvedBoard) -> list[Item]:
    """Title and what is made, beside the words that tell a newcomer to begin here."""
    left = 44.0
    title = fitting_size(board.title, _WIDTH - left, 8.0, bold=True)
    words = subtitle(board)
    size = max(fitting_size(words, _WIDTH - left, 4.0), 2.8)
    return [
        box_path((0.0, _HEIGHT - 14.5, left - 4.0, _HEIGHT), _BAND),
        Text(((left - 4.0) / 2, _HEIGHT - 7.3), "COVER SHEET", 5.2, TEXT_LIGHT, "middle", bold=True),
        Text(((left - 4.0) / 2, _HEIGHT - 11.9), "read this first", 3.2, TEXT_LIGHT, "middle"),
        Text((left, _HEIGHT - 7.3), shortened(board.title, _WIDTH - left, max(title, 4.5), True), max(title, 4.5),
             TEXT, bold=True),
        Text((left, _HEIGHT - 13.2), shortened(words, _WIDTH - left, size), size, TEXT),
    ]  # fmt: skip


def settings_strip(printing: Printing) -> list[Item]:
    """A strip of boxes to tick: what the print dialog must say."""
    top = _HEIGHT - 18.5
    items: list[Item] = [Text((0.0, top - 3.4), "In the print dialog", 3.8, TEXT, bold=True)]
    words = printed_on(printing)
    size = fitting_size(words, _WIDTH - 50.0, 3.2)
    items.append(Text((_WIDTH, top - 3.4), words, size, TEXT, "end"))
    cell = _WIDTH / len(SETTINGS)
    y1, y0 = top - 5.6, top - 14.0
    for n, text in enumerate(SETTINGS):
        x = n * cell
        items.append(box_path((x + (0.6 if n else 0.2), y0, x + cell - 0.2, y1), FRAME))
        side = 3.6
        low = (y0 + y1 - side) / 2
        items.append(box_path((x + 1.8, low, x + 1.8 + side, low + side), FRAME))
        fitted = fitting_size(text, cell - side - 5.0, 3.4, bold=True)
        items.append(Text((x + 3.4 + side, (y0 + y1 - CAP_HEIGHT * fitted) / 2), text, fitted, TEXT, bold=True))
    return items


def _map_cell(
    board: ResolvedBoard, sheets: SheetSet, at: tuple[float, float], first_page: int, file: str
) -> list[Item]:
    """One face: its name, how many sheets, its map, and which file prints it."""
    x0, width = at[0], _WIDTH / 2 - 1.5
    top = _HEIGHT - 37.5
    face, tiling = sheets.template.face, sheets.tiling
    name = "TOP FACE" if face == "top" else "UNDERSIDE, mirrored"
    count = f"{len(tiling.tiles)} sheet" + ("" if len(tiling.tiles) == 1 else "s")
    box = (x0, top - _MAPS + 11.5, x0 + width, top - 4.5)
    which, use = face_words(board, sheets, first_page, file)
    pairs = hole_pairs(board) if face == "top" else ()
    size = max(fitting_size(which, width, 3.2, bold=True), 2.2)
    scale = f"{count}, map 1 : {map_scale(sheets, box):.1f}"
    return [
        Text((x0, top - 3.6), name, 4.4, TEXT, bold=True),
        Text((x0 + width, top - 3.6), scale, 3.2, TEXT_MUTED, "end"),
        small_map(sheets, box, pairs, first_page),
        Text((x0, top - _MAPS + 5.0), shortened(which, width, size, True), size, TEXT, bold=True),
        Text((x0, top - _MAPS + 0.8), use, fitting_size(use, width, 3.2), TEXT),
        *_legend((x0, top - _MAPS + 9.6), width, face),
    ]


def _legend(at: tuple[float, float], width: float, face: Face) -> list[Item]:
    """What the lines of a map mean."""
    entries = [(BASELINE, "to rule"), (SEAM, "sheets meet")]
    entries += [(MEASURE, "to measure")] if face == "top" else []
    items: list[Item] = [Text(at, "number = page", 2.5, TEXT_MUTED)]
    x = at[0] + 21.0
    for style, words in entries:
        items.append(Line((x, at[1] + 0.8), (x + 6.5, at[1] + 0.8), style))
        items.append(Text((x + 7.5, at[1]), words, 2.5, TEXT_MUTED))
        x += 9.5 + text_width(words, 2.5)
    return items if x <= at[0] + width + 2.0 else items[:1]


def _lower(
    board: ResolvedBoard, top: SheetSet, under: SheetSet, accepted: Sequence[AcceptedFinding] | None, unit: Unit
) -> list[Item]:
    """Steps at the left, measures at the right, what was accepted below them across the page."""
    high = _HEIGHT - 37.5 - _MAPS - 3.5
    listed, accepted_size = _accepted(board, accepted, unit)
    foot = height(listed, _WIDTH, accepted_size, 3.0) + 6.5
    items: list[Item] = [Line((0.0, high + 0.8), (_WIDTH, high + 0.8), _RULE)]
    items.append(Text((0.0, high - 4.2), "In this order", 3.8, TEXT, bold=True))
    todo = steps(board, top, under, unit)
    room = high - 6.6 - foot - 1.0
    size = fitting(todo, _STEPS, room, _SIZES, 5.0)
    set_steps, _ = set_text(todo, 0.0, high - 6.6, _STEPS, size, 5.0)
    items += set_steps
    items += _measured(board, unit, _STEPS + 5.0, high)
    items.append(Line((0.0, foot - 0.8), (_WIDTH, foot - 0.8), _RULE))
    items.append(Text((0.0, foot - 4.2), "Accepted cautions", 3.4, TEXT, bold=True))
    set_accepted, _ = set_text(listed, 0.0, foot - 6.0, _WIDTH, accepted_size, 3.0)
    return items + set_accepted


def _measured(board: ResolvedBoard, unit: Unit, left: float, high: float) -> list[Item]:
    """A table: what, how long, by how much it may be off; notes under it."""
    items: list[Item] = [Text((left, high - 4.2), "Measure, and compare", 3.8, TEXT, bold=True)]
    y, width = high - 6.0, _WIDTH - left
    for what, long, limit in measures(board, unit):
        if not long:
            note, y = set_text([Paragraph(what, style=TEXT_MUTED)], left, y - 1.1, width, 2.7)
            items += note
            y -= 1.2
            continue
        y -= 4.6
        items.append(Text((left, y), what, fitting_size(what, width - 32.0, 3.0), TEXT))
        items.append(Text((left + width - 15.0, y), long, fitting_size(long, 18.0, 3.2, True), TEXT, "end", bold=True))
        items.append(Text((left + width, y), limit, fitting_size(limit, 13.5, 2.9), TEXT, "end"))
        y -= 1.0
        items.append(Line((left, y), (left + width, y), _RULE))
    return items


def _accepted(
    board: ResolvedBoard, accepted: Sequence[AcceptedFinding] | None, unit: Unit
) -> tuple[list[Paragraph], float]:
    """The accepted cautions that have room, the number of those that have not, and the size of the letters."""
    if accepted is None:
        return accepted_unseen(board), 2.9
    found = accepted_words(accepted, board, unit)
    if not found:
        return [Paragraph("None.", style=TEXT_MUTED)], 2.9
    size = fitting(found, _WIDTH, _ACCEPTED_ROOM, (2.9, 2.7, 2.5), 3.0)
    shown = list(found)
    while len(shown) > 1 and height([*shown, *_more(len(found) - len(shown))], _WIDTH, size, 3.0) > _ACCEPTED_ROOM:
        shown.pop()
    return [*shown, *_more(len(found) - len(shown))], size


def _more(count: int) -> list[Paragraph]:
    return [Paragraph(f"{count} more: see the fit report.", "•", style=TEXT_MUTED)] if count else []


def _foot(layout: SheetLayout, top: SheetSet, under: SheetSet) -> tuple[Item, ...]:
    """In the place of a sheet's title strip: the check codes, and the usual cautions."""
    x0, _, _, y1 = layout.strip
    lines = ("Only sheets with these codes belong together:", f"top face {top.code}", f"underside {under.code}")
    own = (
        Text((x0 + 2.0, y1 - 4.0 - 4.6 * n), text, fitting_size(text, 48.0, size), TEXT, bold=n > 0)
        for n, (text, size) in enumerate(zip(lines, (2.5, 3.4, 3.4), strict=True))
    )
    return page_foot(layout.strip, 52.0, own, [*CAUTIONS, DEFERRING], _RULE)
