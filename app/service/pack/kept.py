"""Packs that are finished and wait to be fetched: files in a private folder, which every process that answers finds."""

from __future__ import annotations

import os
import re
import secrets
import shutil
import stat
import tempfile
from contextlib import suppress
from pathlib import Path
from time import time
from typing import Final

from app.errors import NotFoundError, StoreError

MINUTES: Final = 15
"""How long a pack is kept."""

_MOST: Final = 20  # packs at a time; the oldest goes for the next one
_KEY: Final = re.compile(r"[A-Za-z0-9_-]{32}")
_HALF: Final = ".part"


class KeptPacks:
    """The packs that wait, each under a random key that only whoever asked for it is told.

    Args:
        folder: where they lie; by default a folder of this user's own among the temporary ones of this computer.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or Path(tempfile.gettempdir()) / f"holewise-packs-{_user()}"

    def keep(self, name: str, data: bytes) -> str:
        """Keep a file under its name; gives its key.

        Raises:
            StoreError: it cannot be kept, as on a full disk; nothing of it is left.
        """
        key = secrets.token_urlsafe(24)
        half = self._folder / f"{key}{_HALF}"
        try:
            self._made_private()
            self._clear()
            half.mkdir(mode=0o700)
            (half / name).write_bytes(data)
            half.rename(self._folder / key)
        except OSError as error:
            shutil.rmtree(half, ignore_errors=True)
            said = error.strerror or str(error)
            raise StoreError(
                f"The pack cannot be kept for you: {said}. Make room on the disk, and try again."
            ) from None
        return key

    def find(self, key: str) -> Path:
        """The file that is kept under a key.

        Raises:
            NotFoundError: there is none, or no longer.
        """
        if _KEY.fullmatch(key):
            with suppress(OSError):
                for found in (self._folder / key).iterdir():
                    return found
        raise NotFoundError(f"This pack is not here any more: packs are kept for {MINUTES} minutes. Make it again.")

    def _made_private(self) -> None:
        """Make the folder, or see that nobody else can read it.

        Raises:
            OSError: it is somebody else's.
        """
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not hasattr(os, "getuid"):  # on Windows temporary folders are each user's own
            return
        found = self._folder.lstat()
        if not stat.S_ISDIR(found.st_mode) or found.st_uid != os.getuid():
            raise PermissionError(0, f"the folder {self._folder} belongs to somebody else")
        self._folder.chmod(0o700)

    def _clear(self) -> None:
        """Take away what was kept for long enough, and half files of a process that was killed."""
        with suppress(OSError):
            aged = sorted((each.stat().st_mtime, each) for each in self._folder.iterdir())
            old = [each for made, each in aged if time() - made > 60 * MINUTES]
            whole = [each for _, each in aged if each.suffix != _HALF]
            for each in {*old, *whole[: max(0, len(whole) - _MOST + 1)]}:
                shutil.rmtree(each, ignore_errors=True)


def _user() -> str:
    return str(os.getuid()) if hasattr(os, "getuid") else "user"
