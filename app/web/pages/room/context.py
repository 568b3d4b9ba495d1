"""The page of making room: ghosts of what would move, what that clears, take it or leave it."""

from __future__ import annotations

from markupsafe import Markup
from msgspec import Struct

from app.service.checks.real_board import real_board
from app.service.drawings.drawings import room_svg
from app.service.room.room import RoomPlan, moves_words
from app.service.screens.board.findings import sentences
from app.service.screens.tally import Tally, tally_of
from app.service.sight import Sight
from app.values import replace
from app.web.shared.switches import others_of, switches_of
from app.web.shared.view_state import BoardStrip, Option, ViewState


class RoomPage(Struct, frozen=True):
    """The page of making room.

    Args:
        view: the view.
        title: of the design.
        boards: the strip of boards.
        ways: parts one by one, or whole stations.
        rigid: whether stations move as a whole.
        real: whether what is drilled stays where it really is, and only the rest moves.
        state: ``clear``, ``found`` or ``none``.
        words: what it comes to.
        drawing: the board with ghosts, inline SVG.
        moves: each move in words.
        said: all of them, to be sent along when it is taken.
        cleared: what is gone then, in sentences.
        left: what moving does not clear, in sentences.
        others: the arrangements that are not on screen.
        tally: stops and cautions as they are.
        unit: of the form.
        back_url: the board page.
        problem: why it could not be taken; empty if it was not tried.
    """

    view: ViewState
    title: str
    boards: BoardStrip
    ways: tuple[Option, ...]
    rigid: bool
    real: bool
    state: str
    words: str
    drawing: Markup
    moves: tuple[str, ...]
    said: str
    cleared: tuple[str, ...]
    left: tuple[str, ...]
    others: tuple[Option, ...]
    tally: Tally
    unit: str
    back_url: str
    problem: str = ""


def room_page(
    sight: Sight, view: ViewState, room: RoomPlan, *, rigid: bool, real: bool = False, problem: str = ""
) -> RoomPage:
    """The page for a board and the room that was found."""
    if real:
        sight = replace(sight, checked=real_board(sight.checked))
    built = "1" if real else ""
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    switches = switches_of(sight, view, "/room")
    moves = [(ghost.placement, ghost.there, ghost.words) for ghost in room.ghosts]
    return RoomPage(
        view=view,
        title=sight.title,
        boards=switches["boards"],
        ways=(
            Option("Parts one by one", view.url("/room", built=built), not rigid),
            Option("Whole stations", view.url("/room", rigid="1", built=built), rigid),
        ),
        rigid=rigid,
        real=real,
        state=room.state,
        words=room.words,
        drawing=Markup(room_svg(sight.checked, moves)),  # noqa: S704 - our own writer's SVG
        moves=tuple(ghost.words for ghost in room.ghosts),
        said=moves_words(room),
        cleared=sentences(room.cleared, sight.checked),
        left=sentences(room.left, sight.checked),
        others=others_of(sight, view),
        tally=tally_of(sight.checked),
        unit=sight.unit.value,
        back_url=view.url("/built" if real else ""),
        problem=problem,
    )
