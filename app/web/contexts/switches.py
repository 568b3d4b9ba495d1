"""The switches at the head of a page: board, arrangement, face, units."""

from __future__ import annotations

from collections.abc import Sequence

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.model.resolved import ResolvedBoard
from app.service.states import State, States, worst_of
from app.units import Unit
from app.web.contexts.here import Here, Option
from app.web.contexts.words import counted


def switches_of(
    design: Design, here: Here, board: ResolvedBoard, page: str = "", states: States | None = None, /, **more: str
) -> dict[str, tuple[Option, ...]]:
    """The switches of a page of a design: boards, arrangements, faces, units.

    ``states`` tell how each arrangement stands, as far as that is known; None where the page does not ask.
    """
    entry = find_board(design, here.board or None)
    present = find_arrangement(entry, here.arrangement or None)
    plain = here.at(select=())
    boards = tuple(
        Option(
            b.name or b.id,
            plain.at(board=b.id, arrangement="").url(page, **more),
            b.id == entry.id,
            *said_of([states.get((b.id, a.id)) for a in b.arrangements] if states is not None else None),
        )
        for b in design.boards
    )
    arrangements = tuple(
        Option(
            a.name or a.id,
            here.at(arrangement=a.id).url(page, **more),
            a.id == present.id,
            *said_of([states.get((entry.id, a.id))] if states is not None else None),
        )
        for a in entry.arrangements
    )
    return {
        "boards": boards if len(boards) > 1 else (),
        "arrangements": arrangements if len(arrangements) > 1 else (),
        "faces": _faces(here, page, **more),
        "units": tuple(Option(u.value, here.at(units=u.value).url(page, **more), board.units == u.value) for u in Unit),
    }


def others_of(design: Design, here: Here, board: ResolvedBoard, states: States | None) -> tuple[Option, ...]:
    """The arrangements of the board in view that are not on screen, each with how it stands."""
    return tuple(one for one in switches_of(design, here, board, "", states)["arrangements"] if not one.current)


def said_of(found: Sequence[State | None] | None) -> tuple[str, str]:
    """The kind and the words of how the worst of some arrangements stands; empty where nobody asks."""
    if found is None:
        return "", ""
    known = [state for state in found if state is not None]
    worst = worst_of(known) if known else None
    if worst is not None and worst.stops:
        return "stop", counted(worst.stops, "stop")
    if worst is None or len(known) < len(found):
        return "unknown", "not checked yet"
    return ("caution", counted(worst.cautions, "caution")) if worst.cautions else ("fits", "fits")


def _faces(here: Here, page: str, **more: str) -> tuple[Option, ...]:
    """The faces; on the board page also the section, which is a picture and has no template."""
    top, under = here.at(face="top", section=False), here.at(face="under", section=False)
    faces = (
        Option("Top", top.url(page, **more), here.face == "top" and not here.section),
        Option("Underside", under.url(page, **more), here.face == "under" and not here.section),
    )
    return faces if page else (*faces, Option("Section", here.at(face="top", section=True).url(), here.section))
