"""A whole shelf as one file: every design with its labels and published revisions; :mod:`opened_shelf` reads it."""

from __future__ import annotations

import io
import json
import zipfile
from collections.abc import Iterable
from datetime import datetime
from typing import Final

from msgspec import Struct

from app.document.shelf_index import (
    RevisionFile,
    ShelfIndex,
    ShelvedFile,
    write_index,
)
from app.document.slug import slug
from app.store import ShelvedWhole

INDEX: Final = "index.json"
README: Final = "README.txt"
MEDIA: Final = "application/zip"

_DATE: Final = (2000, 1, 1, 0, 0, 0)

_WORDS: Final = """A whole shelf of Holewise, saved in one file.

index.json says which designs there are, their labels and their published revisions. Each file in designs/ is a design
as Holewise saves it, and can be opened by itself. Open the whole file on the shelf, or with: holewise open-shelf FILE

Steps that Undo leads back to, printer corrections and your list of bits are not in it: holewise backup keeps those.
"""


class SavedShelf(Struct, frozen=True):
    """A shelf as one file: its bytes, how many designs are in it, and titles of those that could not be read."""

    data: bytes
    designs: int
    left_out: tuple[str, ...]


def is_saved_shelf(data: bytes) -> bool:
    """Whether a file is packed as shelves are."""
    return data[:4] in (b"PK\x03\x04", b"PK\x05\x06")


def saved_shelf(designs: Iterable[ShelvedWhole]) -> SavedShelf:
    """Designs as one file; the same give the same bytes."""
    buffer, rows, left_out = io.BytesIO(), list[ShelvedFile](), list[str]()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for each in designs:
            if not _is_sound(each.document):
                left_out.append(each.row.title)
                continue
            stem = f"designs/{slug(each.row.title, longest=60, empty='design')}-{each.row.id}"
            files = [RevisionFile(letter=letter, file=f"{stem}/revision-{letter}.json") for letter, _ in each.revisions]
            _write(archive, f"{stem}.json", each.document.encode())
            for file, (_, document) in zip(files, each.revisions, strict=True):
                _write(archive, file.file, document.encode("utf-8", "replace"))
            rows.append(
                ShelvedFile(
                    id=each.row.id,
                    title=each.row.title,
                    file=f"{stem}.json",
                    labels=each.labels,
                    created=_moment(each.row.created),
                    modified=_moment(each.row.modified),
                    away=each.row.removed,
                    revisions=tuple(files),
                )
            )
        _write(archive, INDEX, write_index(ShelfIndex(designs=tuple(rows), left_out=tuple(left_out))))
        lost = "".join(f"\nNot in it, for what is stored of it cannot be read: {title}\n" for title in left_out)
        _write(archive, README, (_WORDS + lost).encode("utf-8", "replace"))
    return SavedShelf(buffer.getvalue(), len(rows), tuple(left_out))


def _is_sound(document: str) -> bool:
    """Whether a stored text is JSON at all: of what is damaged nothing is passed on."""
    try:
        document.encode()
        return isinstance(json.loads(document), dict)
    except ValueError:
        return False


def _moment(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="microseconds")


def _write(archive: zipfile.ZipFile, name: str, data: bytes) -> None:
    entry = zipfile.ZipInfo(name, _DATE)
    entry.external_attr = 0o644 << 16
    entry.compress_type = zipfile.ZIP_DEFLATED
    archive.writestr(entry, data)
