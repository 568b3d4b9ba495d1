"""How sheets are printed: on which paper, with which margins, and what the printer's scale is corrected by."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from app.errors import PaperError
from app.model.plotting import Plotting
from app.model.tooling import Paper


class PrintCorrection(Struct, frozen=True):
    """What a page is drawn larger by, so that it comes out true on one printer.

    The axes are those of the paper held upright: printers feed sheets along one of the paper's sides, so the
    factor belongs to the paper, not to the drawing, and changes places on a sheet that is printed lying.

    Args:
        x: factor along the shorter side; 100 mm measured as 99.6 mm needs 100 / 99.6.
        y: factor along the longer side.
        printer: name the builder gave the printer; empty for none.
    """

    x: float = 1.0
    y: float = 1.0
    printer: str = ""

    def __post_init__(self) -> None:
        for axis, factor in (("x", self.x), ("y", self.y)):
            if not 0.97 <= factor <= 1.031:  # 1 / 0.97 is 1.0309
                raise PaperError(
                    f"A printer's correction along {axis} of {factor:.4f} is outside 0.97 to 1.03: an error "
                    "that large is a wrong setting in the print dialog. Print at actual size, and measure "
                    "the check sheet again."
                )

    @property
    def none(self) -> bool:
        """Whether nothing is corrected."""
        return self.x == 1.0 and self.y == 1.0

    def on(self, *, lying: bool) -> tuple[float, float]:
        """Factors along the page's width and height, as it is read."""
        return (self.y, self.x) if lying else (self.x, self.y)


TRUE = PrintCorrection()
"""A printer that prints true."""


Counted = Literal["one", "arrangements", "boards"]
"""What a parts list is counted for: one arrangement of a board, all of them together, or every board of the design."""


class Printing(Struct, frozen=True):
    """How sheets are printed.

    Args:
        paper: the paper.
        margin: edge of the paper left free [mm]; None for the usual one, or the least where that saves a sheet.
        overlap: least overlap of two sheets [mm]; None for the usual one.
        correction: of the printer's scale.
        stops: how many findings say that the board cannot be built as drawn: the head of every sheet says so.
        plotting: how curves are plotted on the sheets that mark out an outline; None for the usual way.
        counted: what a parts list is counted for.
        alone: whether sheets of the whole design are of the board in view alone.
    """

    paper: Paper
    margin: float | None = None
    overlap: float | None = None
    correction: PrintCorrection = TRUE
    stops: int = 0
    plotting: Plotting | None = None
    counted: Counted = "one"
    alone: bool = False

    @classmethod
    def of(cls, asked: Paper | Printing) -> Printing:
        """The usual way to print on a paper, or the way asked for."""
        return cls(asked) if isinstance(asked, Paper) else asked
