"""The first pages of a booklet: what it is, a picture of its board, what must be known, and its contents."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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

_TALLEST = 70.0  # of the picture [mm]
_LINE = 5.4  # from line to line of the contents [mm]
_STEP = 5.0  # by which a title of a deeper level is set in [mm]
_DOTS = Style(stroke="#b9b4a8", width=0.18, dash=(0.4, 1.2), role="rule")


@dataclass(frozen=True, slots=True)
class ContentsLine:
    """A line of the contents: the title, the page it is on, counted from 1, and how deep it lies."""

    title: str
    page: int
    level: int = 0


@dataclass(frozen=True, slots=True)
class BookletFacts:
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
        return [*blocks, *(_line(line, left, width) for line in contents)]

    return ListPages(deck, printing, deck.title, "booklet", setting, foot=(*CAUTIONS, DEFERRING))


def _about(facts: BookletFacts) -> list[Paragraph]:
    deck = facts.boards[0]
    said = [Paragraph(f"{deck.arrangement_name}. {_boards(facts.boards)}")]
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


def _boards(boards: Sequence[ResolvedBoard]) -> str:
    said = (f"{b.name}, {board_size(b)}, {thickness(b.thickness, unit_of(b))}" for b in boards)
    return "; ".join(said) + "."


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


def _line(line: ContentsLine, left: float, width: float) -> Block:
    """A title, dots, and its page."""

    def draw(top: float) -> list[Item]:
        y, x = top - SIZE, left + _STEP * line.level
        number = str(line.page)
        edge = left + width
        room = edge - x - text_width(number, SIZE) - 6.0
        title = shortened(line.title, room, SIZE)
        style = TEXT if line.level == 0 else TEXT_MUTED
        end, begin = edge - text_width(number, SIZE) - 2.0, x + text_width(title, SIZE, line.level == 0) + 2.0
        items: list[Item] = [
            Text((x, y), title, SIZE, style, bold=line.level == 0),
            Text((edge, y), number, SIZE, TEXT, "end"),
        ]
        if end > begin:
            items.append(Line((begin, y), (end, y), _DOTS))
        return items

    return Block(_LINE, draw)
