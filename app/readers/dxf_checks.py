"""What a DXF file is refused for before its lines are read: damaged numbers, and blocks that hold too much."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from app.errors import DocumentError
from app.readers.chain import MOST_PIECES, check_count

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_DRAWN: Final = frozenset({b"ENTITIES", b"BLOCKS"})
_REAL: Final = frozenset({*range(10, 60), *range(140, 150), *range(210, 240)})
"""Group codes whose values are coordinates, lengths, bulges or angles (the DXF reference, group code value types)."""

_DEEPEST: Final = 40
"""Blocks within blocks; drawings have a handful."""


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


def check_blocks(document: Drawing) -> None:
    """Refuse a drawing that would become more lines than are read: a short file can stand for billions.

    Raises:
        DocumentError: it would, or a block holds itself, or blocks are nested too deep.
    """
    counts: dict[str, int] = {}
    total = sum(_count(entity, document, counts, ()) for entity in document.modelspace())
    check_count(total)


def _count(entity: Any, document: Drawing, counts: dict[str, int], within: tuple[str, ...]) -> int:
    kind = entity.dxftype()
    name = entity.dxf.get("name") if kind == "INSERT" else entity.dxf.get("geometry") if kind == "DIMENSION" else None
    if name is None:
        return 1
    key = str(name).lower()
    if key in within:
        raise DocumentError(f"The block “{str(name)[:40]}” contains itself. Explode the blocks and export it again.")
    if len(within) >= _DEEPEST:
        raise DocumentError(
            f"The block “{str(name)[:40]}” is nested more than {_DEEPEST} deep. Explode the blocks and export it again."
        )
    if key not in counts:
        block = document.blocks.get(name)
        inner = (_count(part, document, counts, (*within, key)) for part in block or ())
        # Kept small, so that the sums of a bomb do not become numbers of a thousand digits.
        counts[key] = min(1 + sum(inner), MOST_PIECES + 1)
    times = max(1, int(entity.mcount)) if kind == "INSERT" else 1
    return min(counts[key] * times, MOST_PIECES + 1)
