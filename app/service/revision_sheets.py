"""Sheets and files of a revision from nothing but its document, so that another process can make them."""

from __future__ import annotations

from dataclasses import dataclass

from app.model.part import Face
from app.model.printing import Printing
from app.model.shop import Bit
from app.service.checking import CheckResult, Revised, checked, parsed
from app.service.proving import ProvedFile, template_file_of
from app.service.sheet_map import leaf_svg


@dataclass(frozen=True, slots=True)
class Shown:
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


def page_of(shown: Shown, face: Face, printing: Printing, only: str, number: int) -> str:
    """One page of a template, as :func:`app.service.sheet_map.leaf_svg` draws it."""
    return leaf_svg(shown.judged(), face, printing, only, number)


def template_of(shown: Shown, face: Face, printing: Printing, only: Bit | None) -> ProvedFile:
    """The template of one face, as :func:`app.service.proving.template_file_of` makes it."""
    design = parsed(shown.document).model_copy(update={"units": shown.units})
    return template_file_of(design, shown.judged(), face, printing, only)
