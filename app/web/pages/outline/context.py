"""The outline page: choose a file, look at the outline over the board, say its unit, take it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from markupsafe import Markup
from msgspec import Struct, field

from app.service.edits.outlines import Read, can_be_board, drawn, offered, openable, packed, sizes
from app.service.edits.outlines import taken as corners_taken
from app.service.screens.tally import Tally, tally_of
from app.service.screens.words import exact
from app.service.sight import Sight
from app.units import Unit
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState

_UNIT_WORDS = {
    "": "as the file says",
    "mm": "if it is in millimetres",
    "inch": "if it is in inches",
    "cm": "if it is in centimetres",
    "px": "if it is in pixels, 96 to the inch",
}


class UnitChoice(Struct, frozen=True):
    """The outline in one unit the file may be in: its size, and all of it packed for the form."""

    unit: str
    words: str
    size: str
    outline: str
    chosen: bool


class Inner(Struct, frozen=True):
    """A ring inside the outline that may be taken as an opening."""

    index: int
    words: str
    taken: bool


class Preview(Struct, frozen=True):
    """What was read.

    Args:
        name: of the file.
        drawing: the outline over the board, inline SVG.
        asks: whether the file does not say its unit.
        ways: the outline in each unit it may be in.
        inner: rings that may be taken as openings.
        circles: those that are holes for parts as a rule.
        notes: what was left out or made of something else.
    """

    name: str
    drawing: Markup
    asks: bool
    ways: tuple[UnitChoice, ...]
    inner: tuple[Inner, ...]
    circles: tuple[Inner, ...]
    notes: tuple[str, ...]


class OutlinePage(Struct, frozen=True):
    """The outline page.

    Args:
        view: the view.
        title: of the design.
        units: switch.
        size: of the board as it is, in words.
        preview: what was read; None before a file was chosen.
        tally: stops and cautions of the board as it is.
        unit: of the forms.
        back_url: the board page.
        problems: sentence by field that could not be taken.
    """

    view: ViewState
    title: str
    units: tuple[Option, ...]
    size: str
    preview: Preview | None
    tally: Tally
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)


def outline_page(
    sight: Sight, view: ViewState, preview: Preview | None = None, problems: Mapping[str, str] | None = None
) -> OutlinePage:
    """The page of a board, with what was read from a file if there is one."""
    board = sight.checked.resolved
    unit = Unit(board.units)
    view = view.at(select=(), face="top", section=False).showing(sight.head.revision.id)
    return OutlinePage(
        view=view,
        title=sight.design.title,
        units=switches_of(sight, view, "/outline")["units"] if preview is None else (),
        size=f"{exact(board.width, unit)} × {exact(board.depth_front_to_back, unit)}",
        preview=preview,
        tally=tally_of(sight.checked),
        unit=unit.value,
        back_url=view.url(),
        problems=problems or {},
    )


def preview_of(sight: Sight, found: Read) -> Preview:
    """What was read, with the rings that are no circles to be taken as openings.

    Raises:
        DocumentError: it cannot be a board in any unit.
    """
    board, shown = sight.checked.resolved, Unit(sight.checked.resolved.units)
    known = sizes(found)
    # Without a unit in the file, the first one in which it can be a board.
    view = next((name for name, size in known.items() if can_be_board(size)), next(iter(known)))
    rings_offered, chosen = openable(found, view)
    corners, rings = corners_taken(found, view, chosen)
    ways = []
    for name, (width, front_to_back) in known.items():
        both = " · ".join(f"{exact(width, u)} × {exact(front_to_back, u)}" for u in (shown, _other(shown)))
        if can_be_board((width, front_to_back)):
            ways.append(
                UnitChoice(name, _UNIT_WORDS[name], both, packed(found, name, rings_offered), chosen=name == view)
            )
    inner: list[Inner] = []
    circles: list[Inner] = []
    for index, (k, ring) in enumerate(zip(rings_offered, offered(found, view, rings_offered), strict=True)):
        middle = " | ".join(exact(at, shown) for at in ring.middle)
        size = f"{exact(ring.width, shown)} × {exact(ring.height, shown)}"
        kind = f"circle {exact(ring.width, shown)} wide" if ring.circle else size
        (circles if ring.circle else inner).append(Inner(index, f"{kind}, middle at {middle}", k in chosen))
    return Preview(
        name=found.name,
        drawing=Markup(drawn(board, corners, rings)),  # noqa: S704 - our own writer's SVG
        asks=found.file.mm is None,
        ways=tuple(ways),
        inner=tuple(inner),
        circles=tuple(circles),
        notes=(*found.file.notes, *((left,) if (left := _left_out(found, rings_offered)) else ())),
    )


def _left_out(found: Read, rings: Sequence[int]) -> str:
    """What of the rings inside the outline is not even offered."""
    count = len(found.file.inner) - len(rings)
    if count <= 0:
        return ""
    lines = "1 closed line inside it is" if count == 1 else f"{count} closed lines inside it are"
    return f"{lines} not offered as openings: too many, too fine, or not wholly inside."


def _other(unit: Unit) -> Unit:
    return Unit.MM if unit is Unit.INCH else Unit.INCH
