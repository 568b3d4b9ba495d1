"""The board page: everything on it as typed values."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.checks.facts import PartLine, Truth
from app.service.drawings.formats import VIEWS
from app.service.screens.bench.at_board_end import as_drilled_words
from app.service.screens.board.arrangement_card import ArrangementCard
from app.service.screens.board.board_seen import View, board_seen
from app.service.screens.board.hardware_list import TileGroup
from app.service.screens.board.layer_list import LayerChoice
from app.service.screens.board.part_card import Selected
from app.service.screens.board.report_seen import shares_holes
from app.service.screens.board.several_card import SeveralCard, StationCard
from app.service.screens.measured import MeasuredDistance
from app.service.screens.shop_card import ShopCard
from app.service.sight import Sight
from app.web.shared.report import ReportBlock, report_block
from app.web.shared.switches import switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState


class BoardPage(Struct, frozen=True):
    """The board page.

    Args:
        view: the view.
        title: of the design.
        boards: the strip of boards.
        is_deck: whether hands rest on it, so that players' stations are put there.
        arrangements, faces, units: switches; one with a single way is empty.
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
        made: id of each maker on the board, and what it makes, in words within a sentence.
        truth: the line at the foot.
        shop: what the workshop has.
        arrangement: what can be done to the arrangement in view.
        unit: unit of fields, ``mm`` or ``inch``.
        grid: step of an arrow key [mm].
        as_drilled: how it does as it was drilled; empty where nothing is.
        as_drilled_url: what is drilled.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    title: str
    boards: BoardStrip
    is_deck: bool
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
    several: SeveralCard | None
    measured: MeasuredDistance | None
    station: StationCard | None
    parts: tuple[PartLine, ...]
    made: tuple[tuple[str, str], ...]
    truth: Truth
    shop: ShopCard
    arrangement: ArrangementCard
    unit: str
    grid: float
    as_drilled: str
    as_drilled_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def board_page(
    sight: Sight,
    view: ViewState,
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
    view = view.at(select=sight.present(view.select)).showing(sight.revision)
    seen = board_seen(sight, View(view.face, view.section, view.select, view.to, view.layers))
    undo, redo = sight.steps
    shared = shares_holes(sight)
    return BoardPage(
        view=view,
        title=sight.title,
        **switches_of(sight, view),
        is_deck=sight.checked.resolved.role == "deck",
        undo=undo,
        redo=redo,
        palette=seen.palette,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        layers=seen.layers,
        files=view_files(view),
        report=report_block(
            sight.checked, view, ways=not later, find=find, problems=problems, typed=typed, shared=shared
        ),
        ways_url=view.at(seen="").url("/ways", of=sight.revision) if later else "",
        selected=seen.selected,
        several=seen.several,
        measured=seen.measured,
        station=seen.station,
        parts=seen.parts,
        made=seen.made,
        truth=seen.truth,
        shop=seen.shop,
        arrangement=seen.arrangement,
        unit=sight.unit.value,
        grid=seen.grid,
        as_drilled=as_drilled_words(sight.checked),
        as_drilled_url=view.at(select=(), section=False, face="top", seen="").url("/at-board", at="end"),
        problems=problems or {},
        typed=typed or {},
    )


def view_files(view: ViewState) -> tuple[Option, ...]:
    """What is in view as files; none for a section through nothing."""
    if view.section and not view.select:
        return ()
    face = "underside" if view.face == "under" else "board"
    of = f"section:{view.select[0]}" if view.section else face
    return tuple(Option(each.words, view.url(f"/view{each.ending}", of=of)) for each in VIEWS)
