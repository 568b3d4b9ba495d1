"""Every centre that is marked out on a board: what it is called, where it is, and where a rule puts it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Literal

from msgspec import Struct

from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.shop.screw_pilots import screw_pilots
from app.values import replace

Sort = Literal["hole", "opening", "screw", "counterbore", "recess"]

_SAME = 1e-6  # mm


class Centre(Struct, frozen=True):
    """A centre to mark.

    Args:
        name: the letter of its part, with a number where the part has several: ``A``, ``S1-14``; no two are alike.
        placement: id of its placement.
        sort: a hole drilled, an opening sawn or routed, a screw, or what is cut from below about a part's middle.
        face: from which it is made.
        width: of the hole as it is made, of an opening its smaller side, of a screw its pilot [mm].
        left, front: where it is, from the edges it is measured from [mm].
        left_marked, front_marked: the same as a rule reads it [mm].
        size: of a counterbore its diameter, of a recess its width and depth from front to back [mm]; else empty.
        pilot: whether a pilot from the other face already shows where it is.
        patterned: whether it is one of a pattern's many.
    """

    name: str
    placement: str
    sort: Sort
    face: Face
    width: float
    left: float
    front: float
    left_marked: float = 0.0
    front_marked: float = 0.0
    size: tuple[float, ...] = ()
    pilot: bool = False
    patterned: bool = False

    @property
    def diagonal(self) -> float:
        """From the corner it is measured from, as marked: what tells a slip of either measure [mm]."""
        return math.hypot(self.left_marked, self.front_marked)

    @property
    def off(self) -> float:
        """How far rounding moves it [mm]."""
        return math.hypot(self.left_marked - self.left, self.front_marked - self.front)


def centres_of(board: ResolvedBoard, reading: float) -> tuple[Centre, ...]:
    """Every centre of what is drilled, from the two datum edges, read to ``reading`` [mm].

    Part by part, holes before screws.
    """
    x0, y0, _, _ = board.outline.bounds
    found = (each for placed in board.drilled for each in _of(board, placed))
    return _told_apart(_read(replace(c, left=c.left - x0, front=c.front - y0), reading) for c in found)


def centres_below(board: ResolvedBoard, reading: float) -> tuple[Centre, ...]:
    """What is marked or found on the underside, as the board lies underside up, read to ``reading`` [mm].

    The board is turned over sideways, so its right edge is at the left hand, and ``left`` is measured from there;
    front stays front. Counterbores and recesses stand about their part's middle, screws where they go in.
    """
    _, y0, x1, _ = board.outline.bounds
    found = (each for placed in board.drilled for each in _below(board, placed))
    return _told_apart(_read(replace(c, left=x1 - c.left, front=c.front - y0), reading) for c in found)


def read_to(mm: float, reading: float) -> float:
    """A length to the nearest that a rule divided in ``reading`` shows, half upwards [mm]."""
    return round(math.floor(mm / reading + 0.5) * reading, 9) + 0.0


def _read(centre: Centre, reading: float) -> Centre:
    left, front = read_to(centre.left, reading), read_to(centre.front, reading)
    return replace(centre, left_marked=left, front_marked=front)


def _told_apart(found: Iterable[Centre]) -> tuple[Centre, ...]:
    """The same, those that bear one name numbered: a part may have no letter."""
    centres = tuple(found)
    count = Counter(c.name for c in centres)
    if len(count) == len(centres):
        return centres
    seen: Counter[str] = Counter()
    named = []
    for c in centres:
        seen[c.name] += 1
        named.append(replace(c, name=f"{c.name} ({seen[c.name]})") if count[c.name] > 1 else c)
    return tuple(named)


def _of(board: ResolvedBoard, placed: Placed) -> Iterator[Centre]:
    called = placed.label or placed.part.name
    pattern = placed.part.pattern
    numbers = pattern.holes.numbers.tolist() if pattern is not None else range(1, len(placed.holes) + 1)
    alone = len(placed.holes) == 1 and pattern is None
    for number, hole in zip(numbers, placed.holes, strict=True):
        name = called if alone else f"{called}-{number}"
        sort: Sort = "hole" if hole.is_circle else "opening"
        yield Centre(name, placed.id, sort, "top", hole.diameter, *hole.centre, patterned=pattern is not None)
    yield from _screws(board, placed, called)


def _screws(board: ResolvedBoard, placed: Placed, called: str) -> Iterator[Centre]:
    pilots = screw_pilots(board, placed)
    if pilots is None:
        return
    for number, at in enumerate(pilots.at, 1):
        yield Centre(f"{called} screw {number}", placed.id, "screw", pilots.face, pilots.diameter, *at)


def _below(board: ResolvedBoard, placed: Placed) -> Iterator[Centre]:
    called, at = placed.label or placed.part.name, (placed.x, placed.y)
    pilot = any(hole.is_circle and math.dist(hole.centre, at) < _SAME for hole in placed.holes)
    if placed.counterbore is not None:
        wide = placed.counterbore.diameter
        yield Centre(f"{called} counterbore", placed.id, "counterbore", "under", wide, *at, size=(wide,), pilot=pilot)
    if placed.recess is not None:
        sides = (placed.recess.width, placed.recess.height)
        yield Centre(f"{called} recess", placed.id, "recess", "under", min(sides), *at, size=sides, pilot=pilot)
    yield from (c for c in _screws(board, placed, called) if c.face == "under")
