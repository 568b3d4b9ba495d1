"""What is said of the arrangements that are not on screen: how each stands, and what a step has done to it."""

from __future__ import annotations

from typing import Final

from app.catalogue.load import catalogue
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import BoardEntry, Design
from app.fit.finding import Severity
from app.fit.report import check
from app.service.checking import Revised, checked

_MOST: Final = 500
"""Parts of an arrangement that is judged beside another: up to so many it takes a fraction of a second."""


def states_of(document: Revised | None, design: Design, board: str, units: str) -> dict[str, Severity | None]:
    """The worst that is open in each arrangement of a board, by id; None where it fits.

    Left out are those that were not judged: of a document that is not stored, or of too many parts.
    """
    entry = find_board(design, board)
    if document is None or len(entry.arrangements) < 2:
        return {}
    few = [a.id for a in entry.arrangements if len(a.placements) <= _MOST]
    return {one: checked(document, entry.id, one, units).report.worst for one in few}


def harm_elsewhere(before: Design, after: Design, board: str | None, arrangement: str | None) -> str:
    """“makes 2 stops in Two players”, of each other arrangement in which a step made stops; else empty."""
    old, new = find_board(before, board), find_board(after, board)
    here, was = find_arrangement(old, arrangement).id, {a.id: a for a in old.arrangements}
    alone = _common(before, old) == _common(after, new)  # what all arrangements stand on is as it was
    said = []
    for other in new.arrangements:
        if other.id == here or other.id not in was or len(other.placements) > _MOST:
            continue
        if alone and other == was[other.id]:
            continue
        more = _stops(after, new.id, other.id) - _stops(before, old.id, other.id)
        if more > 0:
            said.append(f"makes {more} stop{'' if more == 1 else 's'} in {other.name or other.id}")
    return "; ".join(said)


def _common(design: Design, board: BoardEntry) -> Design:
    """A design with one board only and none of its arrangements: what each of these is judged with."""
    return design.model_copy(update={"title": "", "boards": (board.model_copy(update={"arrangements": ()}),)})


def _stops(design: Design, board: str, arrangement: str) -> int:
    return len(check(resolve(design, board, arrangement, catalogue()), catalogue()).stops)
