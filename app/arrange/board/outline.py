"""The outline of a board exchanged for another; the parts keep their places from the datum edges."""

from __future__ import annotations

from collections.abc import Sequence

from app.arrange.change import Edit, shown, with_board, words
from app.document.resolve import find_board
from app.document.schema import CornerEntry, Design, OutlineEntry
from app.errors import EditError, GeometryError
from app.geometry.outline import Corner, Outline, first_meeting
from app.model.limits import WORDS


def take_outline(
    design: Design,
    board_id: str | None,
    corners: Sequence[Corner],
    openings: Sequence[Sequence[Corner]],
    source: str = "",
) -> Edit:
    """Give a board another outline.

    Args:
        design: the design.
        board_id: the board; None for the deck.
        corners: once round [mm].
        openings: inner openings [mm].
        source: where it comes from, for the undo list, as the name of a file.

    Raises:
        NotFoundError: no such board.
        EditError: no board can have such an outline.
    """
    board = find_board(design, board_id)
    try:
        outline = Outline(tuple(corners))
        inner = [Outline(tuple(opening)) for opening in openings]
    except GeometryError as error:
        raise EditError(str(error), "outline") from error
    for index, opening in enumerate(inner, 1):
        if not outline.encloses(opening):
            raise EditError(f"Opening {index} is not wholly inside the outline. Leave it out.", "outline")
    if (pair := first_meeting(inner)) is not None:
        said = f"Openings {pair[0] + 1} and {pair[1] + 1} touch or overlap. Leave one out."
        raise EditError(said, "outline")
    entry = OutlineEntry(corners=_entries(outline), openings=tuple(_entries(opening) for opening in inner))
    x0, y0, x1, y1 = outline.bounds
    size = f"{shown(x1 - x0, design.units)} × {shown(y1 - y0, design.units)}"
    plain = words(source, "The file's name", "file", WORDS.most)
    said = f" from {plain[:60]}" if plain else ""
    new = with_board(design, board.model_copy(update={"outline": entry}))
    return Edit(new, f"Imported the outline of {board.name or board.id}{said}: {size}")


def _entries(outline: Outline) -> tuple[CornerEntry, ...]:
    return tuple(CornerEntry(x=c.x, y=c.y, setback=c.setback) for c in outline.corners)
