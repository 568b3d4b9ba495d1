"""The boards of a design as a list: each with its size, and a small picture that is known by what is drawn."""

from __future__ import annotations

from hashlib import sha256
from typing import Final

from msgspec import Struct

from app.document.outlines import outline_of
from app.document.schema import BoardEntry, Design
from app.drafting.words import exact
from app.errors import HolewiseError
from app.model.limits import BOARDS
from app.service.background.budget import apart
from app.service.background.memory import Memory
from app.service.checks.checking import Revised, parsed
from app.service.checks.long_designs import is_long
from app.units import Unit


class BoardLine(Struct, frozen=True):
    """A board.

    Args:
        id: of it.
        name: what it is called.
        size: as it lies, width × depth, in words.
        mark: changes with what its picture shows.
        deck: whether hands rest on it.
        arrangements: how many it has.
    """

    id: str
    name: str
    size: str
    mark: str
    deck: bool
    arrangements: int


def board_lines(document: Revised | None, design: Design, unit: Unit) -> tuple[BoardLine, ...]:
    """Every board, in the order of the document; worked out once for a revision.

    Args:
        document: the revision; None for a design that was not stored.
        design: what it holds.
        unit: of the sizes.
    """

    def make() -> tuple[BoardLine, ...]:
        return tuple(_line(design, board, unit) for board in design.boards)

    if document is None:
        return make()
    return _LINES.once((document.revision, len(document.text), unit), make, lambda lines: 400 * len(lines))


_LINES: Final[Memory[tuple[BoardLine, ...]]] = Memory(2_000_000)
_PICTURES: Final[Memory[str]] = Memory(8_000_000)


def board_picture(document: Revised, board: str) -> str:
    """A small true drawing of a board with its first arrangement, as a file.

    Raises:
        NotFoundError: there is no such board.
        DocumentError: it cannot be laid out.
    """
    lines = board_lines(document, parsed(document), Unit.MM)
    mark = next((line.mark for line in lines if line.id == board), board)
    if (known := _PICTURES.get(mark)) is not None:
        return known
    drawn = apart(is_long(document.text), _drawn, document, board)
    _PICTURES.put(mark, drawn, len(drawn))
    return drawn


def full_words(design: Design) -> str:
    """Why no further board can be added; empty if one can."""
    if len(design.boards) < BOARDS.most:
        return ""
    return f"A design has up to {BOARDS.most} boards. Delete one before you add another."


def blank_words(design: Design) -> str:
    """What a blank board would be, in a sentence or two."""
    from app.arrange.design.boards import has_deck  # the shelf is there before what arranges

    if has_deck(design):
        return "Of the deck’s material; change it on the board’s own page."
    return "This design has no deck, so it becomes the deck. Of the first board’s material; change it on its own page."


def _drawn(document: Revised, board: str) -> str:
    from app.catalogue.load import catalogue
    from app.document.resolve import resolve
    from app.service.drawings.drawings import thumbnail_svg

    return thumbnail_svg(resolve(parsed(document), board, None, catalogue()))


def _line(design: Design, board: BoardEntry, unit: Unit) -> BoardLine:
    return BoardLine(
        id=board.id,
        name=board.name or board.id,
        size=_size(board, unit),
        mark=_mark(design, board),
        deck=board.role == "deck",
        arrangements=len(board.arrangements),
    )


def _size(board: BoardEntry, unit: Unit) -> str:
    try:
        x0, y0, x1, y1 = outline_of(board.outline.corners).bounds
    except HolewiseError:  # whoever looks at that board is told
        return ""
    wide, deep = (exact(side, unit) for side in (x1 - x0, y1 - y0))
    return f"{wide.removesuffix(' mm')} × {deep}"


def _mark(design: Design, board: BoardEntry) -> str:
    """Short for everything that is drawn of a board: alike for two revisions in which it looks alike."""
    first = board.model_copy(update={"arrangements": board.arrangements[:1], "gone": None})
    placed = {p.part for p in first.arrangements[0].placements}
    own = [p.model_dump_json() for p in design.hardware if p.id in placed]
    own += [p.model_dump_json() for p in design.patterns if p.id in placed]
    drawn = "\n".join((first.model_dump_json(), design.shop.model_dump_json(), *own))
    return sha256(drawn.encode("utf-8")).hexdigest()[:16]
