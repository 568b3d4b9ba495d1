"""The pages of a coupon: rows of cells below a head, and where each trial cut lies on its page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from msgspec import Struct

from app.drafting.words import thickness, unit_of
from app.geometry.shapes import Shape
from app.paper.coupon.cells import CouponCell
from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import SheetJob
from app.scene.primitives import Item, Scene
from app.shop.coupon import Sample, samples_of

_GAP: Final = 4.0  # between rows [mm]

_HOW: Final = (
    "Make each cut with the bit you will use, try its part in it, tick how it goes in, and measure it across with "
    "callipers. Type it in on the page Coupon: from then on holes count as wide as yours came out."
)


def said_of(job: SheetJob) -> tuple[str, ...]:
    """What stands above the cells."""
    unit = unit_of(job.board)
    made = " on ".join(f"{thickness(layer.thickness, unit)} {layer.material.name}" for layer in job.board.layers)
    return (
        f"Stick this on scrap of the same board ({made}), clamped on waste. Measure both check bars first.",
        _HOW,
    )


class LaidSample(Struct, frozen=True):
    """A trial cut on a page: what is drawn of it, in coordinates of the page [mm]."""

    sample: Sample
    page: int
    shapes: tuple[Shape, ...]


class CouponPages(Sequence[Scene]):
    """The pages, each drawn when it is asked for.

    Args:
        job: what they are made from.
        belongs: what stands in the foot below the number of the page; empty for nothing.
    """

    def __init__(self, job: SheetJob, *, belongs: str = "") -> None:
        self.samples = samples_of(job.board)
        self._rows: dict[int, tuple[float, tuple[CouponCell, ...]]] = {}
        self._unit = unit_of(job.board)
        self._said = (
            said_of(job) if self.samples else ("Nothing is drilled in this board, so there is nothing to try.",)
        )
        self._list = ListPages(
            job.board, job.printing, "Coupon: try it in scrap", "coupon", self._set, belongs=belongs, foot=CAUTIONS
        )
        self.layout = self._list.layout

    def _set(self, left: float, width: float, room: float) -> list[Block]:
        found = [words_block([Paragraph(text) for text in self._said], left, width, air=3.0)]
        row: list[CouponCell] = []
        for sample in self.samples:
            cell = CouponCell(sample, self._unit, min(width, room - 60.0))
            if row and sum(c.width for c in row) + cell.width > width:
                found.append(self._row(row, left))
                row = []
            row.append(cell)
        return [*found, self._row(row, left)] if row else found

    def _row(self, cells: list[CouponCell], left: float) -> Block:
        above = max(cell.above for cell in cells)
        high = above + max(cell.below for cell in cells) + _GAP

        def draw(top: float) -> list[Item]:
            return [item for cell, x in _across(cells, left) for item in cell.items(x, top, above)]

        block = Block(high, draw)
        self._rows[id(block)] = (left, tuple(cells))
        return block

    @property
    def laid(self) -> tuple[LaidSample, ...]:
        """Where every trial cut lies."""
        found = []
        for number in range(len(self._list)):
            for block, top in self._list.placed(number):
                left, cells = self._rows.get(id(block), (0.0, ()))
                above = max((cell.above for cell in cells), default=0.0)
                for cell, x in _across(cells, left):
                    at = cell.centre(x, top, above)
                    shapes = tuple(shape.shifted(*at) for shape, _ in cell.shapes)
                    found.append(LaidSample(cell.sample, number, shapes))
        return tuple(found)

    def __len__(self) -> int:
        return len(self._list)

    def __getitem__(self, index: int) -> Scene:  # type: ignore[override]
        """A page, from 0."""
        return self._list[index]


def _across(cells: Sequence[CouponCell], left: float) -> Iterator[tuple[CouponCell, float]]:
    for cell in cells:
        yield cell, left
        left += cell.width
