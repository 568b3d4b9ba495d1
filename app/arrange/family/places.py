"""On which board of another design something comes to lie, and how far it is moved there."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import shown
from app.arrange.family.origin import stands
from app.arrange.family.wanted import BringSource, BringWays
from app.catalogue.load import Catalogue
from app.document.outlines import outline_of
from app.document.pattern_schema import MakerEntry
from app.document.resolve import find_board
from app.document.schema import BoardEntry, Design, LayerEntry, PlacementEntry, StationEntry
from app.errors import EditError


def board_for(target: Design, source: BringSource, board_id: str) -> BoardEntry:
    """The board of a design that answers to one of another.

    It is the one that came from it; else the one of the same id; else the deck, for the deck.

    Raises:
        EditError: there is none.
    """
    board = find_board(source.design, board_id)
    for entry in reversed(target.brought or ()):
        same = entry.design == source.id if entry.design and source.id else entry.source == source.design.title
        if entry.sort == "board" and same and entry.source_board == board_id and stands(target, entry):
            return find_board(target, entry.board)
    for each in target.boards:
        if each.id == board_id and each.role == board.role:
            return each
    decks = [each for each in target.boards if each.role == "deck"]
    if board.role == "deck" and decks:
        return decks[0]
    raise EditError(f"It has no board like “{board.name or board.id}”. Bring that board as well.")


def other_material(source: BoardEntry, target: BoardEntry, units: tuple[str, str], catalogue: Catalogue) -> str:
    """A sentence about a board that is of another material or thickness; empty where it is not.

    Args:
        source: the board that something comes from.
        target: the one that it comes to.
        units: of each, in which its sheet was bought.
        catalogue: of materials.
    """
    if source.layers == target.layers:
        return ""
    both = zip((source, target), units, strict=True)
    was, now = (" on ".join(_layer(layer, unit, catalogue) for layer in b.layers) for b, unit in both)
    return f"“{target.name or target.id}” is {now}; these holes were laid out for {was}." if now != was else ""


def _layer(layer: LayerEntry, units: str, catalogue: Catalogue) -> str:
    material = catalogue.materials.get(layer.material)
    return f"{shown(layer.thickness, units)} {material.name if material else layer.material}"


def shift_of(source: BoardEntry, target: BoardEntry, ways: BringWays) -> float:
    """How far things move to the right, so that they are as far from the middle of the board as they were [mm]."""
    if not ways.centred:
        return 0.0
    was, now = (outline_of(b.outline.corners).bounds for b in (source, target))
    return round((now[0] + now[2] - was[0] - was[2]) / 2, 6) + 0.0


def shifted_parts(rows: Sequence[PlacementEntry], dx: float) -> tuple[PlacementEntry, ...]:
    """Placements moved to the right."""
    return tuple(p.model_copy(update={"x": round(p.x + dx, 9) + 0.0}) for p in rows) if dx else tuple(rows)


def shifted_makers(rows: Sequence[MakerEntry], dx: float) -> tuple[MakerEntry, ...]:
    """Makers moved to the right."""
    return tuple(m.model_copy(update={"x": round(m.x + dx, 9) + 0.0}) for m in rows) if dx else tuple(rows)


def shifted_stations(rows: Sequence[StationEntry], dx: float) -> tuple[StationEntry, ...]:
    """Stations moved to the right."""
    return tuple(s.model_copy(update={"centre": round(s.centre + dx, 9) + 0.0}) for s in rows) if dx else tuple(rows)
