"""The fonts that PDF pages embed, and how words are made of what they have."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path as FilePath
from typing import Any, Final
from zlib import compress

from msgspec import Struct
from propcache.api import cached_property

from app.writers.guard import words

REGULAR: Final = "HolewiseSans"
BOLD: Final = "HolewiseSans-Bold"

_SUBSETS: Final = 16
"""Subsets that are kept of each font, of some 20 kB each."""

# Signs of the trade that the embedded font lacks, and what a drawing office writes instead.
_SUBSTITUTES: Final = {"⌀": "Ø", "∅": "Ø", "●": "•", "‑": "-", "✔": "✓", "⏤": "—", "⎯": "—", "⁄": "/"}


def font_files() -> tuple[FilePath, FilePath]:
    """The regular and the bold font file that are embedded.

    Source Sans Pro where its package is installed; otherwise the fonts that come with the PDF library, which
    have Latin-1 letters only.
    """
    spec = find_spec("font_source_sans_pro")
    if spec is not None and spec.origin is not None:
        folder = FilePath(spec.origin).parent / "files"
        files = folder / "SourceSansPro-Regular.ttf", folder / "SourceSansPro-Bold.ttf"
        if all(file.is_file() for file in files):
            return files
    import reportlab

    folder = FilePath(reportlab.__file__).parent / "fonts"
    return folder / "Vera.ttf", folder / "VeraBd.ttf"


@lru_cache(maxsize=1)
def letters_known() -> frozenset[str]:
    """Register the fonts once; the characters that both have."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    known = []
    for name, file in zip((REGULAR, BOLD), font_files(), strict=True):
        font = TTFont(name, str(file))
        _keep_subsets(font.face)
        registerFont(font)
        known.append({chr(code) for code in font.face.charToGlyph})
    return frozenset(known[0] & known[1])


def _keep_subsets(face: Any) -> None:
    """Let a font keep the subsets it made: a template printed again after a change mostly has the same letters."""
    from reportlab.pdfbase.pdfdoc import PDFArray, PDFName

    make, add = face.makeSubset, face.addSubsetObjects

    @lru_cache(maxsize=_SUBSETS)
    def made(codes: tuple[int, ...]) -> tuple[bytes, bytes]:
        content = bytes(make(list(codes)))
        return content, compress(content)

    def added(document: Any, name: str, codes: list[int]) -> Any:
        descriptor = add(document, name, codes)
        stream = document.idToObject[f"fontFile:{face.filename}({name})"]
        stream.content = made(tuple(codes))[1]
        stream.dictionary["Filter"] = PDFArray([PDFName("FlateDecode")])  # so the library does not do it once more
        return descriptor

    face.makeSubset = lambda codes: made(tuple(codes))[0]
    face.addSubsetObjects = added


def printable(text: str, letters: frozenset[str]) -> str:
    """``text`` with every character that is not in ``letters`` replaced by what can be printed."""
    text = words(text)
    if letters.issuperset(text):
        return text
    return "".join(c if c in letters else _substitute(c, letters) for c in text)


def _substitute(character: str, letters: frozenset[str]) -> str:
    if unicodedata.category(character) == "Cf":
        return ""  # joiners and the like: nothing of their own to see
    plain = _SUBSTITUTES.get(character) or unicodedata.normalize("NFKD", character)
    if plain != character:
        plain = "".join(c for c in plain if c in letters and not unicodedata.combining(c))
        if plain:
            return plain
    return "?"


class SaidWords(Struct, frozen=True):
    """Words as they are shown.

    Args:
        width: their width at size 1 [their size].
        shown: the name of a font, and the operator that shows letters in it; nothing where there is nothing to see.
    """

    width: float
    shown: tuple[tuple[str, str], ...]


class FontLettering:
    """The words of one document, each made letters of its fonts once.

    Args:
        document: the library's document, which keeps what letters of each font are used.
    """

    def __init__(self, document: Any) -> None:
        self._document = document
        self._said: dict[tuple[str, bool], SaidWords] = {}
        self._names: dict[tuple[str, int], str] = {}

    def said(self, words: str, bold: bool) -> SaidWords:
        """How words are shown in the regular or the bold font."""
        key = (words, bold)
        found = self._said.get(key)
        if found is None:
            found = self._said[key] = self._set(words, BOLD if bold else REGULAR)
        return found

    def _set(self, words: str, name: str) -> SaidWords:
        text = _known_letters(words)
        if not text.strip():
            return SaidWords(0.0, ())
        if text.isascii() and text.isprintable():  # these letters have their own codes in the first part
            self._fonts[name]._assignState(self._document)  # noqa: SLF001 - else it begins with other codes
            return SaidWords(width(text, name), ((self._named(name, 0), _shown(text.encode())),))
        parts = self._fonts[name].splitString(text, self._document)
        return SaidWords(width(text, name), tuple((self._named(name, part), _shown(shown)) for part, shown in parts))

    @cached_property
    def _fonts(self) -> dict[str, Any]:
        from reportlab.pdfbase.pdfmetrics import getFont

        return {name: getFont(name) for name in (REGULAR, BOLD)}

    def _named(self, name: str, part: int) -> str:
        """What the document calls a part of a font: one asked for is in the document from then on."""
        found = self._names.get((name, part))
        if found is None:
            found = self._names[name, part] = self._fonts[name].getSubsetInternalName(part, self._document)
        return found


_ESCAPES: Final = [
    f"\\{chr(code)}" if chr(code) in "\\()" else chr(code) if 32 <= code < 127 else f"\\{code:03o}"
    for code in range(256)
]
"""What stands for each byte in a string (ISO 32000-1, 7.3.4.2)."""


@lru_cache(maxsize=16384)
def _shown(letters: bytes) -> str:
    """The operator that shows letters of a font."""
    return f"({''.join([_ESCAPES[code] for code in letters])}) Tj"


@lru_cache(maxsize=16384)
def _known_letters(text: str) -> str:
    """Words in letters that the fonts have; a pack writes the same ones in a hundred files."""
    return printable(text, letters_known())


@lru_cache(maxsize=16384)
def width(text: str, font: str) -> float:
    """Width of ``text`` set in ``font`` at size 1 [its size]."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(text, font, 1.0))
