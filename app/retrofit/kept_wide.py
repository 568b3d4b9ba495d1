"""Old holes that are kept though they are wider or narrower than the new ones: what the rules say of them so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations
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

Keep = tuple[int, int]
"""An old cut, and the new one that it is kept for."""

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
) -> tuple[frozenset[Keep], frozenset[tuple[Keep, Keep]]]:
    """What may not be kept, as the rules find more of the board with it; and what may not both be kept."""
    wide = {
        (k, option.new): (new, width)
        for k, some in enumerate(options)
        for option in some
        if option.kind == "keep"
        and option.new is not None
        and (width := other_width(meetings.old[k], new := meetings.new[option.new]))
    }
    if not wide:
        return frozenset(), frozenset()
    fresh = _found(meetings, ())
    harms: set[Keep] = set()
    pairs: set[tuple[Keep, Keep]] = set()
    alone: dict[Keep, Counter[_Key]] = {}
    for together in _rounds(wide):
        for key in _found(meetings, [wide[keep] for keep in together]) - fresh:
            mine = sorted(keep for keep in together if wide[keep][0].key.placement in key[2])
            for keep in mine if len(mine) > 1 else ():
                if keep not in alone and len(alone) < _ALONE:
                    alone[keep] = _found(meetings, [wide[keep]]) - fresh
            guilty = {keep for keep in mine if len(mine) == 1 or keep not in alone or alone[keep][key] > 0}
            harms |= guilty
            if not guilty:
                pairs.update(combinations(mine, 2))
    return frozenset(harms), frozenset(pairs)


def _rounds(keeps: Iterable[Keep]) -> list[list[Keep]]:
    """Lots of what can be kept all together: an old cut is kept for one new one, and only one for that."""
    lots: list[tuple[list[Keep], set[int], set[int]]] = []
    for old, new in keeps:
        lot = next((lot for lot in lots if old not in lot[1] and new not in lot[2]), None)
        if lot is None:
            lots.append(lot := ([], set(), set()))
        lot[0].append((old, new))
        lot[1].add(old)
        lot[2].add(new)
    return [together for together, _, _ in lots]


def _found(meetings: Meetings, wide: Iterable[tuple[DrilledCut, float]]) -> Counter[_Key]:
    """What the rules find of the new board with some of its holes as wide as they are kept, but notes."""
    widths = {new.key: width for new, width in wide}
    board = with_widths(meetings.board, widths) if widths else meetings.board
    return Counter(key_of(f) for f in check(board, meetings.catalogue).findings if f.severity != "note")
