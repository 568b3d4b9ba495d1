"""What a photograph told of a board, as one edit: only the holes that somebody looked at and chose."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.arrange.change import Edit
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.fit.words.lengths import least
from app.model.limits import LEAST_SURE
from app.service.edits.built_typing import TypedCut, cuts_typed
from app.service.edits.changes import DesignChange
from app.service.screens.words import counted
from app.units import Unit
from app.values import replace


class PhotoHole(Struct, frozen=True):
    """A hole as a photograph tells of it.

    Args:
        code: its name.
        x, y: its centre from the left and the front datum edge [mm].
        within: how far it may be from there [mm].
        measured: how wide it is [mm]; None where that cannot be told from how wide it should be.
    """

    code: str
    x: float
    y: float
    within: float
    measured: float | None = None


def holes_taken(where: Where, holes: Sequence[PhotoHole], when: str, *, unit: Unit = Unit.MM) -> DesignChange:
    """Note where holes are by a photograph, as one step; each counts as drilled.

    Args:
        where: the board.
        holes: those that were chosen.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
        unit: of the sentences.

    Raises:
        EditError: none was chosen, or one is as it cannot be.
    """
    if not holes:
        raise EditError(
            "No hole is ticked, so nothing was kept. Tick those that lie where their circle is drawn.", "rows"
        )
    if any(not 0 <= hole.within <= LEAST_SURE for hole in holes):
        raise EditError("What the photograph told did not arrive complete. Send the photograph again.", "rows")
    rows = [TypedCut(h.code, "drilled", h.x, h.y, None, h.measured, h.within, "photograph") for h in holes]
    typed = cuts_typed(where, rows, when, unit=unit)

    def change(design: Design) -> Edit:
        try:
            done = typed(design)
        except EditError as error:  # its fields are those of another form
            raise EditError(" ".join(dict.fromkeys(error.problems.values())), "rows") from error
        if done.design == design:
            return done
        sure = least(max(hole.within for hole in holes), Unit(design.units))
        return replace(done, summary=f"Measured {counted(len(holes), 'hole')} in a photograph, ±{sure}")

    return change
