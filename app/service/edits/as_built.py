"""What a builder says at the board, as edits: drilled, drilled off, spoilt, or not done after all."""

from __future__ import annotations

from msgspec import Struct

from app.arrange.as_built.marking import clear_mark, mark_cuts
from app.arrange.change import Edit
from app.catalogue.load import catalogue
from app.document.as_built import as_built_of, seen_from
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.geometry.shapes import Point
from app.model.as_built import Mark
from app.service.edits.changes import DesignChange
from app.shop.board_steps import BoardCut, board_steps


class Said(Struct, frozen=True):
    """What is said of a cut.

    Args:
        off: how far to the right and to the back of where it should be, as seen on the face that is up [mm].
        measured: how wide it is [mm]; None if nobody measured.
        spoilt: whether it is no use.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
    """

    when: str
    off: Point = (0.0, 0.0)
    measured: float | None = None
    spoilt: bool = False


def cuts_marked(where: Where, code: str, said: Said, *, rest: bool = False) -> DesignChange:
    """Say what was done at a step; with ``rest`` also at every later one of the same part with the same setting.

    What has to be done before, as the pilot of a hole, is not marked with it: it has a step of its own.
    """

    def change(design: Design) -> Edit:
        board = resolve(design, where.board, where.arrangement, catalogue())
        steps = board_steps(board)
        place = next((k for k, step in enumerate(steps) if step.code == code and step.cut is not None), None)
        if place is None:
            raise EditError(GONE, "at")
        run = steps[place].run
        cuts = [step.cut for step in steps[place:] if step.cut is not None and step.run is run]
        first = cuts[0]
        more = [
            c for c in cuts[1:] if c.key.placement == first.key.placement and board.as_built.of(c.key, c.work) is None
        ]
        marks = [_mark(cut, said) for cut in (first, *(more if rest else ()))]
        return mark_cuts(design, where.board, where.arrangement, marks)

    return change


def _mark(cut: BoardCut, said: Said) -> Mark:
    off = seen_from(cut.face, said.off)
    return cut.marked(off, measured=said.measured, spoilt=said.spoilt, when=said.when)


def mark_cleared(where: Where, code: str) -> DesignChange:
    """Say that what is marked at a step was not done; also of a placement that is gone."""

    def change(design: Design) -> Edit:
        placement, cut, work = (*code.split("/"), "", "", "")[:3]
        within = find_arrangement(find_board(design, where.board), where.arrangement)
        for mark in as_built_of(within).marks:
            if (mark.key.placement, mark.key.cut, mark.work.replace(" ", "-")) == (placement, cut, work):
                return clear_mark(design, where.board, where.arrangement, mark.key, mark.work)
        raise EditError("That is not marked any more.", "at")

    return change


GONE = (
    "That hole is no longer in the design, so nothing was marked. Look at the board page: if it is drilled, undo the "
    "step that took it out, mark it, then redo."
)
