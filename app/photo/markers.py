"""The markers of a photograph: which are there, and their corners to a fraction of a pixel.

They are found in a smaller copy; their corners are then where straight lines through their four sides meet in the
photograph itself, each through many places where its edge was found between two pixels. What that tells of how broad an
edge is in this photograph tells also how sharp it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.errors import PhotoError
from app.model.photo_cards import CODES, CORNERS, QUIET, Cards
from app.photo.opencv import opencv
from app.photo.picture import Grey, Picture
from app.photo.profiles import EdgeProfiles, edges_of, sampled

Floats = NDArray[np.float64]

_LOOKED_AT: Final = 1800  # pixels of the longer side of the copy in which markers are looked for
_ALONG: Final = 40  # places along a side of a marker where its edge is looked for
_CLEAR: Final = 0.14  # of a side left out at either end: another side is near there
_CELLS: Final = 8  # of a marker, its black frame counted

_HOW = "Lay the four cards in the corners, each flat and whole in the picture, and photograph the board from above."


class FoundMarker(Struct, frozen=True):
    """A marker.

    Args:
        corner: of the board, 0 to 3.
        points: its corners [px], shape (4, 2): back left, back right, front right, front left of the marker itself,
            as its number reads.
        blur: how broad its edges are, as the standard deviation of a blurred step [px].
        white: brightness of the paper round it.
        black: of its frame.
    """

    corner: int
    points: Floats
    blur: float
    white: float
    black: float


def find_markers(picture: Picture, known: Mapping[int, Cards]) -> tuple[Cards, tuple[FoundMarker, ...]]:
    """The four markers of one of some sets of cards, corner by corner.

    Args:
        picture: the photograph.
        known: the cards of the board by their code, one set for each face.

    Raises:
        PhotoError: no markers, too few, of another board, of two faces, or any twice.
    """
    seen = _detected(picture)
    if not seen:
        raise PhotoError(
            f"No markers were found in this picture. {_HOW} If they are in it, it is blurred, or too dark."
        )
    codes = {number // 4 for number, _ in seen}
    ours = [code for code in codes if code in known]
    if not ours:
        raise PhotoError(
            "The cards in this picture belong to another board, design or arrangement, or to another size of this "
            "board. Print the photo cards of this one, and lay those in its corners."
        )
    if len(ours) > 1:
        raise PhotoError("Cards of both faces are in this picture. Lay in only those of the face that is up.")
    cards = known[ours[0]]
    corners: dict[int, Floats] = {}
    for number, points in seen:
        if number // 4 == cards.code:
            if number % 4 in corners:
                raise PhotoError(f"Card {number % 4 + 1} is in this picture twice. Lay in each of the four once.")
            corners[number % 4] = points
    missing = [k for k in range(4) if k not in corners]
    if missing:
        names = " and ".join(f"card {k + 1} ({CORNERS[k]})" for k in missing)
        raise PhotoError(f"Not all four cards can be read: {names} cannot. {_HOW}")
    return cards, tuple(_refined(picture.grey, k, corners[k]) for k in range(4))


def _detected(picture: Picture) -> list[tuple[int, Floats]]:
    """Numbers and rough corners of every marker [px]."""
    cv2 = opencv()
    width, height = picture.size
    scale = min(1.0, _LOOKED_AT / max(width, height))
    grey = picture.grey.astype(np.uint8)
    small = cv2.resize(grey, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else grey
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_APRILTAG
    parameters.minMarkerPerimeterRate = 0.02  # 9 px a side in the copy: cards of a long board
    parameters.errorCorrectionRate = 0.3  # one wrong cell of 36 mended: they differ in 13 at least
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_6X6_1000)
    points, numbers, _ = cv2.aruco.ArucoDetector(dictionary, parameters).detectMarkers(small)
    if numbers is None:
        return []
    # A pixel's middle is a whole number; a copy's pixel covers several of the photograph, about its middle.
    return [
        (int(number), (quad.reshape(4, 2).astype(np.float64) + 0.5) / scale - 0.5)
        for number, quad in zip(numbers.ravel(), points, strict=True)
        if number < 4 * CODES
    ]


def _refined(grey: Grey, corner: int, rough: Floats) -> FoundMarker:
    """A marker with its corners where straight lines through its sides meet.

    Raises:
        PhotoError: its sides are no straight dark edges.
    """
    points = rough
    profiles: list[EdgeProfiles] = []
    for reach in (0.8, 0.5):  # of a cell: first wide, since a blurred corner was found only roughly
        lines = []
        profiles = []
        for k in range(4):
            found = _side(grey, points[k], points[(k + 1) % 4], reach)
            profiles.append(found)
            lines.append(_line(found, corner))
        points = np.array([_crossing(lines[k - 1], lines[k]) for k in range(4)])
    blur = float(np.median(np.concatenate([p.blur[p.found] for p in profiles])))
    white, black = _brightness(grey, points)
    if white - black < 40:
        raise PhotoError(f"Card {corner + 1} ({CORNERS[corner]}) is too pale or too dark to be measured by. {_HOW}")
    return FoundMarker(corner, points, blur, white, black)


def _side(grey: Grey, a: Floats, b: Floats, reach: float) -> EdgeProfiles:
    """The edge along a side, looked for across it."""
    along = b - a
    length = float(np.hypot(*along))
    across = np.array([along[1], -along[0]]) / length  # y runs down in a picture, so this points out of the marker
    at = a + np.linspace(_CLEAR, 1 - _CLEAR, _ALONG)[:, None] * along
    return edges_of(grey, at, np.broadcast_to(across, at.shape), max(2.5, reach * length / _CELLS))


def _line(side: EdgeProfiles, corner: int) -> tuple[Floats, Floats]:
    """A straight line through most of the places of an edge: its middle and its direction."""
    found = side.found & (side.step > 0)
    if found.sum() < _ALONG // 2:
        raise PhotoError(
            f"The edges of card {corner + 1} ({CORNERS[corner]}) cannot be made out: the picture is blurred, or "
            f"something lies on the card. {_HOW}"
        )
    points = side.points[found]
    for _ in range(3):
        middle = points.mean(axis=0)
        direction = np.linalg.svd(points - middle)[2][0]
        off = np.abs((points - middle) @ np.array([-direction[1], direction[0]]))
        keep = off <= max(0.15, 2.5 * float(np.median(off)))
        if keep.all() or keep.sum() < _ALONG // 3:
            break
        points = points[keep]
    return middle, direction


def _crossing(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    (a, u), (b, v) = one, other
    t = np.linalg.solve(np.column_stack([u, -v]), b - a)[0]
    crossed: Floats = a + t * u
    return crossed


def _brightness(grey: Grey, points: Floats) -> tuple[float, float]:
    """Of the paper round a marker and of its black frame."""
    middle = points.mean(axis=0)
    cell = 1 / _CELLS
    paper = _ring(points, middle, 1 + QUIET)
    frame = _ring(points, middle, 1 - cell)
    return float(np.median(sampled(grey, paper))), float(np.median(sampled(grey, frame)))


def _ring(points: Floats, middle: Floats, scale: float) -> Floats:
    """Places along the sides of a marker that is so much larger or smaller."""
    square = middle + scale * (points - middle)
    steps = np.linspace(0.1, 0.9, 9)[:, None]
    return np.concatenate([square[k] + steps * (square[(k + 1) % 4] - square[k]) for k in range(4)])
