"""The first page of all boards: which board lies on which sheet, how to print, in which order to work."""

from __future__ import annotations

from typing import Final

from app.drafting.forms import box_path
from app.drafting.words import board_size, counted_stops, revision_words
from app.model.printing import Printing
from app.paper.boards.all_sheets import AllSheets, needs_sheet
from app.paper.cover.composed import COMPOSED, composed
from app.paper.cover.cover import settings_strip
from app.paper.cover.text import Paragraph, fitting, set_text
from app.paper.sheet.bars import check_bars
from app.paper.sheet.layout import Box, SheetLayout, upright
from app.paper.sheet.page_foot import DEFERRING, page_foot
from app.paper.sheet.stopped import head_items
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import SheetJob
from app.scene.metrics import CAP_HEIGHT, fitting_size, shortened
from app.scene.palette import FRAME, TEXT, TEXT_LIGHT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Scene, Style, Text
from app.values import replace

MOST: Final = 20
"""Boards on one such page, which is as many as a design may hold."""

_WIDTH, _HEIGHT = COMPOSED
_ROW: Final = 6.4
_COLUMNS: Final = (0.0, 6.0, 66.0, 108.0, 148.0)  # box to tick, board, size, pages, code
_BAND: Final = Style(stroke=None, fill="#23272b", role="cover-band")
_RULE: Final = Style(stroke="#5a5f64", width=0.18, role="rule")

STEPS: Final = (
    "Measure both check bars on every sheet. If they are not true, print again at actual size.",
    (
        "Where several boards share a sheet, cut it apart along the dashed lines. A board may lie sideways; "
        "the arrow below its drawing points to the player."
    ),
    (
        "Rule the lines that its template names on each board, measured from the left and front edges. Lay the paper "
        "on them and tape it down."
    ),
    "Punch every centre, take the paper off, and drill a scrap first.",
    (
        "A board on several sheets is joined by its seams. Its own template has a cover that says how, with the "
        "diagonals and distances to measure."
    ),
)


NOTHING_BELOW: Final = "nothing to drill from below"
"""Why an underside has no sheet."""


