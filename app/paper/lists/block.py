"""Blocks: what stands on a page of a list, of known height, set one below the other and never broken."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from app.paper.cover.text import Paragraph, height, set_text
from app.scene.primitives import Item

SIZE = 3.1
"""Of the words on such pages [mm]."""


class Block(Struct, frozen=True):
    """Something that is not broken from page to page.

    Args:
        height: with the air below it [mm].
        draw: its items below an ordinate [mm].
        held: whether it stays on the page of the block after it, as a heading does.
        heading: what is drawn above it where it begins a page, as the heads of a table that goes on; None for nothing.
    """

    height: float
    draw: Callable[[float], list[Item]]
    held: bool = False
    heading: Block | None = None


def words_block(
    paragraphs: Sequence[Paragraph], left: float, width: float, *, air: float = 1.2, held: bool = False
) -> Block:
    """Paragraphs in a width [mm], with ``air`` below them [mm]."""

    def draw(top: float) -> list[Item]:
        return set_text(paragraphs, left, top, width, SIZE)[0]

    return Block(height(paragraphs, width, SIZE) + air, draw, held)


def paged(blocks: Sequence[Block], room: float) -> list[list[Block]]:
    """Blocks page by page, each page ``room`` mm high; one that is held stays with the one after it."""
    pages: list[list[Block]] = [[]]
    left = room
    for block, following in zip(blocks, [*blocks[1:], None], strict=True):
        need = block.height + (following.height if block.held and following is not None else 0.0)
        if pages[-1] and (block.height > left or (left < need <= room)):
            pages.append([])
            left = room
        if not pages[-1] and block.heading is not None and len(pages) > 1:
            pages[-1].append(block.heading)
            left -= block.heading.height
        pages[-1].append(block)
        left -= block.height
    return pages
