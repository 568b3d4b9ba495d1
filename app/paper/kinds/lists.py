"""Lists for the bench: marking, the drilling run, parts. Each is a table, its pages set from it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.paper.lists.bench_list import bench_list
from app.paper.lists.block import Block
from app.paper.lists.buying import items_of, parts_table
from app.paper.lists.centres_picture import centres_block, centres_scene
from app.paper.lists.drilling import CAUTIONS as DRILLING_CAUTIONS
from app.paper.lists.drilling import drilling_table, lacking
from app.paper.lists.marking import marking_tables
from app.paper.lists.rounding import rounded_words
from app.paper.outline.outline_plan import plotting_of
from app.paper.sheet_kind import Card, SheetJob
from app.scene.table import Table
from app.shop.centres import Centre, centres_below, centres_of
from app.shop.drilling_run import drilling_run
from app.shop.parts_list import Item

_HOW: Final = (
    "Every measure begins at a datum edge: left and front, as the board lies top face up. “Off” is what rounding adds, "
    "in mm. Never measure from one mark to the next."
)


def _reading(job: SheetJob) -> float:
    return plotting_of(job.board, job.printing).reading


def _faces(job: SheetJob) -> list[tuple[Face, tuple[Centre, ...]]]:
    """What is marked on each face; the underside only where there is something."""
    above = tuple(c for c in centres_of(job.board, _reading(job)) if c.face == "top")
    below = centres_below(job.board, _reading(job))
    return [("top", above), ("under", below)] if below else [("top", above)]


def _marking_drawn(job: SheetJob, left: float, width: float) -> list[Block]:
    faces = _faces(job)
    return [
        centres_block(job.board, centres, _reading(job), face, left, width, both=len(faces) > 1)
        for face, centres in faces
    ]


def _marking_said(job: SheetJob) -> tuple[str, ...]:
    return (_HOW, *rounded_words(job.board, _reading(job)))


def _marking_card(job: SheetJob, tables: Sequence[Table]) -> Card:
    lines = sum(len({row[0] for row in table.rows}) for table in tables if table.name.startswith("lines"))
    holds = f"{_many(len(tables[0].rows), 'centre')} on {_many(lines, 'line')}"
    wrong = tuple(MARKING.said(job))[2:]
    return Card(holds, wrong[-1] if wrong else "")


def _drilling_card(job: SheetJob, tables: Sequence[Table]) -> Card:
    none = lacking(drilling_run(job.board))
    first = f"{_many(none, 'step')} without a bit of yours: see the parts list" if none else ""
    return Card(f"{_many(len(tables[0].rows), 'step')}. {tables[0].notes[0]}", first)


def _counted(job: SheetJob) -> Sequence[ResolvedBoard]:
    """The boards a parts list is counted for."""
    if job.printing.counted == "arrangements" and job.every_arrangement is not None:
        return job.every_arrangement()
    if job.printing.counted == "boards":
        return [each.board for each in job.every]
    return (job.board,)


def items_on(job: SheetJob) -> tuple[Item, ...]:
    """The lines of the parts list of a job."""
    return job.once("items", lambda: items_of(_counted(job)))


def _parts(job: SheetJob) -> tuple[Table, ...]:
    return (parts_table(job.board, items_on(job), job.columns, job.printing.counted),)


def _parts_card(job: SheetJob, tables: Sequence[Table]) -> Card:
    pieces = sum(item.count for item in items_on(job) if item.sort not in ("board", "moulding", "bit"))
    first = sum(not item.measured for item in items_on(job))
    holds = f"{_many(len(tables[0].rows), 'line')}, {_many(pieces, 'piece')}"
    return Card(holds, f"{_many(first, 'line')} to measure or choose first" if first else "")


def _many(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"


MARKING: Final = bench_list(
    "marking",
    "Mark out the centres",
    lambda job: marking_tables(job.board, _reading(job)),
    _marking_said,
    purpose="Without the template: every centre from the two datum edges, and the fewest lines to strike.",
    card=_marking_card,
    drawn=_marking_drawn,
    pictures=lambda job: [centres_scene(job.board, centres, _reading(job), face) for face, centres in _faces(job)],
    asks=frozenset({"reading"}),
)

DRILLING: Final = bench_list(
    "drilling",
    "Drilling run",
    lambda job: (drilling_table(job.board),),
    lambda _: DRILLING_CAUTIONS,
    purpose="One order for the whole board: side up, bit, depth stop, with boxes to tick.",
    card=_drilling_card,
)

PARTS: Final = bench_list(
    "parts",
    "Parts list",
    _parts,
    purpose="What to buy, with spares; what has to be measured first stands on top.",
    card=_parts_card,
    asks=frozenset({"counted"}),
)
