"""PDF read by PDFium through pypdfium2: the path objects of every page, in mm from its lower left corner."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Collection, Iterator
from threading import Lock
from typing import Any, Final

from msgspec import Struct

from app.errors import ProofError
from app.proof.curves import Bezier, Curve, Point, Straight, Trace, joined

READER: Final = "a second program"

_MM: Final = 25.4 / 72.0
"""A point of ISO 32000-1, 8.3.2.3 [mm]."""

# PDFium keeps one state for the whole process; the web server reads from several threads.
_lock = Lock()


class PdfPage(Struct, frozen=True):
    """What a page of a PDF shows.

    Args:
        box: media box [mm].
        crop: crop box [mm].
        turned: quarter turns a viewer would make.
        clipped: lines drawn inside a window: those of the board.
        free: the other lines: bars, marks, frames.
        words: its text.
    """

    box: tuple[float, float, float, float]
    crop: tuple[float, float, float, float]
    turned: int
    clipped: tuple[Trace, ...]
    free: tuple[Trace, ...]
    words: str


def read_pdf(data: bytes) -> tuple[PdfPage, ...]:
    """Read a PDF file.

    Raises:
        ProofError: it is broken, or scales its pages by a UserUnit.
    """
    return _read(data, None)[1]


def read_some(data: bytes, numbers: Collection[int]) -> tuple[int, dict[int, PdfPage]]:
    """How many pages a PDF file has, and those of the ``numbers`` that it has, from 0; raises as :func:`read_pdf`."""
    many, pages = _read(data, numbers)
    return many, dict(zip((n for n in range(many) if n in numbers), pages, strict=True))


def _read(data: bytes, numbers: Collection[int] | None) -> tuple[int, tuple[PdfPage, ...]]:
    import pypdfium2

    if b"/UserUnit" in data:
        raise _broken("it has a UserUnit, which only some programs heed")
    with _lock:
        try:
            document = pypdfium2.PdfDocument(data)
        except pypdfium2.PdfiumError as error:
            raise _broken(str(error)) from error
        try:
            many = len(document)
            wanted = range(many) if numbers is None else (n for n in range(many) if n in numbers)
            return many, tuple(_page(document, index) for index in wanted)
        finally:
            document.close()


def _page(document: Any, index: int) -> PdfPage:
    page = document[index]
    text = page.get_textpage()
    try:
        clipped: list[Trace] = []
        free: list[Trace] = []
        for inside, trace in _lines(page.raw):
            (clipped if inside else free).append(trace)
        boxes = [tuple(side * _MM for side in box) for box in (page.get_mediabox(), page.get_cropbox())]
        words = str(text.get_text_bounded())
        return PdfPage(boxes[0], boxes[1], page.get_rotation() // 90, tuple(clipped), tuple(free), words)
    finally:
        text.close()
        page.close()


def _lines(page: Any) -> Iterator[tuple[bool, Trace]]:
    """Every line of a page, and whether it is drawn inside a window."""
    import pypdfium2.raw as pdfium

    path, words = pdfium.FPDF_PAGEOBJ_PATH, pdfium.FPDF_PAGEOBJ_TEXT
    get, kind_of, clip_of, count = (
        pdfium.FPDFPage_GetObject, pdfium.FPDFPageObj_GetType, pdfium.FPDFPageObj_GetClipPath,
        pdfium.FPDFClipPath_CountPaths,
    )  # fmt: skip
    for index in range(pdfium.FPDFPage_CountObjects(page)):
        item = get(page, index)
        kind = kind_of(item)
        if kind == path:
            inside = count(clip_of(item)) > 0
            for trace in _traces(item, pdfium):
                yield inside, trace
        elif kind != words:
            raise _broken("a page holds something other than lines and words")


def _traces(item: Any, pdfium: Any) -> Iterator[Trace]:
    """The lines of a path; of a page there are hundreds, so the library's functions are looked up once."""
    mode, stroked = ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(item, mode, stroked)
    filled = bool(mode.value) and not stroked.value
    matrix = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(item, matrix)
    a, b, c, d, e, f = (v * _MM for v in (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f))
    x, y = ctypes.c_float(), ctypes.c_float()
    get, where, kind_of, closes = (
        pdfium.FPDFPath_GetPathSegment, pdfium.FPDFPathSegment_GetPoint, pdfium.FPDFPathSegment_GetType,
        pdfium.FPDFPathSegment_GetClose,
    )  # fmt: skip
    move, line, curve = pdfium.FPDF_SEGMENT_MOVETO, pdfium.FPDF_SEGMENT_LINETO, pdfium.FPDF_SEGMENT_BEZIERTO
    pieces: list[Curve] = []
    points: list[Point] = []
    here, first, closed = (0.0, 0.0), (0.0, 0.0), False
    for index in range(pdfium.FPDFPath_CountSegments(item)):
        segment = get(item, index)
        where(segment, x, y)
        across, up = x.value, y.value
        at = (a * across + c * up + e, b * across + d * up + f)
        if points and len(points) < 2:  # of the three points of a curve the last one tells whether it closes
            points.append(at)
            continue
        kind = curve if points else kind_of(segment)
        if kind == move:
            if pieces and (kept := joined(pieces)):
                yield Trace(kept, closed, filled=filled)
            pieces, points, here, first, closed = [], [], at, at, False
        elif kind == line:
            pieces.append(Straight(here, at))
            here = at
        else:
            points.append(at)
            if len(points) < 3:
                continue
            pieces.append(Bezier(here, *points))
            here, points = at, []
        if closes(segment):
            closed = True
            if math.dist(here, first) > 1e-3:
                pieces.append(Straight(here, first))
            here = first
    if kept := joined(pieces):
        yield Trace(kept, closed, filled=filled)


def _broken(what: str) -> ProofError:
    return ProofError(f"The PDF file cannot be read back: {what}. It is withheld; please report this with the design.")
