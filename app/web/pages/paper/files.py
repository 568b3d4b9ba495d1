"""What the paper page offers to download, and where the proof of each file is worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.service.drawings.formats import DRAWINGS, JSON, VIEWS, sheet_format
from app.service.drawings.sheet_files import TEMPLATE
from app.web.pages.paper.proof import OTHER
from app.web.shared.view_state import Option, ViewState


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
        kerfs: such drawings with a kerf that is typed.
        json: the design.
        views: the board from either face, to read.
        sections: a section through a part that is chosen, to read.
    """

    templates: tuple[Download, ...]
    drawings: tuple[Download, ...]
    kerfs: tuple[Option, ...]
    json: str
    views: tuple[Option, ...]
    sections: tuple[Option, ...]


def files_of(view: ViewState, query: Mapping[str, str], paper: str) -> Files:
    """The files of a view, printed as the query asks."""
    other = view.at(face="top" if view.face == "under" else "under")
    # What one bit drills from this face, it need not drill from the other.
    whole = {**query, "only": ""}
    own, others = ("Underside", "top") if view.face == "under" else ("Top", "underside")
    pdf, ending = sheet_format()[0], sheet_format()[0].ending
    bare = f"/designs/{view.design}"  # where a form says the rest
    return Files(
        templates=(
            Download(
                TEMPLATE,
                f"{own} template, {pdf.words}",
                view.url(f"/{TEMPLATE}{ending}", **query),
                view.url("/proof", of=TEMPLATE, **query),
            ),
            Download(
                OTHER,
                f"The other face: {others}, {pdf.words}",
                other.url(f"/{TEMPLATE}{ending}", **whole),
                other.url("/proof", of=TEMPLATE, **whole),
            ),
        ),
        drawings=tuple(
            Download(
                each.name,
                f"Drawing for other programs, {each.words}",
                view.url(f"/drawing{each.ending}"),
                view.url("/proof", of=each.name, **query),
            )
            for each in DRAWINGS
        ),
        kerfs=tuple(Option(f"{each.words} with kerf", f"{bare}/drawing{each.ending}") for each in DRAWINGS),
        json=f"{bare}/design{JSON.ending}",
        views=tuple(
            Option(f"{words}, {each.words}", view.url(f"/view{each.ending}", of=of, paper=paper))
            for of, words in (("board", "Board"), ("underside", "Underside"))
            for each in VIEWS
        ),
        sections=tuple(Option(f"Section, {each.words}", f"{bare}/view{each.ending}") for each in VIEWS),
    )
