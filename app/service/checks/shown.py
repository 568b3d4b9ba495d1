"""A board as it is shown, from nothing but its document, so that another process can work on it."""

from __future__ import annotations

from msgspec import Struct

from app.document.schema import Design
from app.service.checks.checking import CheckResult, Revised, checked, parsed


class Shown(Struct, frozen=True):
    """A board as it is shown, small enough to be sent to another process.

    Args:
        document: of the revision.
        board, arrangement: ids.
        units: those it is shown in.
    """

    document: Revised
    board: str
    arrangement: str
    units: str

    @classmethod
    def of(cls, seen: CheckResult) -> Shown:
        """What a judged board of a revision was made from.

        Raises:
            ValueError: it was not made from a revision.
        """
        if seen.document is None:
            raise ValueError("a board of no revision")
        return cls(seen.document, seen.board, seen.arrangement, seen.resolved.units)

    def judged(self) -> CheckResult:
        """The board, judged; remembered as long as there is room."""
        return checked(self.document, self.board, self.arrangement, self.units)

    def design(self) -> Design:
        """The design, in the units it is shown in."""
        return parsed(self.document).model_copy(update={"units": self.units})
