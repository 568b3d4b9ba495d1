"""What the schema cannot say: unique ids and labels, outlines that can exist, stations that are there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.catalogue.load import catalogue
from app.document.legends import check_legend
from app.document.outlines import outline_of
from app.document.own_steps import check_steps
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.errors import DocumentError, GeometryError, ModelError

PATTERN_ID: Final = "pattern"
"""What ids that the app gives to patterns begin with; no built-in hardware is called so."""


def check_sense(design: Design) -> None:
    """Refuse a document that is well-formed but impossible.

    Raises:
        DocumentError: with the place and what to do.
    """
    _unique((b.id for b in design.boards), "boards", "board id")
    _unique((p.id for p in design.hardware), "hardware", "part id")
    _unique((*(p.id for p in design.hardware), *(p.id for p in design.patterns)), "patterns", "id of a part or pattern")
    columns = design.columns or ()
    _unique((c.id for c in columns), "columns", "column id")
    _unique((c.name.casefold() for c in columns), "columns", "column name")
    for i, column in enumerate(columns):
        _unique((cell.line for cell in column.cells), f"columns[{i}].cells", "line")
    if design.steps is not None:
        check_steps(design.steps)
    for i, board in enumerate(design.boards):
        _check_board(board, f"boards[{i}]")
    if design.patterns:
        _check_patterns(design)


def check_pattern_ids(design: Design) -> None:
    """Refuse a pattern called as built-in hardware is, which placements that name it would mean no more.

    Only of what is new: a design that is stored opens, whatever built-in hardware there is by then.

    Raises:
        DocumentError: with the place and what to do.
    """
    for index, entry in enumerate(design.patterns):
        if entry.id in catalogue().parts:
            raise DocumentError(
                f'The id "{entry.id}" belongs to built-in hardware. Give the pattern another, such as '
                f'"{PATTERN_ID}-{index + 1}".',
                f"patterns[{index}].id",
            )


def _check_patterns(design: Design) -> None:
    """Every pattern has a hole, those in the outline of a board wherever they are placed."""
    from app.document.board_patterns import entry_on, follows, shown_of  # slow to import, and few designs have any
    from app.document.patterns import pattern_part, pattern_parts

    following = {p.id: p for p in design.patterns if follows(p)}
    for i, board in enumerate(design.boards):
        for k, arrangement in enumerate(board.arrangements if following else ()):
            for n, at in enumerate(arrangement.placements):
                if (entry := following.get(at.part)) is None:
                    continue
                try:
                    pattern_part(entry_on(entry, board, at.x, at.y, at.angle), follows=True)
                except (ModelError, GeometryError) as error:
                    raise DocumentError(str(error), f"boards[{i}].arrangements[{k}].placements[{n}]") from None
    pattern_parts(tuple(shown_of(design, entry) for entry in design.patterns))


def _check_board(board: BoardEntry, place: str) -> None:
    try:
        outer = outline_of(board.outline.corners)
    except GeometryError as error:
        raise DocumentError(str(error), f"{place}.outline.corners") from None
    for k, opening in enumerate(board.outline.openings):
        try:
            inner = outline_of(opening)
        except GeometryError as error:
            raise DocumentError(str(error), f"{place}.outline.openings[{k}]") from None
        if not outer.encloses(inner):
            raise DocumentError(
                "The opening reaches outside the board. Move it inside, or make it part of the outline.",
                f"{place}.outline.openings[{k}]",
            )
    _unique((a.id for a in board.arrangements), f"{place}.arrangements", "arrangement id")
    for k, arrangement in enumerate(board.arrangements):
        _check_arrangement(arrangement, f"{place}.arrangements[{k}]")


def _check_arrangement(arrangement: ArrangementEntry, place: str) -> None:
    _unique((p.id for p in arrangement.placements), f"{place}.placements", "placement id")
    _unique((p.label for p in arrangement.placements if p.label), f"{place}.placements", "label")
    _unique((s.id for s in arrangement.stations), f"{place}.stations", "station id")
    stations = {s.id for s in arrangement.stations}
    for k, placement in enumerate(arrangement.placements):
        if placement.station and placement.station not in stations:
            raise DocumentError(
                f'There is no station "{placement.station[:80]}" in this arrangement. Give one of '
                f"{', '.join(sorted(stations)) or 'none'}, or leave it empty.",
                f"{place}.placements[{k}].station",
            )
        if placement.legend is not None:
            check_legend(placement.legend, f"{place}.placements[{k}].legend")


def _unique(values: Iterable[str], place: str, what: str) -> None:
    seen: dict[str, int] = {}
    for index, value in enumerate(values):
        if value in seen:
            raise DocumentError(
                f'The {what} "{value}" is there twice (entries {seen[value] + 1} and {index + 1}). Give each its own.',
                place,
            )
        seen[value] = index