def list_count(boards: int) -> int:
    """How many pages a list of so many boards takes."""
    return max(1, -(-boards // MOST))


def list_page(job: SheetJob, sheets: AllSheets, number: int) -> Scene:
    """A page of the list, counted from 0.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    board, pages = job.board, list_count(len(sheets.jobs))
    asked = all_stops(job, sheets)
    layout = list_layout(job, sheets)
    body = [*_head(job, sheets), *settings_strip(job.printing), *_table(sheets, number)]
    items = (
        composed(body, layout),
        *head_items(layout, asked.stops, _stopped(sheets)),
        *check_bars(layout),
        Group(_foot(layout.strip, number + 1, pages + sheets.count), name="cover-foot"),
    )
    return Scene(
        0.0, 0.0, *layout.page, items, title=f"{board.title}: all boards",
        note=f"{layout.paper.name}, list of boards {number + 1} of {pages}", stretch=layout.stretch,
    )  # fmt: skip


def list_layout(job: SheetJob, sheets: AllSheets) -> SheetLayout:
    """How a page of the list is divided, each alike."""
    return upright(all_stops(job, sheets), COMPOSED)


def all_stops(job: SheetJob, sheets: AllSheets) -> Printing:
    """How a job is printed, with the stops of all boards."""
    return replace(job.printing, stops=sum(each.printing.stops for each in sheets.jobs))


def saved_words(sheets: AllSheets) -> str:
    """``7 boards on 5 sheets instead of 9``, ``2 of 7 boards on 1 sheet``."""
    every, boards, count = len(sheets.jobs), sum(map(needs_sheet, sheets.jobs)), sheets.count
    if not boards:
        return NOTHING_BELOW
    many = f"{boards} board{'' if boards == 1 else 's'}" if boards == every else f"{boards} of {every} boards"
    words = f"{many} on {count} sheet{'' if count == 1 else 's'}"
    return f"{words} instead of {sheets.alone}" if count < sheets.alone else words


def page_words(pages: range) -> str:
    """``page 2``, ``pages 2 and 3``, or ``pages 3 to 6``, of pages counted from 0; without any, why there is none."""
    if not pages:
        return NOTHING_BELOW
    if len(pages) == 1:
        return f"page {pages[0] + 1}"
    return f"pages {pages[0] + 1} {'and' if len(pages) == 2 else 'to'} {pages[-1] + 1}"


def _stopped(sheets: AllSheets) -> str:
    stopped = [job for job in sheets.jobs if job.printing.stops]
    if len(sheets.jobs) == 1 or not stopped:
        return ""
    return f"NOT BUILDABLE AS DRAWN: {len(stopped)} of {len(sheets.jobs)} boards, see the list"


def _head(job: SheetJob, sheets: AllSheets) -> list[Item]:
    """Title and how many sheets, beside the words that tell a newcomer to begin here."""
    left, room = 44.0, _WIDTH - 44.0
    face = "Top face" if job.face == "top" else "Underside, mirrored"
    words = f"{face}; {saved_words(sheets)}; {revision_words(job.board)}"
    title, size = max(fitting_size(job.board.title, room, 8.0, bold=True), 4.5), fitting_size(words, room, 4.0)
    return [
        box_path((0.0, _HEIGHT - 14.5, left - 4.0, _HEIGHT), _BAND),
        Text(((left - 4.0) / 2, _HEIGHT - 7.3), "ALL BOARDS", 5.2, TEXT_LIGHT, "middle", bold=True),
        Text(((left - 4.0) / 2, _HEIGHT - 11.9), "read this first", 3.2, TEXT_LIGHT, "middle"),
        Text((left, _HEIGHT - 7.3), shortened(job.board.title, room, title, True), title, TEXT, bold=True),
        Text((left, _HEIGHT - 13.2), words, size, TEXT),
    ]


def _table(sheets: AllSheets, number: int) -> list[Item]:
    """A row for each board: a box to tick, its name and stops, its size, its pages, its check code."""
    top = _HEIGHT - 38.0
    items: list[Item] = []
    for x, words in zip(_COLUMNS[1:], ("Board", "Width × front to back", "Where", "Check code"), strict=True):
        items.append(Text((x, top - 3.6), words, 3.2, TEXT, bold=True))
    items.append(Line((0.0, top - 5.2), (_WIDTH, top - 5.2), _RULE))
    y, first = top - 5.2, list_count(len(sheets.jobs))
    for job in sheets.jobs[number * MOST : (number + 1) * MOST]:
        y -= _ROW
        board = job.board
        pages, code = sheets.sheets_of(job)
        where = page_words(range(pages.start + first, pages.stop + first) if pages else pages) + _needless(job)
        stops = job.printing.stops
        name = f"{board.name}, {counted_stops(stops)}" if stops else board.name
        low = y + (_ROW - CAP_HEIGHT * 3.2) / 2
        if pages:
            items.append(box_path((1.0, low - 0.6, 4.4, low + 2.8), FRAME))
        for column, text in enumerate((name, board_size(board), where, code), 1):
            room = [*_COLUMNS, _WIDTH][column + 1] - _COLUMNS[column] - 2.0
            fitted = max(fitting_size(text, room, 3.2, column == 1), 2.2)
            words = shortened(text, room, fitted, column == 1)
            items.append(Text((_COLUMNS[column], low), words, fitted, TEXT, bold=column == 1))
        items.append(Line((0.0, y), (_WIDTH, y), _RULE))
    return items + _steps(y - 5.0)


def _needless(job: SheetJob) -> str:
    """What a template of a board that nothing is drilled into is for: its rim alone."""
    return ", no holes" if job.face == "top" and not job.board.drilled else ""


def _steps(top: float) -> list[Item]:
    said = [Paragraph(text, f"{n}.") for n, text in enumerate(STEPS, 1)]
    heading = Text((0.0, top - 3.4), "In this order", 3.8, TEXT, bold=True)
    size = fitting(said, _WIDTH, top - 7.0, (3.5, 3.3, 3.0, 2.8), 5.0)
    return [heading, *set_text(said, 0.0, top - 5.8, _WIDTH, size, 5.0)[0]]


def _foot(strip: Box, page: int, pages: int) -> tuple[Item, ...]:
    """In the place of a sheet's title strip: which page it is, and the usual cautions."""
    x0, _, _, y1 = strip
    own = (
        Text((x0 + 2.0, y1 - 5.4), f"page {page} of {pages}", 3.6, TEXT, bold=True),
        Text((x0 + 2.0, y1 - 10.4), "Only sheets with these codes", 2.7, TEXT_MUTED),
        Text((x0 + 2.0, y1 - 13.6), "belong together.", 2.7, TEXT_MUTED),
    )
    return page_foot(strip, 52.0, own, [*CAUTIONS, DEFERRING], _RULE)
