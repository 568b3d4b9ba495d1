"""The board page: everything on it as typed values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from markupsafe import Markup

from app.document.resolve import find_arrangement, find_board
from app.drafting.words import exact, length
from app.fit.layout import natural
from app.model.resolved import ResolvedBoard
from app.service.changes import grid_of
from app.service.checking import CheckResult
from app.service.drawings import board_svg, section_svg
from app.service.facts import facts_of, sheet_words_of
from app.service.formats import VIEWS
from app.service.sight import Sight
from app.units import Unit
from app.web.contexts.arrangements import ArrangementCard, arrangement_card
from app.web.contexts.here import Here, Option
from app.web.contexts.layers import LayerChoice, layers_of
from app.web.contexts.measured import Measured, measured_from
from app.web.contexts.palette import TileGroup, palette_of
from app.web.contexts.report import ReportBlock, report_block, shares_holes
from app.web.contexts.selected import Selected, selected_card
from app.web.contexts.several import Several, StationCard, several_card, station_card
from app.web.contexts.shop_card import ShopCard, shop_card
from app.web.contexts.switches import switches_of
from app.web.contexts.words import counted, material_words


@dataclass(frozen=True, slots=True)
class PartLine:
    """One line of the list of parts, for finding a part without a pointer: its letter and middle, what it is."""

    id: str
    words: str
    part: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class Truth:
    """The line at the foot: what the board asks of the bench."""

    size: str
    material: str
    holes: str
    off: str
    bits: str
    sheets: str


@dataclass(frozen=True, slots=True)
class BoardPage:
    """The board page.

    Args:
        here: the view.
        title: of the design.
        boards, arrangements, faces, units: switches; one with a single way is empty.
        undo, redo: names of the steps; empty if there is none.
        palette: hardware to add.
        drawing: the board, or the section through the part in hand, inline SVG; empty if none is in hand.
        layers: what of the drawing can be shown and hidden.
        files: the drawing in view as files.
        report: the fit report.
        ways_url: where the report with its ways out is, if this one is without; else empty.
        selected: the card of the part in hand; None if none or several.
        several: the card of the selected parts, if they are more than one.
        measured: what lies between the part in hand and another; None if it is alone.
        station: the player's station the part in hand belongs to.
        parts: every part, in reading order.
        truth: the line at the foot.
        shop: what the workshop has.
        arrangement: what can be done to the arrangement in view.
        unit: unit of fields, ``mm`` or ``inch``.
        grid: step of an arrow key [mm].
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    here: Here
    title: str
    boards: tuple[Option, ...]
    arrangements: tuple[Option, ...]
    faces: tuple[Option, ...]
    units: tuple[Option, ...]
    undo: str
    redo: str
    palette: tuple[TileGroup, ...]
    drawing: Markup
    layers: tuple[LayerChoice, ...]
    files: tuple[Option, ...]
    report: ReportBlock
    ways_url: str
    selected: Selected | None
    several: Several | None
    measured: Measured | None
    station: StationCard | None
    parts: tuple[PartLine, ...]
    truth: Truth
    shop: ShopCard
    arrangement: ArrangementCard
    unit: str
    grid: float
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def board_page(
    sight: Sight,
    here: Here,
    *,
    find: str = "",
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    later: bool = False,
) -> BoardPage:
    """The page for a view of a design; ``find`` names the finding or group whose fix is asked for.

    Ways out that were not tried yet are left for the page to ask for, if it can do that ``later``.
    """
    later = later and not find and not sight.checked.report.tried
    board = sight.checked.resolved
    here = here.at(select=tuple(s for s in here.select if board.placed(s) is not None)).showing(sight.head.revision.id)
    hand = board.placed(here.select[0]) if len(here.select) == 1 else None
    entry = find_board(sight.design, board.id)
    return BoardPage(
        here=here,
        title=sight.design.title,
        **switches_of(sight.design, here, board, "", sight.states),
        undo=sight.head.undo or "",
        redo=sight.head.redo or "",
        palette=palette_of(sight.design, here.design),
        drawing=_drawing(sight, here),
        layers=layers_of(board, here),
        files=view_files(here),
        report=report_block(
            sight.checked, here, ways=not later, find=find, problems=problems, typed=typed, shared=shares_holes(sight)
        ),
        ways_url=here.at(seen="").url("/ways", of=sight.head.revision.id) if later else "",
        selected=selected_card(hand, sight.checked, sight.design, here) if hand is not None else None,
        several=several_card(sight.checked, sight.design, here),
        measured=measured_from(hand, board, here) if hand is not None else None,
        station=station_card([hand], board, sight.design, here) if hand is not None else None,
        parts=_part_lines(board, here),
        truth=truth_of(sight.checked, here),
        shop=shop_card(sight.design, board, here),
        arrangement=arrangement_card(entry, find_arrangement(entry, board.arrangement_id)),
        unit=board.units,
        grid=grid_of(Unit(board.units)),
        problems=problems or {},
        typed=typed or {},
    )


def _drawing(sight: Sight, here: Here) -> Markup:
    seen = sight.checked
    if not here.section:
        drawn = board_svg(seen, here.face, here.select, here.to, here.layers)
        return Markup(drawn)  # noqa: S704 - our own writer's SVG
    return Markup(section_svg(seen, here.select[0]) if here.select else "")  # noqa: S704 - likewise


def view_files(here: Here) -> tuple[Option, ...]:
    """What is in view as files; none for a section through nothing."""
    of = (
        f"section:{here.select[0]}"
        if here.section and here.select
        else "underside"
        if here.face == "under"
        else "board"
    )
    if here.section and not here.select:
        return ()
    return tuple(Option(each.words, here.url(f"/view{each.ending}", of=of)) for each in VIEWS)


def _part_lines(board: ResolvedBoard, here: Here) -> tuple[PartLine, ...]:
    """By letter, as somebody at the bench looks for one; figures without their unit, which the list gives once."""
    unit = Unit(board.units)
    return tuple(
        PartLine(
            p.id,
            f"{p.label or '–'}: {_figure(p.x, unit)} from left, {_figure(p.y, unit)} from front",
            p.part.name + ("" if p.drill else ", not drilled"),
            here.at(select=(p.id,)).url(),
            p.id in here.select,
        )
        for p in sorted(board.placements, key=lambda p: (not p.label, natural(p.label), natural(p.id)))
    )


def _figure(mm: float, unit: Unit) -> str:
    return length(mm, unit).removesuffix(" mm")


def truth_of(seen: CheckResult, here: Here) -> Truth:
    """The line at the foot for a board, seen from the face in view."""
    board = seen.resolved
    unit, facts = Unit(board.units), facts_of(board)
    sides = [exact(v, unit) for v in (board.width, board.depth_front_to_back, board.thickness)]
    if unit is Unit.MM:
        sides[:2] = [side.removesuffix(" mm") for side in sides[:2]]
    return Truth(
        size=" × ".join(sides),
        material=material_words(board.layers),
        holes=counted(facts.holes, "hole"),
        off=f"{facts.off} not drilled" if facts.off else "",
        bits=_joined(facts.bits),
        sheets=sheet_words_of(seen, here.face),
    )


def _joined(sizes: tuple[str, ...]) -> str:
    """``30 · 28 · 24 mm``: the unit once if all are in millimetres."""
    metric = all(size.endswith(" mm") for size in sizes)
    return (
        " · ".join(size.removesuffix(" mm") for size in sizes) + (" mm" if sizes else "")
        if metric
        else " · ".join(sizes)
    )
