"""Outlines in the design file: corners once round, and inner openings [mm]."""

from typing import Annotated

from pydantic import Field

from app.catalogue.fields import Coordinate, Length, Record, UpTo
from app.model import limits


class CornerEntry(Record):
    """A corner of an outline [mm], set back by offsets before and after it."""

    x: Coordinate
    y: Coordinate
    setback: tuple[Length, Length] | None = None


class OutlineEntry(Record):
    """A closed outline: corners once round, and inner openings."""

    corners: Annotated[tuple[CornerEntry, ...], Field(min_length=3), UpTo(limits.CORNERS)]
    openings: Annotated[
        tuple[Annotated[tuple[CornerEntry, ...], UpTo(limits.CORNERS)], ...], UpTo(limits.OPENINGS)
    ] = ()
