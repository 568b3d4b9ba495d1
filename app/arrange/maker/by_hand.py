"""What hands did to what a maker made: what its reset would put back."""

from __future__ import annotations

import math
from typing import Final

from msgspec import Struct

from app.arrange.board.rings import rings_of
from app.arrange.change import name_of
from app.arrange.maker.made import Made
from app.arrange.maker.make_anew import find_maker
from app.arrange.maker.placing import MakerPose, piece_id, pose_of
from app.arrange.maker.registry import maker_named
from app.arrange.maker.ringing import ring_at, same_ring
from app.catalogue.load import Catalogue
from app.document.makers import given_of
from app.document.resolve import find_arrangement, find_board
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.document.where import Where
from app.errors import EditError
from app.model.maker.measure import answered

_SAME: Final = 1e-6
"""Places this near are the same [mm, degrees]: what is left of binary arithmetic."""


class ByHand(Struct, frozen=True):
    """What hands did to what a maker made.

    Args:
        moved: pieces that were moved or turned and are not locked: letters, or names where they have none.
        deleted: how many pieces are gone.
        board: whether outline or free depth of the board that it made are others.
    """

    moved: tuple[str, ...] = ()
    deleted: int = 0
    board: bool = False


def done_by_hand(design: Design, where: Where, maker_id: str, catalogue: Catalogue) -> ByHand:
    """What a reset of a maker would put back; nothing where a file gives it measures nothing can be made of.

    Raises:
        NotFoundError: no such board, arrangement or maker, or this program does not know it.
    """
    board = find_board(design, where.board)
    within = find_arrangement(board, where.arrangement)
    entry = find_maker(within, maker_id)
    maker = maker_named(entry.maker)
    try:
        made = maker.make(answered(maker.measures, given_of(entry)), catalogue)
    except EditError:
        return ByHand()
    pose, there = pose_of(entry), {p.id: p for p in within.placements if p.maker == entry.id}
    wanted = {piece_id(entry.id, piece.key): pose.of(piece) for piece in made.pieces}
    moved = (p for i, p in there.items() if i in wanted and not p.locked and not _stands(p, wanted[i]))
    deleted = sum(ident not in there for ident in wanted)
    return ByHand(tuple(map(name_of, moved)), deleted, entry.outline and _is_other(board, made, pose))


def _stands(placement: PlacementEntry, at: tuple[float, float, float]) -> bool:
    turned = math.remainder(placement.angle - at[2], 360.0)
    return math.dist((placement.x, placement.y), at[:2]) < _SAME and abs(turned) < _SAME


def _is_other(board: BoardEntry, made: Made, pose: MakerPose) -> bool:
    below = board.depth_below
    rim, *_ = rings_of(board)
    deep = (below.front, below.back) if below else ()
    return deep != (made.free_depth,) * 2 or not same_ring(rim, ring_at(made.outline, pose))
