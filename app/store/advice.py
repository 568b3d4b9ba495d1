"""What to do when a database cannot be used, in words for the user."""

from __future__ import annotations

from app.store.place import Place

# Classes of PostgreSQL's error codes (manual, appendix A): what the server was asked cannot be done *now*.
_WAITED_IN_VAIN = {"55P03", "40P01", "40001", "57014"}
_NO_ROOM = {"53100", "53200"}
_NOT_ALLOWED = {"25006", "42501"}


def advice(place: Place, reason: str, code: str = "") -> str:
    """A sentence for the user: what is wrong with the database at ``place``, and what to do.

    Args:
        place: the database.
        reason: what its driver said.
        code: the server's error code, if there is one.
    """
    return _about_file(place.name, reason) if place.file is not None else _about_server(place.name, reason, code)


def _about_file(name: str, reason: str) -> str:
    lower = reason.lower()
    if "malformed" in lower or "not a database" in lower or "corrupt" in lower:
        return (
            f"The database {name} is damaged ({reason}). It is left as it is. Put a backup copy in its "
            "place; or move it aside with the -wal and -shm files beside it: Holewise then starts empty."
        )
    if "locked" in lower or "busy" in lower:
        said = f"Another program keeps {name} locked. Close that program, then do it again."
    elif "full" in lower:
        said = f"There is no room left on the disk of {name}. Make room, then do it again."
    elif "readonly" in lower or "unable to open" in lower:
        return (
            f"{name} cannot be opened for writing ({reason}). Give it write permission, or choose another "
            "folder: --data FOLDER."
        )
    else:
        said = f"The database {name} cannot be used ({reason}). Try again, or choose another: --data FOLDER."
    return f"{said} Nothing was changed."


def _about_server(name: str, reason: str, code: str) -> str:
    said = " ".join(reason.split())[:300]
    if code in _WAITED_IN_VAIN:
        return f"Another program keeps what is needed in {name} locked ({said}). Do it again. Nothing was changed."
    if code in _NO_ROOM:
        return f"The server of {name} has no room left ({said}). Make room, then do it again. Nothing was changed."
    if code in _NOT_ALLOWED:
        return (
            f"The server does not let you write to {name} ({said}). Ask for the right to make tables there and to "
            "write to them. Nothing was changed."
        )
    if code and not code.startswith(("08", "57P", "28", "3D")):
        return f"The database {name} cannot be used ({said}). Try again, or choose another one. Nothing was changed."
    return (
        f"The database {name} cannot be reached ({said}). See that its server runs and that address, user and password "
        "are right, then do it again. If this was a change, look first whether it was kept."
    )
