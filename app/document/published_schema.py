"""Published revisions, in the design file: their letters, when they came out, and what changed."""

from typing import Annotated

from pydantic import StringConstraints

from app.catalogue.fields import Notes, Record, UpTo
from app.model import limits

Letter = Annotated[str, StringConstraints(pattern=r"^[A-Z]{1,3}$")]
Day = Annotated[str, StringConstraints(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]
Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{32}$")]
ChangeLine = Annotated[str, StringConstraints(min_length=1, pattern=r"^[^\x00-\x1f\x7f]*$"), UpTo(limits.CHANGE_LINE)]


class PublishedEntry(Record):
    """A revision that was published.

    Args:
        letter: ``A``, ``B`` and so on, never given twice.
        date: the day it came out.
        note: of the plan maker.
        changes: what changed since the one before, a sentence each.
        digest: of the plan as it was then, by which a file tells whether it is still that revision.
    """

    letter: Letter
    date: Day
    note: Notes = ""
    changes: Annotated[tuple[ChangeLine, ...], UpTo(limits.CHANGE_LINES)] = ()
    digest: Digest


Published = Annotated[tuple[PublishedEntry, ...], UpTo(limits.REVISIONS)]
