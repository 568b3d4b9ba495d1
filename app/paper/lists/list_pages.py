"""Pages of a list: blocks below a head, with the check bars and the foot of every sheet of this program."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from app.drafting.words import revision_words
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.lists.block import Block, paged
from app.paper.sheet.bars import check_bars
from app.paper.sheet.layout import SheetLayout, lying, upright
from app.paper.sheet.page_foot import page_foot
from app.paper.sheet.stopped import head_items
from app.scene.metrics import fitting_size, shortened
from app.scene.palette import FRAME, TEXT, TEXT_MUTED
from app.scene.primitives import Group, Item, Scene, Text

_HEAD = 15.0
_NEED = (178.0, 232.0)

Setting = Callable[[float, float, float], Sequence[Block]]
"""Gives the blocks for a left end, a width and the height of a page [mm]."""


class ListPages(Sequence[Scene]):
    """The pages, each set when it is asked for.

    Args:
        board: the board.
        printing: how they are printed.
        title: what stands at their head, as ``Mark out the outline``.
        name: of the group of what is on them, as ``marking``.
        setting: gives what stands on them.
        belongs: what stands in the foot below the number of the page; empty for nothing.
        foot: sentences of the foot, the usual cautions among them.
        wide: whether they are read with their long side across.
    """

    def __init__(
        self,
        board: ResolvedBoard,
        printing: Printing,
        title: str,
        name: str,
        setting: Setting,
        *,
        belongs: str = "",
        foot: Sequence[str] = (),
        wide: bool = False,
    ) -> None:
        self.layout = lying(printing, _NEED[::-1]) if wide else upright(printing, _NEED)
        self._board, self._printing, self._title, self._name = board, printing, title, name
        self._belongs, self._said = belongs, foot
        x0, y0, x1, y1 = self.layout.window
        room = y1 - y0 - _HEAD - 2.0
        self._pages = paged(setting(x0 + 1.0, x1 - x0 - 2.0, room), room)

    def __len__(self) -> int:
        return len(self._pages)

    def __getitem__(self, index: int) -> Scene:  # type: ignore[override]
        """A page, from 0."""
        number = range(len(self))[index]
        layout, board = self.layout, self._board
        items: list[Item] = self._head(layout)
        for block, y in self.placed(number):
            items += block.draw(y)
        width, height = layout.page
        groups = (
            Group(tuple(items), name=self._name),
            *head_items(layout, self._printing.stops),
            *check_bars(layout),
            Group(self._foot(number + 1), name=f"{self._name}-foot"),
        )
        note = f"{layout.paper.name}, page {number + 1} of {len(self)}"
        title = f"{board.title}: {board.name}, {self._title[:1].lower()}{self._title[1:]}"
        return Scene(0.0, 0.0, width, height, groups, title=title, note=note, stretch=layout.stretch)

    def placed(self, number: int) -> Iterator[tuple[Block, float]]:
        """The blocks of a page, from 0, each with the ordinate it is drawn below [mm]."""
        y = self.layout.window[3] - _HEAD
        for block in self._pages[number]:
            yield block, y
            y -= block.height

    def _head(self, layout: SheetLayout) -> list[Item]:
        x0, _, x1, top = layout.window
        left, room, board = x0 + 1.0, x1 - x0 - 2.0, self._board
        units = "inches" if board.units == "inch" else "mm"
        words = f"{board.title}, {revision_words(board)}, {board.name[:1].lower()}{board.name[1:]}; measures in {units}"
        size = max(fitting_size(words, room, 3.2), 2.6)
        return [
            Text((left, top - 6.0), self._title.upper(), 5.6, TEXT, bold=True),
            Text((left, top - 11.0), shortened(words, room, size), size, TEXT_MUTED),
        ]

    def _foot(self, number: int) -> tuple[Item, ...]:
        """In the place of a sheet's title strip: which page it is, what it belongs to, and the usual cautions."""
        x0, _, _, y1 = self.layout.strip
        own = [Text((x0 + 2.0, y1 - 5.0), f"page {number} of {len(self)}", 3.4, TEXT, bold=True)]
        if self._belongs:
            own.append(Text((x0 + 2.0, y1 - 10.5), self._belongs, 3.0, TEXT))
        return page_foot(self.layout.strip, 60.0, own, self._said, FRAME)
