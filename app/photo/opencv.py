"""OpenCV, asked for when it is needed: an extra of the installation, and large."""

from __future__ import annotations

from importlib.util import find_spec
from types import ModuleType
from typing import Final

from app.errors import PhotoError

INSTALL: Final = 'pip install ".[photo]"'
"""What installs it, in the folder that Holewise was installed from."""


def is_there() -> bool:
    """Whether photographs can be read here; nothing is imported for the answer."""
    return find_spec("cv2") is not None


def opencv() -> ModuleType:
    """The library.

    Raises:
        PhotoError: it is not installed, with what installs it.
    """
    try:
        import cv2
    except ImportError as error:
        raise PhotoError(
            "Reading photographs needs OpenCV, which is not installed here. "
            f"In the folder that Holewise was installed from, run: {INSTALL}. Then start Holewise again."
        ) from error
    cv2.utils.logging.setLogLevel(cv2.utils.logging.LOG_LEVEL_SILENT)  # what is wrong with a file is said by us
    return cv2
