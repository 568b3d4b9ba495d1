"""Where a pack is written: a folder or one file, whole or not at all."""

from __future__ import annotations

import errno
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path
from time import time
from typing import Final

from app.errors import DocumentError
from app.service.pack.packing import Pack, zipped

_ENDING: Final = ".zip"
_OURS: Final = "holewise-"  # in the name of a half pack, so that nothing else is ever cleared away
_OLD: Final = 3600.0  # where nothing tells whether somebody still writes a half pack, one so old is given up [s]


class PackPlace:
    """A place that was found fit for a pack, with a private folder beside it that the pack is written into first.

    Args:
        out: the folder, or the file that ends with ``.zip``.
        half: the private folder.
    """

    def __init__(self, out: Path, half: Path) -> None:
        self._out, self._half = out, half

    def write(self, pack: Pack) -> None:
        """Write a pack: it is there whole, or not at all.

        Raises:
            DocumentError: it cannot be written, as on a full disk; nothing of it is left.
        """
        try:
            if self._out.suffix.lower() == _ENDING:
                whole = self._half / self._out.name
                whole.write_bytes(zipped(pack))
                whole.replace(self._out)
                return
            whole = self._half / "pack"
            for file in pack.files:
                place = whole / file.path
                place.parent.mkdir(parents=True, exist_ok=True)
                place.write_bytes(file.data)
            if os.name == "nt" and self._out.exists():  # elsewhere a folder takes the place of an empty one
                self._out.rmdir()
            whole.rename(self._out)
        except OSError as error:
            raise _cannot(self._out, error) from error


@contextmanager
def place_for(out: Path) -> Iterator[PackPlace]:
    """A place for a pack, looked at before anything is made; nothing is left of it but what was written whole.

    What packs that were killed have left beside it is cleared away.

    Raises:
        DocumentError: something is there already, or nothing can be written there.
    """
    out = out.resolve()
    taken = out.is_dir() and any(out.iterdir()) if out.suffix.lower() != _ENDING else out.is_dir()
    if taken or (out.exists() and not out.is_dir() and out.suffix.lower() != _ENDING):
        raise _taken(out)
    made = [parent for parent in out.parents if not parent.exists()]
    above = out.parents[len(made)]
    if not above.is_dir():
        raise DocumentError(f"{out} cannot be written: {above} is a file, not a folder. Choose another place.")
    half, held = None, -1
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        _clear(out)
        half = Path(tempfile.mkdtemp(prefix=f".{out.name}.{_OURS}", suffix=".part", dir=out.parent))
        held = _hold(half)
        yield PackPlace(out, half)
    except OSError as error:
        raise _cannot(out, error) from error
    finally:
        if half is not None:
            shutil.rmtree(half, ignore_errors=True)
        if held >= 0:
            os.close(held)
        for parent in made:
            with suppress(OSError):  # what was written lies in it
                parent.rmdir()


def _taken(out: Path) -> DocumentError:
    return DocumentError(f"{out} is there already. Nothing was written. Choose a new folder, or an empty one.")


def _cannot(out: Path, error: OSError) -> DocumentError:
    if error.errno in {errno.ENOTEMPTY, errno.EEXIST}:  # somebody was sooner
        return _taken(out)
    said = error.strerror or str(error)
    return DocumentError(f"{out} cannot be written: {said}. Nothing of the pack is left. Choose another place.")


def _clear(out: Path) -> None:
    """Take away what killed packs have left beside ``out``."""
    for left in out.parent.glob(f".{escape(out.name)}.{_OURS}*.part"):
        held = -1
        with suppress(OSError):
            held = _hold(left)
        if held >= 0 or _is_old(left):
            shutil.rmtree(left, ignore_errors=True)
        if held >= 0:
            os.close(held)


def _hold(folder: Path) -> int:
    """Hold a folder until this process ends, however it does, or lets it go; -1 where the system cannot.

    Raises:
        OSError: another process holds it.
    """
    if sys.platform == "win32":
        return -1
    import fcntl

    opened = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(opened)
        raise
    return opened


def _is_old(folder: Path) -> bool:
    with suppress(OSError):
        return sys.platform == "win32" and time() - folder.stat().st_mtime > _OLD
    return False
