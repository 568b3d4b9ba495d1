"""Holes measured in one photograph of a board with its four cards."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from msgspec import Struct

from app.errors import PhotoError
from app.model.part import Face
from app.model.photo_cards import Cards
from app.photo.camera import Camera, find_camera
from app.photo.ink_and_paper import InkAndPaper, ink_and_paper_of
from app.photo.markers import FoundMarker, find_markers
from app.photo.picture import Picture, read_picture
from app.photo.rims import Doubt, FoundRim, find_rim
from app.photo.straight import StraightPicture, straightened
from app.photo.wanted import SoughtHole

FARTHEST: Final = 8.0
"""How far from its place a hole is looked for [mm]; one farther off is measured by hand."""

LEAST_SURE: Final = 1.0
"""A centre that may be farther off than this is told, and not taken [mm]: callipers do better."""

_SURE: Final = 3.0
"""Deviations that the true centre lies within: 99 of 100 (Rayleigh distribution)."""

_FLOOR: Final = 0.1  # mm: rims are chamfered, boards are not quite flat; common practice, no source
_WIDE_FLOOR: Final = 0.6  # mm: a pencilled circle close round a hole looks like its rim
_SHARP: Final = (4.0, 0.4)  # an edge broader than both is blurred [px, mm]
_COARSE: Final = 1.2  # pixels to a millimetre below which nothing is measured


class Measured(Struct, frozen=True):
    """What the photograph says of a hole.

    Args:
        code: its name.
        doubt: why it was not measured; empty if it was.
        x, y: its centre on the face, likewise [mm].
        diameter: of its rim [mm].
        within: how far the centre may be from there at most, 99 times of 100 [mm].
        wide_within: how much the diameter may be off, likewise [mm].
    """

    code: str
    doubt: Doubt | str = ""
    x: float = 0.0
    y: float = 0.0
    diameter: float = 0.0
    within: float = 0.0
    wide_within: float = 0.0


class PhotoMeasured(Struct, frozen=True):
    """All of it.

    Args:
        cards: those in the picture, which tell the face.
        holes: one for each that was wanted, in their order.
        picture: the face, straightened.
        printed: how large the cards came out of the printer, 1 if true, across and along.
        scale: pixels to a millimetre in the middle of the board.
        angle: about how far from the side it was taken; 0 from straight above [degrees].
    """

    cards: Cards
    holes: tuple[Measured, ...]
    picture: StraightPicture
    printed: tuple[float, float]
    scale: float
    angle: float


def measure_photo(data: bytes, known: Sequence[Cards], wanted: Mapping[Face, Sequence[SoughtHole]]) -> PhotoMeasured:
    """Every hole that was looked for: where it is and how sure that is, or why nobody can tell.

    Args:
        data: the file, JPEG or PNG.
        known: the cards of the board, a set for each face.
        wanted: the holes to look for by face; all of them, since a hole is told from its neighbours by where they are.

    Raises:
        PhotoError: nothing can be measured by it, with what to do.
    """
    picture = read_picture(data)
    cards, markers = find_markers(picture, {c.code: c for c in known})
    camera = find_camera(cards, markers, picture.size)
    middle = np.array([cards.width / 2, cards.depth / 2])
    least, most = camera.scale(middle)
    blur = _blur(markers)
    if least < _COARSE:
        raise PhotoError(
            f"A millimetre of this board is only {least:.1f} pixels in this picture. Fill the picture with the board, "
            "or take it with more megapixels."
        )
    if blur > _SHARP[0] and blur / least > _SHARP[1]:
        raise PhotoError(
            "This picture is blurred: an edge is about "
            f"{2.5 * blur / least:.1f} mm broad in it. Hold the camera still, tap on the board to focus, in good light."
        )
    holes, paper = wanted[cards.face], ink_and_paper_of(cards, markers)
    found = tuple(_measured(picture, camera, paper, hole, _search(holes, k), blur) for k, hole in enumerate(holes))
    return PhotoMeasured(
        cards, _told_apart(found), straightened(picture, camera), camera.printed, least,
        float(np.degrees(np.arccos(np.clip(least / most, 0, 1)))),
    )  # fmt: skip


def _blur(markers: Sequence[FoundMarker]) -> float:
    return max(marker.blur for marker in markers)


def _search(holes: Sequence[SoughtHole], index: int) -> float:
    """How far a hole is looked for: less than half as far as its nearest neighbour is, so that none is taken for it."""
    hole = holes[index]
    places = np.array([(h.x, h.y) for h in holes])
    far = np.hypot(places[:, 0] - hole.x, places[:, 1] - hole.y)
    far[index] = math.inf
    return float(min(FARTHEST, 0.45 * far.min(), 1.0 + 0.6 * hole.diameter))


def _measured(
    picture: Picture, camera: Camera, paper: InkAndPaper, hole: SoughtHole, search: float, blur: float
) -> Measured:
    rim: FoundRim = find_rim(picture.grey, camera, paper, (hole.x, hole.y), hole.diameter, search, blur)
    if rim.doubt:
        return Measured(hole.code, rim.doubt)
    at = np.array([rim.x, rim.y])
    unsure = math.hypot(camera.unsure(at), rim.noise)
    within = _SURE * unsure + _FLOOR
    if within > LEAST_SURE:
        return Measured(hole.code, "unsure", rim.x, rim.y, rim.diameter, within)
    wide = _SURE * math.hypot(2 * rim.noise, 0.002 * rim.diameter) + _WIDE_FLOOR
    return Measured(hole.code, "", rim.x, rim.y, rim.diameter, within, wide)


def _told_apart(found: Sequence[Measured]) -> tuple[Measured, ...]:
    """Without holes that were found in one place: one rim is not two holes."""
    held = [m for m in found if not m.doubt]
    shared: set[str] = set()
    if len(held) > 1:
        places = np.array([(m.x, m.y) for m in held])
        for k, one in enumerate(held):
            far = np.hypot(places[:, 0] - one.x, places[:, 1] - one.y)
            far[k] = math.inf
            if far.min() < 0.4 * one.diameter:
                shared.add(one.code)
    return tuple(Measured(m.code, "two") if m.code in shared else m for m in found)
