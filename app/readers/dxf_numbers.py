"""Numbers of a DXF file in text: refused where they are damaged, since the library would guess them."""

from __future__ import annotations

from typing import Final

from app.errors import DocumentError

_DRAWN: Final = frozenset({b"ENTITIES", b"BLOCKS"})
_REAL: Final = frozenset({*range(10, 60), *range(140, 150), *range(210, 240)})
"""Group codes whose values are coordinates, lengths, bulges or angles (the DXF reference, group code value types)."""


def check_numbers(data: bytes) -> None:
    """Look through what is drawn: lines in pairs, a group code and its value.

    Raises:
        DocumentError: a number is none, with its line.
    """
    lines = data.splitlines()
    section = b""
    before = b""
    for index in range(0, len(lines) - 1, 2):
        code, value = lines[index].strip(), lines[index + 1].strip()
        if not code.lstrip(b"-").isdigit():
            return  # not in pairs from here on: the library tells whether it can be read at all
        if code == b"2" and before == b"SECTION":
            section = value.upper()
        before = value.upper() if code == b"0" else b""
        if section in _DRAWN and int(code[:6]) in _REAL and not _is_number(value):
            shown = value[:20].decode("ascii", "replace")
            raise DocumentError(f"Line {index + 2}: “{shown}” is not a number. Export it again.")


def _is_number(value: bytes) -> bool:
    try:
        float(value)
    except ValueError:
        return False
    return True
