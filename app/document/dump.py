"""Design files written: the same bytes for the same design, and never half a file."""

from __future__ import annotations

import json
import os
from pathlib import Path

from app.document.schema import Design
from app.errors import DocumentError

_LINE = 160  # characters; longer rows are broken up


def dumps(design: Design) -> str:
    """The design as JSON text in schema order, a corner or placement to a line, ending in a line break."""
    return _laid_out(design.model_dump(mode="json", exclude_none=True)) + "\n"


def _laid_out(value: object, indent: int = 0) -> str:
    """JSON with everything that fits on one line on one line, so that people can read and compare files."""
    flat = json.dumps(value, ensure_ascii=False, allow_nan=False)
    if len(flat) + indent <= _LINE or not isinstance(value, dict | list) or not value:
        return flat
    pad = " " * (indent + 2)
    if isinstance(value, dict):
        rows = [f"{json.dumps(k, ensure_ascii=False)}: {_laid_out(v, indent + 2)}" for k, v in value.items()]
        return "{\n" + ",\n".join(pad + row for row in rows) + "\n" + " " * indent + "}"
    return "[\n" + ",\n".join(pad + _laid_out(v, indent + 2) for v in value) + "\n" + " " * indent + "]"


def save(design: Design, path: Path) -> None:
    """Write the design to ``path`` whole or not at all.

    The text goes to a new file in the same folder, is flushed to the disk and then takes the name, so a
    crash leaves the old file or the new one, never a part.

    Raises:
        DocumentError: the folder or file cannot be written.
    """
    write_whole(dumps(design).encode("utf-8"), path)


def write_whole(data: bytes, path: Path) -> None:
    """Write ``data`` to ``path`` whole or not at all.

    A link stays a link. What is no ordinary file, such as a pipe or a device, is written to as it is,
    because another file must never take its name.

    Raises:
        DocumentError: the folder or file cannot be written.
    """
    import tempfile  # with all that packs files, which who only reads a design never needs

    try:
        path = path.resolve()
        if path.exists() and not path.is_file():
            path.write_bytes(data)
            return
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    except OSError as error:
        raise DocumentError(f"{path} cannot be written: {error.strerror}. Choose another folder.") from error
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        # mkstemp makes the file private; give it the mode an ordinary new file would have.
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        part.chmod(mode)
        part.replace(path)
    except OSError as error:
        part.unlink(missing_ok=True)
        raise DocumentError(f"{path} cannot be written: {error.strerror}. Choose another folder.") from error


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
