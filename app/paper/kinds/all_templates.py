"""The drill templates of all boards of a design, those that fit beside others on shared sheets; a list first."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.drafting.words import board_size, face_words
from app.paper.boards.all_sheets import AllSheets, OwnSheets, all_sheets
from app.paper.boards.boards_list import list_count, list_layout, list_page
from app.paper.sheet_kind import Leaf, SheetCode, SheetJob, SheetKind
from app.scene.primitives import Scene


class BoardSheets(Struct, frozen=True):
    """Where a board is.

    Args:
        board: its name.
        size: its width and front to back, in words.
        pages: of the file, counted from 0; none where nothing is drilled from this face.
        shared: the names of the boards beside it.
        code: its check code.
        stops: how many findings say that it cannot be built as drawn.
    """

    board: str
    size: str
    pages: range
    shared: tuple[str, ...]
    code: str
    stops: int


class AllPages(Sequence[Scene]):
    """The list of boards, then their sheets; each drawn when it is asked for.

    Args:
        job: what they are made from.
    """

    def __init__(self, job: SheetJob) -> None:
        self._job, self.sheets = job, all_sheets(job)
        self.lists = list_count(len(self.sheets.jobs))

    def __len__(self) -> int:
        return self.lists + self.sheets.count

    def __getitem__(self, index: int, /) -> Scene:  # type: ignore[override]
        """A page, from 0."""
        number = range(len(self))[index]
        if number < self.lists:
            return list_page(self._job, self.sheets, number)
        left = number - self.lists
        for stack in self.sheets.stacks:
            if not isinstance(stack, OwnSheets):
                if left == 0:
                    return stack.scene(number + 1, len(self))
                left -= 1
            elif left < len(stack):
                return stack.job.template[left]
            else:
                left -= len(stack)
        raise IndexError(index)


def _rows(job: SheetJob) -> tuple[BoardSheets, ...]:
    sheets = all_sheets(job)
    first = list_count(len(sheets.jobs))
    found = []
    for each in sheets.jobs:
        pages, code = sheets.sheets_of(each)
        board, moved = each.board, range(pages.start + first, pages.stop + first) if pages else pages
        found.append(
            BoardSheets(board.name, board_size(board), moved, _beside(sheets, each), code, each.printing.stops)
        )
    return tuple(found)


def _beside(sheets: AllSheets, job: SheetJob) -> tuple[str, ...]:
    for stack in sheets.stacks:
        if not isinstance(stack, OwnSheets):
            names = [one.block.board for one in stack.laid]
            if any(board is job.board for board in names):
                return tuple(board.name for board in names if board is not job.board)
    return ()


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    sheets = all_sheets(job)
    many = list_count(len(sheets.jobs))
    lying = list_layout(job, sheets).orientation == "landscape"
    leaves = [Leaf("list of boards: read this first" if n == 0 else "list of boards", lying) for n in range(many)]
    for stack in sheets.stacks:
        if isinstance(stack, OwnSheets):
            tiling, name = stack.job.template.plan.tiling, stack.job.board.name
            lying = tiling.layout.orientation == "landscape"
            alone = len(tiling.tiles) == 1
            leaves += [Leaf(name if alone else f"{name}, row {t.row}, column {t.column}", lying) for t in tiling.tiles]
        else:
            names = ", ".join(one.block.board.name for one in stack.laid)
            leaves.append(Leaf(names, stack.layout.orientation == "landscape"))
    return tuple(leaves)


def _codes(job: SheetJob) -> tuple[SheetCode, ...]:
    sheets = all_sheets(job)
    return tuple(
        SheetCode(sheets.sheets_of(one)[1], one.board.id, one.board.arrangement_id, f"template, {face_words(one.face)}")
        for one in sheets.jobs
    )


ALL_TEMPLATES = SheetKind(
    name="all-templates",
    words="template of all boards",
    needs=frozenset({"board", "face", "boards"}),
    rows=_rows,
    leaves=_leaves,
    pages=AllPages,
    codes=_codes,
    again=True,
)
