"""The page of all boards: what each is, how it stands, and what can be done to it."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from app.service.edits.boards import blank_size
from app.service.screens.board_list import blank_words, full_words
from app.service.screens.places import places_of
from app.service.sight import Sight
from app.values import replace
from app.web.shared.switches import board_option, switches_of
from app.web.shared.view_state import Option, ViewState


class BoardRow(Struct, frozen=True):
    """A board.

    Args:
        id: of it.
        link: its name, where it is looked at, its picture, its size and how it stands.
        words: what it is for, and how many arrangements it has.
        first, last: whether it stands at an end of the list.
    """

    id: str
    link: Option
    words: str
    first: bool
    last: bool


class BoardRows(Struct, frozen=True):
    """The boards as rows.

    Args:
        view: the view.
        unit: unit of fields.
        each: every board.
        only: whether there is but one, which cannot be deleted.
        full: why none can be added; empty if one can.
        ask: where how they stand is asked for, if the page could not wait for that.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    unit: str
    each: tuple[BoardRow, ...]
    only: bool
    full: str
    ask: str = ""
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


class BoardsPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        units: the switch.
        rows: the boards.
        full: why none can be added; empty if one can.
        blank: what a blank board becomes, in a sentence.
        width, depth: of a blank board, as they are typed.
        unit: unit of fields.
        undo, redo: names of the steps; empty if there is none.
        back_url: the board page.
        report_url: the fit report of all boards.
        bring_url: where boards are brought to other designs.
        make_url: where boards are made from measures.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    title: str
    units: tuple[Option, ...]
    rows: BoardRows
    full: str
    blank: str
    width: str
    depth: str
    unit: str
    undo: str
    redo: str
    back_url: str
    make_url: str
    report_url: str
    bring_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def boards_page(
    sight: Sight,
    view: ViewState,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> BoardsPage:
    """The page for a design, with the board in view marked."""
    view = _plain(sight, view)
    switches, (undo, redo) = switches_of(sight, view, "/boards"), sight.steps
    width, depth = blank_size(sight.unit)
    return BoardsPage(
        view=view,
        title=sight.title,
        units=switches["units"],
        rows=replace(
            board_rows(sight, view),
            ask=view.url("/states", on="/boards"),
            problems=problems or {},
            typed=typed or {},
        ),
        full=full_words(sight.design),
        blank=blank_words(sight.design),
        width=width,
        depth=depth,
        unit=sight.unit.value,
        undo=undo,
        redo=redo,
        back_url=view.url(),
        make_url=view.url("/make"),
        report_url=view.url("/report"),
        bring_url=view.url("/bring"),
        problems=problems or {},
        typed=typed or {},
    )


def board_rows(sight: Sight, view: ViewState) -> BoardRows:
    """The rows of a design, each board as far as the sight knows how it stands."""
    view, places = _plain(sight, view), places_of(sight, alone=True).boards
    last = len(places) - 1
    each = tuple(
        BoardRow(place.id, board_option(place, view), place.about, first=index == 0, last=index == last)
        for index, place in enumerate(places)
    )
    return BoardRows(view, sight.unit.value, each, len(places) == 1, full_words(sight.design))


def _plain(sight: Sight, view: ViewState) -> ViewState:
    return view.at(select=(), section=False, face="top").showing(sight.revision)
