"""What each address may cost: a time and a size for every one, in one table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Final

from starlette.requests import Request

from app.errors import EditError
from app.service.background.budget import Budget, Reader, waits
from app.web.disconnects import KEY, Incoming, too_large

_FORM: Final = 1_000_000  # bytes; the longest form has a few hundred fields of a line each
_FILE: Final = 10_000_000

_PAGE = Budget(10.0, 0, "Drawing this page", "Delete some parts, or split it into two designs.")
_PICTURE = Budget(10.0, 0, "Drawing this picture", "Delete some parts, or split it into two designs.")
_EDIT = Budget(10.0, _FORM, "This change", "Make it in smaller steps.")
_FILES = Budget(
    60.0, 0, "Making and reading back this file",
    "Print one bit at a time, choose a larger paper, or split the board into two designs.",
)  # fmt: skip
_ROOM = Budget(  # the search ends by itself well before, but for the largest boards
    8.0, _FORM, "Making room", "Move the closest parts apart by hand, or leave one out, and make room again."
)
_OUTLINE = Budget(
    15.0, _FILE, "Reading this file", "Export the outline alone, without holes, lettering and style sheets."
)

_PACK_LESS = "Pack fewer boards, papers or units at once, or pack it from the command line."

_BRINGING = "Trying it on these designs", "Try it on fewer designs at once."

_COMPARING = "Comparing", "Compare steps that lie nearer to each other."


def sheet_path(kind: str) -> str:
    """The address of the file of a kind of sheets, as the routes name it."""
    from app.service.drawings.formats import sheet_format

    return f"/designs/{{design_id}}/{kind}{sheet_format()[0].ending}"


def list_paths() -> Iterator[tuple[str, str, str]]:
    """The address of every list in every format it is written in, with its kind and the format."""
    from app.service.drawings.formats import LISTS
    from app.service.drawings.list_files import LIST_KINDS

    for kind in LIST_KINDS:
        for form in LISTS:
            yield f"/designs/{{design_id}}/{kind}{form.ending}", kind, form.name


def cut_path(kind: str) -> str:
    """The address of what a plotter cuts of a kind of sheets."""
    from app.service.drawings.formats import SVG

    return f"/designs/{{design_id}}/{kind}{SVG.ending}"


_BUDGETS: Final = {
    "GET /": _PAGE,
    "POST /designs": _EDIT,
    "POST /designs/open": Budget(60.0, _FILE, "Opening this file", "Open a large shelf on the command line."),
    "POST /designs/scenario": _EDIT,
    "GET /designs/{design_id}": _PAGE,
    "GET /designs/{design_id}/arrangement.svg": _PICTURE,
    "GET /designs/{design_id}/at-board": _PAGE,
    "POST /designs/{design_id}/at-board/{verb}": _EDIT,
    "GET /designs/{design_id}/bench": _PAGE,
    "GET /designs/{design_id}/bench/{kind}": _PAGE,
    "POST /designs/{design_id}/bench/drilling/{verb}": _EDIT,
    "POST /designs/{design_id}/bench/parts/{verb}": _EDIT,
    "GET /designs/{design_id}/board": _PAGE,
    "POST /designs/{design_id}/board/preview": _EDIT,
    "POST /designs/{design_id}/board/{verb}": _EDIT,
    "GET /designs/{design_id}/boards": _PAGE,
    "POST /designs/{design_id}/boards/{verb}": _EDIT,
    "GET /designs/{design_id}/boards/{board_id}.svg": _PICTURE,
    "GET /designs/{design_id}/bring": Budget(30.0, 0, *_BRINGING),
    "POST /designs/{design_id}/bring": Budget(30.0, _FORM, *_BRINGING),
    "GET /designs/{design_id}/built": _PAGE,
    "POST /designs/{design_id}/built/photo": Budget(
        60.0, _FILE, "Measuring in this photograph", "Take it with fewer megapixels: 12 are enough."
    ),
    "POST /designs/{design_id}/built/photo-take": Budget(10.0, 3 * _FORM, "This change", "Tick fewer holes."),
    "POST /designs/{design_id}/built/{verb}": _EDIT,
    "GET /designs/{design_id}/compare": Budget(20.0, 0, *_COMPARING),
    "POST /designs/{design_id}/compare": Budget(20.0, _FILE, *_COMPARING),
    "GET /designs/{design_id}/compare.pdf": Budget(60.0, 0, *_COMPARING),
    "POST /designs/{design_id}/compare.pdf": Budget(60.0, _FILE, *_COMPARING),
    "GET /designs/{design_id}/coupon": _PAGE,
    "POST /designs/{design_id}/coupon": _EDIT,
    "GET /designs/{design_id}/design.json": _PAGE,
    "GET /designs/{design_id}/drawing.{fmt}": _FILES,
    "POST /designs/{design_id}/duplicate": _EDIT,
    "POST /designs/{design_id}/edit/{verb}": _EDIT,
    "GET /designs/{design_id}/judged": _PAGE,
    "GET /designs/{design_id}/legends": _PAGE,
    "POST /designs/{design_id}/labels": _EDIT,
    "POST /designs/{design_id}/legends/{verb}": _EDIT,
    "GET /designs/{design_id}/made/{maker_id}": _PAGE,
    "POST /designs/{design_id}/made/{maker_id}": _EDIT,
    "GET /designs/{design_id}/make": _PAGE,
    "GET /designs/{design_id}/make/{maker}": _PAGE,
    "POST /designs/{design_id}/make/{maker}": _EDIT,
    "GET /designs/{design_id}/make/{maker}.svg": _PICTURE,
    "GET /designs/{design_id}/marking": _PAGE,
    "GET /designs/{design_id}/now": _PAGE,
    "GET /designs/{design_id}/outline": _PAGE,
    "POST /designs/{design_id}/outline/look": _OUTLINE,
    "POST /designs/{design_id}/outline/take": Budget(10.0, 2 * _FORM, "Importing this outline", "Simplify it."),
    "GET /designs/{design_id}/pack": Budget(20.0, 0, "Counting this pack", _PACK_LESS),
    "GET /designs/{design_id}/pack.zip": Budget(60.0, 0, "Making this pack", _PACK_LESS),
    "GET /designs/{design_id}/pack/kept/{key}": _PAGE,
    "GET /designs/{design_id}/pack/progress": Budget(60.0, 0, "Making this pack", _PACK_LESS),
    "GET /designs/{design_id}/paper": _PAGE,
    "GET /designs/{design_id}/part/{placement}": _PAGE,
    "POST /designs/{design_id}/part/{placement}": _EDIT,
    "GET /designs/{design_id}/pattern": _PAGE,
    "POST /designs/{design_id}/pattern": _EDIT,
    "GET /designs/{design_id}/pattern/{pattern_id}": _PAGE,
    "POST /designs/{design_id}/pattern/{pattern_id}": _EDIT,
    "GET /designs/{design_id}/parts/{part_id}.svg": _PICTURE,
    "POST /designs/{design_id}/preview": _EDIT,
    "GET /designs/{design_id}/printer": _PAGE,
    "POST /designs/{design_id}/printer/{verb}": _EDIT,
    "GET /designs/{design_id}/proof": _FILES,
    "POST /designs/{design_id}/put-back": _EDIT,
    "POST /designs/{design_id}/redo": _EDIT,
    "POST /designs/{design_id}/remove": _EDIT,
    "POST /designs/{design_id}/title": _EDIT,
    "GET /designs/{design_id}/report": Budget(20.0, 0, "Checking every board", "Delete some arrangements."),
    "GET /designs/{design_id}/retrofit": Budget(20.0, 0, "Looking for the least work", "Retrofit fewer holes at once."),
    "GET /designs/{design_id}/retrofit.csv": _FILES,
    "GET /designs/{design_id}/retrofit.json": _FILES,
    "GET /designs/{design_id}/retrofit.pdf": _FILES,
    "GET /designs/{design_id}/revision.json": _PAGE,
    "GET /designs/{design_id}/revisions": Budget(20.0, 0, *_COMPARING),
    "POST /designs/{design_id}/revisions/publish": _EDIT,
    "GET /designs/{design_id}/room": _ROOM,
    "POST /designs/{design_id}/room": _ROOM,
    "GET /designs/{design_id}/sheet.svg": _PICTURE,
    "GET /designs/{design_id}/shop": _PAGE,
    "POST /designs/{design_id}/shop/{verb}": _EDIT,
    "GET /designs/{design_id}/states": Budget(20.0, 0, "Checking every arrangement", "Delete some arrangements."),
    "GET /designs/{design_id}/stations": _PAGE,
    "POST /designs/{design_id}/stations/{verb}": _EDIT,
    "GET /designs/{design_id}/step.svg": _PICTURE,
    "GET /designs/{design_id}/steps": _PAGE,
    "POST /designs/{design_id}/steps/{verb}": _EDIT,
    "GET /designs/{design_id}/stored.json": _PAGE,
    "GET /designs/{design_id}/thumbnail.svg": _PICTURE,
    "GET /designs/{design_id}/timeline": _PAGE,
    "POST /designs/{design_id}/timeline": _EDIT,
    "POST /designs/{design_id}/undo": _EDIT,
    "GET /designs/{design_id}/view.{fmt}": _FILES,
    "GET /designs/{design_id}/ways": Budget(
        10.0, 0, "Trying ways out", "Mend what stands first in the report.", first=True
    ),
    "GET /designs/{design_id}/wiring": _PAGE,
    "POST /designs/{design_id}/wiring/{verb}": _EDIT,
    "GET /health": Budget(2.0),
    "GET /parts.svg": _PICTURE,
    "GET /ready": Budget(10.0),
    "GET /shelf.zip": Budget(60.0, 0, "Saving the shelf", "Make a backup on the command line."),
    "GET /scenarios/{name}.svg": _PICTURE,
    "GET /static": Budget(10.0),
}
"""By method and address, as the routes name it; everything under ``/static`` is one."""


@cache
def budgets() -> Mapping[str, Budget]:
    """The same with the files of sheets; these are asked for only then, as the first page waits for none of them."""
    from app.service.drawings.plotter_files import CUT_KINDS
    from app.service.drawings.sheet_files import SHEET_FILES

    sheets = {f"GET {sheet_path(kind)}": _FILES for kind in SHEET_FILES}
    cut = {f"GET {cut_path(kind)}": _FILES for kind in CUT_KINDS}
    return {**_BUDGETS, **sheets, **cut, **{f"GET {path}": _FILES for path, _, _ in list_paths()}}


def budget_of(method: str, path: str) -> Budget:
    """The budget of a route; that of a page for one without a row, which the tests let no address of the app be."""
    row = "GET /static" if path.startswith("/static/") else f"{method} {path}"
    return _BUDGETS.get(row) or budgets().get(row, _PAGE)


_WORDS: Final = {
    "units": frozenset({"", "mm", "inch"}),
    "unit": frozenset({"", "mm", "inch"}),
    "face": frozenset({"", "top", "under", "section"}),
    "rigid": frozenset({"", "0", "1"}),
}
"""What may stand in an address by a name that has few values."""


def check_words(asked: Mapping[str, str]) -> None:
    """Refuse a value that no page of ours puts into an address, before it costs any work.

    Raises:
        EditError: with the name, what it got and what is allowed.
    """
    for name, allowed in _WORDS.items():
        value = asked.get(name, "")
        if value not in allowed:
            may = ", ".join(sorted(allowed - {""}))
            said = f"“{name}” in the address may be {may}, not “{value[:40]}”."
            raise EditError(f"{said} Go back and choose it on the page.", name)


async def budgeted(request: Request) -> None:
    """Refuse a body that is too large or an odd address, and note who waits; a dependency of every route.

    Raises:
        EditError: a word in the address is none of those that may stand there.
        SizeError: more is announced than may be sent; a body without a length is counted as it comes.
    """
    check_words(request.query_params)
    budget = budget_of(request.method, request.scope["route"].path)
    incoming = request.scope.get(KEY)
    if isinstance(incoming, Incoming):
        incoming.most = budget.size
        length = request.headers.get("content-length", "0")
        if length.isascii() and length.isdigit() and int(length) > budget.size:
            raise too_large(budget.size)
        waits(Reader(budget, lambda: incoming.gone))
