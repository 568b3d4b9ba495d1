"""Tables as blocks: heads over ruled rows; a long table goes on from page to page, its heads with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from app.drafting.forms import box_path
from app.drafting.table_words import head_words, row_words
from app.paper.cover.text import Paragraph, wrapped
from app.paper.lists.block import SIZE, Block, words_block
from app.scene.metrics import text_width
from app.scene.palette import TEXT, TEXT_MUTED
from app.scene.primitives import Item, Line, Style, Text
from app.scene.table import Table

_PITCH = 4.4
_HEAD = 2.6
_APART = 3.5  # least gap between two columns [mm]
_STRIPS = 9.0  # and between two runs of rows side by side [mm]
_RULE = Style(stroke="#5a5f64", width=0.13, role="rule")
_HAIR = Style(stroke="#b9b4a8", width=0.1, role="rule")
_TICK = Style(stroke="#23272b", width=0.2, role="tick")
_BASE = 3.3  # from the top of a line to its baseline [mm]
_NARROWEST = 18.0  # of a column of words that is broken into lines [mm]
_SIZES = (SIZE, 2.7, 2.35)  # of the words, the smaller ones for tables of many columns [mm]
_TOGETHER = 6  # rows of a table that is not broken from page to page


class _Cells(Struct, frozen=True):
    """Where columns stand.

    Args:
        widths: of each column [mm].
        numbers: whether each is set to the right.
        ticks: those that are a box to tick.
        size: of the words [mm].
    """

    widths: tuple[float, ...]
    numbers: tuple[bool, ...]
    ticks: tuple[int, ...] = ()
    size: float = SIZE

    @property
    def width(self) -> float:
        return sum(self.widths) + _APART * (len(self.widths) - 1)

    def at(self, left: float, column: int) -> float:
        """Where the words of a column are anchored [mm]."""
        x = left + sum(self.widths[:column]) + _APART * column
        return x + self.widths[column] if self.numbers[column] else x


def table_blocks(table: Table, left: float, width: float, room: float) -> list[Block]:
    """A heading, the notes, then the rows.

    Args:
        table: the table.
        left: where it begins [mm].
        width: of the page [mm].
        room: height of a page [mm].
    """
    said = [Paragraph(table.title, bold=True), *(Paragraph(note) for note in table.notes)]
    heading = words_block(said, left, width, held=True)
    heads, rows = [head_words(column, table.unit) for column in table.columns], row_words(table)
    if not rows:
        return [heading]
    cells = _cells(table, heads, rows, width)
    many = int((width + _STRIPS) // (cells.width + _STRIPS))
    if many > 1 and len(rows) > 6:
        return [heading, *_side_by_side(heads, rows, cells, left, min(many, -(-len(rows) // 3)), room, heading.height)]
    top = _heads(heads, cells, left)
    lines = [_row(row, cells, left, top) for row in rows]
    if len(rows) <= _TOGETHER:
        whole = _stacked([top, *lines])
        if heading.height + whole.height < room:
            return [heading, _ended(whole)]
    return [heading, Block(top.height, top.draw, held=True), *lines[:-1], _ended(lines[-1])]


def _stacked(blocks: Sequence[Block]) -> Block:
    """Blocks one below the other as one that is not broken."""

    def draw(top: float) -> list[Item]:
        items: list[Item] = []
        for block in blocks:
            items += block.draw(top)
            top -= block.height
        return items

    return Block(sum(block.height for block in blocks), draw)


def _cells(table: Table, heads: Sequence[str], rows: Sequence[Sequence[str]], width: float) -> _Cells:
    """Every column as wide as its words; where that is more than there is, columns of words are broken into lines.

    Where that does not do either, because there are many columns, the words are set smaller.
    """
    for size in _SIZES:
        cells = _cells_in(table, heads, rows, width, size)
        if cells.width <= width:
            break
    return cells


def _cells_in(table: Table, heads: Sequence[str], rows: Sequence[Sequence[str]], width: float, size: float) -> _Cells:
    natural = [
        max(text_width(head, _HEAD, bold=True), *(text_width(row[k], size) for row in rows))
        for k, head in enumerate(heads)
    ]
    numbers = tuple(column.is_number for column in table.columns)
    room = width - _APART * (len(natural) - 1) - sum(w for w, number in zip(natural, numbers, strict=True) if number)
    most = _most(
        sorted(w for w, number in zip(natural, numbers, strict=True) if not number), room, _NARROWEST * size / SIZE
    )
    ticks = tuple(k for k, column in enumerate(table.columns) if column.kind == "tick")
    return _Cells(
        tuple(w if number else min(w, most) for w, number in zip(natural, numbers, strict=True)), numbers, ticks, size
    )


def _most(widths: Sequence[float], room: float, narrowest: float) -> float:
    """How wide columns of words may be so that all fit: narrow ones as they are, the others alike [mm]."""
    for number, wide in enumerate(widths):
        share = room / (len(widths) - number)
        if wide > share:
            return max(share, narrowest)
        room -= wide
    return max(widths, default=0.0)


def _texts(
    words: Sequence[str], cells: _Cells, left: float, y: float, size: float, style: Style, *, bold: bool = False
) -> list[Item]:
    return [
        Text((cells.at(left, k), y), text, size, style, "end" if cells.numbers[k] else "start", bold=bold)
        for k, text in enumerate(words)
        if text
    ]


def _heads(heads: Sequence[str], cells: _Cells, left: float) -> Block:
    def draw(top: float) -> list[Item]:
        return [
            *_texts(heads, cells, left, top - _BASE, _HEAD, TEXT_MUTED, bold=True),
            Line((left, top - _PITCH), (left + cells.width, top - _PITCH), _RULE),
        ]

    return Block(_PITCH + 0.4, draw)


def _row(row: Sequence[str], cells: _Cells, left: float, heads: Block) -> Block:
    lines = [wrapped(text, cells.widths[k], cells.size) if text else [] for k, text in enumerate(row)]
    deep = max(1, *(len(each) for each in lines))

    def draw(top: float) -> list[Item]:
        items: list[Item] = []
        for n in range(deep):
            part = [each[n] if n < len(each) else "" for each in lines]
            items += _texts(part, cells, left, top - _BASE - n * _PITCH * 0.92, cells.size, TEXT)
        for k in cells.ticks:
            x, y, side = cells.at(left, k), top - _BASE - 0.3, 2.8
            items.append(box_path((x, y, x + side, y + side), _TICK))
        low = top - _PITCH * (0.92 * (deep - 1) + 1.0)
        return [*items, Line((left, low), (left + cells.width, low), _HAIR)]

    return Block(_PITCH * (0.92 * (deep - 1) + 1.0) + 0.3, draw, heading=heads)


def _ended(block: Block) -> Block:
    """The same with air below it."""
    return Block(block.height + 4.0, block.draw, block.held, block.heading)


def _side_by_side(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    cells: _Cells,
    left: float,
    many: int,
    room: float,
    above: float,
) -> list[Block]:
    """A narrow table in runs of rows side by side, read down one after the other; blocks of a page at most."""
    deepest = max(3, int((room - above - 8.0) / (_PITCH + 0.3)) - 1)
    full = deepest * many
    return [_runs(heads, rows[k : k + full], cells, left, many) for k in range(0, len(rows), full)]


def _runs(heads: Sequence[str], rows: Sequence[Sequence[str]], cells: _Cells, left: float, many: int) -> Block:
    top_of = _heads(heads, cells, left)
    deep = -(-len(rows) // many)
    runs = [rows[k : k + deep] for k in range(0, len(rows), deep)]

    def drawn(run: Sequence[Sequence[str]], x: float) -> Callable[[float], list[Item]]:
        head = _heads(heads, cells, x)
        lines = [_row(row, cells, x, head) for row in run]

        def draw(top: float) -> list[Item]:
            items, y = head.draw(top), top - head.height
            for line in lines:
                items += line.draw(y)
                y -= line.height
            return items

        return draw

    drawing = [drawn(run, left + n * (cells.width + _STRIPS)) for n, run in enumerate(runs)]
    height = top_of.height + deep * (_PITCH + 0.3) + 4.0
    return Block(height, lambda top: [item for draw in drawing for item in draw(top)])
