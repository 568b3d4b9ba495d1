"""What may be advised about a finding: changes that were tried, as they are said."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.changes.manual_changes import Change
from app.model.fix import BuyBit, CounterboreAt, Fix, LegendTo, MoveBy, RecessAt, Rewire, SwapPart
from app.model.resolved import ResolvedBoard
from app.units import Unit

Maker = Callable[[Unit, float], Iterable[Change]]
"""Changes to try in a unit, with figures on a step of so many mm, the best first."""

Single = MoveBy | CounterboreAt | RecessAt | BuyBit | SwapPart | LegendTo | Rewire
"""A change that a machine can make in one step."""


class Way(Struct, frozen=True):
    """A change that clears a finding and makes nothing worse, as it is said in each unit."""

    in_mm: Change
    in_inch: Change

    def said(self, unit: Unit) -> Change:
        """With the figures of that unit."""
        return self.in_inch if unit is Unit.INCH else self.in_mm

    def made(self, unit: Unit) -> Fix | None:
        """The same where a machine can make it."""
        change = self.said(unit)
        return change if isinstance(change, Fix) else None


class Refused(Struct, frozen=True):
    """A change that one would think of, and what speaks against it.

    Args:
        change: the change.
        harm: the worst it would newly make wrong, in a few words.
        crowds: whether that is something too near, so that making room first helps.
    """

    change: Change
    harm: str
    crowds: bool


class Advice(Struct, frozen=True, eq=False, dict=True):
    """What may be said about a finding.

    Args:
        board: the board it was found on.
        catalogue: whose parts have names.
        tried: whether anything was tried; if not, nothing may be promised.
        ways: changes that clear it.
        refused: what one would think of and must not be done; None where there is none.
    """

    board: ResolvedBoard
    catalogue: Catalogue
    tried: bool = False
    ways: tuple[Way, ...] = ()
    refused: Refused | None = None
