"""Scenes as PDF, one page each, true size.

A page is exactly as large as its scene, times its stretch: MediaBox and CropBox in points of 1/72 in
(ISO 32000-1, 8.3.2.3), with no UserUnit, because viewers that ignore it would scale the page. The viewer is
asked not to scale, not to choose a tray by page size and not to print on both sides. The same pages give the
same bytes: dates in the file are fixed and the font subsets depend on the words only.

Circles and arcs become Béziers within 0.0002 mm (``app.scene.curves.arc_to_cubics``); numbers have 4 decimals
of a point. Words are set in an embedded font that has Latin, Greek and Cyrillic letters; a character it lacks
is replaced by one that means the same, else by a question mark.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from io import BytesIO
from threading import Lock
from typing import Any, Final
from zlib import compress

from msgspec import Struct

from app.errors import WriterError
from app.scene.primitives import Scene
from app.writers.guard import check_scenes, words
from app.writers.pdf_fonts import REGULAR, FontLettering, letters_known
from app.writers.pdf_pen import POINT, PdfPen

_WORTH: Final = 300_000
"""Bytes of pages that are compressed on several processors: less takes no longer than starting them."""

# The library keeps fonts in tables of the whole process; the web server writes from several threads.
_lock = Lock()


class Bookmark(Struct, frozen=True):
    """An entry of the outline that a viewer shows beside the pages.

    Args:
        title: what it says.
        page: the page it leads to, from 0.
        level: how deep it lies, 0 at the top; never more than one deeper than the entry before it.
    """

    title: str
    page: int
    level: int = 0


def write(pages: Sequence[Scene], *, title: str = "", subject: str = "", bookmarks: Sequence[Bookmark] = ()) -> bytes:
    """A PDF file with one page for each of ``pages``, true size.

    Args:
        pages: the drawings, in order; each page is as large as its scene's window [mm].
        title: document title; the first page's own if empty.
        subject: one line of description; the first page's note if empty.
        bookmarks: the outline that a viewer shows, in the order of its pages; none for no outline.

    Raises:
        WriterError: there are no pages, or one has an empty window or a number that cannot be drawn.
    """
    if not pages:
        raise WriterError("There is no page to write; give at least one.")
    check_scenes(pages)
    from reportlab import rl_config

    with _lock:
        before = rl_config.useA85
        rl_config.useA85 = 0  # plain bytes: a fifth smaller, and no slow encoding as text
        try:
            return _write(pages, words(title or pages[0].title), words(subject or pages[0].note), bookmarks)
        finally:
            rl_config.useA85 = before


def _write(pages: Sequence[Scene], title: str, subject: str, bookmarks: Sequence[Bookmark]) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    letters_known()
    buffer = BytesIO()
    canvas = Canvas(buffer, pageCompression=1, invariant=1, initialFontName=REGULAR)
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("Holewise")
    canvas.setCreator("Holewise")
    _ask_for_actual_size(canvas)
    pen = PdfPen(canvas, FontLettering(canvas._doc))  # noqa: SLF001 - fonts ask for the document, which has no other name
    outline: dict[int, list[Bookmark]] = {}
    for bookmark in bookmarks:
        outline.setdefault(bookmark.page, []).append(bookmark)
    for number, page in enumerate(pages):
        size = (page.width * page.stretch[0] * POINT, page.height * page.stretch[1] * POINT)
        canvas.setPageSize(size)
        canvas.setCropBox((0.0, 0.0, *size))
        if page.stretch != (1.0, 1.0):
            canvas.scale(*page.stretch)
        for bookmark in outline.get(number, ()):
            _bookmark(canvas, bookmark)
        pen.page(page.items, (page.x0, page.y0))
        canvas.showPage()
    if bookmarks:
        canvas.showOutline()
    _compress(canvas._doc.Pages.pages)  # noqa: SLF001 - as above
    canvas.save()
    return buffer.getvalue()


def _compress(pages: Sequence[Any]) -> None:
    """What the library does with each page as it saves, done for all at once: a third of writing large boards."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream

    contents = [page.stream.encode() for page in pages]
    if sum(map(len, contents)) < _WORTH:
        packed = list(map(compress, contents))
    else:
        from concurrent.futures import ThreadPoolExecutor

        with ThreadPoolExecutor(max_workers=min(4, os.cpu_count() or 1)) as threads:
            packed = list(threads.map(compress, contents))
    for page, content in zip(pages, packed, strict=True):
        page.Contents = PDFStream(PDFDictionary({"Filter": PDFArray([PDFName("FlateDecode")])}), content, filters=())


def _bookmark(canvas: Any, bookmark: Bookmark) -> None:
    """An entry of the outline that leads to the page being written; entries of one page are told by their titles."""
    key = f"page-{bookmark.page}-{bookmark.level}-{bookmark.title}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(words(bookmark.title), key, bookmark.level, closed=bookmark.level > 0)


def _ask_for_actual_size(canvas: Any) -> None:
    canvas.setViewerPreference("PrintScaling", "None")
    # A sheet that is stuck on a board has nothing to say on its back.
    canvas.setViewerPreference("Duplex", "Simplex")
    # The library checks preferences against a list that lacks this one (ISO 32000-1, table 150).
    preferences = canvas._doc.Catalog.ViewerPreferences  # noqa: SLF001
    preferences.dict["PickTrayByPDFSize"] = "false"
