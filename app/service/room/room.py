"""Making room on a board: shown first, then taken as one step or left."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from app.arrange.change import Edit
from app.arrange.placement.edit import move_by, shift_words
from app.catalogue.load import catalogue
from app.document.as_built import with_held
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.geometry.shapes import Point
from app.model.as_built_board import as_built_board
from app.model.resolved import ResolvedBoard
from app.room.degrees_of_freedom import degrees_of_freedom
from app.room.make import Attempt, Follower, wanted_of
from app.room.reasons import reason_for
from app.room.several import RoomChoices, room_on
from app.room.solve import within
from app.service.background.budget import apart, handed_over, patience
from app.service.checks.checking import Revised, parsed
from app.service.edits.changes import DesignChange
from app.service.edits.shared_holes import same_hole
from app.service.room.room_words import (
    ENDED,
    found_words,
    listed,
    nothing_words,
    reason_words,
    some_words,
    too_many_words,
    why_words,
)
from app.service.sight import Sight, revised_of
from app.units import Unit

_MANY = 30  # parts: with no more, a way is found before another process would have begun
MOST = 500
"""Parts for which room is looked for: each may stand in the way of each other, and with three times as many it takes
8 s of work before the search begins."""

MOST_HOLES = 1500
"""Holes of those parts: likewise; with twice as many it worked 8 s."""

_SECONDS, _CLOCK = 4.0, 4.5  # of work, and by the clock: whoever would wait longer moves parts by hand
_SEARCH = 0.85  # of that, for ways; the rest is for what would give room where none was found


class Ghost(Struct, frozen=True):
    """A part that would move.

    Args:
        placement: its id.
        name: its letter, or its part.
        here: where its origin is [mm].
        there: where it would be [mm].
        words: how far, in display units: ``A 3.2 mm right``.
    """

    placement: str
    name: str
    here: Point
    there: Point
    words: str


class RoomPlan(Struct, frozen=True):
    """What making room would do.

    Args:
        state: ``clear`` where moving has nothing to clear, ``found`` where there is a way, ``some`` where the best
            way found clears a part, ``none`` where none was found.
        proven: where none was found that clears all, whether it is proven that there is none.
        ghosts: what would move; empty unless there is a way.
        total: sum of the distances [mm].
        words: what it comes to, in a sentence or two; where none was found, why, and what would give room.
        cleared: findings that are gone then; empty unless there is a way.
        left: open stops and cautions that the move does not clear.
    """

    state: Literal["clear", "found", "some", "none"]
    proven: bool
    ghosts: tuple[Ghost, ...]
    total: float
    words: str
    cleared: tuple[Finding, ...]
    left: tuple[Finding, ...]


def room_is_wanted(report: Report) -> bool:
    """Whether there is an open stop or caution that moving parts might clear; quick, without looking for a way."""
    return bool(wanted_of(report, degrees_of_freedom(report.board, loose=True)))


def make_room(
    design: Design,
    where: Where,
    *,
    rigid: bool = False,
    real: bool = False,
    units: str = "",
    seconds: float = math.inf,
    clock: float = math.inf,
) -> RoomPlan:
    """The smallest total shift found that clears every stop and caution that moving can clear; nothing is changed.

    The total is the sum of the distances that the parts move. Locked and undrilled parts stay, mirror pairs stay
    mirror pairs, holes shared with other arrangements move in all of them. Where the way that is asked for finds
    nothing, the other is tried; where none clears everything, the one that clears the most is given.

    Args:
        design: the design.
        where: the board.
        rigid: whether stations are first to keep their shape and move as a whole.
        real: whether the board is taken as it was drilled: what is drilled stays where it really is, with old holes
            among it, and only the rest moves.
        units: of the screen; empty for the design's own.
        seconds: how long all of it may work.
        clock: how long it may take by the clock [s].

    Raises:
        NotFoundError: no such board or arrangement.
        DocumentError: an unknown material, part or paper.
    """
    more = patience(seconds, clock)
    board, followers = _boards(design, where, real=real)
    units = units or board.units
    parts, holes = len(board.placements), sum(len(placed.holes) for placed in board.placements)
    if parts > MOST or holes > MOST_HOLES:
        words = too_many_words((parts, holes), (MOST, MOST_HOLES))
        return RoomPlan("none", False, (), 0.0, words, (), _grave(check(board, catalogue())))

    def on_better(best: Attempt) -> None:
        handed_over(_way(RoomChoices(best, best, (best.rigid,)), units, ENDED))

    found = room_on(
        board,
        catalogue(),
        rigid=rigid,
        followers=followers,
        unit=Unit(units),
        more=within(more, 0.0, _SEARCH),
        on_better=on_better,
    )
    if not found.asked.wanted:
        return RoomPlan(
            "clear", False, (), 0.0, nothing_words(found.asked, rigid=rigid), (), _grave(found.asked.before)
        )
    if found.is_whole:
        return _way(found, units)
    if found.best.after is not None:
        handed_over(_way(found, units, ENDED))
    late = within(more, _SEARCH, 1.0)
    reason = reason_for(found.asked, catalogue(), rigid=rigid, followers=followers, more=late)
    if found.best.after is not None:
        return _way(found, units, reason_words(found.asked, reason, units))
    words = why_words(found, reason, units)
    return RoomPlan("none", found.asked.proven, (), 0.0, words, (), _grave(found.asked.before))


def _way(found: RoomChoices, units: str, also: str = "") -> RoomPlan:
    """A way that was found, whether it clears all or a part, with more to say of it."""
    best = found.best
    if best.after is None:
        raise ValueError("no way was found")
    ghosts = tuple(_ghost(best.board, m.placement, (m.dx, m.dy), units) for m in best.moves)
    left = _grave(best.after)
    words = found_words(found, left, units) if found.is_whole else some_words(found, units)
    state: Literal["found", "some"] = "found" if found.is_whole else "some"
    words = f"{words} {also}" if also else words
    return RoomPlan(state, found.asked.proven and not found.is_whole, ghosts, best.total, words, best.cleared, left)


def room_found(sight: Sight, where: Where, *, rigid: bool, real: bool = False) -> RoomPlan:
    """What making room would do on a board in view, or as it was really drilled, in a time that can be waited for.

    The last ones are remembered, so that what is taken is what was shown.

    Raises:
        BudgetError: it took longer all the same.
    """
    revision = sight.head.revision
    document = sight.checked.document or revised_of(revision)
    return _found(document, where, (rigid, real), sight.checked.resolved.units)


@lru_cache(maxsize=8)
def _found(document: Revised, where: Where, how: tuple[bool, bool], units: str) -> RoomPlan:
    design, (rigid, real) = parsed(document), how
    many = len(find_arrangement(find_board(design, where.board), where.arrangement).placements) > _MANY
    return apart(many, make_room, design, where, rigid=rigid, real=real, units=units, seconds=_SECONDS, clock=_CLOCK)


def room_made(where: Where, room: RoomPlan, seen: Design, *, said: str | None = None) -> DesignChange:
    """Make room as one step.

    The way is looked for before the change begins: others may change designs while that takes its time.

    Args:
        where: the board.
        room: the way, as :func:`make_room` found it.
        seen: the design it was found on.
        said: the words that were shown before it was taken; None to take whatever way there is.
    """
    held = with_held(seen)  # as every change is made: what is drilled stays

    def change(design: Design) -> Edit:
        if design not in (seen, held):
            raise EditError(
                "The board has changed since, so nothing was done. This is what would make room now.", "room"
            )
        if not room.ghosts:
            raise EditError(f"No room was made. {room.words}", "room")
        if said is not None and said != moves_words(room):
            raise EditError(
                f"The board has changed since, so nothing was done. What would make room now: {moves_words(room)}.",
                "room",
            )
        for ghost in room.ghosts:
            dx, dy = ghost.there[0] - ghost.here[0], ghost.there[1] - ghost.here[1]
            design = move_by(design, where.board, where.arrangement, ghost.placement, dx, dy).design
        done = "Made room" if room.state == "found" else "Made some room"
        return Edit(design, f"{done}: {listed([g.words for g in room.ghosts])}")

    return change


def moves_words(room: RoomPlan) -> str:
    """Every move in words, one after the other."""
    return "; ".join(ghost.words for ghost in room.ghosts)


def _boards(design: Design, where: Where, *, real: bool) -> tuple[ResolvedBoard, tuple[Follower, ...]]:
    """The board, and its other arrangements with the holes they share; as drawn, or as they were really drilled."""
    as_it_is = as_built_board if real else _as_drawn
    entry = find_board(design, where.board)
    here = find_arrangement(entry, where.arrangement)
    mine = {p.id: p for p in here.placements}
    followers = []
    for other in entry.arrangements:
        shared = frozenset(p.id for p in other.placements if p.id in mine and same_hole(mine[p.id], p))
        if other.id != here.id and shared:
            followers.append(Follower(as_it_is(resolve(design, entry.id, other.id, catalogue())), shared))
    return as_it_is(resolve(design, entry.id, here.id, catalogue())), tuple(followers)


def _as_drawn(board: ResolvedBoard) -> ResolvedBoard:
    return board


def _ghost(board: ResolvedBoard, placement: str, by: Point, units: str) -> Ghost:
    placed = next(p for p in board.placements if p.id == placement)
    name = placed.label or placed.part.name
    there = (round(placed.x + by[0], 6), round(placed.y + by[1], 6))
    return Ghost(placement, name, (placed.x, placed.y), there, f"{name} {shift_words(*by, units)}")


def _grave(report: Report) -> tuple[Finding, ...]:
    return (*report.stops, *report.cautions)
