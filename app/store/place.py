"""Where the database lies, and what to do when it cannot be used."""

from __future__ import annotations

import secrets
from pathlib import Path

from app.errors import StoreError


def default_folder() -> Path:
    """The user's data folder for Holewise, as the operating system has it."""
    from platformdirs import user_data_path

    return user_data_path("holewise", appauthor=False)


def usable(folder: Path) -> None:
    """Make the folder if it is not there, and try to write into it.

    Raises:
        StoreError: it cannot be made or written.
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


def advice(place: str, reason: str) -> str:
    """A sentence for the user: what is wrong with the database at ``place``, and what to do."""
    lower = reason.lower()
    if "malformed" in lower or "not a database" in lower or "corrupt" in lower:
        return (
            f"The database {place} is damaged ({reason}). It is left as it is. Put a backup copy in its "
            "place; or move it aside with the -wal and -shm files beside it: Holewise then starts empty."
        )
    if "locked" in lower or "busy" in lower:
        said = f"Another program keeps {place} locked. Close that program, then do it again."
    elif "full" in lower:
        said = f"There is no room left on the disk of {place}. Make room, then do it again."
    elif "readonly" in lower or "unable to open" in lower:
        return (
            f"{place} cannot be opened for writing ({reason}). Give it write permission, or choose another "
            "folder: --data FOLDER."
        )
    else:
        said = f"The database {place} cannot be used ({reason}). Try again, or choose another: --data FOLDER."
    return f"{said} Nothing was changed."
