"""The face of a board, straightened: what a builder looks at to see whether each hole was found where it is."""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct

from app.photo.camera import Camera
from app.photo.opencv import opencv
from app.photo.picture import Picture

LONG_SIDE: Final = 1200
"""Pixels of its longer side."""

ROUND: Final = 0.03
"""How much of the longer side is shown beyond the board."""


class StraightPicture(Struct, frozen=True):
    """The picture.

    Args:
        jpeg: its file.
        box: what of the face it shows, in mm: left, front, right, back.
    """

    jpeg: bytes
    box: tuple[float, float, float, float]


def straightened(picture: Picture, camera: Camera) -> StraightPicture:
    """The face as if seen from straight above, its back up."""
    cv2 = opencv()
    width, depth = camera.board
    round_it = ROUND * max(width, depth)
    box = (-round_it, -round_it, width + round_it, depth + round_it)
    scale = LONG_SIDE / (max(width, depth) + 2 * round_it)
    across, down = round((box[2] - box[0]) * scale), round((box[3] - box[1]) * scale)
    left, front, right, back = box
    x = left + (np.arange(across) + 0.5) * (right - left) / across
    y = back - (np.arange(down) + 0.5) * (back - front) / down
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    seen = camera.seen(places).reshape(down, across, 2).astype(np.float32)
    shown = cv2.remap(picture.colour, seen, None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    done, data = cv2.imencode(".jpg", shown, [cv2.IMWRITE_JPEG_QUALITY, 72])
    if not done:
        raise RuntimeError("the straightened picture could not be written")
    return StraightPicture(data.tobytes(), box)
