"""What was drilled, in the design file: a row for each cut and work, so that plan and board can be told apart.

A grille has thousands of rows, so what is usual is left out of them, and each is one line.
"""

from typing import Annotated, Literal

from pydantic import StringConstraints

from app.catalogue.fields import Between, Coordinate, Flag, Id, Record, UpTo, Words
from app.model import limits

CutName = Annotated[str, StringConstraints(pattern=r"^(hole|screw|pocket)-[0-9]{1,5}$")]
Moment = Annotated[str, StringConstraints(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$")]
Off = Annotated[float, Between(-limits.FARTHEST_OFF, limits.FARTHEST_OFF)]
Wide = Annotated[float, Between(0, limits.CUT.most, above=True)]


class MarkEntry(Record):
    """What was done to one cut of a placement [mm].

    Args:
        placement: id of the placement, which may be gone by now.
        cut: ``hole-1`` is its first cut-out, or the hole of a pattern with that number; ``screw-1`` the pilot of its
            first screw; ``pocket-1`` what is bored or routed from below.
        work: what was done.
        under: whether the underside was up; the top face if left out.
        at: where it should have been, from the left and the front datum edge.
        off: how far it came out to the right and to the back of there, as the builder saw that face.
        width: how wide it should have been.
        measured: how wide it is, where somebody measured.
        depth: how deep it should have been; right through if left out.
        spoilt: whether it is no use as it is.
        name: what it was called.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
        within: how far it may be from there, where its place was worked out: from its distances to two other holes, or
            from a photograph.
        by: what measured it, where that was no rule and no calliper.
    """

    placement: Id
    cut: CutName
    work: Literal["pilot", "counterbore", "recess", "screw pilot", "halfway", "through", "opening"]
    under: Flag | None = None
    at: tuple[Coordinate, Coordinate]
    off: tuple[Off, Off] | None = None
    width: Wide
    measured: Annotated[float, Between(0, limits.WIDEST_MEASURED, above=True)] | None = None
    depth: Annotated[float, Between(0, 1000, above=True)] | None = None
    spoilt: Flag | None = None
    name: Words = ""
    when: Moment | None = None
    within: Annotated[float, Between(0, limits.LEAST_SURE)] | None = None
    by: Literal["photograph"] | None = None


Marks = Annotated[tuple[MarkEntry, ...], UpTo(limits.MARKS)]
