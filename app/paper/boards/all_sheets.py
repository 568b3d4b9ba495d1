"""All boards of a design on paper: those that fit beside others share a sheet, the others have sheets of their own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec import Struct

from app.model.printing import Printing
from app.paper.boards.block import BoardBlock, block_of, least_size
from app.paper.boards.one_rectangle import Sides
from app.paper.boards.packing import Bin, fits_alone, pack
from app.paper.boards.shared_sheet import LaidBlock, SharedSheet
from app.paper.cover.words import cut_below
from app.paper.sheet.layout import SheetLayout, layouts
from app.paper.sheet.sheets import sheet_count
from app.paper.sheet_kind import SheetJob
from app.values import replace

GAP: Final = 3.0
"""Between two blocks on a sheet [mm]."""

_KEPT: Final = "all-sheets"
_LONG: Final = (1e6, 1e6)  # a roll as long as there is


class OwnSheets(Struct, frozen=True):
    """A board that has its sheets to itself, as its template has them.

    Args:
        job: what they are made from.
    """

    job: SheetJob

    def __len__(self) -> int:
        return len(self.job.template)


Stack = SharedSheet | OwnSheets
"""What comes one after another in the file."""


class AllSheets(Struct, frozen=True):
    """The sheets of all boards.

    Args:
        jobs: of each board, in the order of the design; one of which nothing is drilled from this face has no sheet.
        stacks: the sheets, in their order.
        alone: how many sheets the boards would take if none shared one.
        bound: with these blocks no fewer can do, by their area alone.
        fewest: whether it is certain that none can be saved by laying blocks otherwise.
    """

    jobs: tuple[SheetJob, ...]
    stacks: tuple[Stack, ...]
    alone: int
    bound: int
    fewest: bool

    @property
    def count(self) -> int:
        """How many sheets there are."""
        return sum(_many(stack) for stack in self.stacks)

    def sheets_of(self, job: SheetJob) -> tuple[range, str]:
        """Which of the sheets show a board, counted from 0, and its check code; none where it needs none."""
        first = 0
        if not needs_sheet(job):
            return range(0), ""
        for stack in self.stacks:
            if isinstance(stack, OwnSheets):
                if stack.job is job:
                    return range(first, first + len(stack)), job.template.plan.code
            else:
                for one in stack.laid:
                    if one.block.board is job.board:
                        return range(first, first + 1), one.block.code
            first += _many(stack)
        raise ValueError(f"{job.board.id} is on no sheet")


def all_sheets(job: SheetJob) -> AllSheets:
    """The sheets of all boards of a job's design, worked out once.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    jobs = tuple(job.every)
    return jobs[0].once(_KEPT, lambda: _all_sheets(jobs))


def needs_sheet(job: SheetJob) -> bool:
    """Whether a board has a template of a face: an underside only where something is drilled or cut from there."""
    return job.face == "top" or cut_below(job.board)


def _all_sheets(every: tuple[SheetJob, ...]) -> AllSheets:
    jobs = tuple(each for each in every if needs_sheet(each))
    printing = every[0].printing
    counts = [sheet_count(each.board, each.face, each.printing) for each in jobs]
    bare, headed = (_Ways.of(replace(printing, stops=stops)) for stops in (0, 1))
    ways = [headed if each.printing.stops else bare for each in jobs]
    near = [k for k, each in enumerate(jobs) if counts[k] == 1 and _goes(least_size(each.board), ways[k].rooms)]
    layout = headed.layouts[0]
    drawn = {k: block_of(jobs[k].board, jobs[k].face, jobs[k].printing, layout) for k in near} if near[1:] else {}
    shared = {k: block for k, block in drawn.items() if _goes(block.size, ways[k].rooms)}
    packed = _packed(shared, bare, headed)
    stacks: list[tuple[int, Stack]] = [
        (min(names), _shared(bin_, [drawn[k] for k in names], way, printing)) for bin_, names, way in packed.bins
    ]
    together = {k for _, names, _ in packed.bins for k in names}
    stacks += [(k, OwnSheets(each)) for k, each in enumerate(jobs) if k not in together]
    stacks.sort(key=lambda stack: stack[0])
    others = sum(count for k, count in enumerate(counts) if k not in shared)
    found = tuple(stack for _, stack in stacks)
    return AllSheets(every, found, sum(counts), packed.bound + others, packed.fewest)


