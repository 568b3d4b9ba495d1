"""How far two parts are from each other, in the five ways a builder asks for.

Nominal distances, as drawn: what is left in the worst case is for the rules to judge.
"""

from __future__ import annotations

import math

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.errors import NotFoundError
from app.fit.features.features import NUT, WORDS, Features
from app.fit.features.layout import Layout
from app.model.resolved import ResolvedBoard
from app.values import replace


class PartDistances(Struct, frozen=True):
    """Distances from one part to another [mm]; below 0 where they overlap.

    Args:
        dx, dy: of the other's centre, to the right and to the back.
        centres: centre to centre.
        rims: material between their nearest cut-outs; None if one has none.
        flanges: between their flanges; None if one has none on top.
        below: between what is nearest below the board: nut, body, plate, counterbore or recess; None if nothing is.
        below_what: what that is, of the first and of the other.
        below_needed: room wanted there: for a spanner beside a nut, else for a finger's gap.
    """

    dx: float
    dy: float
    centres: float
    rims: float | None
    flanges: float | None
    below: float | None
    below_what: tuple[str, str]
    below_needed: float


def measure(board: ResolvedBoard, first: str, second: str, catalogue: Catalogue) -> PartDistances:
    """The distances between two placements of a board, drilled or not.

    Raises:
        NotFoundError: there is no such placement.
    """
    a, b = board.placed(first), board.placed(second)
    if a is None or b is None:
        gone = first if a is None else second
        raise NotFoundError(f'There is no placement "{gone[:80]}" to measure from. Choose another part.')
    pair = (replace(a, drill=True), replace(b, drill=True))
    layout = Layout(board.populated(pair), catalogue, pair)
    below, kinds = _nearest(layout.below)
    nut = WORDS[NUT] in kinds
    return PartDistances(
        dx=b.x - a.x,
        dy=b.y - a.y,
        centres=math.dist((a.x, a.y), (b.x, b.y)),
        rims=_nearest(layout.holes)[0],
        flanges=_nearest(layout.top)[0],
        below=below,
        below_what=kinds,
        below_needed=layout.default("spanner-room" if nut else "body-gap").value,
    )


def _nearest(features: Features) -> tuple[float | None, tuple[str, str]]:
    """The least distance between features of the first and of the second part, and what they are."""
    one, other = features.take(features.owner == 0), features.take(features.owner == 1)
    if not len(one) or not len(other):
        return None, ("", "")
    pairs = one.shapes.against(other.shapes, math.inf)
    k = int(pairs.distance.argmin())
    return float(pairs.distance[k]), (
        WORDS[int(one.kind[pairs.first[k]])],
        WORDS[int(other.kind[pairs.second[k]])],
    )
