"""The formats of files: for each, in one place, what writes it, what reads it back, its media type and its ending."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Final, TypeVar

from msgspec import Struct

from app.errors import WriterError

if TYPE_CHECKING:
    from app.proof import DrawingReader
    from app.scene.primitives import Scene
    from app.scene.table import Table


Pages = Callable[["Iterable[Scene]", str, str], bytes]
"""Writes pages of paper, with a title and a subject."""

Tables = Callable[["Sequence[Table]"], bytes]
"""Writes the tables of a list, the first of them the list itself."""


class Drawing(Struct, frozen=True):
    """How drawings at true size are written for other programs and machines.

    Args:
        write: a scene with layers to the bytes of a file.
        reader: gives what reads such a file back.
    """

    write: Callable[[Scene], bytes]
    reader: Callable[[], DrawingReader]


class ViewFormat(Struct, frozen=True):
    """How drawings to look at are written.

    Args:
        write: a scene, with a title, to the bytes of a file.
        on_paper: whether the scene has to be a page of paper.
    """

    write: Callable[[Scene, str], bytes]
    on_paper: bool


class Format(Struct, frozen=True):
    """A format of files.

    Args:
        name: in addresses and on the command line, and the ending of its files, as ``svg``.
        media: its media type.
        drawing: how drawings at true size are written and read back; None where it is not for these.
        view: how drawings to look at are written; None where it is not for these.
        pages: writes sheets of paper; None where it has no pages.
        tables: writes the tables of a list; None where it is not for these.
    """

    name: str
    media: str
    drawing: Drawing | None = None
    view: ViewFormat | None = None
    pages: Pages | None = None
    tables: Tables | None = None

    @property
    def words(self) -> str:
        """What a builder calls it, as ``SVG``."""
        return self.name.upper()

    @property
    def ending(self) -> str:
        """What the names of its files end with, as ``.svg``."""
        return f".{self.name}"

    def __reduce__(self) -> tuple[Callable[[str], Format], tuple[str]]:
        """It travels between processes by its name."""
        return format_named, (self.name,)


# Writers and readers are imported when they are first used: the first page knows formats and writes none.


def _svg_drawing(scene: Scene) -> bytes:
    from app.drafting.export.drawing import in_layers
    from app.writers import svg

    return svg.write(in_layers(scene)).encode("utf-8")


def _svg_view(scene: Scene, _: str) -> bytes:
    from app.writers import svg

    return svg.write(scene).encode("utf-8")  # the scene's own title is in it


def _svg_reader() -> DrawingReader:
    from app.proof import SVG_READER

    return SVG_READER


def _dxf_drawing(scene: Scene) -> bytes:
    from app.writers import dxf

    return dxf.write(scene)


def _dxf_reader() -> DrawingReader:
    from app.proof import DXF_READER

    return DXF_READER


def _pdf_view(scene: Scene, title: str) -> bytes:
    return _pdf_pages((scene,), title, "")


def _pdf_pages(pages: Iterable[Scene], title: str, subject: str) -> bytes:
    from app.writers import pdf

    return pdf.write(tuple(pages), title=title, subject=subject)


def _csv_table(tables: Sequence[Table]) -> bytes:
    from app.writers import table_csv

    return table_csv.write(tables[0])


def _json_tables(tables: Sequence[Table]) -> bytes:
    from app.writers import table_json

    return table_json.write(tables)


SVG: Final = Format("svg", "image/svg+xml", Drawing(_svg_drawing, _svg_reader), ViewFormat(_svg_view, on_paper=False))
DXF: Final = Format("dxf", "image/vnd.dxf", Drawing(_dxf_drawing, _dxf_reader))
PDF: Final = Format("pdf", "application/pdf", view=ViewFormat(_pdf_view, on_paper=True), pages=_pdf_pages)
JSON: Final = Format("json", "application/json", tables=_json_tables)
"""A design itself, which :mod:`app.document` writes and reads; and lists, for scripts."""

CSV: Final = Format("csv", "text/csv", tables=_csv_table)
"""A list for a spreadsheet: one table, since a spreadsheet takes a second one for more of the first."""

FORMATS: Final = {each.name: each for each in (SVG, DXF, PDF, JSON, CSV)}
"""Every format by its name."""

DRAWINGS: Final = {each: each.drawing for each in FORMATS.values() if each.drawing is not None}
"""Formats of drawings at true size for other programs."""

VIEWS: Final = {each: each.view for each in FORMATS.values() if each.view is not None}
"""Formats of drawings to look at."""

SHEETS: Final = {each: each.pages for each in FORMATS.values() if each.pages is not None}
"""Formats of sheets of paper."""

LISTS: Final = {each: each.tables for each in FORMATS.values() if each.tables is not None}
"""Formats of lists for other programs."""


def format_named(name: str) -> Format:
    """The format of that name.

    Raises:
        WriterError: there is none.
    """
    if name not in FORMATS:
        raise WriterError(f"There is no format “{name[:20]}”. Choose one of: {', '.join(FORMATS)}.")
    return FORMATS[name]


def drawing_format(name: str) -> tuple[Format, Drawing]:
    """The format of that name, and how drawings at true size are written in it.

    Raises:
        WriterError: they are written in none of that name.
    """
    return _among(name, DRAWINGS, "A drawing at true size", "; views to read are written as pdf too")


def view_format(name: str) -> tuple[Format, ViewFormat]:
    """The format of that name, and how views are written in it.

    Raises:
        WriterError: they are written in none of that name.
    """
    return _among(name, VIEWS, "A view")


def sheet_format(name: str = PDF.name) -> tuple[Format, Pages]:
    """The format of that name, and how sheets of paper are written in it.

    Raises:
        WriterError: they are written in none of that name.
    """
    return _among(name, SHEETS, "A sheet of paper")


def list_format(name: str) -> tuple[Format, Tables]:
    """The format of that name, and how lists are written in it.

    Raises:
        WriterError: they are written in none of that name.
    """
    return _among(name, LISTS, "A list", "; as a sheet it is written as pdf")


_Way = TypeVar("_Way")


def _among(name: str, formats: Mapping[Format, _Way], what: str, more: str = "") -> tuple[Format, _Way]:
    for each, way in formats.items():
        if each.name == name:
            return each, way
    names = " or ".join(each.name for each in formats)
    raise WriterError(f"{what} is written as {names}, got “{name[:20]}”. Choose one of them{more}.")
