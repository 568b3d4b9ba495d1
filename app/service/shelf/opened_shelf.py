"""A saved shelf read with suspicion: designs that may be taken, each with what stands against it."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Collection
from datetime import datetime
from hashlib import sha256
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.keep import kept
from app.document.load import loads
from app.document.resolve import resolve
from app.document.shelf_index import MOST_DESIGNS, ShelfIndex, ShelvedFile, read_index
from app.errors import DocumentError, HolewiseError, SizeError
from app.model.limits import FILE
from app.service.shelf.saved_shelf import INDEX

LARGEST: Final = 64_000_000
"""Bytes of a file that is opened; a shelf of a thousand designs takes a tenth of that."""

_UNPACKED: Final = 600_000_000
"""Bytes of all that is in it, unpacked."""

_ENTRIES: Final = 4 * MOST_DESIGNS
_KINDS: Final = frozenset({zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED})
_ENCRYPTED: Final = 0x1
_DAMAGED: Final = "Choose a file that Holewise saved, or an older copy of it."


class ReadDesign(Struct, frozen=True):
    """A design of such a file.

    Args:
        id: of it on the shelf that was saved.
        title: as its document has it; as the index has it, where that cannot be read.
        document: as it would be stored; empty where it cannot be taken.
        labels: of it.
        revisions: letter and document of each published one.
        created, modified: when it was made and changed last.
        away: whether it was put away.
        known: whether the shelf it comes to has this very document.
        problem: why it cannot be taken; empty if it can.
    """

    id: str
    title: str
    document: str
    labels: tuple[str, ...] = ()
    revisions: tuple[tuple[str, str], ...] = ()
    created: datetime | None = None
    modified: datetime | None = None
    away: bool = False
    known: bool = False
    problem: str = ""


def digest_of(document: str) -> str:
    """A digest of a document, by which it is known again."""
    return sha256(document.encode("utf-8", "surrogatepass")).hexdigest()


def read_shelf(data: bytes, known: Collection[str]) -> tuple[ReadDesign, ...]:
    """The designs in a file; what is known already is not looked into once more.

    Nothing is unpacked to a disk, and only what the index names is read, each as far as a design may be long.

    Args:
        data: the file.
        known: digests of documents that the shelf has already.

    Raises:
        DocumentError: it is no such file, is damaged, or is made to do harm.
        SizeError: it holds more than a shelf can.
        VersionError: a newer Holewise wrote it.
    """
    if len(data) > LARGEST:
        most = f"{LARGEST / 1e6:.0f} MB"
        raise SizeError(f"The file has {len(data) / 1e6:.0f} MB; a saved shelf has up to {most}. {_DAMAGED}")
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            shelf = _Shelf(archive)
            index = read_index(shelf.read(INDEX))
            _check_index(index)
            return tuple(_read(shelf, row, known) for row in index.designs)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, ValueError, OverflowError) as error:
        if isinstance(error, HolewiseError):
            raise
        raise DocumentError(f"The file is damaged and cannot be unpacked ({error}). {_DAMAGED}") from None


class _Shelf:
    """The entries of a file by name, each read within bounds."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        entries = archive.infolist()
        if len(entries) > _ENTRIES:
            raise SizeError(f"The file holds {len(entries):,} files; a shelf has up to {_ENTRIES:,}. {_DAMAGED}")
        self._archive, self._left = archive, _UNPACKED
        self._entries: dict[str, zipfile.ZipInfo] = {}
        self._twice = set[str]()
        for entry in entries:
            if entry.filename in self._entries:
                self._twice.add(entry.filename)
            self._entries[entry.filename] = entry

    def read(self, name: str) -> bytes:
        """What is in the entry of that name.

        Raises:
            DocumentError: there is none, there are two, or it is packed in a way that shelves are not.
            SizeError: it is larger than a design can be, or all that was read is larger than a shelf.
        """
        entry = self._entries.get(name)
        if entry is None:
            if name == INDEX:
                said = "This is no saved shelf: “index.json” is not in it. If it is a pack, open the design file in it."
                raise DocumentError(said)
            raise DocumentError(f"The saved shelf is not complete: “{name[:80]}” is not in the file. {_DAMAGED}")
        if name in self._twice:
            raise DocumentError(f"“{name[:80]}” is in the file twice. {_DAMAGED}")
        if entry.flag_bits & _ENCRYPTED or entry.compress_type not in _KINDS:
            raise DocumentError(f"“{name[:80]}” is locked, or packed in a way Holewise does not read. {_DAMAGED}")
        with self._archive.open(entry) as file:
            found = file.read(FILE.most + 1)  # whatever its head says of its size
        self._left -= len(found)
        if len(found) > FILE.most or self._left < 0:
            raise SizeError(f"“{name[:80]}” unpacks to more than a design can be. {_DAMAGED}")
        return found


def _check_index(index: ShelfIndex) -> None:
    for what, names in (
        ("design", [row.id for row in index.designs]),
        ("file", [f for row in index.designs for f in (row.file, *(r.file for r in row.revisions))]),
        ("revision", [f"{row.id} {r.letter}" for row in index.designs for r in row.revisions]),
    ):
        seen = set[str]()
        for name in names:
            if name in seen:
                raise DocumentError(f"The index names the {what} “{name[:80]}” twice. {_DAMAGED}")
            seen.add(name)


def _read(shelf: _Shelf, row: ShelvedFile, known: Collection[str]) -> ReadDesign:
    data = shelf.read(row.file)
    revisions = [(each.letter, shelf.read(each.file)) for each in row.revisions]
    times = (_time(row.created), _time(row.modified))
    try:
        text, title, is_known = _taken(data, known)
        older = tuple((letter, _taken(each, known)[0]) for letter, each in revisions) if not is_known else ()
    except HolewiseError as error:
        return ReadDesign(row.id, row.title[:200], "", problem=str(error))
    labels = tuple(" ".join(label.split()) for label in row.labels)
    return ReadDesign(row.id, title or row.title[:200], text, labels, older, *times, row.away, is_known)


def _taken(data: bytes, known: Collection[str]) -> tuple[str, str, bool]:
    """A document as it would be stored, its title, and whether the shelf has it already, which tells nothing more.

    Raises:
        DocumentError: it cannot be read, holds too much, or names hardware or material that is not known.
    """
    if sha256(data).hexdigest() in known:
        return data.decode(), "", True
    design = loads(data)
    text = kept(design, read=data)
    for board in design.boards:
        for arrangement in board.arrangements:
            resolve(design, board.id, arrangement.id, catalogue())
    return text, design.title, digest_of(text) in known


def _time(text: str | None) -> datetime | None:
    try:
        found = None if text is None else datetime.fromisoformat(text)
    except ValueError:
        return None
    return found if found is not None and found.tzinfo is not None else None
