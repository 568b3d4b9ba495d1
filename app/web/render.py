"""Pages from templates: typed contexts in, whole page or named block out."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from msgspec import Struct
from msgspec.structs import asdict
from starlette.responses import HTMLResponse

from app import __version__
from app.paths import data_dir
from app.web.assets import code, root, script_address, style_address
from app.web.compiled import compiled
from app.web.htmx import Htmx, config


@cache
def environment() -> Environment:
    """The template environment: everything escaped, a missing name is an error."""
    made = Environment(
        loader=FileSystemLoader(data_dir("templates")),
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        bytecode_cache=compiled(by=Path(__file__).read_text(encoding="utf-8")),
    )
    made.globals["htmx_config"] = config()
    made.globals["version"] = __version__
    made.globals["static"] = root()
    made.globals["program_state"] = code()
    made.globals["script_address"] = script_address
    made.globals["style_address"] = style_address
    # An import inside a template is not seen by a block rendered alone; a global is.
    made.globals["icon"] = vars(made.get_template("shared/_icons.html").module)["icon"]
    made.globals["ui"] = made.get_template("shared/_macros.html").module
    return made


def values_of(context: Struct) -> dict[str, Any]:
    """The fields of a page context by name; not deep, so templates see the values inside."""
    return asdict(context)


def render(template: str, context: Struct, block: str = "") -> str:
    """The page ``template``, or only its ``block``, filled from ``context``."""
    page = environment().get_template(template)
    values = values_of(context)
    if not block:
        return page.render(values)
    return "".join(page.blocks[block](page.new_context(values)))


def page(
    template: str,
    context: Struct,
    htmx: Htmx,
    *,
    block: str,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
) -> HTMLResponse:
    """The whole page, or its ``block`` where htmx asked for that."""
    alone = htmx.wants_block and htmx.target == block
    # htmx takes a title that comes along for the page's own.
    title = f"<title>{render(template, context, 'title')}</title>" if alone else ""
    return HTMLResponse(
        title + render(template, context, block if alone else ""),
        status,
        {"Vary": "HX-Request, HX-Target", **(headers or {})},
    )
