"""What the paper page offers to download, and where the proof of each file is worked out."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.service.drawings.formats import DRAWINGS, JSON, VIEWS, sheet_format
from app.service.drawings.sheet_files import ALL_TEMPLATES, TEMPLATE
from app.web.pages.paper.proof import OTHER
from app.web.shared.view_state import Option, ViewState


class Download(Struct, frozen=True):
    """One file: its place on the page (``template``, ``other``, ``svg``, ``dxf``), words, address and its proof's."""

    key: str
    words: str
    url: str
    proof: str


class Files(Struct, frozen=True):
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


def files_of(view: ViewState, query: Mapping[str, str], paper: str, of: str = "") -> Files:
    """The files of a view, printed as the query asks; ``of`` all boards, if that says so."""
    bare = f"/designs/{view.design}"  # where a form says the rest
    return Files(
        templates=_all_boards(view, query) if of == ALL_TEMPLATES else _templates(view, query),
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


def _templates(view: ViewState, query: Mapping[str, str]) -> tuple[Download, Download]:
    """Of this face, then of the other."""
    # What one bit drills from this face, it need not drill from the other.
    other, whole = _turned(view), {**query, "only": ""}
    own, others = ("Underside", "top") if view.face == "under" else ("Top", "underside")
    pdf = sheet_format()[0].words
    return (
        _sheets(TEMPLATE, TEMPLATE, f"{own} template, {pdf}", view, query),
        _sheets(OTHER, TEMPLATE, f"The other face: {others}, {pdf}", other, whole),
    )


def _all_boards(view: ViewState, query: Mapping[str, str]) -> tuple[Download, Download]:
    """The same of all boards."""
    own, others = ("underside", "top") if view.face == "under" else ("top", "underside")
    pdf = sheet_format()[0].words
    return (
        _sheets(ALL_TEMPLATES, ALL_TEMPLATES, f"All boards, {own}, {pdf}", view, query),
        _sheets(OTHER, ALL_TEMPLATES, f"The other face: {others}, {pdf}", _turned(view), query),
    )


def _sheets(key: str, kind: str, words: str, view: ViewState, query: Mapping[str, str]) -> Download:
    url = view.url(f"/{kind}{sheet_format()[0].ending}", **query)
    return Download(key, words, url, view.url("/proof", of=kind, **query))


def _turned(view: ViewState) -> ViewState:
    return view.at(face="top" if view.face == "under" else "under")
