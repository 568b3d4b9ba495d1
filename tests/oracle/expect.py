"""All that is expected of a board, from the document alone."""

from __future__ import annotations

from msgspec import Struct

from app.catalogue.load import Catalogue, catalogue
from app.document.resolve import find_board, resolve
from app.document.schema import Design
from app.model.resolved import ResolvedBoard
from tests.oracle.against import Site, against_board, site_of
from tests.oracle.between import between_placements
from tests.oracle.items import Looked
from tests.oracle.land import land_of
from tests.oracle.openings import around_openings
from tests.oracle.own import by_themselves
from tests.oracle.things import HEAD, LEAN, Stuff, stuff_on

# Defaults that a catalogue may not hold yet: common practice, no source, but for the head of a screw (DIN 7997, from
# memory).
DEFAULTS = {"mouth-gap": 1.0, "under-overhang": 0.5, "lever-lean": LEAN, "screw-head-ratio": HEAD}


class Expected(Struct, frozen=True, eq=False):
    """A board as solids' shapes, and what has to be said of it."""

    board: ResolvedBoard
    site: Site
    stuff: list[Stuff]
    looked: Looked


def expected_of(design: Design, known: Catalogue | None = None) -> Expected:
    """Everything expected of the first board and arrangement of a design."""
    known = known or catalogue()

    def rule(name: str) -> float:
        return known.rules[name].value if name in known.rules else DEFAULTS[name]

    entry = find_board(design)
    board = resolve(design, None, None, known)
    stuff = stuff_on(board, rule)
    site = site_of(entry, board, land_of(entry), rule)
    looked = Looked()
    between_placements(board, stuff, rule, looked)
    against_board(site, stuff, looked)
    around_openings(site, looked)
    by_themselves(board, stuff, rule, looked)
    return Expected(board, site, stuff, looked)
