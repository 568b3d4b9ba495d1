"""From a board to a photograph of it: perspective and lens, worked out from the corners of four markers, and how sure.

What is not known is told by what is likely: cards lie flush but for a few tenths of a millimetre and are turned a
little, a printer prints a little too large or too small, a lens bends a little. Least squares with these as further
measurements (a Bayesian adjustment; any textbook of photogrammetry) give the likeliest camera, and from their normal
matrix follows how far off any place may be for all of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.errors import PhotoError
from app.model.photo_cards import Cards
from app.photo.markers import FoundMarker
from app.photo.perspective import exact_perspective, matched, middles_of, through

Floats = NDArray[np.float64]

_FLUSH: Final = 0.18  # deviation of how flush a card is cut and lies along an edge [mm]: 0.5 is much; common practice
_TURNED: Final = 0.15  # deviation of how far its far end is off for being turned [mm], likewise
_PRINTED: Final = 0.006  # deviation of what a sheet is printed at: refused beyond 3 %; common practice
_BENT: Final = (0.03, 0.01)  # deviation of the two radial terms at the corner of a picture: phones correct to below 1 %
_EDGE: Final = 0.12  # least deviation of a corner that is found [px]
_H, _K, _S = slice(0, 8), slice(8, 10), slice(10, 12)
_MANY: Final = 24


class Camera(Struct, frozen=True):
    """A board in a photograph.

    Args:
        values: the 24 unknowns: 8 of a perspective, 2 of a lens, 2 of the printer, and of each card how far off it lies
            to the right and to the back [mm], and how far it is turned [rad].
        spread: their covariance, shape (24, 24).
        size: of the picture [px].
        board: width and depth of the board's rectangle [mm].
        residual: root mean square of what the corners are off after all that [px].
    """

    values: Floats
    spread: Floats
    size: tuple[int, int]
    board: tuple[float, float]
    residual: float

    def seen(self, points: Floats) -> Floats:
        """Where places on the face are in the picture [px], shape (n, 2), from places in mm."""
        return _seen(self.values, points, self.size, self.board)

    def jacobian(self, point: Floats) -> Floats:
        """How many pixels a place moves by for each millimetre, shape (2, 2)."""
        step = 0.01
        ends = point + step * np.array([[1, 0], [-1, 0], [0, 1], [0, -1]])
        at = self.seen(ends)
        grown: Floats = np.column_stack([at[0] - at[1], at[2] - at[3]]) / (2 * step)
        return grown

    def scale(self, point: Floats) -> tuple[float, float]:
        """Pixels to a millimetre at a place, along the most shortened direction and across it."""
        most, least = np.linalg.svd(self.jacobian(point), compute_uv=False)
        return float(least), float(most)

    def unsure(self, point: Floats) -> float:
        """Deviation of a place on the face for what is not known of camera and cards, in the worst direction [mm]."""
        steps = np.sqrt(np.diag(self.spread)) * 0.1 + 1e-12
        shifts = np.empty((2, 10))
        for k in range(10):  # the cards and the printer act on it only through these
            more = self.values.copy()
            more[k] += steps[k]
            less = self.values.copy()
            less[k] -= steps[k]
            moved = _seen(more, point[None], self.size, self.board) - _seen(less, point[None], self.size, self.board)
            shifts[:, k] = moved[0] / (2 * steps[k])
        back = np.linalg.solve(self.jacobian(point), shifts)
        return float(np.sqrt(np.linalg.eigvalsh(back @ self.spread[:10, :10] @ back.T)[-1]))

    @property
    def printed(self) -> tuple[float, float]:
        """How large the cards were printed, 1 if true, across and along."""
        return 1 + float(self.values[10]), 1 + float(self.values[11])


def find_camera(cards: Cards, markers: Sequence[FoundMarker], size: tuple[int, int]) -> Camera:
    """The likeliest camera.

    Raises:
        PhotoError: the cards lie in the wrong corners, or not as they should, or the picture was taken from the side.
    """
    board = (cards.width, cards.depth)
    corners, seen = matched(cards, markers)
    values = np.zeros(_MANY)
    values[_H] = _first_perspective(cards, markers, size)
    noise = 0.25
    for _ in range(2):  # once with a guess of how well corners are found, once with what came of it
        values, spread, off = _adjusted(values, corners, seen, cards, size, noise)
        left = float(np.sqrt((off**2).sum() / 14))  # 32 measurements, less the 18 that they alone tell of
        noise = float(np.clip(left, _EDGE, 1.0))
    camera = Camera(values, spread, size, board, float(np.sqrt((off**2).mean())))
    _check(camera, cards)
    return camera


def _check(camera: Camera, cards: Cards) -> None:
    middle = np.array([cards.width / 2, cards.depth / 2])
    least, most = camera.scale(middle)
    if camera.residual > max(0.8, 0.25 * least) or _worst_card(camera) > 1.0:
        raise PhotoError(
            "The cards do not lie as they should: each flat, flush with both edges of its own corner, on a board of "
            f"{cards.width:.1f} × {cards.depth:.1f} mm. Lay them again, or type the size of the board as measured."
        )
    if max(abs(p - 1) for p in camera.printed) > 0.03:
        raise PhotoError(
            f"Going by the size of the board, the cards are {100 * min(camera.printed):.1f} to "
            f"{100 * max(camera.printed):.1f} % of their true size. Measure the board and a card: either the board has "
            "another size, or the sheet was printed to fit the page."
        )
    if least < 0.75 * most:
        angle = np.degrees(np.arccos(np.clip(least / most, 0, 1)))
        raise PhotoError(
            f"This was taken too much from the side (about {angle:.0f}°; up to 40° can be measured by). Hold the "
            "camera above the middle of the board, and farther away."
        )


def _worst_card(camera: Camera) -> float:
    return float(np.abs(camera.values[12:].reshape(4, 3)[:, :2]).max())


def _first_perspective(cards: Cards, markers: Sequence[FoundMarker], size: tuple[int, int]) -> Floats:
    """From the middles of the cards, in the units in which it is adjusted."""
    plane = _of_board(np.array([cards.centre(k) for k in range(4)]), (cards.width, cards.depth))
    return exact_perspective(plane, _of_picture(middles_of(markers), size))


def _of_board(points: Floats, board: tuple[float, float]) -> Floats:
    """Places in halves of a board's diagonal from its middle: numbers of about 1 are adjusted well."""
    return (points - np.array(board) / 2) / (float(np.hypot(*board)) / 2)


