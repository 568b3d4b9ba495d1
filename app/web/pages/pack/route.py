"""A pack: chosen, counted, made with news of how far it is, and fetched."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Mapping, Sequence
from typing import Final

from fastapi import Request
from starlette.responses import FileResponse, HTMLResponse, Response, StreamingResponse

from app.errors import HolewiseError
from app.service import Workshop
from app.service.pack.asked import PackSource, PackWork, pack_at_once, source_of
from app.service.pack.kept import MINUTES, KeptPacks
from app.service.pack.request import PackRequest
from app.service.screens.plans.pack_seen import FIELDS, PackSeen, pack_seen
from app.web.pages.pack.context import kept_words, news_words, pack_page
from app.web.render import render
from app.web.router import Router
from app.web.shared.requests import OpenWorkshop, View
from app.web.shared.view_state import ViewState

router = Router()

_ZIP: Final = "application/zip"
_LOOK: Final = 0.1  # how often is looked how far a pack is [s]
_LETTER: Final = 12  # characters of a letter that are read
_MOST: Final = 400  # values of a field that are read


@router.get("/designs/{design_id}/pack")
def pack(workshop: OpenWorkshop, view: View, request: Request) -> HTMLResponse:
    """What will be made, to choose from."""
    source, seen = _asked(workshop, view, request)
    return _page(view, source, seen)


@router.get("/designs/{design_id}/pack.zip")
def pack_file(workshop: OpenWorkshop, view: View, request: Request) -> Response:
    """The pack, made while the browser waits."""
    source, seen = _asked(workshop, view, request)
    if seen.request is None:
        return _page(view, source, seen)
    made = pack_at_once(workshop, source, seen.request)
    headers = {"Content-Disposition": f'attachment; filename="{made.name}"'}
    return Response(made.data, media_type=_ZIP, headers=headers)


@router.get("/designs/{design_id}/pack/progress")
def pack_progress(design_id: str, workshop: OpenWorkshop, view: View, request: Request) -> StreamingResponse:
    """The pack being made, as events: how far it is, then where it is kept; it ends with whoever listens."""
    try:
        source, seen = _asked(workshop, view, request)
    except HolewiseError as error:
        events = _said(str(error))
    else:
        problem = " ".join(seen.problems.values())
        events = _events(workshop, design_id, source, seen.request) if seen.request else _said(problem)
    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    return StreamingResponse(events, media_type="text/event-stream", headers=headers)


@router.get("/designs/{design_id}/pack/kept/{key}")
def kept_pack(key: str) -> FileResponse:
    """A pack that was made and is kept for a while."""
    found = KeptPacks().find(key)
    headers = {"Cache-Control": "private, no-store"}
    return FileResponse(found, media_type=_ZIP, filename=found.name, headers=headers)


def _asked(workshop: Workshop, view: ViewState, request: Request) -> tuple[PackSource, PackSeen]:
    query = request.query_params
    letter = query.get("letter", "")[:_LETTER]
    chosen: Mapping[str, Sequence[str]] | None = None
    if "chosen" in query:
        chosen = {field: query.getlist(field)[:_MOST] for field in FIELDS}
    source = source_of(workshop, view.design, letter)
    return source, pack_seen(workshop, source, letter, chosen)


def _page(view: ViewState, source: PackSource, seen: PackSeen) -> HTMLResponse:
    shown = pack_page(view, source.design.title, seen, MINUTES)
    return HTMLResponse(render("pack/page.html", shown), 422 if seen.problems else 200)


async def _said(problem: str) -> AsyncIterator[bytes]:
    yield _event("failed", {"words": problem})


async def _events(workshop: Workshop, design_id: str, source: PackSource, asked: PackRequest) -> AsyncIterator[bytes]:
    """News of a pack; the work ends with whoever listens, as its reader has gone."""
    work = PackWork(workshop, source, asked, KeptPacks())
    last = None
    try:
        while work.running:
            said = news_words(work.news())
            if said != last:
                last = said
                yield _event("news", said)
            await asyncio.sleep(_LOOK)
        try:
            yield _event("made", kept_words(design_id, work.result()))
        except HolewiseError as error:
            yield _event("failed", {"words": str(error)})
    finally:
        work.stop()


def _event(name: str, said: Mapping[str, object]) -> bytes:
    """An event of a stream, in the format of server-sent events (HTML Living Standard, 9.2)."""
    return f"event: {name}\ndata: {json.dumps(said)}\n\n".encode()