class _Ways(Struct, frozen=True):
    """The ways a sheet may lie, and what each has room for, with the gap between two blocks [mm]."""

    layouts: Sequence[SheetLayout]
    rooms: Sequence[Sides]

    @classmethod
    def of(cls, printing: Printing) -> _Ways:
        ways = layouts(printing, _LONG)
        return cls(ways, [(way.room[0] + GAP, way.room[1] + GAP) for way in ways])


class _Packed(Struct, frozen=True):
    """Sheets that several share: where each lies, who lies there, and which way; and how few might do."""

    bins: list[tuple[Bin, list[int], SheetLayout]]
    bound: int
    fewest: bool


def _packed(blocks: Mapping[int, BoardBlock], bare: _Ways, headed: _Ways) -> _Packed:
    """Blocks on as few sheets as can be found; only a sheet with stops on it needs a head, which takes room.

    Where some have stops they are tried among the others, on sheets with a head all of them, and by themselves.
    """
    stopped = [k for k, block in blocks.items() if block.stops]
    clean = [k for k in blocks if k not in stopped]
    tries = [[(stopped, headed), (clean, bare)]]
    if stopped and all(_goes(block.size, headed.rooms) for block in blocks.values()):
        tries.insert(0, [(list(blocks), headed)])
    found = []
    for way in tries:
        packings = [(names, by, pack([_sides(blocks[k]) for k in names], by.rooms)) for names, by in way if names]
        found.append((sum(len(packing.bins) for *_, packing in packings), packings))
    count, best = min(found, key=lambda one: one[0])
    bound = pack([_sides(block) for block in blocks.values()], bare.rooms).bound
    alone = len(best) < 2 and not (stopped and clean)
    bins = [
        (bin_, [names[rectangle.index] for rectangle in bin_.packed], by.layouts[bin_.kind])
        for names, by, packing in best
        for bin_ in packing.bins
        if len(bin_.packed) > 1
    ]
    certain = alone and all(packing.fewest for *_, packing in best)
    return _Packed(bins, bound, certain or count == bound)


def _sides(block: BoardBlock) -> Sides:
    return (block.size[0] + GAP, block.size[1] + GAP)


def _goes(size: Sides, rooms: Sequence[Sides]) -> bool:
    """Whether a block fits any sheet, turned or not."""
    return fits_alone((size[0] + GAP, size[1] + GAP), rooms, True)


def _shared(bin_: Bin, blocks: Sequence[BoardBlock], way: SheetLayout, printing: Printing) -> SharedSheet:
    """A sheet with its blocks, the first at its head."""
    asked = replace(printing, stops=sum(block.stops for block in blocks))
    packed = list(zip(bin_.packed, blocks, strict=True))
    sizes = [block.size[::-1] if rectangle.turned else block.size for rectangle, block in packed]
    need = (
        max(rectangle.x + w for (rectangle, _), (w, _) in zip(packed, sizes, strict=True)),
        max(rectangle.y + h for (rectangle, _), (_, h) in zip(packed, sizes, strict=True)),
    )
    # Without stops on it, the sheet needs no head; of a roll no more is cut off than is needed.
    layout = next(one for one in layouts(asked, need) if (one.orientation, one.margin) == (way.orientation, way.margin))
    x0, _, _, y1 = layout.window
    laid = [
        LaidBlock(block, (x0 + rectangle.x, y1 - rectangle.y - h), rectangle.turned)
        for (rectangle, block), (_, h) in zip(packed, sizes, strict=True)
    ]
    laid.sort(key=lambda one: (-one.corner[1] - one.block.size[1], one.corner[0]))
    return SharedSheet(layout, asked, tuple(laid))


def _many(stack: Stack) -> int:
    return len(stack) if isinstance(stack, OwnSheets) else 1
