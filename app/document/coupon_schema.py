"""What came of trial cuts in scrap, in the design file: a row for each bit and part."""

from typing import Annotated, Literal

from app.catalogue.fields import Between, Id, Record, UpTo, Words
from app.document.as_built_schema import Moment
from app.model import limits

Kind = Literal["twist", "brad-point", "spade", "forstner", "hole-saw", "step", "router"]


class TrialEntry(Record):
    """A trial cut, and what came of it [mm].

    Args:
        sort: what was cut, or joined.
        part: id of the hardware that was tried in it; left out of a joint.
        kind: of the bit that made it; left out where none was listed.
        diameter: of that bit as it is sold, or as wide as the cut was to be without one.
        fit: how the part went in; left out where nobody said.
        measured: how wide it came out, where somebody measured.
        material: what it was cut in, in words.
        when: date and time in UTC, as ``2026-02-01T10:30:00Z``.
    """

    sort: Literal["hole", "counterbore", "recess", "screw pilot", "rail joint"]
    part: Id | None = None
    kind: Kind | None = None
    diameter: Annotated[float, Between(0, limits.WIDEST_MEASURED, above=True)]
    fit: Literal["tight", "right", "loose"] | None = None
    measured: Annotated[float, Between(0, limits.WIDEST_MEASURED, above=True)] | None = None
    material: Words = ""
    when: Moment | None = None


Trials = Annotated[tuple[TrialEntry, ...], UpTo(limits.TRIALS)]
