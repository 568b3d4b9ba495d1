"""What has to be done to the board itself, holes aside; and why it cannot be done, where it cannot."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.drafting.words import board_size, thickness
from app.fit.words.lengths import say
from app.model.resolved import ResolvedBoard
from app.retrofit.cut import DrilledCut
from app.units import Unit

_SAME: Final = 0.05  # mm, that no saw and no plane takes off


class BoardWork(Struct, frozen=True):
    """Work on a board, in words, and the minutes it takes."""

    words: str
    minutes: float


def board_work(old: ResolvedBoard, new: ResolvedBoard, catalogue: Catalogue) -> tuple[BoardWork, ...]:
    """What has to be sawn off a board, and what is to be glued to it."""
    done = []
    if not new.boundary.covers(old.boundary, _SAME) and old.boundary.covers(new.boundary, _SAME):
        what = "the outline and the openings" if old.openings != new.openings else "its new outline"
        left = "Measure from the left and the front edge as they are now."
        done.append(BoardWork(f"Saw the board to {what}. {left}", catalogue.rule("retrofit-trim")))
    if old.edges != new.edges:
        done.append(BoardWork("Change the rails and slots at its edges, as the board page shows them.", 0.0))
    return tuple(done)


def board_reasons(old: ResolvedBoard, new: ResolvedBoard, cuts: tuple[DrilledCut, ...], unit: Unit) -> tuple[str, ...]:
    """Why the old board cannot become the new one, whatever is done to its holes; nothing if it can."""
    found = []
    stacks = [[(layer.material.id, layer.thickness) for layer in board.layers] for board in (old, new)]
    if abs(old.thickness - new.thickness) > _SAME:
        both = thickness(old.thickness, unit), thickness(new.thickness, unit)
        found.append(f"It is {both[0]} thick, and the new one is {both[1]}.")
    elif len(stacks[0]) != len(stacks[1]) or any(
        a[0] != b[0] or abs(a[1] - b[1]) > _SAME for a, b in zip(*stacks, strict=True)
    ):
        found.append("The new board is of other layers.")
    if not old.boundary.covers(new.boundary, _SAME):
        sizes = board_size(old), board_size(new)
        if sizes[0] != sizes[1]:
            found.append(f"It is {sizes[0]}, and wood is missing to make it {sizes[1]}.")
        else:
            found.append("The new outline, or an opening in it, needs wood where this board has none.")
    if not found:
        found += _cut_off(new, cuts, unit)
    return tuple(found)


def _cut_off(new: ResolvedBoard, cuts: tuple[DrilledCut, ...], unit: Unit) -> list[str]:
    """Holes that the new rim would run through."""
    if not cuts:
        return []
    inside, _, _ = new.boundary.inside_distances([cut.shape for cut in cuts])
    ends = [
        cut.name
        for cut, far in zip(cuts, inside.tolist(), strict=True)
        if -2 * cut.shape.reach < far < 0 and cut.depth is None
    ]
    if not ends:
        return []
    who = ", ".join(ends[:4]) + (f" and {len(ends) - 4} more" if len(ends) > 4 else "")
    holes = "hole" if len(ends) == 1 else "holes"
    return [f"Its new edge, on a board {say(new.width, unit)} wide, would run through the old {holes} of {who}."]
