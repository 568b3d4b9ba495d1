"""How much a DXF file holds once its blocks are taken apart, counted before anything is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from app.errors import DocumentError
from app.readers.chain import MOST_PIECES, check_count

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_DEEPEST: Final = 40
"""Blocks within blocks; drawings have a handful."""


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
