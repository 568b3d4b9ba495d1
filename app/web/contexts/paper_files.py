"""What the paper page offers to download, and where the proof of each file is worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.web.contexts.here import Here, Option


@dataclass(frozen=True, slots=True)
class Download:
    """One file: its place on the page (``template``, ``other``, ``svg``, ``dxf``), words, address and its proof's."""

    key: str
    words: str
    url: str
    proof: str


@dataclass(frozen=True, slots=True)
class Files:
    """What to download.

    Args:
        templates: of this face, then of the other.
        drawings: for other programs: SVG, DXF.
        json: the design.
        views: the board from either face, to read.
    """

    templates: tuple[Download, ...]
    drawings: tuple[Download, ...]
    json: str
    views: tuple[Option, ...]


def files_of(here: Here, query: Mapping[str, str], paper: str) -> Files:
    """The files of a view, printed as the query asks."""
    other = here.at(face="top" if here.face == "under" else "under")
    # What one bit drills from this face, it need not drill from the other.
    whole = {**query, "only": ""}
    own, others = ("Underside", "top") if here.face == "under" else ("Top", "underside")
    return Files(
        templates=(
            Download(
                "template",
                f"{own} template, PDF",
                here.url("/template.pdf", **query),
                here.url("/proof", of="template", **query),
            ),
            Download(
                "other",
                f"The other face: {others}, PDF",
                other.url("/template.pdf", **whole),
                other.url("/proof", of="template", **whole),
            ),
        ),
        drawings=tuple(
            Download(
                fmt,
                f"Drawing for other programs, {fmt.upper()}",
                here.url(f"/drawing.{fmt}"),
                here.url("/proof", of=fmt, **query),
            )
            for fmt in ("svg", "dxf")
        ),
        json=f"/designs/{here.design}/design.json",
        views=tuple(
            Option(f"{words}, {fmt.upper()}", here.url(f"/view.{fmt}", of=of, paper=paper))
            for of, words in (("board", "Board"), ("underside", "Underside"))
            for fmt in ("svg", "pdf")
        ),
    )
