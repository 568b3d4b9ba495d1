"""How a template is to be printed, as it is asked for in words and figures."""

from __future__ import annotations

from app.catalogue.load import paper_by_text
from app.model.printing import TRUE, PrintCorrection, Printing
from app.service.drawings.printers import PrintRequest, counted_asked, plotting_asked
from app.units import Unit
from app.values import replace


def printing_for(
    paper: str, margin: float | None = None, overlap: float | None = None, factors: tuple[float, float] | None = None
) -> Printing:
    """How to print.

    Args:
        paper: ``a4``, ``letter``, … or sides as ``594x841``.
        margin: edge that the printer leaves free [mm]; None for the usual.
        overlap: least overlap of two sheets [mm]; likewise.
        factors: what a page is enlarged by, along the short and the long side of the paper; None for not at all.

    Raises:
        PaperError: no such paper, or no such correction.
    """
    return Printing(paper_by_text(paper), margin, overlap, PrintCorrection(*factors) if factors else TRUE)


def plotted(printing: Printing, unit: str, spacing: str = "", reading: str = "") -> Printing:
    """The same with what the builder's rule reads, and how far apart ordinates of curves are, as they are typed.

    Args:
        printing: how it is printed.
        unit: of the design, ``mm`` or ``inch``.
        spacing: of ordinates; empty for the usual.
        reading: what the rule is divided in, as ``1/32``; empty for the usual.

    Raises:
        LengthError: one of them is no length, or none that can be.
    """
    return replace(printing, plotting=plotting_asked(PrintRequest(spacing=spacing, reading=reading), Unit(unit)))


def counted_for(printing: Printing, counted: str) -> Printing:
    """The same with what a parts list is counted for: ``one``, ``arrangements`` or ``boards``; empty for one.

    Raises:
        PaperError: it is never counted so.
    """
    return replace(printing, counted=counted_asked(counted))
