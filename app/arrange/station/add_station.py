"""A further player's station: parameters to begin with, then the station with its parts under letters of their own."""

from __future__ import annotations

from typing import Final

from app.arrange.change import Edit, with_board
from app.arrange.letters import free_id, taken_letters
from app.arrange.new_deck.clearances import Clearances
from app.arrange.new_deck.new_deck import GRID
from app.arrange.placement.mirror import centre_line
from app.arrange.placement.seat import best_button, best_stick
from app.arrange.placement.several import tidy
from app.arrange.station.laying import ADMIN, StationsWanted, lay_out
from app.arrange.station.station_seats import cuts_for, seated
from app.arrange.station.station_slots import standings
from app.arrange.station.stations import field_of, slots
from app.catalogue.load import Catalogue
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry, StationEntry
from app.errors import EditError
from app.model.limits import PARTS

MOST_PLAYERS: Final = 8
"""Most players' stations of one arrangement: more than hands find room at any deck."""

_BUTTONS: Final = 6  # of a first station, as a new deck has them
_COUNTS: Final = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight")


def players_of(arrangement: ArrangementEntry) -> tuple[StationEntry, ...]:
    """The stations that hands use; the admin buttons are nobody's."""
    return tuple(s for s in arrangement.stations if s.id != ADMIN)


def next_station(
    design: Design, board_id: str | None, arrangement_id: str | None, catalogue: Catalogue, *, mirrored: bool = False
) -> StationEntry:
    """Parameters of one more player's station: as the last player's, on the other side of the centre line.

    Args:
        design: the design.
        board_id: None for the deck.
        arrangement_id: None for the first.
        catalogue: for the hardware of a first station.
        mirrored: whether it is for the other hand, as a mirror image.

    Raises:
        NotFoundError: no such board or arrangement.
        EditError: there are as many players as an arrangement can have, or the board cannot carry a first one.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    players = players_of(arrangement)
    if len(players) >= MOST_PLAYERS:
        raise EditError(f"There are {MOST_PLAYERS} players already, the most there can be. Delete one first.", "sit")
    number = next(n for n in range(1, MOST_PLAYERS + 2) if f"Player {n}" not in {s.name for s in players})
    new = {"id": free_id(f"s{number}", {s.id for s in arrangement.stations}), "name": f"Player {number}"}
    if not players:
        first = _first(design, board.id, arrangement.id, catalogue)
        return first.model_copy(update={**new, "mirrored": mirrored})
    last = players[-1]
    across = {"centre": tidy(2 * centre_line(board) - last.centre), "mirrored": last.mirrored != mirrored}
    return last.model_copy(update={**new, **across})


def _first(design: Design, board_id: str, arrangement_id: str, catalogue: Catalogue) -> StationEntry:
    """The station a new deck of this size would have for one player, in the middle."""
    board = resolve(design, board_id, arrangement_id, catalogue)
    inch = design.units == "inch"
    rail = max((e.rail for e in board.edges if e.edge in ("left", "right")), default=0.0)
    room = Clearances(board.layers, board.tooling, catalogue, rail, catalogue.rule("finger-gap"))
    button = best_button(catalogue.rule("deck-button-hole"), room.layers, room.shop, catalogue, inch=inch)
    x0, y0, x1, y1 = board.outline.bounds
    wanted = StationsWanted(
        players=1, field=field_of("stepped", _BUTTONS), positions=_BUTTONS, stick="left", mirrored=False, arc=0.0,
        tilt=0.0, admin=0, admin_at="back-centre", width=x1 - x0, front_to_back=y1 - y0, grid=GRID[design.units],
        units=design.units, button=button, admin_seat=button,
        stick_seat=best_stick(room.layers, room.shop, catalogue, inch=inch),
    )  # fmt: skip
    try:
        (station,) = lay_out(wanted, room)
    except EditError as error:
        raise EditError(str(error), "sit") from None
    return station.model_copy(update={"centre": station.centre + x0, "front": station.front + y0})


def add_station(
    design: Design,
    board_id: str | None,
    arrangement_id: str | None,
    station: StationEntry,
    catalogue: Catalogue,
    *,
    beside: bool = False,
) -> Edit:
    """Place a station and its parts.

    Args:
        design: the design.
        board_id: None for the deck.
        arrangement_id: None for the first.
        station: its parameters, under an id and a name of its own.
        catalogue: for what is cut from below for its parts.
        beside: whether the arrangement stays as it is and another is made that has all of its holes, under the
            same letters, and the station.

    Raises:
        NotFoundError: no such board, arrangement or part.
        EditError: the arrangement would be too full.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    parts = _parts(design, board, arrangement, station, catalogue)
    if len(arrangement.placements) + len(parts) > PARTS.most:
        raise EditError(f"An arrangement has up to {PARTS.most} parts. Delete some first.", "sit")
    update: dict[str, object] = {
        "stations": (*arrangement.stations, station),
        "placements": (*arrangement.placements, *parts),
    }
    said = f"Added {station.name}: {parts[0].label} to {parts[-1].label}"
    if not beside:
        new = arrangement.model_copy(update=update)
        rows = tuple(new if a.id == arrangement.id else a for a in board.arrangements)
        return Edit(with_board(design, board.model_copy(update={"arrangements": rows})), said)
    count = len(players_of(arrangement)) + 1
    name = f"{_COUNTS[count]} player{'s' if count > 1 else ''}"
    ident = free_id(_COUNTS[count].lower(), {a.id for a in board.arrangements} | set(board.gone or ()))
    new = arrangement.model_copy(update={**update, "id": ident, "name": name})
    grown = board.model_copy(update={"arrangements": (*board.arrangements, new)})
    return Edit(with_board(design, grown), f"{said}, in its own arrangement, {name}")


def _parts(
    design: Design, board: BoardEntry, arrangement: ArrangementEntry, station: StationEntry, catalogue: Catalogue
) -> list[PlacementEntry]:
    """Its parts, lettered on; a place that the player before it has on the plan undrilled is undrilled as well."""
    cuts = cuts_for(design, board.id, arrangement.id, station, catalogue)
    before = players_of(arrangement)[-1:]
    off = {
        (s.slot.row, s.slot.column)
        for like in before
        for s in standings(like, arrangement)
        if s.placement is not None and not s.placement.drill
    }
    ids = {p.id for a in board.arrangements for p in a.placements}
    return seated(slots(station), station.id, cuts, taken_letters(board), ids, off)
