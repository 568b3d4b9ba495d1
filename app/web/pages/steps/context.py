"""The page of the steps: each with its picture, what can be done to it, and the files they come as."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from app.service.drawings.formats import LISTS, sheet_format
from app.service.screens.bench.steps_seen import StepSeen, StepsSeen, steps_seen
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.web.assets import code
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class StepRow(Struct, frozen=True):
    """A step, with the address of its picture, empty if it has none, and what ids of the page it is called by."""

    step: StepSeen
    picture: str
    ident: str


class StepsPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        which: the whole design, or one of its boards; empty of a design with one.
        arrangements, units: switches; one with a single way is empty.
        tally: stops and cautions of the board in view.
        seen: what it says.
        rows: the steps of this part of the list.
        hidden: those that are left out.
        parts: the parts of a long list.
        unfolded: key of the step whose forms are open; empty for none.
        editable: whether steps can be changed here; of one board alone they are only read.
        files: the same as files.
        undo, redo: names of the steps of the timeline; empty if there is none.
        whole_url: the steps of the whole design.
        back_url: the page of the bench.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    title: str
    which: tuple[Option, ...]
    arrangements: tuple[Option, ...]
    units: tuple[Option, ...]
    tally: Tally
    seen: StepsSeen
    rows: tuple[StepRow, ...]
    hidden: tuple[StepRow, ...]
    parts: tuple[Option, ...]
    unfolded: str
    editable: bool
    files: tuple[Option, ...]
    undo: str
    redo: str
    whole_url: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def steps_page(
    sight: Sight,
    view: ViewState,
    *,
    alone: bool,
    start: int = 1,
    unfolded: str = "",
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> StepsPage:
    """The page for a design, or for the board in view alone."""
    view = view.at(select=(), section=False, face="top").showing(sight.revision)
    alone = alone and len(sight.design.boards) > 1
    more = {"alone": "1"} if alone else {}
    seen, ways = steps_seen(sight, alone=alone, start=start), switches_of(sight, view, "/steps", **more)
    forms, (undo, redo) = (sheet_format()[0], *LISTS), sight.steps
    return StepsPage(
        view=view,
        title=sight.title,
        which=_which(sight, view, alone=alone),
        arrangements=ways["arrangements"],
        units=ways["units"],
        tally=tally_of(sight.checked),
        seen=seen,
        rows=tuple(_row(step, sight, view, more) for step in seen.steps),
        hidden=tuple(_row(step, sight, view, more) for step in seen.hidden),
        parts=tuple(
            Option(f"{a} to {b}", view.url("/steps", start=str(a), **more), a == seen.start) for a, b in seen.starts
        ),
        unfolded=unfolded,
        editable=not alone,
        files=tuple(Option(form.words, view.url(f"/steps{form.ending}", **more)) for form in forms),
        undo=undo,
        redo=redo,
        whole_url=view.url("/steps"),
        back_url=view.url("/bench"),
        problems=problems or {},
        typed=typed or {},
    )


def _which(sight: Sight, view: ViewState, *, alone: bool) -> tuple[Option, ...]:
    boards = sight.design.boards
    if len(boards) < 2:
        return ()
    return (
        Option("Whole design", view.url("/steps"), not alone),
        *(
            Option(
                board.name or board.id,
                view.at(board=board.id, arrangement="").url("/steps", alone="1"),
                alone and board.id == sight.checked.board,
            )
            for board in boards
        ),
    )


def _row(step: StepSeen, sight: Sight, view: ViewState, more: Mapping[str, str]) -> StepRow:
    marks = {"step": step.key, "revision": sight.revision, "state": code(), **more}
    return StepRow(step, view.url("/step.svg", **marks) if step.pictured else "", step.key.replace("/", ":"))
