"""Templates as they were compiled before, kept where Python keeps its own compiled modules, if it keeps any."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib.util import cache_from_source
from pathlib import Path
from pickle import UnpicklingError
from typing import Final

import jinja2
from jinja2 import FileSystemBytecodeCache
from jinja2.bccache import Bucket

_UNREADABLE: Final = (
    OSError,
    EOFError,
    ValueError,
    TypeError,
    UnpicklingError,
    AttributeError,
    ImportError,
    IndexError,
)


class Compiled(FileSystemBytecodeCache):
    """Keeping only saves time: where nothing can be written or read, templates are compiled as ever.

    Args:
        folder: where they are kept, one file for each template.
        by: what they are compiled by besides their text: what was compiled by something else is compiled anew.
    """

    def __init__(self, folder: Path, by: str) -> None:
        super().__init__(str(folder), "template-%s.jinja")
        self._by = f"\n{jinja2.__version__} {by}"

    def get_source_checksum(self, source: str) -> str:
        """A digest of a template's text and of what compiles it."""
        return super().get_source_checksum(source + self._by)

    def load_bytecode(self, bucket: Bucket) -> None:
        """What was kept of a template, if that can be read and is of this text."""
        try:
            super().load_bytecode(bucket)
        except _UNREADABLE:
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template as it was compiled."""
        with suppress(OSError):
            super().dump_bytecode(bucket)


def compiled(by: str) -> Compiled | None:
    """Where compiled templates are kept; None where Python was told to keep none, or there is no place for them."""
    if sys.dont_write_bytecode:
        return None
    try:
        folder = Path(cache_from_source(__file__)).parent
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, NotImplementedError):
        return None
    return Compiled(folder, by)
