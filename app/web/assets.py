"""Scripts, style sheets and pictures that belong to the program, under an address that names their state.

The address holds a code of every file of the program. So a browser may keep what it has for good and never ask
again, and what changed is at another address: nothing is stale, and nothing is sent or asked for twice.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from functools import cache, lru_cache
from pathlib import Path

from fastapi import FastAPI, HTTPException
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles

import app as program
from app.paths import data_dir
from app.service.screens.board.colours import css_variables
from app.web.htmx import script
from app.web.joined import PHONE, joined_scripts, joined_styles, scripts, styles

FOREVER = {"Cache-Control": "public, max-age=31536000, immutable"}
"""For an address whose content never changes (RFC 8246)."""

_ASK_AGAIN = {"Cache-Control": "no-cache"}
_COLOURS = "palette.css"
_AND = "+"


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


def script_address(entries: Sequence[str]) -> str:
    """Where the script modules ``entries`` are had as one, with all that they import."""
    return f"{root()}/joined/{_AND.join(entries)}"


def style_address(names: Sequence[str]) -> str:
    """Where style sheets are had as one, the colours first, what is for narrow windows last."""
    return f"{root()}/joined/{_AND.join((_COLOURS, 'base.css', *names, PHONE))}"


def add_assets(app: FastAPI) -> None:
    """Serve the static files, htmx and the colours, each also under its plain name."""
    htmx = script()
    colours = (
        f":root {{ --on-teal: #ffffff;\n{css_variables()} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ --on-teal: #0d2b2b;\n{css_variables(dark=True)} }} }}\n"
    )
    _serve_joined(app, colours)
    for folder, keep in ((root(), FOREVER), ("/static", _ASK_AGAIN)):
        _serve(app, folder, keep, htmx, colours)


def _serve_joined(app: FastAPI, colours: str) -> None:
    made = {_COLOURS: colours}

    @lru_cache(maxsize=32)
    def joined(names: tuple[str, ...]) -> tuple[str, str] | None:
        if scripts().issuperset(names):
            return joined_scripts(names), "text/javascript"
        return (joined_styles(names, made), "text/css") if (styles() | {*made}).issuperset(names) else None

    @app.get(f"{root()}/joined/{{names:path}}", include_in_schema=False)
    async def joined_files(names: str) -> Response:
        found = joined(tuple(names.split(_AND)))
        if found is None:
            raise HTTPException(404)
        return Response(found[0], media_type=found[1], headers=FOREVER)


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
