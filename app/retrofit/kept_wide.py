"""Old holes that are kept though they are wider or narrower than the new ones: what the rules say of them so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from app.fit.report.report import check
from app.geometry.shapes import circle
from app.model.as_built import CutKey
from app.model.as_built_board import hole_numbers
from app.model.resolved import Placed, ResolvedBoard
from app.retrofit.cut import DrilledCut
from app.retrofit.left_open import key_of
from app.retrofit.meeting import Meetings
from app.retrofit.option import OldWay
from app.values import replace

_TINY: Final = 1e-6  # mm
_ALONE: Final = 40
"""Holes that are judged one by one at most; of more, each that is in a finding counts as harm."""

_Key = tuple[str, str, tuple[str, ...], str]


def other_width(old: DrilledCut, new: DrilledCut) -> float:
    """How wide a new hole is where the old one is kept for it; 0 where that is as wide as it shall be [mm]."""
    differs = new.key.sort == "hole" and new.shape.is_circle and abs(old.width - new.width) > _TINY
    return old.width if differs else 0.0


def with_widths(board: ResolvedBoard, widths: Mapping[CutKey, float]) -> ResolvedBoard:
    """The board with some of its round holes as wide as they are kept [mm]."""
    owners = {key.placement for key in widths}
    return board.populated(tuple(as_wide(p, widths) if p.id in owners else p for p in board.placements))


def as_wide(placed: Placed, widths: Mapping[CutKey, float]) -> Placed:
    """A placement with some of its holes as wide as they are kept [mm]."""
    keys = [CutKey(placed.id, "hole", number) for number in hole_numbers(placed.part)]
    holes = tuple(
        replace(hole, shape=circle(widths[key], *hole.centre)) if key in widths else hole
        for key, hole in zip(keys, placed.holes, strict=True)
    )
    return replace(placed, holes=holes)


def keep_harms(
    meetings: Meetings, options: Sequence[Sequence[OldWay]]
) -> tuple[frozenset[int], frozenset[tuple[int, int]]]:
    """Old cuts that may not be kept, as the rules find more of the board with them; and pairs not to be kept both."""
    wide = {
        k: (new, width)
        for k, some in enumerate(options)
        for option in some
        if option.kind == "keep"
        and option.new is not None
        and (width := other_width(meetings.old[k], new := meetings.new[option.new]))
    }
    if not wide:
        return frozenset(), frozenset()
    fresh = _found(meetings, ())
    harms: set[int] = set()
    pairs: set[tuple[int, int]] = set()
    alone: dict[int, Counter[_Key]] = {}
    for key in _found(meetings, wide.values()) - fresh:
        mine = sorted(k for k, (new, _) in wide.items() if new.key.placement in key[2])
        for k in mine if len(mine) > 1 else ():
            if k not in alone and len(alone) < _ALONE:
                alone[k] = _found(meetings, [wide[k]]) - fresh
        guilty = {k for k in mine if len(mine) == 1 or k not in alone or alone[k][key] > 0}
        harms |= guilty
        if not guilty:
            pairs.update((one, other) for n, one in enumerate(mine) for other in mine[n + 1 :])
    return frozenset(harms), frozenset(pairs)


def _found(meetings: Meetings, wide: Iterable[tuple[DrilledCut, float]]) -> Counter[_Key]:
    """What the rules find of the new board with some of its holes as wide as they are kept, but notes."""
    widths = {new.key: width for new, width in wide}
    board = with_widths(meetings.board, widths) if widths else meetings.board
    return Counter(key_of(f) for f in check(board, meetings.catalogue).findings if f.severity != "note")
