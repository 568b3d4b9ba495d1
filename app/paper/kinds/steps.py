"""The steps of building a design, or one board of it: words, pictures and boxes to tick."""

from __future__ import annotations

from collections.abc import Sequence

from app.paper.cover.text import Paragraph
from app.paper.lists.block import Block, words_block
from app.paper.lists.list_pages import ListPages
from app.paper.sheet.page_foot import DEFERRING
from app.paper.sheet.title_strip import CAUTIONS
from app.paper.sheet_kind import Card, Leaf, SheetJob, SheetKind
from app.paper.steps.step_blocks import step_blocks
from app.paper.steps.steps_listed import steps_notes, steps_of, steps_table, stopped
from app.scene.table import Table
from app.values import replace


def _pages(job: SheetJob) -> ListPages:
    return job.once("step-pages", lambda: _set_out(job))


def _set_out(job: SheetJob) -> ListPages:
    found = steps_of(job)

    def setting(left: float, width: float, room: float) -> list[Block]:
        said = words_block([Paragraph(text) for text in steps_notes(found)], left, width, air=4.0)
        return [said, *step_blocks(found, left, width, room)]

    whole = len(found.boards) > 1
    board = replace(job.board, name="All boards") if whole else job.board
    return ListPages(board, stopped(job), "Steps", "steps", setting, foot=(*CAUTIONS, DEFERRING))


def _leaves(job: SheetJob) -> tuple[Leaf, ...]:
    return tuple(Leaf(f"steps, page {number}") for number in range(1, len(_pages(job)) + 1))


def _tables(job: SheetJob) -> tuple[Table, ...]:
    return (steps_table(steps_of(job)),)


def _rows(job: SheetJob) -> Sequence[tuple[object, ...]]:
    return _tables(job)[0].rows


def _card(job: SheetJob, _: Sequence[Table]) -> Card:
    """How many steps there are, and how many of them are for something that is gone."""
    found = steps_of(job)
    gone = sum(step.is_gone and not step.hidden for step in found.steps)
    said = "1 step is for something that is gone" if gone == 1 else f"{gone} steps are for something that is gone"
    return Card(steps_notes(found)[0], said if gone else "")


STEPS = SheetKind(
    name="steps",
    words="steps",
    needs=frozenset({"board", "boards"}),
    rows=_rows,
    leaves=_leaves,
    pages=_pages,
    unproved="Nothing on it is at true size.",
    tables=_tables,
    narrowed=True,
    purpose="The whole work in order, from sawing to closing, with a picture to each step.",
    card=_card,
    page="/steps",
)