def _of_picture(points: Floats, size: tuple[int, int]) -> Floats:
    """The same of a picture; the middle of its first pixel is 0."""
    return (points - (np.array(size) - 1) / 2) / (float(np.hypot(*size)) / 2)


def _seen(values: Floats, points: Floats, size: tuple[int, int], board: tuple[float, float]) -> Floats:
    straight = through(values[_H], _of_board(points, board))
    square = (straight**2).sum(axis=-1, keepdims=True)
    k1, k2 = values[_K]
    bent = straight * (1 + k1 * square + k2 * square**2)
    at: Floats = bent * (float(np.hypot(*size)) / 2) + (np.array(size) - 1) / 2
    return at


def _cards_at(values: Floats, square: Floats, cards: Cards) -> Floats:
    """Corners of the markers on the board as the cards really lie [mm], shape (16, 2)."""
    found = []
    for k in range(4):
        dx, dy, turned = values[12 + 3 * k : 15 + 3 * k]
        c, s = np.cos(turned), np.sin(turned)
        corner = np.array(cards.centre(k)) + _to_corner(k) * cards.side / 2  # the end in the corner of the board
        inward = (square[k] - _to_corner(k) * cards.side / 2) * (1 + values[_S])
        found.append(corner + inward @ np.array([[c, s], [-s, c]]) + (dx, dy))
    return np.concatenate(found)


def _to_corner(corner: int) -> Floats:
    """Which way the corner of the board lies from the middle of its card."""
    return np.array([1.0 if corner in (1, 2) else -1.0, 1.0 if corner in (2, 3) else -1.0])


def _adjusted(
    values: Floats, square: Floats, seen: Floats, cards: Cards, size: tuple[int, int], noise: float
) -> tuple[Floats, Floats, Floats]:
    """Least squares (Gauss and Newton), damped where a step makes it worse: unknowns, covariance, what is left [px]."""
    board = (cards.width, cards.depth)
    usual = np.concatenate([
        _BENT, (_PRINTED, _PRINTED), np.tile((_FLUSH, _FLUSH, _TURNED / cards.side), 4)
    ])  # fmt: skip

    def off(v: Floats) -> Floats:
        corners = _seen(v, _cards_at(v, square, cards), size, board) - seen.reshape(16, 2)
        return np.concatenate([corners.ravel() / noise, v[8:] / usual])

    damping, now = 1e-6, off(values)
    for _ in range(30):
        slopes = _slopes(off, values)
        normal = slopes.T @ slopes
        step = -np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slopes.T @ now)
        then = off(values + step)
        if (then**2).sum() > (now**2).sum():
            damping = max(damping * 10, 1e-4)
            if damping > 1e6:
                break
            continue
        values, now, damping = values + step, then, damping / 10
        if float(np.abs(step).max()) < 1e-10:
            break
    slopes = _slopes(off, values)
    spread: Floats = np.linalg.inv(slopes.T @ slopes).astype(np.float64)
    return values, spread, now[:32] * noise


def _slopes(off: Callable[[Floats], Floats], values: Floats) -> Floats:
    step = 1e-6
    columns = []
    for k in range(_MANY):
        more, less = values.copy(), values.copy()
        more[k] += step
        less[k] -= step
        columns.append((off(more) - off(less)) / (2 * step))
    return np.column_stack(columns)
