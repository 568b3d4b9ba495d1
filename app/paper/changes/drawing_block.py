"""A board as it was and as it is, drawn over each other at a stated scale, as a block of a page."""

from __future__ import annotations

from typing import Final

from app.compare.states import ChangedBoard
from app.drafting.scaling import scaled
from app.drafting.section.captions import scale_words
from app.drafting.view.overlay import has_bare_arrows, overlay_scene
from app.drafting.weights import shrunk
from app.paper.cover.text import Paragraph, height, set_text
from app.paper.lists.block import SIZE, Block
from app.paper.sheet.view_page import REDUCTIONS
from app.scene.palette import TEXT_MUTED
from app.scene.primitives import Group, Item, Scene
from app.units import Unit

_TALLEST: Final = 92.0  # of the drawing [mm]
_FINE: Final = 0.46  # letters and lines, to those of a full screen: figures at arrows come out 2.6 mm high
_AIR: Final = 2.0

SCALES: Final = tuple(r for r in REDUCTIONS if r > 1.0)
"""How many times smaller a board may be drawn; never at true size, so that nobody lays one on a board."""


def drawing_block(board: ChangedBoard, left: float, width: float, unit: Unit, tallest: float = _TALLEST) -> Block:
    """The drawing, with its scale and what its lines mean below it.

    Args:
        board: what is drawn; it is there in one of both states at least.
        left: where it begins [mm].
        width: of the page [mm].
        unit: of the figures at arrows.
        tallest: height of the drawing at most [mm].
    """
    scene, k = _fitted(board, width, tallest, unit)
    said = [Paragraph(_meaning(board, scene, k), style=TEXT_MUTED)]
    below = height(said, width, SIZE)
    high = k * scene.height

    def draw(top: float) -> list[Item]:
        shift = (left - k * scene.x0, top - high - k * scene.y0)
        items = shrunk(scaled(scene.items, k), _FINE)
        words = set_text(said, left, top - high - 1.0, width, SIZE)[0]
        return [Group(items, name="what-changed-drawing", shift=shift), *words]

    return Block(high + 1.0 + below + _AIR, draw, held=True)


def _fitted(board: ChangedBoard, width: float, tallest: float, unit: Unit) -> tuple[Scene, float]:
    """The drawing at the largest of the usual scales that fits, in mm of the board; and that scale.

    The scale is looked for with letters as large as they are at it: they reach beyond the board.
    """
    bounds = [state.outline.bounds for state in (board.before, board.after) if state is not None]
    wide, tall = (max(b[k + 2] for b in bounds) - min(b[k] for b in bounds) for k in (0, 1))
    for times in SCALES:
        if wide <= times * width and tall <= times * tallest:
            scene = overlay_scene(board.before, board.after, unit=unit, size=_FINE * times)
            if scene.width <= times * width and scene.height <= times * tallest:
                return scene, 1.0 / times
    scene = overlay_scene(board.before, board.after, unit=unit)
    return scene, min(width / scene.width, tallest / scene.height)


def _meaning(board: ChangedBoard, scene: Scene, k: float) -> str:
    """At which scale it is drawn, and what the lines mean."""
    said = f"Drawn at {scale_words(k)}, not at true size: to read, not to drill from."
    if board.before is None:
        return f"{said} All of it is new."
    if board.after is None:
        return f"{said} All of it is gone: dashed grey."
    bare = " Where an arrow has no figure, the table has it." if has_bare_arrows(scene) else ""
    return f"{said} Before: dashed grey. After: teal. Unchanged: thin grey.{bare}"
