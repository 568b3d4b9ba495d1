"""Making room on a board: shown first, then taken as one step or left."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from app.arrange.change import Edit
from app.arrange.edit import move_by, shift_words
from app.catalogue.load import catalogue
from app.document.resolve import find_arrangement, find_board, resolve
from app.document.schema import Design
from app.errors import EditError
from app.fit.finding import Finding
from app.fit.layout import natural
from app.fit.report import Report
from app.fit.words import names
from app.geometry.shapes import Point
from app.model.resolved import ResolvedBoard
from app.room.freedom import freedom_of
from app.room.make import Attempt, Follower, attempt, wanted_of
from app.room.reasons import reason_for
from app.room.solve import Patience
from app.service.budget import apart, patience
from app.service.changes import Change, Where
from app.service.checking import Revised, parsed
from app.service.twins import same_hole
from app.service.workshop import Sight
from app.units import INCH, Unit, format_length

_NAMED = 3  # moves told one by one in the name of a step
_MANY = 30  # parts: with no more, a way is found before another process would have begun
_SECONDS = 3.0  # how long is searched for a way; whoever would wait longer moves parts by hand
_TOGETHER = 6  # parts short of room together that are told by name


@dataclass(frozen=True, slots=True)
class Ghost:
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


@dataclass(frozen=True, slots=True)
class Room:
    """What making room would do.

    Args:
        state: ``clear`` where moving has nothing to clear, ``found`` where there is a way, ``none`` where none
            was found.
        proven: where none was found, whether it is proven that there is none.
        ghosts: what would move; empty unless found.
        total: sum of the distances [mm].
        words: what it comes to, in a sentence or two; where none was found, why, and what would give room.
        cleared: findings that are gone then; empty unless found.
        left: open stops and cautions that moving does not clear.
    """

    state: Literal["clear", "found", "none"]
    proven: bool
    ghosts: tuple[Ghost, ...]
    total: float
    words: str
    cleared: tuple[Finding, ...]
    left: tuple[Finding, ...]


def room_is_wanted(report: Report) -> bool:
    """Whether there is an open stop or caution that moving parts might clear; quick, without looking for a way."""
    return bool(wanted_of(report, freedom_of(report.board, loose=True)))


def make_room(design: Design, where: Where, *, rigid: bool = False, units: str = "", seconds: float = math.inf) -> Room:
    """The smallest total shift found that clears every stop and caution that moving can clear; nothing is changed.

    The total is the sum of the distances that the parts move. Locked and undrilled parts stay, mirror pairs stay
    mirror pairs, holes shared with other arrangements move in all of them.

    Args:
        design: the design.
        where: the board.
        rigid: whether stations keep their shape and move as a whole.
        units: of the screen; empty for the design's own.
        seconds: how long may be searched for a way, and half as long again for what would give room.

    Raises:
        NotFoundError: no such board or arrangement.
        DocumentError: an unknown material, part or paper.
    """
    board, followers = _boards(design, where)
    units = units or board.units
    found = attempt(board, catalogue(), rigid=rigid, followers=followers, unit=Unit(units), more=patience(seconds))
    if not found.wanted:
        return Room("clear", False, (), 0.0, _nothing(found, rigid=rigid), (), _grave(found.before))
    if found.after is None:
        why = _why(found, followers, rigid=rigid, units=units, more=patience(seconds / 2))
        return Room("none", found.proven, (), 0.0, why, (), _grave(found.before))
    ghosts = tuple(_ghost(board, m.placement, (m.dx, m.dy), units) for m in found.moves)
    left = _grave(found.after)
    return Room("found", False, ghosts, found.total, _said(found, left, units), found.wanted, left)


def room_found(sight: Sight, where: Where, *, rigid: bool) -> Room:
    """What making room would do on a board in view, in a time that can be waited for.

    The last ones are remembered, so that what is taken is what was shown.

    Raises:
        BudgetError: it took longer all the same.
    """
    revision = sight.head.revision
    document = sight.checked.document or Revised(revision.id, revision.document)
    return _found(document, where, rigid, sight.checked.resolved.units)


@lru_cache(maxsize=8)
def _found(document: Revised, where: Where, rigid: bool, units: str) -> Room:
    design = parsed(document)
    many = len(find_arrangement(find_board(design, where.board), where.arrangement).placements) > _MANY
    return apart(many, make_room, design, where, rigid=rigid, units=units, seconds=_SECONDS)


def room_made(where: Where, room: Room, seen: Design, *, said: str | None = None) -> Change:
    """Make room as one step.

    The way is looked for before the change begins: others may change designs while that takes its time.

    Args:
        where: the board.
        room: the way, as :func:`make_room` found it.
        seen: the design it was found on.
        said: the words that were shown before it was taken; None to take whatever way there is.
    """

    def change(design: Design) -> Edit:
        if design != seen:
            raise EditError("The board has changed since, and nothing was done. This is what would make room.", "room")
        if room.state != "found":
            raise EditError(f"No room was made. {room.words}", "room")
        if said is not None and said != moves_words(room):
            raise EditError(
                f"The board has changed since, and nothing was done. What would make room now: {moves_words(room)}.",
                "room",
            )
        for ghost in room.ghosts:
            dx, dy = ghost.there[0] - ghost.here[0], ghost.there[1] - ghost.here[1]
            design = move_by(design, where.board, where.arrangement, ghost.placement, dx, dy).design
        return Edit(design, f"Made room: {_listed([g.words for g in room.ghosts])}")

    return change


def moves_words(room: Room) -> str:
    """Every move in words, one after the other."""
    return "; ".join(ghost.words for ghost in room.ghosts)


def _boards(design: Design, where: Where) -> tuple[ResolvedBoard, tuple[Follower, ...]]:
    """The board, and its other arrangements with the holes they share."""
    entry = find_board(design, where.board)
    here = find_arrangement(entry, where.arrangement)
    mine = {p.id: p for p in here.placements}
    followers = []
    for other in entry.arrangements:
        shared = frozenset(p.id for p in other.placements if p.id in mine and same_hole(mine[p.id], p))
        if other.id != here.id and shared:
            followers.append(Follower(resolve(design, entry.id, other.id, catalogue()), shared))
    return resolve(design, entry.id, here.id, catalogue()), tuple(followers)


def _ghost(board: ResolvedBoard, placement: str, by: Point, units: str) -> Ghost:
    placed = next(p for p in board.placements if p.id == placement)
    name = placed.label or placed.part.name
    there = (round(placed.x + by[0], 6), round(placed.y + by[1], 6))
    return Ghost(placement, name, (placed.x, placed.y), there, f"{name} {shift_words(*by, units)}")


def _grave(report: Report) -> tuple[Finding, ...]:
    return (*report.stops, *report.cautions)


def _nothing(found: Attempt, *, rigid: bool) -> str:
    apart = len(wanted_of(found.before, freedom_of(found.board, loose=True))) if rigid else 0
    if apart:
        what = "1 finding is" if apart == 1 else f"{apart} findings are"
        return f"Stations as a whole have nothing to clear: {what} within them. Moving parts one by one may help."
    return "Moving parts has nothing to clear here."


def _said(found: Attempt, left: Sequence[Finding], units: str) -> str:
    moves, cleared = len(found.moves), len(found.wanted)
    text = (
        f"{moves} {'part moves' if moves == 1 else 'parts move'}, {_length(found.total, units)} in all; "
        f"that clears {cleared} {'finding' if cleared == 1 else 'findings'}."
    )
    if left:
        stays = "1 other stays" if len(left) == 1 else f"{len(left)} others stay"
        text += f" {stays}: moving does not clear {'it' if len(left) == 1 else 'them'}."
    if found.loose:
        text += " Not all that was alike stays so: no way was found that keeps it."
    return text


def _why(found: Attempt, followers: Sequence[Follower], *, rigid: bool, units: str, more: Patience) -> str:
    reason = reason_for(found, catalogue(), rigid=rigid, followers=followers, more=more)
    ways = []
    if reason.part is not None:
        ways.append(f"leave {names(found.board, (reason.part,))} out")
    if reason.longer is not None:
        ways.append(f"make the board {_enough(reason.longer, units)} longer")
    if reason.deeper is not None:
        ways.append(f"make the board {_enough(reason.deeper, units)} deeper")
    if found.proven:
        none = "Moving parts cannot clear everything: every side on which they could pass each other was tried"
    else:
        none = "No way was found to clear everything by moving parts; that there is none is not proven"
    if 1 < len(found.stuck) <= _TOGETHER:
        none += f". {names(found.board, sorted(found.stuck, key=natural))} have too little room between them"
    if not ways:
        return f"{none}. Leaving one part out or making the board larger was not found to help either."
    return f"{none}. There is room if you {', or '.join(ways)}."


def _length(mm: float, units: str) -> str:
    unit = Unit(units)
    return format_length(mm, unit) if unit is Unit.INCH else f"{round(mm, 1) + 0.0:g} mm"


def _enough(mm: float, units: str) -> str:
    """A length at least that long: in inches the next eighth."""
    return _length(mm if Unit(units) is Unit.MM else math.ceil(mm * 8 / INCH) * INCH / 8, units)


def _listed(words: Sequence[str]) -> str:
    more = len(words) - _NAMED
    return "; ".join(words[:_NAMED]) + (f"; and {more} more" if more > 0 else "")
