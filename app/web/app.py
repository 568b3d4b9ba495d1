"""The web application: one store, one address, everything served from here."""

from __future__ import annotations

from fastapi import FastAPI
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles

from app import __version__
from app.paths import data_dir
from app.scene.palette import css_variables
from app.service import Workshop
from app.web import problems
from app.web.guards import Address, Guard
from app.web.htmx import script
from app.web.routes import (
    board,
    board_edit,
    edits,
    files,
    outline,
    paper,
    parts,
    printers,
    room,
    shelf,
    shop,
    stations,
    timeline,
)


def create_app(workshop: Workshop, address: Address | None = None) -> FastAPI:
    """The application over ``workshop``.

    Args:
        workshop: the use cases, with the store they work on.
        address: where the server listens; requests for another host are refused.
    """
    app = FastAPI(title="Holewise", version=__version__, docs_url=None, redoc_url=None, openapi_url=None)
    app.state.workshop = workshop
    problems.install(app)
    for routes in (
        shelf,
        board,
        board_edit,
        edits,
        outline,
        parts,
        shop,
        paper,
        printers,
        files,
        timeline,
        stations,
        room,
    ):
        app.include_router(routes.router)
    _add_assets(app)
    app.add_middleware(Guard, address=address or Address(), refusal=problems.refusal)
    return app


def _add_assets(app: FastAPI) -> None:
    htmx = script()
    colours = (
        f":root {{ --on-teal: #ffffff;\n{css_variables()} }}\n"
        f"@media (prefers-color-scheme: dark) {{ :root {{ --on-teal: #0d2b2b;\n{css_variables(dark=True)} }} }}\n"
    )

    @app.get("/static/htmx.js", include_in_schema=False)
    def htmx_script() -> FileResponse:
        return FileResponse(htmx, media_type="text/javascript", headers=_KEEP)

    @app.get("/palette.css", include_in_schema=False)
    def palette() -> Response:
        return Response(colours, media_type="text/css", headers=_KEEP)

    app.mount("/static", _Static(directory=data_dir("static")), name="static")


# Asked again every time, answered with "not modified": a new version shows at once, and nothing is sent twice.
_KEEP = {"Cache-Control": "no-cache"}


class _Static(StaticFiles):
    def file_response(self, *args: object, **kwargs: object) -> Response:
        response = super().file_response(*args, **kwargs)  # type: ignore[arg-type]
        response.headers.update(_KEEP)
        return response
