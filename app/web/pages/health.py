"""Whether the app answers, and whether it can work: for whoever watches over it, without details."""

from __future__ import annotations

from starlette.responses import JSONResponse

from app.web.router import Router
from app.web.shared.requests import OpenWorkshop

router = Router()


@router.get("/health")
async def health() -> JSONResponse:
    """Whether this process answers; the database is not asked, and no other work is waited for."""
    return JSONResponse({"status": "ok"})


@router.get("/ready")
def ready(workshop: OpenWorkshop) -> JSONResponse:
    """Whether the database can be reached and is one that this program reads."""
    works = workshop.is_ready()
    return JSONResponse({"status": "ready" if works else "not ready"}, 200 if works else 503)
