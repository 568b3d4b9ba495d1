"""How a template is to be printed, as it is asked for in words and figures."""

from __future__ import annotations

from app.catalogue.load import paper_by_text
from app.model.printing import TRUE, PrintCorrection, Printing


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
