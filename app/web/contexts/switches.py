"""The switches at the head of a page: board, arrangement, face, units."""

from __future__ import annotations

from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.web.contexts.here import Here, Option


def switches_of(
    design: Design, here: Here, board: ResolvedBoard, page: str = "", **more: str
) -> dict[str, tuple[Option, ...]]:
    """The switches of a page of a design: boards, arrangements, faces, units."""
    entry = find_board(design, here.board or None)
    present = find_arrangement(entry, here.arrangement or None)
    plain = here.at(select=())
    boards = tuple(
        Option(b.name or b.id, plain.at(board=b.id, arrangement="").url(page, **more), b.id == entry.id)
        for b in design.boards
    )
    arrangements = tuple(
        Option(a.name or a.id, here.at(arrangement=a.id).url(page, **more), a.id == present.id)
        for a in entry.arrangements
    )
    return {
        "boards": boards if len(boards) > 1 else (),
        "arrangements": arrangements if len(arrangements) > 1 else (),
        "faces": (
            Option("Top", here.at(face="top").url(page, **more), here.face == "top"),
            Option("Underside", here.at(face="under").url(page, **more), here.face == "under"),
        ),
        "units": tuple(Option(u.value, here.at(units=u.value).url(page, **more), board.units == u.value) for u in Unit),
    }
