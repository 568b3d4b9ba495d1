"""Everything against everything: which rule judges it, or why it does no harm.

Four tables: features of two placements, features of one placement, features and the places of the board, and those
places
among themselves. Rules read from here what they judge; a cell that is not filled stops the tests.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from itertools import product
from types import MappingProxyType

import numpy as np
from msgspec import Struct

from app.fit.features.features import (
    BELOW,
    BODY,
    BORE,
    CUTS,
    DEPTH,
    EDGE,
    FLANGE,
    HEAD,
    HOLE,
    KINDS,
    LEGEND,
    LEVER,
    NUT,
    ON_TOP,
    OPENING,
    PLACES,
    PLATE,
    RAIL,
    RECESS,
    SCREW,
    SLOT,
    SPANNER,
    THICKNESS,
    TOP_AREA,
    TOP_HEAD,
    TOP_PLATE,
    UNDER_AREA,
    WIRES,
    Flags,
)


class Cell(Struct, frozen=True):
    """What becomes of two features that meet.

    Args:
        rules: names of the rules that judge it; none if it does no harm.
        because: why it does no harm, in a sentence; empty where a rule judges it.
        gap: name of the default that is asked between them; empty where it is worked out otherwise.
    """

    rules: tuple[str, ...] = ()
    because: str = ""
    gap: str = ""


Table = Mapping[tuple[int, int], Cell]
_Kinds = int | Iterable[int]


class _Sheet:
    """A table being filled; each cell is written once."""

    def __init__(self, symmetric: bool) -> None:
        self._cells: dict[tuple[int, int], Cell] = {}
        self._symmetric = symmetric

    def judged(self, one: _Kinds, other: _Kinds, *rules: str, gap: str = "") -> None:
        """Each of the one against each of the other is judged by these rules, or asked to keep that gap."""
        self._write(one, other, Cell(rules, gap=gap))

    def harmless(self, one: _Kinds, other: _Kinds, because: str) -> None:
        """Each of the one against each of the other does no harm."""
        self._write(one, other, Cell((), because))

    def _write(self, one: _Kinds, other: _Kinds, cell: Cell) -> None:
        ones, others = ((k,) if isinstance(k, int) else tuple(k) for k in (one, other))
        keys = {self._key(a, b) for a, b in product(ones, others)}
        twice = keys & self._cells.keys()
        if twice:
            raise ValueError(f"Cells {sorted(twice)} are written twice.")
        self._cells.update(dict.fromkeys(keys, cell))

    def _key(self, a: int, b: int) -> tuple[int, int]:
        return (min(a, b), max(a, b)) if self._symmetric else (a, b)

    def done(self) -> Table:
        """The table as it is read."""
        return MappingProxyType(self._cells)


_ROOM = (SPANNER, WIRES)
_BETWEEN = "The board lies between them."


def _between_placements() -> Table:
    sheet = _Sheet(symmetric=True)
    sheet.judged(HOLE, HOLE, "web")
    sheet.judged(HOLE, CUTS, "under-clash")
    sheet.judged(CUTS, CUTS, "under-clash")
    sheet.judged(ON_TOP, (*ON_TOP, HOLE), "flange-overlap", gap="flange-gap")
    sheet.judged(SCREW, (SCREW, HOLE, *CUTS), "screw-distance")
    sheet.judged(BELOW, HOLE, "under-clash", gap="mouth-gap")
    sheet.judged(BELOW, (*CUTS, *BELOW), "under-clash", gap="body-gap")
    sheet.judged(SPANNER, (*CUTS, *BELOW), "under-clash", gap="spanner-room")
    sheet.judged(LEVER, (LEVER, FLANGE), "lever-sweep")
    sheet.harmless(ON_TOP, CUTS, "What is cut from below does not come through; the ledge above it is checked.")
    sheet.harmless(ON_TOP, SCREW, "A screw from the top is checked by its head; one from below ends in the board.")
    sheet.harmless(ON_TOP, (*BELOW, *_ROOM), _BETWEEN)
    sheet.harmless(BELOW, SCREW, "A screw from below is checked by its head; one from the top ends in the board.")
    sheet.harmless(SCREW, _ROOM, "A screw is in the board or under its head, which is checked.")
    sheet.harmless(SPANNER, HOLE, "A spanner turns over a hole; what comes out of it is checked.")
    sheet.harmless(SPANNER, SPANNER, "Nuts are turned one after the other.")
    sheet.harmless(WIRES, (HOLE, *CUTS), "Wires lead past what is cut into the board.")
    sheet.harmless(WIRES, (*BELOW, *_ROOM), "Wires bend round what hangs beside them; the depth they need is checked.")
    sheet.harmless(LEVER, HOLE, "A knob swings above the top face; what is in the hole is checked by its flange.")
    sheet.harmless(LEVER, (TOP_PLATE, TOP_HEAD), "Plates and screw heads lie flat, below the knob's swing.")
    sheet.harmless(LEVER, (SCREW, *CUTS, *BELOW, *_ROOM), _BETWEEN)
    sheet.judged(LEGEND, (HOLE, *ON_TOP), "legend-clear")
    sheet.judged(LEGEND, LEGEND, "legend-overlap")
    sheet.harmless(LEGEND, SCREW, "A screw from the top is checked by its head; one from below does not come through.")
    sheet.harmless(LEGEND, LEVER, "A knob swings above a legend, which is read from beside it.")
    sheet.harmless(LEGEND, (*CUTS, *BELOW, *_ROOM), _BETWEEN)
    return sheet.done()


_MADE = "Both belong to one part, made that way."


def _of_one_placement() -> Table:
    sheet = _Sheet(symmetric=True)
    sheet.judged(HOLE, HOLE, "web")
    sheet.judged(HOLE, CUTS, "web")
    sheet.judged(SCREW, (HOLE, *CUTS), "screw-distance")
    sheet.judged(HOLE, (FLANGE, BODY, NUT, PLATE, HEAD, TOP_HEAD), "part-measures")
    sheet.judged(SCREW, (FLANGE, TOP_PLATE, PLATE, BODY), "part-measures")
    sheet.judged(BORE, (NUT, SPANNER), "thread-reach")
    sheet.judged(BORE, BODY, "snap-grip")
    sheet.judged(RECESS, (BODY, PLATE, NUT, SPANNER), "recess")
    sheet.judged(CUTS, FLANGE, "ledge")
    sheet.harmless(BORE, BORE, "A part has one counterbore.")
    sheet.harmless(RECESS, RECESS, "A part has one recess.")
    sheet.harmless(BORE, RECESS, "The deeper of the two is the one whose ledge is checked.")
    sheet.harmless(BORE, PLATE, "A plate spans the counterbore below it; its screws beside it are checked.")
    sheet.harmless(HOLE, TOP_PLATE, "A plate on top has an opening of its own where its part goes through.")
    sheet.harmless(HOLE, LEVER, "The part's own range of holes covers how wide a hole its lever needs.")
    sheet.harmless(HOLE, _ROOM, "Its own nut and wires go round what is in the hole.")
    sheet.harmless(CUTS, (TOP_PLATE, TOP_HEAD, LEVER), "It lies above the ledge, whose thickness is checked.")
    sheet.harmless(CUTS, HEAD, "A screw from below lies with its plate on the board, or on the recess's floor.")
    sheet.harmless(CUTS, WIRES, "Its own wires come out of what it is sunk in.")
    sheet.harmless(SCREW, SCREW, "The part's own holes for them set them apart.")
    sheet.harmless(SCREW, (NUT, TOP_HEAD, HEAD, LEVER, SPANNER, WIRES), _MADE)
    rest = (*ON_TOP, *BELOW, LEVER, *_ROOM)
    sheet.harmless(rest, rest, _MADE)
    sheet.judged(LEGEND, (HOLE, *ON_TOP), "legend-clear")
    sheet.harmless(LEGEND, LEGEND, "A part has one legend.")
    sheet.harmless(LEGEND, SCREW, "A screw from the top is checked by its head; one from below does not come through.")
    sheet.harmless(LEGEND, LEVER, "A knob swings above a legend, which is read from beside it.")
    sheet.harmless(LEGEND, (*CUTS, *BELOW, *_ROOM), _BETWEEN)
    return sheet.done()


def _against_the_board() -> Table:
    sheet = _Sheet(symmetric=False)
    rim = (EDGE, OPENING)
    sheet.judged((HOLE, *CUTS), rim, "outside-board", "edge-distance")
    sheet.judged(SCREW, rim, "edge-distance")
    sheet.judged(ON_TOP, rim, "flange-overhang")
    sheet.judged(BELOW, rim, "under-overhang")
    sheet.judged((HOLE, *CUTS, SCREW), SLOT, "edge-slot")
    sheet.judged((HOLE, *CUTS, *BELOW, SPANNER), RAIL, "rail-clash")
    sheet.judged((HOLE, *ON_TOP, LEVER), TOP_AREA, "rail-clash")
    sheet.judged((HOLE, *CUTS, *BELOW, SPANNER), UNDER_AREA, "rail-clash")
    sheet.judged((*BELOW, WIRES), DEPTH, "depth-below")
    for_air = ("finger-guard", "cone-cover", "cone-area", "air-flow")
    of_plates = ("mount-screw", "plate-bending")
    of_doors = ("door-clearance", "door-swing", "display-fit", "plug-room")
    sheet.judged(HOLE, THICKNESS, "bit-match", "bit-depth", "deck-strength", *for_air, *of_plates)
    sheet.judged(BODY, THICKNESS, "snap-grip", *of_doors, "inputs", "light-current")
    sheet.judged(BORE, THICKNESS, "thread-reach", "snap-grip", "ledge", "bit-depth")
    sheet.judged(RECESS, THICKNESS, "recess", "ledge", "bit-depth")
    sheet.judged(SCREW, THICKNESS, "screw-hold", "hinge-screw")
    sheet.judged(NUT, THICKNESS, "thread-reach")
    sheet.judged(LEVER, THICKNESS, "lever-height")
    sheet.harmless(SPANNER, rim, "A spanner has room beyond an edge and in an opening.")
    sheet.judged(WIRES, (*rim, RAIL, UNDER_AREA), "wire-way")
    sheet.harmless(LEVER, rim, "A lever may lean out over an edge or an opening: nothing is there.")
    sheet.harmless(ON_TOP, SLOT, "A slot is inside the board; what lies on its face does not reach it.")
    sheet.harmless((*BELOW, *_ROOM), SLOT, "A slot is inside the board; what hangs below does not reach it.")
    sheet.harmless(LEVER, SLOT, "A slot is inside the board.")
    sheet.harmless((*ON_TOP, LEVER), RAIL, _BETWEEN)
    sheet.harmless(SCREW, RAIL, "A screw from the top holds in the rail too; one from below is checked by its head.")
    sheet.harmless((*CUTS, *BELOW, *_ROOM), TOP_AREA, _BETWEEN)
    sheet.harmless(SCREW, (TOP_AREA, UNDER_AREA), "A screw is checked by its head, and does not come through.")
    sheet.harmless((*ON_TOP, LEVER), UNDER_AREA, _BETWEEN)
    sheet.harmless((HOLE, *CUTS, SCREW, *ON_TOP, LEVER), DEPTH, "It does not reach below the board.")
    sheet.harmless(SPANNER, DEPTH, "A spanner works before the board is on the box.")
    sheet.harmless((*ON_TOP, PLATE, HEAD), THICKNESS, "It sits on a face of the board, whatever the thickness.")
    sheet.harmless(_ROOM, THICKNESS, "It is below the board, whatever the thickness.")
    sheet.judged(LEGEND, (*rim, TOP_AREA), "legend-clear")
    sheet.judged(LEGEND, THICKNESS, "legend-room", "legend-size")
    sheet.harmless(LEGEND, SLOT, "A slot is inside the board; what is lettered on its face does not reach it.")
    sheet.harmless(LEGEND, (RAIL, UNDER_AREA), _BETWEEN)
    sheet.harmless(LEGEND, DEPTH, "It does not reach below the board.")
    return sheet.done()


def _of_the_board() -> Table:
    sheet = _Sheet(symmetric=True)
    sheet.judged(OPENING, (EDGE, OPENING, SLOT, RAIL, TOP_AREA, UNDER_AREA), "opening-distance")
    sheet.harmless(EDGE, EDGE, "An outline that crosses itself is refused when it is read.")
    sheet.judged(EDGE, RAIL, "rail-clash")
    sheet.harmless(EDGE, SLOT, "It follows the edge it belongs to, round a bend too.")
    areas = (TOP_AREA, UNDER_AREA)
    sheet.harmless(EDGE, areas, "An area may reach past an edge: it only keeps things away.")
    sheet.harmless(SLOT, (SLOT, RAIL), "Where two meet at a corner, they are mitred; a slot lies above a rail.")
    sheet.harmless(RAIL, RAIL, "Where two meet at a corner, they are mitred.")
    sheet.harmless((SLOT, RAIL), areas, "What an area is kept clear for may well be fixed to the rail or edge.")
    sheet.harmless(areas, areas, "Two areas may overlap: both only keep things away.")
    sheet.harmless((DEPTH, THICKNESS), range(len(PLACES)), "It is one figure for the whole board, not a place on it.")
    return sheet.done()


BETWEEN = _between_placements()
"""Features of two placements, by their kinds, the lower index first."""

OWN = _of_one_placement()
"""Features of one placement, likewise."""

AGAINST = _against_the_board()
"""A kind of feature against a place of the board."""

BOARD = _of_the_board()
"""Places of the board among themselves, the lower index first."""


PAIR_RULES = tuple(dict.fromkeys(rule for kinds, cell in BETWEEN.items() if LEGEND not in kinds for rule in cell.rules))
"""The rules about two features of different placements; the others judge a feature and the board, or legends."""

GAPS = tuple(dict.fromkeys(cell.gap for cell in BETWEEN.values() if cell.gap))
"""The defaults that are asked between two features."""


@lru_cache(maxsize=64)
def judged_by(rule: str, table: str = "between") -> Flags:
    """Which kinds a rule judges against each other, shape (kinds, kinds), symmetric.

    Args:
        rule: its name.
        table: ``between`` placements, or ``own``.
    """
    flags = np.zeros((len(KINDS), len(KINDS)), np.bool_)
    for (a, b), cell in (BETWEEN if table == "between" else OWN).items():
        if rule in cell.rules:
            flags[a, b] = flags[b, a] = True
    return flags


@lru_cache(maxsize=64)
def kinds_against(rule: str, place: int) -> tuple[int, ...]:
    """The kinds that a rule judges against a place of the board."""
    return tuple(k for k in range(len(KINDS)) if rule in AGAINST[k, place].rules)


def kinds_under_legends() -> tuple[int, ...]:
    """The kinds that legends of the same or another placement are judged against, themselves left out."""
    return tuple(k for k in range(len(KINDS)) if k != LEGEND and (BETWEEN[k, LEGEND].rules or OWN[k, LEGEND].rules))


@lru_cache(maxsize=16)
def places_judged(rule: str) -> frozenset[tuple[int, int]]:
    """Places of the board that a rule judges against each other, the lower index first."""
    return frozenset(pair for pair, cell in BOARD.items() if rule in cell.rules)


def rows_of_tables() -> Iterator[tuple[str, str, str, Cell]]:
    """Every cell with the names it stands for: title of its table, one, other, cell; for the docs and the tests."""
    tables = (
        ("Two placements", BETWEEN, KINDS, KINDS),
        ("One placement", OWN, KINDS, KINDS),
        ("A placement and the board", AGAINST, KINDS, PLACES),
        ("The board itself", BOARD, PLACES, PLACES),
    )
    for title, table, ones, others in tables:
        for (a, b), cell in sorted(table.items()):
            yield title, ones[a], others[b], cell
