"""A whole store moved, backed up into a file, and restored from one, while the app may be at work with it.

A backup is a database file like that of a data folder, whatever the database it was taken of.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from msgspec import Struct

from app.errors import StoreError
from app.store.copying import StoreContents, clear, copy_all, copy_rows, is_empty, lock, tally
from app.store.engine.database import Database
from app.store.engine.files import copy_database, keep_copy, put_whole, seal
from app.store.engine.place import FILE_NAME, StorePlace, file_place
from app.store.opening import fill_new, open_database
from app.values import replace


class Restored(Struct, frozen=True):
    """What was restored.

    Args:
        tally: what is in the store now.
        copy: the copy of what was there before; None if there was nothing.
    """

    tally: StoreContents
    copy: Path | None


def move(source: StorePlace, target: StorePlace) -> tuple[StoreContents, StoreContents]:
    """Copy a whole store to another place; gives what was read in the first, and what is read in the second now.

    The first stays as it is. The two are the same, unless somebody has changed the second since it was written.

    Raises:
        StoreError: one of them cannot be used, there is no store at ``source``, or something at ``target``.
        EditError: a text that cannot be kept.
    """
    with _opened(source) as old, _opened(target, make=True) as new:
        copied = copy_all(old, new)
        with new.reading() as connection:
            return copied, tally(connection)


def back_up(place: StorePlace, file: Path) -> StoreContents:
    """Write a backup of a store, as it is at one moment; gives what is in it.

    Raises:
        StoreError: the store or the file cannot be used, or there is a file of that name.
    """
    with _opened(place) as database:
        return _backed_up(database, file)


def restore(file: Path, place: StorePlace, when: datetime, *, over: bool = False) -> Restored:
    """Put what is in a backup into a store.

    Args:
        file: the backup; it stays as it is, also if it is of an earlier version.
        place: the store; it is made if it is not there.
        when: the time now, for the name of a copy.
        over: whether to do so in place of what is there; a copy of that is made first.

    Raises:
        StoreError: the file or the store cannot be used, or there is something in it and ``over`` is not set.
        EditError: a text that cannot be kept.
    """
    with (
        _read_from(file) as backup,
        _opened(place, make=True) as database,
        backup.reading() as reading,
        database.writing() as writing,
    ):
        lock(writing)
        copy = None
        if not is_empty(writing):
            if not over:
                raise StoreError(
                    f"There are designs or printers in {place.name}. Nothing was changed. Choose a place "
                    "with nothing in it, or replace them with --replace: a copy of them is made first."
                )
            # Nobody else can write by now, so what is copied is what is replaced.
            copy = _copied_aside(database, when)
            clear(writing)
        return Restored(copy_rows(reading, writing), copy)


def _copied_aside(database: Database, when: datetime) -> Path:
    if database.place.file is not None:
        return keep_copy(database.place.file, "before-restore")
    file = Path.cwd() / f"holewise-before-restore-{when:%Y%m%d-%H%M%S-%f}.db"
    _backed_up(database, file)
    return file


def _backed_up(database: Database, file: Path) -> StoreContents:
    counted: list[StoreContents] = []

    def fill(part: Path) -> None:
        if database.place.file is not None:
            copy_database(database.place.file, part)
        else:
            fill_new(part)
        copy = Database(file_place(part))
        try:
            if database.place.file is None:
                copy_all(database, copy)
            with copy.reading() as connection:
                counted.append(tally(connection))
        finally:
            copy.close()
        seal(part)

    taken = StoreError(f"The file {file} already exists and is left as it is. Choose another name.")
    if file.exists():
        raise taken
    if not file.parent.is_dir():
        raise StoreError(f"There is no folder {file.parent} for the backup. Make it, or choose another one.")
    if not put_whole(file, fill):
        raise taken
    return counted[-1]


@contextmanager
def _opened(place: StorePlace, *, make: bool = False) -> Iterator[Database]:
    database = open_database(place, make=make)
    try:
        yield database
    finally:
        database.close()


@contextmanager
def _read_from(file: Path) -> Iterator[Database]:
    """A backup opened as a copy, so that bringing it up from an earlier version does not change it."""
    if not file.is_file() or file.stat().st_size == 0:
        what = "has 0 bytes" if file.is_file() else "is not there"
        raise StoreError(f"The backup {file} {what}. Nothing was changed. Choose another one.")
    with tempfile.TemporaryDirectory(prefix="holewise-") as folder:
        part = Path(folder) / FILE_NAME
        try:
            copy_database(file, part)
        except OSError as error:
            raise StoreError(
                f"The backup {file} cannot be read ({error}). Nothing was changed. Choose another one."
            ) from error
        with _opened(replace(file_place(part), name=str(file))) as database:
            yield database
