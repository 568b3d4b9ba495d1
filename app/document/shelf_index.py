"""The index of a whole shelf in one file: which designs, their labels, and their published revisions."""

import json
from typing import Annotated, Literal

from pydantic import Field, StringConstraints, ValidationError

from app.catalogue.fields import Flag, Record
from app.document.load import parsed_file
from app.document.published_schema import Letter
from app.errors import DocumentError, VersionError

FORMAT = "holewise-shelf"
VERSION = 1

MOST_DESIGNS = 5000
"""Designs in one file: a club's shelf after some years."""

ShelfId = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{6,32}$")]
FileName = Annotated[str, StringConstraints(pattern=r"^designs/[a-z0-9-]{1,120}(/revision-[A-Z]{1,3})?\.json$")]
Moment = Annotated[str, StringConstraints(pattern=r"^[0-9T:.+-]{19,40}$")]


class RevisionFile(Record):
    """A published revision: its letter, and the file that has the design as it was then."""

    letter: Letter
    file: FileName


class ShelvedFile(Record):
    """A design.

    Args:
        id: of it on its shelf.
        title: of it.
        file: that has it.
        labels: of it.
        created, modified: when it was made and changed last; left out where that is not known.
        away: whether it was put away.
        revisions: published, in their order.
    """

    id: ShelfId
    title: str
    file: FileName
    labels: Annotated[tuple[str, ...], Field(max_length=12)] = ()
    created: Moment | None = None
    modified: Moment | None = None
    away: Flag = False
    revisions: Annotated[tuple[RevisionFile, ...], Field(max_length=500)] = ()


class ShelfIndex(Record):
    """Every design of a shelf; ``left_out`` are titles of those that could not be read."""

    format: Literal["holewise-shelf"] = "holewise-shelf"
    version: Literal[1] = 1
    designs: Annotated[tuple[ShelvedFile, ...], Field(max_length=MOST_DESIGNS)] = ()
    left_out: tuple[str, ...] = ()


def write_index(index: ShelfIndex) -> bytes:
    """An index as JSON; the same gives the same bytes."""
    return (json.dumps(index.model_dump(mode="json", exclude_none=True), indent=1, ensure_ascii=False) + "\n").encode()


def read_index(data: bytes) -> ShelfIndex:
    """The index in a file.

    Raises:
        DocumentError: it is none, or damaged.
        VersionError: a newer Holewise wrote it.
    """
    raw = parsed_file(data)
    if not isinstance(raw, dict) or raw.get("format") != FORMAT:
        raise DocumentError("Its index is not that of a shelf. Choose a file that Holewise saved.")
    version = raw.get("version")
    if isinstance(version, int) and version > VERSION:
        raise VersionError(
            f"This shelf was saved by a newer Holewise: its version is {version}, and this one reads up to {VERSION}. "
            "Update Holewise, then open it again; the file is unchanged."
        )
    try:
        return ShelfIndex.model_validate(raw)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        place = ".".join(map(str, first["loc"]))
        raise DocumentError(
            f"The index of the shelf is damaged: {first['msg']}. Choose a file that Holewise saved.", place
        ) from None
