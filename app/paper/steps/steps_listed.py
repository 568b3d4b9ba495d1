"""The steps that sheets are made of: of a whole design, or of one board where that alone is asked for."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.drafting.build_steps.step_said import StepSaid, boards_words, many
from app.drafting.build_steps.words import step_words
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet_kind import SheetJob
from app.scene.table import Column, Table
from app.shop.build_steps.design_steps import build_steps
from app.shop.build_steps.listing import ListedStep, listed_steps
from app.units import Unit
from app.values import replace

COMMON = (
    "The order, the grits and how parts are tightened are common practice, no source. Where the maker of a tool, a tin "
    "or a part says otherwise, follow them."
)


class StepsListed(Struct, frozen=True):
    """The steps of some boards, with what a plan maker made of them.

    Args:
        boards: the boards.
        steps: all of them in order, hidden ones too.
        unit: of their measures.
    """

    boards: tuple[ResolvedBoard, ...]
    steps: tuple[ListedStep, ...]
    unit: Unit

    @property
    def shown(self) -> tuple[ListedStep, ...]:
        """Those that are not hidden."""
        return tuple(step for step in self.steps if not step.hidden)

    @property
    def hidden(self) -> tuple[ListedStep, ...]:
        """Those that are left out; of those that are gone, nothing is left to leave out."""
        return tuple(step for step in self.steps if step.hidden)

    def said(self, step: ListedStep) -> StepSaid:
        """What is said of a step."""
        return step_words(step, self.unit, several=self.boards[0].own_steps.several)


def steps_listed(boards: Sequence[ResolvedBoard], unit: Unit, *, alone: bool = False) -> StepsListed:
    """The steps of building some boards of a design.

    Args:
        boards: all boards of a design, or one of them.
        unit: of their measures.
        alone: whether it is one of several, so that steps of the others are not asked for.
    """
    every = tuple(boards)
    return StepsListed(every, listed_steps(build_steps(every), every[0].own_steps, every[0].id if alone else ""), unit)


def steps_of(job: SheetJob) -> StepsListed:
    """The steps that a job asks for; worked out once."""
    alone = job.printing.alone and job.all_boards is not None
    return job.once("steps", lambda: steps_listed([each.board for each in _jobs(job)], job.unit, alone=alone))


def stopped(job: SheetJob) -> Printing:
    """How the job is printed, with the stops of all boards it is of."""
    return replace(job.printing, stops=sum(each.printing.stops for each in _jobs(job)))


def _jobs(job: SheetJob) -> Sequence[SheetJob]:
    return (job,) if job.printing.alone else job.every


def steps_table(found: StepsListed) -> Table:
    """Every step that is not hidden, a row each."""
    columns = (
        Column("done", "Done", "tick"),
        Column("step", "Step", "count"),
        Column("title", "What"),
        Column("how", "How"),
        Column("needs", "You need"),
        Column("dries", "Dries"),
        Column("caution", "Caution"),
    )
    rows = []
    for number, step in enumerate(found.shown, 1):
        said = found.said(step)
        rows.append((None, number, said.title, " ".join(said.sentences), needs_words(said), said.dries, said.caution))
    return Table("steps", "Steps", columns, tuple(rows), found.unit, steps_notes(found))


def needs_words(said: StepSaid) -> str:
    """What a step needs, in a line."""
    return ", ".join(said.needs)


def steps_notes(found: StepsListed) -> tuple[str, ...]:
    """What is said before the steps: how many, for what, which are left out, and where they come from."""
    count, boards = len(found.shown), found.boards
    left = [found.said(step).title for step in found.hidden if step.made is not None or step.is_added]
    notes = [f"{many(count, 'step')} for {boards_words(boards)}."]
    if left:
        notes.append(f"Left out on purpose: {'; '.join(left)}.")
    return (*notes, COMMON)
