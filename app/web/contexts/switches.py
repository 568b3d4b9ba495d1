"""The switches at the head of a page: board, arrangement, face, units."""

from __future__ import annotations

from collections.abc import Mapping

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.fit.finding import Severity
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.web.contexts.here import Here, Option

States = Mapping[str, Severity | None]


def switches_of(
    design: Design, here: Here, board: ResolvedBoard, page: str = "", states: States | None = None, /, **more: str
) -> dict[str, tuple[Option, ...]]:
    """The switches of a page of a design: boards, arrangements, faces, units.

    ``states`` are the worst that is open in each arrangement, by id, as far as they are known.
    """
    entry = find_board(design, here.board or None)
    present = find_arrangement(entry, here.arrangement or None)
    plain = here.at(select=())
    boards = tuple(
        Option(b.name or b.id, plain.at(board=b.id, arrangement="").url(page, **more), b.id == entry.id)
        for b in design.boards
    )
    arrangements = tuple(
        Option(a.name or a.id, here.at(arrangement=a.id).url(page, **more), a.id == present.id, _state(a.id, states))
        for a in entry.arrangements
    )
    return {
        "boards": boards if len(boards) > 1 else (),
        "arrangements": arrangements if len(arrangements) > 1 else (),
        "faces": _faces(here, page, **more),
        "units": tuple(Option(u.value, here.at(units=u.value).url(page, **more), board.units == u.value) for u in Unit),
    }


def _state(arrangement: str, states: States | None) -> str:
    """``stop``, ``caution`` or ``note``; ``fits``; empty if nobody judged it."""
    return (states[arrangement] or "fits") if states and arrangement in states else ""


def _faces(here: Here, page: str, **more: str) -> tuple[Option, ...]:
    """The faces; on the board page also the section, which is a picture and has no template."""
    top, under = here.at(face="top", section=False), here.at(face="under", section=False)
    faces = (
        Option("Top", top.url(page, **more), here.face == "top" and not here.section),
        Option("Underside", under.url(page, **more), here.face == "under" and not here.section),
    )
    return faces if page else (*faces, Option("Section", here.at(face="top", section=True).url(), here.section))
