"""Files and pictures as answers: each with the media type of its format."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from starlette.background import BackgroundTask
from starlette.responses import Response

from app.service.drawings.formats import SVG, Format
from app.service.drawings.made_file import MadeFile

ASK_AGAIN: Final = {"Cache-Control": "no-cache"}
"""For what may have changed the next time it is asked for."""

TO_KEEP: Final = {"Cache-Control": "private, max-age=31536000, immutable"}
"""For what is of a design, at an address whose content never changes."""


def download(data: bytes, name: str, form: Format, headers: Mapping[str, str] | None = None) -> Response:
    """A file to be kept under a name, which is one every system takes."""
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=form.media, headers={**disposition, **(headers or {})})


def handed_out(made: MadeFile, headers: Mapping[str, str] | None = None) -> Response:
    """The same of a file of a board."""
    return download(made.data, made.name, made.format, headers)


def picture(
    drawn: str | bytes, headers: Mapping[str, str] = ASK_AGAIN, after: BackgroundTask | None = None
) -> Response:
    """A drawing to be shown in a page; ``after`` is done once it has been sent."""
    return Response(drawn, media_type=SVG.media, headers=dict(headers), background=after)
