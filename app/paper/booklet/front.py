"""The first pages of a booklet: what it is, a picture of its board, what must be known, and its contents."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from msgspec import Struct

from app.drafting.scaling import scaled
from app.drafting.view.board_view import thumbnail
from app.drafting.weights import shrunk
from app.drafting.words import board_size, stop_words, thickness, unit_of
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.cover.text import Paragraph
from app.paper.lists.block import SIZE, Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.sheet.page_foot import DEFERRING
from app.paper.sheet.title_strip import CAUTIONS
from app.scene.metrics import shortened, text_width
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Line, Style, Text
from app.values import replace

_TALLEST = 70.0  # of the picture [mm]
_LINE = 5.4  # from line to line of the contents [mm]
_STEP = 5.0  # by which titles under a heading are set in [mm]
_BESIDE, _APART = 3, 6.0  # how many of them stand side by side, and the gap between two [mm]
_DOTS = Style(stroke="#b9b4a8", width=0.18, dash=(0.4, 1.2), role="rule")


class ContentsLine(Struct, frozen=True):
    """A line of the contents: the title, the page it is on, counted from 1, and how deep it lies."""

    title: str
    page: int
    level: int = 0


class BookletFacts(Struct, frozen=True):
    """What the first page says.

    Args:
        boards: with their arrangements, the one on the picture first.
        stops: of each board, in the same order.
        notes: of the plan maker.
        changes: what changed since the revision before, a sentence each.
        date: the day of the revision; empty for none.
    """

    boards: tuple[ResolvedBoard, ...]
    stops: tuple[int, ...]
    notes: str = ""
    changes: tuple[str, ...] = ()
    date: str = ""


def front_pages(facts: BookletFacts, contents: Sequence[ContentsLine], printing: Printing) -> ListPages:
    """The first pages of a booklet; how many there are does not depend on the numbers in the contents."""
    deck = facts.boards[0]

    def setting(left: float, width: float, _: float) -> list[Block]:
        blocks = [_picture(deck, left, width), words_block(_about(facts), left, width, air=4.0)]
        if facts.changes:
            lines = [Paragraph("What changed", bold=True), *(Paragraph(line) for line in facts.changes)]
            blocks += [words_block([line], left, width) for line in lines]
        blocks.append(words_block([Paragraph("Contents", bold=True)], left, width, air=2.0, held=True))
        return [*blocks, *_rows(contents, left, width)]

    return ListPages(whole_design(facts.boards), printing, deck.title, "booklet", setting, foot=(*CAUTIONS, DEFERRING))


def whole_design(boards: Sequence[ResolvedBoard]) -> ResolvedBoard:
    """The board that a page about all of them bears at its head."""
    return replace(boards[0], name="All boards") if len(boards) > 1 else boards[0]


def _about(facts: BookletFacts) -> list[Paragraph]:
    deck = facts.boards[0]
    said = [Paragraph(deck.arrangement_name, bold=True), *(Paragraph(_board(each)) for each in facts.boards)]
    stopped = [(b, n) for b, n in zip(facts.boards, facts.stops, strict=True) if n]
    for board, stops in stopped:
        said.append(Paragraph(f"{board.name}: {stop_words(stops)}", bold=True))
    if not stopped:
        said.append(Paragraph("Every board was checked: nothing stops it from being built."))
    said.append(Paragraph("Print at actual size, and check both bars of every sheet before you drill.", bold=True))
    if facts.date:
        said.append(Paragraph(f"Published {facts.date}."))
    said += [Paragraph(line) for line in facts.notes.splitlines() if line.strip()]
    return said


def _board(board: ResolvedBoard) -> str:
    made = " on ".join(f"{thickness(layer.thickness, unit_of(board))} {layer.material.name}" for layer in board.layers)
    return f"{board.name}: {board_size(board)}, {made}"


def _picture(board: ResolvedBoard, left: float, width: float) -> Block:
    scene = thumbnail(board)
    k = min(width / scene.width, _TALLEST / scene.height)
    high = k * scene.height

    def draw(top: float) -> list[Item]:
        moved = shrunk(scaled(scene.items, k), k)
        shift = (left + (width - k * scene.width) / 2 - k * scene.x0, top - high - k * scene.y0)
        return [_shifted(moved, shift)]

    return Block(high + 5.0, draw)


def _shifted(items: tuple[Item, ...], shift: tuple[float, float]) -> Item:
    return Group(items, name="booklet-picture", shift=shift)


def _rows(contents: Sequence[ContentsLine], left: float, width: float) -> Iterator[Block]:
    """A line for each heading, and what stands under it side by side, read along."""
    wide = (width - _STEP - (_BESIDE - 1) * _APART) / _BESIDE
    for level, group in groupby(contents, key=lambda line: line.level):
        lines = list(group)
        if level == 0:
            for line in lines:
                yield _row([line], [(left, width)], held=line is lines[-1] and line is not contents[-1])
            continue
        for n in range(0, len(lines), _BESIDE):
            row = lines[n : n + _BESIDE]
            yield _row(row, [(left + _STEP + (wide + _APART) * k, wide) for k in range(len(row))])


def _row(lines: Sequence[ContentsLine], places: Sequence[tuple[float, float]], *, held: bool = False) -> Block:
    """Lines side by side, each from a left end in a width [mm]."""

    def draw(top: float) -> list[Item]:
        return [
            item
            for line, (left, width) in zip(lines, places, strict=True)
            for item in _line(line, left, width, top - SIZE)
        ]

    return Block(_LINE, draw, held)


def _line(line: ContentsLine, left: float, width: float, y: float) -> list[Item]:
    """A title, dots, and its page."""
    number, edge, heading = str(line.page), left + width, line.level == 0
    end = edge - text_width(number, SIZE) - 1.5
    title = shortened(line.title, end - left - 1.5, SIZE, bold=heading)
    begin = left + text_width(title, SIZE, heading) + 1.5
    items: list[Item] = [
        Text((left, y), title, SIZE, TEXT if heading else TEXT_MUTED, bold=heading),
        Text((edge, y), number, SIZE, TEXT, "end"),
    ]
    if end > begin:
        items.append(Line((begin, y), (end, y), _DOTS))
    return items
