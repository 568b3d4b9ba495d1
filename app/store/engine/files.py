"""Database files as wholes: made under another name first, copied while they are in use, and never half there."""

from __future__ import annotations

import os
import secrets
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from app.errors import StoreError

#: What SQLite keeps beside a database file while it is in use, or after a crash.
BESIDE = ("-wal", "-shm", "-journal")


def make_folder(folder: Path) -> None:
    """Make a folder, and see that files can be written there.

    Raises:
        StoreError: they cannot.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe = folder / f".write-{secrets.token_hex(6)}"
        probe.touch()
        probe.unlink()
    except OSError as error:
        raise StoreError(
            f"The data folder {folder} cannot be written ({error.strerror or error}). "
            "Give it write permission, or choose another one: --data FOLDER."
        ) from error


def put_whole(file: Path, fill: Callable[[Path], None]) -> bool:
    """Make a file whole or not at all, and never in place of one that is there.

    Args:
        file: the name it gets.
        fill: writes it, given another name in the same folder.

    Returns:
        whether it was put there; False if somebody else had put one there meanwhile.

    Raises:
        StoreError: the folder cannot be written.
    """
    part = file.with_name(f".{file.name}.{secrets.token_hex(6)}.part")
    try:
        fill(part)
        with part.open("rb+") as written:
            os.fsync(written.fileno())
        return _name(part, file)
    except OSError as error:
        raise StoreError(
            f"{file} cannot be written ({error.strerror or error}). Make room, or choose another folder."
        ) from error
    finally:
        for name in ("", *BESIDE):
            part.with_name(part.name + name).unlink(missing_ok=True)


def copy_database(source: Path, target: Path) -> None:
    """Copy a database file, as it is at one moment, into one that stands by itself; programs may be at work with it.

    Raises:
        OSError: it cannot be read, or the copy not written.
    """
    try:
        if _in_use(source):
            uri = f"{source.resolve().as_uri()}?mode=ro"
            with closing(sqlite3.connect(uri, uri=True)) as whole, closing(sqlite3.connect(target)) as copy:
                whole.backup(copy)
        else:
            # Its bytes are all of it; and opening one that cannot be written would leave two more files beside it.
            shutil.copyfile(source, target)
        seal(target)
    except sqlite3.Error as error:
        raise OSError(f"{source} cannot be copied: {error}") from error


def seal(file: Path) -> None:
    """Have a database file that nobody uses stand by itself, without others beside it, and see that it is whole.

    Raises:
        OSError: it is damaged.
    """
    with closing(sqlite3.connect(file)) as raw:
        raw.execute("PRAGMA journal_mode=DELETE")
        if raw.execute("PRAGMA integrity_check").fetchone() != ("ok",):
            raise OSError("it is damaged")


def keep_copy(file: Path, ending: str) -> Path:
    """Copy a database file to its own name with ``ending``, and a number where that is taken; gives the name.

    Raises:
        StoreError: it cannot be copied, or the copy not written.
    """
    number = 1
    while True:
        name = file.with_name(f"{file.name}.{ending}" + (f"-{number}" if number > 1 else ""))
        if not name.exists() and put_whole(name, lambda part: copy_database(file, part)):
            return name
        number += 1


def _in_use(file: Path) -> bool:
    """Whether a program has a database file open, or had when it was killed."""
    return any(file.with_name(file.name + name).exists() for name in BESIDE)


def _name(part: Path, file: Path) -> bool:
    try:
        os.link(part, file)
    except FileExistsError:
        return False
    except OSError:
        # A disk without links: here two that start at the same moment could still both come this far.
        if file.exists():
            return False
        part.rename(file)
    _sync(file.parent)
    return True


def _sync(folder: Path) -> None:
    """Have the disk know the new name too, where the system can be told so."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
