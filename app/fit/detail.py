"""What a finding tells besides its figures: a kind of value for each rule, on the few that they have in common.

What knows no rule by name asks for no more than is said here; all else only the rule's own words and changes read.
"""

from __future__ import annotations

from msgspec import Struct

from app.geometry.shapes import Point
from app.model.resolved import Recess
from app.model.tooling import Bit


class Detail(Struct, frozen=True, kw_only=True):
    """What every finding has.

    Args:
        cause: what is wrong, where a rule finds several features or one that is shared by all placements of a part.
        edge: the edge it is at: a name of one, ``corner`` or ``opening``; empty where it is at none.
        toward: the way the first subject moves to clear it, a unit vector; None where no move does.
        own: whether it is about two features of one part, which no move takes apart.
    """

    cause: str = ""
    edge: str = ""
    toward: Point | None = None
    own: bool = False

    @property
    def mark(self) -> str:
        """What tells findings of one rule about the same subjects apart; empty where there is only one."""
        return self.cause

    @property
    def things(self) -> tuple[str, ...]:
        """The kinds of features it is about, in the order of the subjects."""
        return ()

    @property
    def gain(self) -> float:
        """How much of what is lacking a move of 1 mm along ``toward`` makes good [mm]."""
        return 1.0

    @property
    def bore(self) -> Proposal | None:
        """The counterbore that is asked for; None where none is thought of."""
        return None

    @property
    def recess(self) -> Recess | None:
        """The recess that is asked for, 0 mm deep for none at all; None where none is thought of."""
        return None


class ThingDetail(Detail, frozen=True, kw_only=True):
    """About one feature of a placement.

    Args:
        what: its kind, as a finding calls it.
    """

    what: str

    @property
    def things(self) -> tuple[str, ...]:
        """Its kind."""
        return (self.what,)


class PairDetail(Detail, frozen=True, kw_only=True):
    """About two features.

    Args:
        what, other: their kinds, in the order of the subjects.
    """

    what: str
    other: str

    @property
    def things(self) -> tuple[str, ...]:
        """Their kinds."""
        return (self.what, self.other)


class Proposal(Struct, frozen=True):
    """A counterbore with which a part holds.

    Args:
        depth: [mm]; None if no depth lets the part hold and leaves ledge enough.
        width: least diameter [mm].
        bit: the shop's smallest flat-bottomed bit that wide; None if it has none.
        ledge: what stays of the board [mm].
    """

    depth: float | None
    width: float
    bit: Bit | None
    ledge: float


class BoreDetail(Detail, frozen=True, kw_only=True):
    """About what a counterbore holds or leaves: its ledge, its width, or that one is needed.

    Args:
        wanted_bore: the counterbore with which the part holds; None where none is thought of.
        made_depth: depth of the one that is there [mm]; 0 where there is none.
        layer: name of the material that asks for more ledge; empty if nothing is left of the board.
        nut: width of the nut that goes into it [mm]; 0 where clips do.
    """

    wanted_bore: Proposal | None = None
    made_depth: float = 0.0
    layer: str = ""
    nut: float = 0.0

    @property
    def bore(self) -> Proposal | None:
        """The counterbore with which the part holds."""
        return self.wanted_bore


class RecessDetail(Detail, frozen=True, kw_only=True):
    """About what is routed or should be routed from below.

    Args:
        wanted_recess: the recess that would do, 0 mm deep if none is needed; None where none is thought of.
        made_depth: depth of the one that is there [mm]; 0 where there is none.
    """

    wanted_recess: Recess | None = None
    made_depth: float = 0.0

    @property
    def recess(self) -> Recess | None:
        """The recess that would do."""
        return self.wanted_recess


class BitDetail(Detail, frozen=True, kw_only=True):
    """About the bit for a hole, a counterbore or the corners of a recess.

    Args:
        nominal: width that is asked for [mm].
        smallest, largest: what it may be [mm]; None where only the nominal will do.
        paint: what paint takes of a hole, both sides together [mm].
        depth: how deep the bit has to reach [mm]; 0 where that is not asked.
        kind: of the bit that comes nearest, or is too short; empty where the shop has none.
        short: whether it is its reach that is wrong.
    """

    nominal: float
    smallest: float | None = None
    largest: float | None = None
    paint: float = 0.0
    depth: float = 0.0
    kind: str = ""
    short: bool = False

    @property
    def cut(self) -> str:
        """What the bit is for: ``hole``, ``counterbore``, ``recess`` or ``painted``."""
        return self.cause.partition(" ")[0]
