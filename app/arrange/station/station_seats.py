"""What is cut from below for the parts of a station, as a new deck would have it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from msgspec import Struct
from msgspec.structs import asdict

from app.arrange.change import known_part
from app.arrange.letters import free_id, next_letter
from app.arrange.placement.seat import seat
from app.arrange.station.stations import Slot
from app.catalogue.load import Catalogue
from app.document.resolve import resolve
from app.document.schema import CounterboreEntry, Design, PlacementEntry, RecessEntry, StationEntry
from app.errors import EditError


class Cuts(Struct, frozen=True):
    """What is cut from below about a part; None where it needs none, or where the rules have to tell."""

    counterbore: CounterboreEntry | None
    recess: RecessEntry | None


def cuts_for(
    design: Design, board_id: str, arrangement_id: str, station: StationEntry, catalogue: Catalogue
) -> Mapping[str, Cuts]:
    """The cuts of the station's button and stick in the board as it is, by part id.

    A part that cannot sit in the board gets none: that is for the fit report to say.

    Raises:
        NotFoundError: there is no such part.
    """
    board = resolve(design, board_id, arrangement_id, catalogue)
    found = {}
    used = [station.button_part] if station.rows and station.columns else []
    for part_id in {*used, *([station.stick_part] if station.stick != "none" else [])}:
        part = known_part(design, part_id, catalogue)
        try:
            here = seat(part, board.layers, board.tooling, catalogue, inch=design.units == "inch")
        except EditError:
            found[part_id] = Cuts(None, None)
            continue
        bore = CounterboreEntry(diameter=here.bore.diameter, depth=here.bore.depth) if here.bore else None
        found[part_id] = Cuts(bore, RecessEntry(**asdict(here.recess)) if here.recess else None)
    return found


def seated(
    places: Iterable[Slot],
    station: str,
    cuts: Mapping[str, Cuts],
    letters: Collection[str],
    ids: Collection[str],
    undrilled: Collection[tuple[int, int]] = (),
) -> list[PlacementEntry]:
    """A part at each of the places, lettered on.

    Args:
        places: where they go.
        station: id of the station they belong to.
        cuts: what is cut from below, by part.
        letters: those that are taken.
        ids: those that are taken.
        undrilled: rows and columns of places that stay undrilled.
    """
    letters, ids = set(letters), set(ids)
    found = []
    for slot in places:
        label = next_letter(letters)
        letters.add(label)
        ident = free_id(label.lower(), ids)
        ids.add(ident)
        cut = cuts[slot.part]
        found.append(
            PlacementEntry(
                id=ident,
                part=slot.part,
                x=round(slot.x, 6),
                y=round(slot.y, 6),
                label=label,
                station=station,
                drill=(slot.row, slot.column) not in undrilled,
                counterbore=cut.counterbore,
                recess=cut.recess,
            )
        )
    return found
