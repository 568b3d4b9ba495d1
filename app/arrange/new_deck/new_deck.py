"""A new design from a few answers: a deck that can be built as it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from msgspec.structs import asdict

from app.arrange.design.settings import bit_set
from app.arrange.letters import letter
from app.arrange.new_deck.clearances import Clearances
from app.arrange.new_deck.deck_board import board_of
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.new_deck.new_deck_validation import checked
from app.arrange.placement.seat import Seat, best_button, best_stick, seat
from app.arrange.station.laying import ADMIN, StationsWanted, lay_out
from app.arrange.station.stations import field_of, slots
from app.catalogue.load import Catalogue
from app.document.resolve import resolve_shop
from app.document.schema import (
    ArrangementEntry,
    CounterboreEntry,
    Design,
    PlacementEntry,
    RecessEntry,
    ShopEntry,
    StationEntry,
)
from app.errors import EditError
from app.model.material import Layer
from app.units import INCH
from app.values import replace

ADMIN_BUTTONS: Final = 2
"""Admin buttons of a new deck that does not say how many, where there is room for them."""

GRID: Final = {"mm": 0.5, "inch": INCH / 32}
"""What places of a new station are multiples of, by unit [mm]."""

_PAPER: Final = {"mm": "a4", "inch": "letter"}


def new_deck(spec: NewDeck, catalogue: Catalogue) -> Design:
    """A design of one deck that no fit rule has anything to say about.

    Two players get two arrangements: both players, and the first alone, in the same holes under the same
    letters, so that a one-player deck can grow without moving a hole.

    Raises:
        EditError: an answer is not allowed, or the board cannot carry what is asked; says the least that will
            do, and which field it is about.
    """
    spec = checked(spec, catalogue)
    shop_entry = ShopEntry(
        drilling=spec.drilling,
        bits=bit_set("inch" if spec.units == "inch" else "metric", catalogue),
        paper=spec.paper or _PAPER[spec.units],
    )
    tooling = resolve_shop(shop_entry, catalogue)
    room = Clearances(
        _layers(spec, catalogue), tooling, catalogue, catalogue.rule("deck-rail"), _finger_gap(spec, catalogue)
    )
    if spec.players == 0:
        empty = (ArrangementEntry(id="one", name="Empty"),)
        board = board_of(spec.width, spec.depth, room, (), (), empty)
        return Design(title=spec.title or "Empty deck", units=spec.units, shop=shop_entry, boards=(board,))
    wanted = _wanted(spec, room)
    stations, wanted = _laid(spec, wanted, room)
    seats = {s.part.id: s for s in (wanted.button, wanted.stick_seat, wanted.admin_seat)}
    placements = _populated(stations, seats, spec.buttons)
    arrangements = _arrangements(spec, stations, placements)
    used = tuple(seats[part] for part in dict.fromkeys(p.part for p in placements))
    board = board_of(spec.width, spec.depth, room, used, placements, arrangements)
    who = "One-player" if spec.players == 1 else "Two-player"
    title = spec.title or f"{who} deck, {wanted.field.name}"
    return Design(title=title, units=spec.units, shop=shop_entry, boards=(board,))


def _layers(spec: NewDeck, catalogue: Catalogue) -> tuple[Layer, ...]:
    base = Layer(catalogue.materials[spec.material], spec.thickness)
    return (Layer(catalogue.materials[spec.cover_material], spec.cover), base) if spec.cover else (base,)


def _finger_gap(spec: NewDeck, catalogue: Catalogue) -> float:
    return spec.finger_gap or catalogue.rule("finger-gap")


def _wanted(spec: NewDeck, room: Clearances) -> StationsWanted:
    return StationsWanted(
        players=spec.players,
        field=field_of(spec.shape, spec.positions or spec.buttons),
        positions=spec.positions or spec.buttons,
        stick=spec.stick,
        mirrored=spec.mirrored,
        arc=spec.arc,
        tilt=spec.tilt,
        admin=ADMIN_BUTTONS if spec.admin is None else spec.admin,
        admin_at=spec.admin_at,
        width=spec.width,
        front_to_back=spec.depth,
        grid=GRID[spec.units],
        units=spec.units,
        button=_button(spec, spec.button, "deck-button-hole", "button", room),
        stick_seat=_stick(spec, room),
        admin_seat=_button(spec, spec.admin_part, "deck-admin-hole", "admin_part", room),
    )


def _button(spec: NewDeck, part_id: str, rule: str, field: str, room: Clearances) -> Seat:
    inch = spec.units == "inch"
    if part_id:
        return _seated(part_id, field, room, inch=inch)
    return best_button(room.catalogue.rule(rule), room.layers, room.shop, room.catalogue, inch=inch)


def _stick(spec: NewDeck, room: Clearances) -> Seat:
    inch = spec.units == "inch"
    if spec.stick_part:
        return _seated(spec.stick_part, "stick_part", room, inch=inch)
    return best_stick(room.layers, room.shop, room.catalogue, inch=inch)


def _seated(part_id: str, field: str, room: Clearances, *, inch: bool) -> Seat:
    try:
        return seat(room.catalogue.parts[part_id], room.layers, room.shop, room.catalogue, inch=inch)
    except EditError as error:
        raise EditError(str(error), field) from None


def _laid(spec: NewDeck, wanted: StationsWanted, room: Clearances) -> tuple[tuple[StationEntry, ...], StationsWanted]:
    """The stations; without admin buttons if there is no room for them and nobody asked for them."""
    try:
        return lay_out(wanted, room), wanted
    except EditError:
        if spec.admin is not None:
            raise
    wanted = replace(wanted, admin=0)
    return lay_out(wanted, room), wanted


def _arrangements(
    spec: NewDeck, stations: tuple[StationEntry, ...], placements: tuple[PlacementEntry, ...]
) -> tuple[ArrangementEntry, ...]:
    if spec.players == 1:
        return (ArrangementEntry(id="one", name="One player", stations=stations, placements=placements),)
    kept = {"s1", ADMIN}
    alone = ArrangementEntry(
        id="one",
        name="One player",
        stations=tuple(s for s in stations if s.id in kept),
        placements=tuple(p for p in placements if p.station in kept),
    )
    return (ArrangementEntry(id="two", name="Two players", stations=stations, placements=placements), alone)


def _populated(
    stations: Sequence[StationEntry], seats: Mapping[str, Seat], drilled: int | None = None
) -> tuple[PlacementEntry, ...]:
    """Placements of the stations, lettered by station, then the stick, then rows back to front, left to right.

    Args:
        stations: placed on the board.
        seats: by part id; their counterbores and recesses go with the parts.
        drilled: how many buttons of each station are drilled; the positions beyond are kept on the plan and
            switched off. All of them if left out.
    """
    found: list[PlacementEntry] = []
    for station in stations:
        kept = _kept(station, drilled)
        for slot in slots(station):
            label = letter(len(found))
            bore, recess = seats[slot.part].bore, seats[slot.part].recess
            found.append(
                PlacementEntry(
                    id=label.lower(),
                    part=slot.part,
                    x=slot.x,
                    y=slot.y,
                    label=label,
                    station=station.id,
                    drill=slot.is_stick or (slot.row, slot.column) in kept,
                    counterbore=CounterboreEntry(diameter=bore.diameter, depth=bore.depth) if bore else None,
                    recess=RecessEntry(**asdict(recess)) if recess else None,
                )
            )
    return tuple(found)


def _kept(station: StationEntry, drilled: int | None) -> set[tuple[int, int]]:
    """Rows and columns of the positions that a field of ``drilled`` buttons would have."""
    fewer = station
    positions = [slot for slot in slots(station) if not slot.is_stick]
    if drilled is not None and drilled < len(positions):
        fewer = station.model_copy(update={"buttons": drilled})
    return {(slot.row, slot.column) for slot in slots(fewer) if not slot.is_stick}
