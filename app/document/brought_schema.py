"""What was brought from another design, in the design file: by that it is known again when it is brought once more."""

from typing import Annotated, Literal

from app.catalogue.fields import Id, Record, UpTo, Words
from app.document.published_schema import Digest
from app.model import limits


class RenamedEntry(Record):
    """A placement, or an arrangement of a board, that has another id here than where it came from."""

    was: Id
    now: Id


class BroughtEntry(Record):
    """A board, an arrangement or cut-outs that came from another design.

    Args:
        sort: what it is; ``cut-outs`` are those of one maker.
        board, arrangement, maker: where it is here; what it is not of is left out.
        source: title of the design it came from, as it was then.
        design: id of that design on its shelf; left out of one from a file.
        source_board, source_arrangement, source_maker: where it was there.
        digest: of it as it came, by which a change made here is told.
        renamed: placements that have another id here; of a board, arrangements.
    """

    sort: Literal["board", "arrangement", "cut-outs"]
    board: Id
    arrangement: Id | None = None
    maker: Id | None = None
    source: Words
    design: Id | None = None
    source_board: Id
    source_arrangement: Id | None = None
    source_maker: Id | None = None
    digest: Digest
    renamed: Annotated[tuple[RenamedEntry, ...], UpTo(limits.RENAMED)] = ()


Brought = Annotated[tuple[BroughtEntry, ...], UpTo(limits.BROUGHT)]
