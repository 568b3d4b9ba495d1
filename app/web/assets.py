"""Scripts, style sheets and pictures that belong to the program, under an address that names their state.

The address holds a code of every file of the program. So a browser may keep what it has for good and never ask
again, and what changed is at another address: nothing is stale, and nothing is sent or asked for twice.
"""

from __future__ import annotations

import hashlib
import posixpath
import re
from functools import cache
from pathlib import Path

from fastapi import FastAPI
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles

import app as program
from app.paths import data_dir
from app.service.screens.colours import css_variables
from app.web.htmx import script

FOREVER = {"Cache-Control": "public, max-age=31536000, immutable"}
"""For an address whose content never changes (RFC 8246)."""

_ASK_AGAIN = {"Cache-Control": "no-cache"}
_IMPORT = re.compile(r'^import\s+(?:[^"]*?from\s+)?"(\.{1,2}/[\w./-]+)";', re.MULTILINE)


@cache
def code() -> str:
    """A short code of every file of the program, from its name, size and time of change.

    Not of what is compiled from them, for which every process that starts may just be writing a file of its own.
    """
    found = hashlib.sha256()
    for folder in (Path(program.__file__).parent, data_dir("static"), data_dir("templates")):
        for file in sorted(p for p in folder.rglob("*") if "__pycache__" not in p.parts and p.is_file()):
            state = file.stat()
            found.update(f"{file.relative_to(folder)} {state.st_size} {state.st_mtime_ns}\n".encode())
    return found.hexdigest()[:12]


def root() -> str:
    """Address of the folder of static files, without a slash at the end."""
    return f"/static/{code()}"


@cache
def modules(entry: str) -> tuple[str, ...]:
    """Addresses of every script module that ``entry`` loads, itself first: to ask for all of them at once.

    Args:
        entry: its path from the folder of scripts, as ``pages/board.js``.
    """
    folder, found = data_dir("static") / "js", [entry]
    for name in found:
        text, beside = (folder / name).read_text("utf-8"), posixpath.dirname(name)
        for other in _IMPORT.findall(text):
            path = posixpath.normpath(posixpath.join(beside, other))
            if path not in found:
                found.append(path)
    return tuple(f"{root()}/js/{name}" for name in found)


def add_assets(app: FastAPI) -> None:
    """Serve the static files, htmx and the colours, each also under its plain name."""
    htmx = script()
    colours = (
        f":root {{ --on-teal: #ffffff;\n{css_variables()} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ --on-teal: #0d2b2b;\n{css_variables(dark=True)} }} }}\n"
    )
    for folder, keep in ((root(), FOREVER), ("/static", _ASK_AGAIN)):
        _serve(app, folder, keep, htmx, colours)


def _serve(app: FastAPI, folder: str, keep: dict[str, str], htmx: Path, colours: str) -> None:
    @app.get(f"{folder}/htmx.js", include_in_schema=False)
    def htmx_script() -> FileResponse:
        return FileResponse(htmx, media_type="text/javascript", headers=keep)

    @app.get(f"{folder}/palette.css", include_in_schema=False)
    def palette() -> Response:
        return Response(colours, media_type="text/css", headers=keep)

    app.mount(folder, _Static(directory=data_dir("static"), keep=keep), name=folder)


class _Static(StaticFiles):
    def __init__(self, *, directory: Path, keep: dict[str, str]) -> None:
        super().__init__(directory=directory)
        self._keep = keep

    def file_response(self, *args: object, **kwargs: object) -> Response:
        response = super().file_response(*args, **kwargs)  # type: ignore[arg-type]
        response.headers.update(self._keep)
        return response
