"""Four cards as they are seen: which corner of a marker is which, and the perspective through four places."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from app.errors import PhotoError
from app.model.photo_cards import Cards
from app.photo.markers import FoundMarker

Floats = NDArray[np.float64]


def matched(cards: Cards, markers: Sequence[FoundMarker]) -> tuple[Floats, Floats]:
    """Corners of the markers from the middle of their card [mm], shape (4, 4, 2), and where they are seen, likewise.

    A card may be turned by right angles: its marker stands in the middle, so that matters to nothing.

    Raises:
        PhotoError: the cards do not go round the board in their order.
    """
    middles = middles_of(markers)
    rough = exact_perspective(np.array([cards.centre(k) for k in range(4)]), middles)
    sides = np.roll(middles, -1, axis=0) - middles
    onward = np.roll(sides, -1, axis=0)
    turn = sides[:, 0] * onward[:, 1] - sides[:, 1] * onward[:, 0]
    if not (turn < 0).all():
        raise PhotoError(
            "The cards do not lie in their own corners. Each says which: 1 front left, 2 front right, 3 back right, "
            "4 back left, as the face lies before you."
        )
    half = cards.marker / 2
    square = np.array([(-half, half), (half, half), (half, -half), (-half, -half)])
    found = np.empty((4, 4, 2))
    for k, marker in enumerate(markers):
        expected = through(rough, square + cards.centre(k))
        best = min(range(4), key=lambda r: float(((np.roll(marker.points, -r, axis=0) - expected) ** 2).sum()))
        found[k] = np.roll(marker.points, -best, axis=0)
    return np.broadcast_to(square, (4, 4, 2)), found


def middles_of(markers: Sequence[FoundMarker]) -> Floats:
    """Where the diagonals of each marker cross [px], which perspective keeps."""
    found = []
    for marker in markers:
        a, b, c, d = marker.points
        t = np.linalg.solve(np.column_stack([c - a, b - d]), b - a)[0]
        found.append(a + t * (c - a))
    return np.array(found)


def exact_perspective(plane: Floats, seen: Floats) -> Floats:
    """The perspective that takes four places to four others, shape (8,)."""
    rows, right = [], []
    for (x, y), (u, v) in zip(plane, seen, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        right += [u, v]
    solved: Floats = np.linalg.solve(np.array(rows), np.array(right))
    return solved


def through(h: Floats, points: Floats) -> Floats:
    """Places as a perspective shows them, shape of ``points``: (…, 2)."""
    x, y = points[..., 0], points[..., 1]
    w = h[6] * x + h[7] * y + 1
    return np.stack([(h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w], axis=-1)
