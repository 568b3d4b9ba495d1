"""What to do when a database cannot be used, in words for the user."""

from __future__ import annotations

from app.store.engine.place import StorePlace

# PostgreSQL's error codes and, for what is not reached, their beginnings (its manual, appendix "Error Codes").
_WAITED_IN_VAIN = {"55P03", "40P01", "40001", "57014"}
_NO_ROOM = {"53100", "53200"}
_NOT_ALLOWED = {"25006", "42501"}
_NOT_REACHED = ("08", "28", "3D", "53300", "57P")


def advice(place: StorePlace, reason: str, code: str = "", *, lost: bool = False) -> str:
    """A sentence for the user: what is wrong with the database at ``place``, and what to do.

    Args:
        place: the database.
        reason: what its driver said.
        code: the server's error code, if there is one.
        lost: whether a connection broke that had been made.
    """
    if place.file is not None:
        return _about_file(place.name, reason)
    said = " ".join(reason.split())[:300]
    if lost:
        # It may have broken while the last step was being confirmed: then nobody here knows.
        return (
            f"The connection to {place.name} was lost ({said}). Check that its server is running. If you made a "
            "change, check whether it was saved before you make it again."
        )
    return f"{_about_server(place.name, said, code)} Nothing was changed."


def _about_file(name: str, reason: str) -> str:
    lower = reason.lower()
    if "malformed" in lower or "not a database" in lower or "corrupt" in lower:
        return (
            f"The database {name} is damaged ({reason}). It is left as it is. Put a backup copy in its place, "
            "or move it aside with the -wal and -shm files beside it; Holewise then starts empty."
        )
    if "locked" in lower or "busy" in lower:
        said = (
            f"{name} is locked by another program, or by another process of Holewise that is writing. Try again "
            "in a moment; if that does not help, close the other program."
        )
    elif "full" in lower:
        said = f"There is no room left on the disk of {name}. Make room, then try again."
    elif "readonly" in lower or "unable to open" in lower:
        return (
            f"{name} cannot be opened for writing ({reason}). Give it write permission, or choose another "
            "folder: --data FOLDER."
        )
    else:
        said = f"The database {name} cannot be used ({reason}). Try again, or choose another: --data FOLDER."
    return f"{said} Nothing was changed."


def _about_server(name: str, said: str, code: str) -> str:
    if code in _WAITED_IN_VAIN:
        return f"Something in {name} is locked by another program, or by another Holewise ({said}). Try again."
    if code in _NO_ROOM:
        return f"The server of {name} has no room left ({said}). Make room, then try again."
    if code in _NOT_ALLOWED:
        return (
            f"The server does not let you write to {name} ({said}). Ask for permission to create tables there "
            "and write to them."
        )
    if code and not code.startswith(_NOT_REACHED):
        return f"The database {name} cannot be used ({said}). Try again, or choose another one."
    return (
        f"The database {name} cannot be reached ({said}). Check that its server is running and that address, "
        "user and password are right, then try again."
    )
