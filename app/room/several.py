"""Several ways to make room, one after the other within one time: the one asked for, the other, and a part of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.fit.finding import Finding
from app.model.resolved import ResolvedBoard
from app.room.make import Attempt, Case, Follower, attempt, key_of
from app.room.partly import partly
from app.room.solve import Patience, endless, within
from app.units import Unit
from app.values import replace

_MANY = 30  # parts: with more a part of the way is looked for first, so that there is something whatever happens
_FIRST, _OTHER, _PARTLY = 0.7, 0.9, 1.0  # of the time there is, by which each way ends

Tell = Callable[[Attempt], None]
"""Told of the best found so far, each time something better is."""


class RoomChoices(Struct, frozen=True):
    """What came of several ways.

    Args:
        asked: what came of the way that was asked for: all that is wanted, and why it was not found.
        best: the best found; the same as ``asked`` where that found a way, or where nothing did.
        tried: for each way that was tried, in order, whether stations moved as a whole in it.
    """

    asked: Attempt
    best: Attempt
    tried: tuple[bool, ...]

    @property
    def is_whole(self) -> bool:
        """Whether the best clears everything that moving might clear."""
        return self.best.after is not None and not self.best.left


def room_on(
    board: ResolvedBoard,
    catalogue: Catalogue,
    *,
    rigid: bool = False,
    followers: Sequence[Follower] = (),
    unit: Unit = Unit.MM,
    more: Patience = endless,
    on_better: Tell = lambda _: None,
) -> RoomChoices:
    """The smallest shift found that clears all that moving can, by any way; else the one that clears the most.

    Args:
        board: the board.
        catalogue: for the rules.
        rigid: whether it was asked that stations keep their shape and move as a whole, which is tried first then.
        followers: other arrangements, in which shared holes move as well and nothing may become worse.
        unit: in which the shifts are read.
        more: whether may be searched further.
        on_better: told of the best so far.
    """
    asked = _Search(board, catalogue, followers, unit)
    some = None
    if len(board.drilled) > _MANY:
        some = asked.partly(rigid, within(more, 0.0, _FIRST / 2))
        if some.after is not None:
            on_better(some)
    first = asked.whole(rigid, within(more, 0.0, _FIRST))
    if not first.wanted or first.after is not None:
        return RoomChoices(first, first, (rigid,))
    if not _has_stations(board) or (first.proven and not rigid):
        other = None
    else:
        other = asked.whole(not rigid, within(more, _FIRST, _OTHER))
        if other.after is not None and not _left_of(first, other):
            return RoomChoices(first, other, (rigid, not rigid))
    some = some or asked.partly(rigid, within(more, _OTHER, _PARTLY))
    tried = (rigid,) if other is None else (rigid, not rigid)
    return RoomChoices(first, _better(first, some, other), tried)


class _Search(Struct, frozen=True):
    """What every way is tried with."""

    board: ResolvedBoard
    catalogue: Catalogue
    followers: Sequence[Follower]
    unit: Unit

    def whole(self, rigid: bool, more: Patience) -> Attempt:
        return attempt(self.board, self.catalogue, rigid=rigid, followers=self.followers, unit=self.unit, more=more)

    def partly(self, rigid: bool, more: Patience) -> Attempt:
        return partly(Case(self.board, self.catalogue, self.followers, rigid, more))


def _has_stations(board: ResolvedBoard) -> bool:
    """Whether some station has parts to move together."""
    return max(Counter(p.station for p in board.drilled if p.station).values(), default=0) > 1


def _left_of(asked: Attempt, found: Attempt) -> tuple[Finding, ...]:
    """What was wanted and stays, by another way than the one asked for."""
    gone = {(*key_of(f), f.where) for f in found.cleared}
    return tuple(f for f in asked.wanted if (*key_of(f), f.where) not in gone)


def _better(first: Attempt, *found: Attempt | None) -> Attempt:
    """Of ways that clear a part, the one that clears the most, the shortest of those; the first if none does."""
    some = [replace(f, wanted=first.wanted, left=_left_of(first, f)) for f in found if f and f.after is not None]
    return min((f for f in some if f.cleared), key=lambda f: (len(f.left), f.total), default=first)
