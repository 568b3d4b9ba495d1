"""The coupon of a board: one of each cut it has, to be made in scrap and tried before the board is touched."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.shop.bit_uses import BitUse, uses_of
from app.shop.screw_pilots import screw_pilots
from app.values import replace

SampleSort = Literal["hole", "counterbore", "recess", "screw pilot", "rail joint"]
SORTS: Final[tuple[SampleSort, ...]] = ("hole", "counterbore", "recess", "screw pilot", "rail joint")

_SAME: Final = 1e-6  # mm
_POCKET: Final = 40.0
"""Side of a trial recess at most [mm]: enough of a corner to try a plate in. Choice of this program."""
_OFFCUT: Final = 60.0
"""Length of the offcut of rail that is glued on [mm]. Choice of this program."""


class Sample(Struct, frozen=True):
    """One cut of a coupon.

    Args:
        number: on the sheet, from 1.
        sort: what is cut, or joined.
        width: of the hole or counterbore, the side of a trial recess, the width of a rail [mm].
        depth: how deep; None right through, and of a joint [mm].
        corner: inside radius of a recess [mm]; 0 of others.
        hole: width of the hole through a counterbore [mm]; 0 where there is none.
        length: of a joint [mm]; 0 of others.
        bit: what makes it; None where nothing of the workshop's does, or nothing is needed.
        part: id of the hardware it is for; empty of a joint.
        tried: what to try in it, in words; empty where nothing goes in.
        letters: where it is on the board.
    """

    number: int
    sort: SampleSort
    width: float
    depth: float | None
    corner: float
    hole: float
    length: float
    bit: Bit | None
    part: str
    tried: str
    letters: tuple[str, ...]

    @property
    def key(self) -> tuple[str, str, str, float]:
        """Which it is, whatever its number: what is cut, for which part, with which bit, or how wide where none is."""
        wide = self.bit.diameter if self.bit is not None else self.width
        return self.sort, self.part, self.bit.kind if self.bit is not None else "", round(wide, 6)


def samples_of(board: ResolvedBoard) -> tuple[Sample, ...]:
    """One hole for each bit and part, then counterbores, recesses, screw pilots, and a rail joint; each once."""
    found: dict[tuple[object, ...], Sample] = {}
    for sample in (*_cuts(board), *_screws(board), *_rails(board)):
        key = (*sample.key, sample.depth, sample.corner)
        old = found.get(key)
        if old is None:
            found[key] = sample
        else:
            found[key] = replace(old, letters=tuple(dict.fromkeys((*old.letters, *sample.letters))))
    rows = sorted(found.values(), key=lambda sample: SORTS.index(sample.sort))
    return tuple(replace(sample, number=number) for number, sample in enumerate(rows, 1))


def _cuts(board: ResolvedBoard) -> Iterator[Sample]:
    for use in uses_of(board):
        letters = tuple(dict.fromkeys(p.label or p.part.name for p in use.placements))
        if use.sort == "hole":
            width = use.bit.diameter if use.bit is not None else use.nominal
            yield _sample("hole", width, None, use, letters)
        elif use.sort == "counterbore":
            first = next((h for h in use.placements[0].holes if h.is_circle), None)
            hole = first.diameter if first is not None and first.diameter < use.nominal - _SAME else 0.0
            yield replace(_sample("counterbore", use.nominal, use.depth, use, letters), hole=hole)
        elif use.sort == "recess":
            recess = use.placements[0].recess
            if recess is not None:
                side = max(min(_POCKET, recess.width, recess.height), 2 * recess.corner)
                yield replace(_sample("recess", side, use.depth, use, letters), corner=recess.corner)


def _sample(sort: SampleSort, width: float, depth: float | None, use: BitUse, letters: tuple[str, ...]) -> Sample:
    tried = "" if use.part.is_pattern else use.part.name  # nothing goes into the holes of a pattern
    return Sample(0, sort, width, depth, 0.0, 0.0, 0.0, use.bit, use.part.id, tried, letters)


def _screws(board: ResolvedBoard) -> Iterator[Sample]:
    """A pilot of each width and depth, with the twist bit of the workshop that is as wide."""
    for placed in board.drilled:
        pilots = screw_pilots(board, placed)
        if pilots is None:
            continue
        bit = next(
            (b for b in board.tooling.bits if b.kind != "router" and abs(b.diameter - pilots.diameter) <= _SAME), None
        )
        letter = placed.label or placed.part.name
        tried = f"a screw of {placed.part.name}"
        yield Sample(
            0, "screw pilot", pilots.diameter, pilots.depth, 0.0, 0.0, 0.0, bit, placed.part.id, tried, (letter,)
        )


def _rails(board: ResolvedBoard) -> Iterator[Sample]:
    rails = sorted({edge.rail for edge in board.edges if edge.rail > 0}, reverse=True)
    for rail in rails[:1]:
        edges = tuple(f"{edge.edge} edge" for edge in board.edges if edge.rail > 0)
        tried = "an offcut of the rail, glued and screwed as on the board"
        yield Sample(0, "rail joint", rail, None, 0.0, 0.0, _OFFCUT, None, "", tried, edges)
