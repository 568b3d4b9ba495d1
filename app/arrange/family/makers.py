"""What makers made, as it comes to another board: ids of makers, and the openings that they cut."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from app.arrange.board.rings import rings_of
from app.arrange.maker.placing import free_maker_id, pose_of
from app.arrange.maker.registry import maker_named
from app.arrange.maker.ringing import openings_at, same_ring, with_openings
from app.catalogue.load import Catalogue
from app.document.makers import given_of
from app.document.pattern_schema import MakerEntry
from app.document.resolve import find_board
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError, NotFoundError
from app.geometry.outline import Corner
from app.model.maker.measure import answered

Ring = tuple[Corner, ...]


def maker_ids(
    target: Design, others: Iterable[ArrangementEntry], rows: Iterable[MakerEntry], known: Mapping[str, str]
) -> dict[str, str]:
    """The id of each maker where it comes to, by the one that it has.

    Args:
        target: the design that it comes to.
        others: arrangements of the board that stay.
        rows: the makers.
        known: ids that some have there already.
    """
    standing = {m.id: m for a in others for m in a.makers}
    stems = {p.id for a in others for p in a.placements}
    found: dict[str, str] = {}
    for entry in rows:
        same = standing.get(entry.id) == entry
        free = entry.id not in standing and not any(i.startswith(f"{entry.id}-") for i in stems)
        if entry.id in known:
            found[entry.id] = known[entry.id]
        elif (same or free) and entry.id not in found.values():
            found[entry.id] = entry.id
        else:
            taken = design_with(target, found.values())
            found[entry.id] = free_maker_id(taken, entry.maker)
    return found


def design_with(design: Design, makers: Iterable[str]) -> Design:
    """The design as if it had some makers more, so that their ids are not free."""
    first, *rest = design.boards
    arrangement, *others = first.arrangements
    more = tuple(MakerEntry(id=ident, maker="taken") for ident in makers)
    grown = arrangement.model_copy(update={"makers": (*arrangement.makers, *more)})
    board = first.model_copy(update={"arrangements": (grown, *others)})
    return design.model_copy(update={"boards": (board, *rest)})


def piece_renamed(placement: PlacementEntry, makers: Mapping[str, str]) -> PlacementEntry:
    """A placement of a maker under the id that the maker has there."""
    now = makers.get(placement.maker or "")
    if now is None or placement.maker is None or now == placement.maker:
        return placement
    begins = f"{placement.maker}-"
    ident = f"{now}-{placement.id.removeprefix(begins)}" if placement.id.startswith(begins) else placement.id
    return placement.model_copy(update={"id": ident, "maker": now})


def openings_of(entry: MakerEntry, catalogue: Catalogue) -> tuple[Ring, ...]:
    """The openings that a maker cuts in its board; none where nothing can be made of its measures."""
    try:
        maker = maker_named(entry.maker)
        made = maker.make(answered(maker.measures, given_of(entry)), catalogue)
    except (EditError, NotFoundError):
        return ()
    return openings_at(made, pose_of(entry))


def with_their_openings(
    design: Design, board_id: str, before: Sequence[MakerEntry], now: Sequence[MakerEntry], catalogue: Catalogue
) -> Design:
    """The design with the openings of makers cut, those of the ones before closed; what is there is not cut twice.

    Raises:
        EditError: one would not be inside the board, or meets another.
    """
    old = [ring for entry in before for ring in openings_of(entry, catalogue)]
    new = [ring for entry in now if not entry.outline for ring in openings_of(entry, catalogue)]
    _, *there = rings_of(find_board(design, board_id))
    stay = [ring for ring in there if not any(same_ring(ring, one) for one in old)]
    fresh = [ring for ring in new if not any(same_ring(ring, one) for one in stay)]
    unique = [ring for k, ring in enumerate(fresh) if not any(same_ring(ring, one) for one in fresh[:k])]
    return with_openings(design, board_id, old, unique, catalogue)
