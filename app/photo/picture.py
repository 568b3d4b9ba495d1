"""The bytes of a photograph: what they are and how large, before anything is unpacked; then as rows of grey and colour.

A few bytes can claim to be a picture of any size, so the size is read from the head first.
"""

from __future__ import annotations

import struct

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.errors import PhotoError
from app.photo.limits import LARGEST, MOST_BYTES, SMALLEST
from app.photo.opencv import opencv

Grey = NDArray[np.float32]
Colour = NDArray[np.uint8]

_KINDS = "Send a photograph as a JPEG or PNG file; phones that save HEIC can save or share JPEG instead."


class Picture(Struct, frozen=True):
    """An unpacked photograph.

    Args:
        grey: brightness, 0 to 255, shape (height, width).
        colour: the same in blue, green, red, shape (height, width, 3).
    """

    grey: Grey
    colour: Colour

    @property
    def size(self) -> tuple[int, int]:
        """Width and height [px]."""
        return self.grey.shape[1], self.grey.shape[0]


def read_picture(data: bytes) -> Picture:
    """Unpack a photograph.

    Raises:
        PhotoError: it is none, too small, or too large; or OpenCV is not installed.
    """
    width, height = picture_size(data)
    if width * height > LARGEST:
        raise PhotoError(
            f"This picture has {width * height / 1e6:.0f} megapixels; at most {LARGEST / 1e6:.0f} are read. "
            "Take it again with fewer: 12 megapixels are enough."
        )
    if min(width, height) < SMALLEST:
        raise PhotoError(
            f"This picture is {width} × {height} pixels, too small to measure by: at least {SMALLEST} are needed along "
            "its shorter side. Send the photograph as it was taken, not a preview of it."
        )
    cv2 = opencv()
    try:
        colour = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    except cv2.error:
        colour = None
    if colour is None:
        raise PhotoError(f"This picture cannot be read: its file is damaged or cut short. {_KINDS}")
    grey = cv2.cvtColor(colour, cv2.COLOR_BGR2GRAY).astype(np.float32)
    return Picture(grey, colour)


def picture_size(data: bytes) -> tuple[int, int]:
    """Width and height [px] that a JPEG (ITU-T T.81, B.2.2) or PNG file (ISO/IEC 15948, 11.2.2) says it has.

    Raises:
        PhotoError: it is empty, too long, or neither of them.
    """
    if not data:
        raise PhotoError("No photograph was chosen. Choose a file first.")
    if len(data) > MOST_BYTES:
        raise PhotoError(
            f"This file has {len(data) / 1e6:.1f} MB; at most {MOST_BYTES / 1e6:.0f} MB are read. Save it as JPEG."
        )
    found = _png_size(data) or _jpeg_size(data)
    if found is None or min(found) < 1:
        raise PhotoError(f"This file is no photograph that can be read here. {_KINDS}")
    return found


def _png_size(data: bytes) -> tuple[int, int] | None:
    if data[:8] != b"\x89PNG\r\n\x1a\n" or len(data) < 24 or data[12:16] != b"IHDR":
        return None
    width, height = struct.unpack(">II", data[16:24])
    return width, height


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Of the first frame header; what stands before it is passed over segment by segment."""
    if data[:2] != b"\xff\xd8":
        return None
    at = 2
    while at + 9 < len(data):
        if data[at] != 0xFF:
            return None
        marker = data[at + 1]
        if marker == 0xFF or marker == 0x01 or 0xD0 <= marker <= 0xD8:  # fill, and markers that stand alone
            at += 1 if marker == 0xFF else 2
            continue
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return width, height
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return None
