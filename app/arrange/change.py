"""What every edit gives back, and how a piece of a frozen document is exchanged for another."""

from __future__ import annotations

import math
from collections.abc import Callable

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.document.resolve import design_parts, find_arrangement, find_board
from app.document.schema import ArrangementEntry, BoardEntry, Design, PlacementEntry
from app.errors import EditError, NotFoundError
from app.model.part import Part
from app.units import LONGEST, format_exact, format_inches


class Edit(Struct, frozen=True):
    """A design after an edit.

    Args:
        design: the new document.
        summary: what was done, for the undo list: ``Moved A 12 mm right``.
        placement: id of the placement that was made, or edited; empty if it was none or several.
        several: ids of the placements that were made, if they were several.
        arrangement: id of the arrangement to look at next, if another one than before.
        board: id of the board to look at next, if another one than before.
    """

    design: Design
    summary: str
    placement: str = ""
    several: tuple[str, ...] = ()
    arrangement: str = ""
    board: str = ""


def find_placement(arrangement: ArrangementEntry, placement_id: str) -> PlacementEntry:
    """The placement with that id.

    Raises:
        NotFoundError: there is none.
    """
    for placement in arrangement.placements:
        if placement.id == placement_id:
            return placement
    raise NotFoundError(
        f'There is no placement "{placement_id[:80]}" in the arrangement "{arrangement.name or arrangement.id}"; '
        f"it has {len(arrangement.placements)}. It may have been deleted: undo, or reload the page."
    )


def with_board(design: Design, board: BoardEntry) -> Design:
    """The design with ``board`` in the place of the board of the same id."""
    return design.model_copy(update={"boards": tuple(board if b.id == board.id else b for b in design.boards)})


def with_arrangement(
    design: Design,
    board_id: str | None,
    arrangement_id: str | None,
    change: Callable[[ArrangementEntry], ArrangementEntry],
) -> Design:
    """The design with one arrangement changed.

    Raises:
        NotFoundError: no such board or arrangement.
    """
    board = find_board(design, board_id)
    old = find_arrangement(board, arrangement_id)
    new = change(old)
    changed = tuple(new if a.id == old.id else a for a in board.arrangements)
    return with_board(design, board.model_copy(update={"arrangements": changed}))


def with_placement(
    design: Design, board_id: str | None, arrangement_id: str | None, placement_id: str, **changes: object
) -> Design:
    """The design with fields of one placement changed.

    Raises:
        NotFoundError: no such board, arrangement or placement.
    """

    def change(arrangement: ArrangementEntry) -> ArrangementEntry:
        find_placement(arrangement, placement_id)
        rows = (p.model_copy(update=changes) if p.id == placement_id else p for p in arrangement.placements)
        return arrangement.model_copy(update={"placements": tuple(rows)})

    return with_arrangement(design, board_id, arrangement_id, change)


def located(
    design: Design, board_id: str | None, arrangement_id: str | None, placement_id: str
) -> tuple[BoardEntry, ArrangementEntry, PlacementEntry]:
    """A placement and where it stands.

    Raises:
        NotFoundError: no such board, arrangement or placement.
    """
    board = find_board(design, board_id)
    arrangement = find_arrangement(board, arrangement_id)
    return board, arrangement, find_placement(arrangement, placement_id)


def known_part(design: Design, part_id: str, catalogue: Catalogue) -> Part:
    """The part with that id, of the design or the catalogue.

    Raises:
        NotFoundError: there is none.
    """
    parts = design_parts(design, catalogue)
    if part_id not in parts:
        near = [known for known in parts if known.partition("-")[0] == part_id.partition("-")[0]] or list(parts)
        raise NotFoundError(f'There is no part "{part_id[:80]}". Use one of: {", ".join(near[:12])}.')
    return parts[part_id]


def number(
    value: float, what: str, field: str, low: float = -LONGEST, high: float = LONGEST, *, above: bool = False
) -> float:
    """``value`` if it is a finite number from ``low`` (or above it) to ``high``.

    Raises:
        EditError: it is not.
    """
    good = math.isfinite(value) and low <= value <= high and not (above and value <= low)
    if not good:
        begin = f"above {low:,.6g}" if above else f"from {low:,.6g}"
        got = f"{value:,.6g}" if math.isfinite(value) else "not a finite number"
        raise EditError(f"{what} is a number {begin} to {high:,.6g}, got {got}. Enter one in that range.", field)
    return float(value) + 0.0  # a zero without a sign


def words(text: str, what: str, field: str, longest: int, least: int = 0) -> str:
    """``text`` without blanks round it, if it is one line of ``least`` to ``longest`` characters.

    Raises:
        EditError: it is not.
    """
    plain = text.strip()
    if not least <= len(plain) <= longest:
        how = "shorter" if plain else "longer"
        raise EditError(f"{what} has {least} to {longest} characters, got {len(plain)}. Make it {how}.", field)
    if any(ord(c) < 0x20 or ord(c) == 0x7F or 0xD800 <= ord(c) <= 0xDFFF for c in plain):
        raise EditError(f"{what} contains a character that cannot be printed. Type it again on one line.", field)
    return plain


def shown(mm: float, units: str) -> str:
    """A length for a summary: ``12 mm``, ``12.5 mm``, ``1 1/2"``."""
    if units == "inch":
        return format_inches(mm)
    return f"{format_exact(round(mm, 1) + 0.0)} mm"


def name_of(placement: PlacementEntry) -> str:
    """What a person calls the placement: its letter, or its part."""
    return placement.label or placement.part
