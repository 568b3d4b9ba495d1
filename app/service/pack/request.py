"""What a pack is asked to hold."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Final

from msgspec import Struct

from app.catalogue.load import paper_by_text
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.errors import NotFoundError, WriterError
from app.units import Unit
from app.values import replace

GROUPS: Final = ("booklets", "sheets", "lists", "drawings", "design")
"""What a pack may hold: booklets, each sheet by itself, lists for other programs, drawings, the design file."""


class PackRequest(Struct, frozen=True):
    """What a pack is asked to hold; what is empty stands for all there is.

    Args:
        arrangements: ids of those of the deck.
        boards: ids.
        papers: names, as ``a4``.
        units: ``mm``, ``inch``.
        only: of :data:`GROUPS`.
    """

    arrangements: tuple[str, ...] = ()
    boards: tuple[str, ...] = ()
    papers: tuple[str, ...] = ("a4", "letter")
    units: tuple[str, ...] = ("mm", "inch")
    only: tuple[str, ...] = ()

    def tidy(self) -> PackRequest:
        """The same with everything named once, papers in small letters."""
        papers = tuple(dict.fromkeys(" ".join(paper.lower().split()) for paper in self.papers))
        units = tuple(dict.fromkeys(self.units))
        return replace(self, papers=papers, units=units, only=tuple(dict.fromkeys(self.only)))

    def wants(self, group: str) -> bool:
        """Whether files of a group are asked for."""
        return not self.only or group in self.only


class Since(Struct, frozen=True):
    """An older state that a pack says the changes since: the design as it was, and what that is called."""

    design: Design
    called: str


class Variant(Struct, frozen=True):
    """One way to build a design: boards, each with the arrangement it has there, and what it is called."""

    id: str
    name: str
    boards: tuple[tuple[BoardEntry, ArrangementEntry], ...]


def variants_of(design: Design, request: PackRequest) -> tuple[Variant, ...]:
    """The ways to build a design that are asked for: one for each arrangement of the deck.

    A board that has an arrangement of the same id is built with that, another with its first.

    Raises:
        NotFoundError: no such board or arrangement.
        PaperError: no such paper.
        WriterError: no such unit or group, or nothing is asked for.
    """
    _known(request.boards, [b.id for b in design.boards], "board")
    _named(request.units, [unit.value for unit in Unit], "units")
    _named(request.only, GROUPS, "files")
    for paper in request.papers:
        paper_by_text(paper)
    if not request.papers or not request.units:
        raise WriterError("A pack needs a paper and a unit. Choose at least one of each.")
    boards = [b for b in design.boards if not request.boards or b.id in request.boards]
    deck = next((b for b in boards if b.role == "deck"), boards[0])
    _known(request.arrangements, [a.id for a in deck.arrangements], "arrangement")
    chosen = [a for a in deck.arrangements if not request.arrangements or a.id in request.arrangements]
    ordered = [deck, *(b for b in boards if b is not deck)]
    return tuple(Variant(a.id, a.name or a.id, tuple((b, _arrangement(b, a.id)) for b in ordered)) for a in chosen)


def _arrangement(board: BoardEntry, wanted: str) -> ArrangementEntry:
    return next((a for a in board.arrangements if a.id == wanted), board.arrangements[0])


def _known(asked: Iterable[str], there: Collection[str], what: str) -> None:
    for one in asked:
        if one not in there:
            raise NotFoundError(f"There is no {what} “{one[:40]}”. There are: {', '.join(there)}.")


def _named(asked: Iterable[str], there: Collection[str], what: str) -> None:
    for one in asked:
        if one not in there:
            raise WriterError(f"There are no {what} “{one[:40]}”. Choose from: {', '.join(there)}.")
