"""What changed from one state of a design to another: each board in both, and tables of changes and findings.

It is not among the kinds that every board has: only who compares has what it is made from.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.compare.change import Change
from app.compare.states import ChangedBoard, ComparedStates
from app.compare.tables import changes_table, findings_table
from app.errors import PaperError
from app.paper.changes.drawing_block import drawing_block
from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.lists.table_block import table_blocks
from app.paper.sheet.page_foot import DEFERRING
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import Leaf, SheetJob, SheetKind
from app.values import replace

_NAME = "what-changed"
_TITLE = "What changed"


def _pages(job: SheetJob) -> ListPages:
    """The pages of a job, set once."""
    return job.once(_NAME, lambda: _set_out(job, _states(job)))


def _states(job: SheetJob) -> ComparedStates:
    if job.states is None:
        raise PaperError("A sheet of what changed needs an older state of the design. Choose what to compare with.")
    return job.states


def _set_out(job: SheetJob, states: ComparedStates) -> ListPages:
    found, unit = states.found, job.unit

    def setting(left: float, width: float, room: float) -> list[Block]:
        blocks = [words_block([Paragraph(text) for text in _said(states)], left, width, air=4.0)]
        for board in _gathered(states.boards):
            if board.is_drawn:
                blocks.append(words_block([Paragraph(board.name, bold=True)], left, width, held=True))
                blocks.append(drawing_block(board, left, width, unit))
            title = "Changes" if board.is_drawn else board.name
            blocks += table_blocks(changes_table(board, title, unit), left, width, room)
        for name, title, findings in (
            ("gained", "New findings", found.gained), ("lost", "Findings that are gone", found.lost),
        ):  # fmt: skip
            if findings:
                blocks += table_blocks(findings_table(name, title, findings, unit), left, width, room)
        return blocks

    return ListPages(job.board, job.printing, _TITLE, _NAME, setting, foot=(*CAUTIONS, DEFERRING), wide=True)


def _gathered(boards: Sequence[ChangedBoard]) -> Iterator[ChangedBoard]:
    """What changed of a board itself with the first of its arrangements, below the drawing that shows both."""
    own: tuple[Change, ...] = ()
    for number, board in enumerate(boards):
        ident, arrangement = board.ident
        following = boards[number + 1].ident[0] if number + 1 < len(boards) else ""
        if ident and not arrangement and following == ident:
            own = board.changes
        else:
            yield replace(board, changes=(*board.changes, *own))
            own = ()


def _said(states: ComparedStates) -> list[str]:
    """From which state to which, and how much is different."""
    found = states.found
    was, now = states.was or f"“{found.before}”", states.now or f"“{found.after}”"
    return [f"From {was} to {now}. {states.summed}"]


def _rows(job: SheetJob) -> tuple[str, ...]:
    found = _states(job).found
    return (*(c.sentence for c in found.changes), *(f.sentence for f in found.findings))


WHAT_CHANGED: SheetKind[object] = SheetKind(
    name=_NAME,
    words="what changed",
    needs=frozenset({"board", "boards", "states"}),
    rows=_rows,
    leaves=lambda job: tuple(Leaf(f"what changed, page {n}", lying=True) for n in range(1, len(_pages(job)) + 1)),
    pages=_pages,
    unproved="Nothing on it is at true size.",
)
