"""What the lists for the bench keep in the design file: rates of work, and columns of the builder's own."""

from typing import Annotated

from pydantic import StringConstraints

from app.catalogue.fields import Between, Id, Record, UpTo
from app.model import limits

_LINE = r"^[^\x00-\x1f\x7f]*$"

Rate = Annotated[float, Between(0, 36_000)]
"""How long one thing takes [s]: ten hours at most."""

LineKey = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9._-]{0,99}$")]
"""What names a line of the parts list, as ``part.button-28-nut-long``: its sort, and what it is."""


class RatesEntry(Record):
    """How long work takes the builder at the drill [s]; what is left out is as usual."""

    hole: Rate | None = None
    counterbore: Rate | None = None
    change: Rate | None = None
    turning: Rate | None = None


class CellEntry(Record):
    """What the builder wrote beside one line of the parts list."""

    line: LineKey
    text: Annotated[str, StringConstraints(min_length=1, pattern=_LINE), UpTo(limits.OWN_CELL)]


class ColumnEntry(Record):
    """A column of the builder's own on the parts list, as a price or where a thing is kept.

    Args:
        id: by which it is known, though it be renamed.
        name: at its head.
        cells: what stands in it, for each line at most once.
    """

    id: Id
    name: Annotated[str, StringConstraints(min_length=1, pattern=_LINE), UpTo(limits.COLUMN_NAME)]
    cells: Annotated[tuple[CellEntry, ...], UpTo(limits.OWN_CELLS)] = ()
