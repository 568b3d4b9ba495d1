"""What was really done to a board: each cut by a key that stays, where it came out and how wide.

A key is a placement, and which of its cut-outs, screws or pockets: it stays the same however a design is moved about,
relettered or laid out anew. A mark keeps where its cut should have been when it was made, so that it can be found on
the board when its placement is gone, or stands elsewhere by now.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final, Literal

from msgspec import Struct
from propcache.api import cached_property

from app.geometry.shapes import Point
from app.model.part import Face

Sort = Literal["hole", "screw", "pocket"]
Work = Literal["pilot", "counterbore", "recess", "screw pilot", "halfway", "through", "opening"]
MeasuredBy = Literal["", "photograph"]

SORTS: Final[tuple[Sort, ...]] = ("hole", "screw", "pocket")
WORKS: Final[tuple[Work, ...]] = (
    "pilot", "counterbore", "recess", "screw pilot", "halfway", "through", "opening",
)  # fmt: skip
"""Works in the order in which they are done to one centre."""


class CutKey(Struct, frozen=True, order=True):
    """One cut of a board, whatever is done to it.

    Args:
        placement: id of its placement.
        sort: a cut-out of its part, a screw's pilot, or the pocket below it: a counterbore or recess.
        number: of the cut-out or screw, from 1, of a pattern the number of its hole; 1 of a pocket.
    """

    placement: str
    sort: Sort
    number: int = 1

    @property
    def cut(self) -> str:
        """Which cut of its placement, as ``hole-1``."""
        return f"{self.sort}-{self.number}"


class Mark(Struct, frozen=True):
    """That something was done to a cut.

    Args:
        key: which cut.
        work: what was done.
        face: the face that was up.
        at: where it should have been then [mm].
        off: how far from there it came out, on the board as it is drawn from above [mm].
        width: as wide as it should have been then: the bit's width, of an opening or recess its smaller side [mm].
        measured: as wide as it was measured [mm]; None if nobody has.
        depth: how deep it should have been [mm]; None right through.
        spoilt: whether it is no use as it is.
        name: what it was called then, as ``A`` or ``S1-14``.
        when: date and time, as the caller gave it; empty if it gave none.
        within: how far it may be from there at most, where it was worked out, from distances or a photograph [mm]; None
            elsewhere.
        by: ``photograph`` where one tells of it; empty where a rule or a calliper does.
    """

    key: CutKey
    work: Work
    face: Face
    at: Point
    off: Point
    width: float
    measured: float | None = None
    depth: float | None = None
    spoilt: bool = False
    name: str = ""
    when: str = ""
    within: float | None = None
    by: MeasuredBy = ""

    @property
    def centre(self) -> Point:
        """Where it really is [mm]."""
        return (self.at[0] + self.off[0], self.at[1] + self.off[1])

    @property
    def diameter(self) -> float:
        """How wide it really is, as far as anybody knows [mm]."""
        return self.width if self.measured is None else self.measured

    @property
    def distance(self) -> float:
        """How far it came out from where it should have been [mm]."""
        return math.hypot(*self.off)

    @property
    def is_true(self) -> bool:
        """Whether it is where, and as wide as, it should have been, as far as anybody has measured."""
        return not self.spoilt and self.off == (0.0, 0.0) and self.measured is None


class AsBuilt(Struct, frozen=True, dict=True):
    """Everything that was done to a board in one arrangement.

    Args:
        marks: what was done, in the order it was marked; no cut twice with the same work.
    """

    marks: tuple[Mark, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.marks)

    @cached_property
    def _by_key(self) -> dict[tuple[CutKey, Work], Mark]:
        return {(mark.key, mark.work): mark for mark in self.marks}

    def of(self, key: CutKey, work: Work) -> Mark | None:
        """What was done of a work to a cut; None if nothing was."""
        return self._by_key.get((key, work))

    def is_drilled(self, key: CutKey) -> bool:
        """Whether a cut is finished: through, sawn, bored or piloted for its screw, and not spoilt."""
        last = self.latest(key)
        return last is not None and last.work not in ("pilot", "halfway") and not last.spoilt

    def latest(self, key: CutKey) -> Mark | None:
        """What was done to a cut last, in the order of work: what tells where it is by now."""
        return self._latest.get(key)

    @cached_property
    def _latest(self) -> dict[CutKey, Mark]:
        found: dict[CutKey, Mark] = {}
        for mark in sorted(self.marks, key=lambda m: WORKS.index(m.work)):
            found[mark.key] = mark
        return found

    @cached_property
    def placements(self) -> frozenset[str]:
        """Ids of placements of which something is in the board already."""
        return frozenset(mark.key.placement for mark in self.marks)

    def within(self, placements: Iterable[str]) -> Iterator[Mark]:
        """The latest mark of each cut of some placements."""
        wanted = frozenset(placements)
        return (mark for key, mark in self._latest.items() if key.placement in wanted)

    def without(self, placements: Iterable[str]) -> tuple[Mark, ...]:
        """The latest mark of each cut whose placement is none of these: in the board, and no more in the design."""
        known = frozenset(placements)
        return tuple(mark for key, mark in self._latest.items() if key.placement not in known)


NOTHING_BUILT: Final = AsBuilt()
