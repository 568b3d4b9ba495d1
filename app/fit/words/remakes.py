"""Other measures of a maker in a builder's words: what they come to at the bench."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from app.fit.words.lengths import names, typed
from app.model.fix import Remake
from app.model.maker.display import DISPLAY
from app.model.maker.door import DOOR
from app.model.maker.fan import FAN
from app.model.maker.grille import GRILLE
from app.model.maker.measure import Value
from app.model.maker.sockets import SOCKETS
from app.model.resolved import ResolvedBoard
from app.units import Unit

_FIGURES: Final[Mapping[tuple[str, str], str]] = MappingProxyType(
    {
        (GRILLE, "pitch"): "bring the holes of {holes} to a pitch of {value}",
        (GRILLE, "field"): "keep the holes of {holes} within a circle of {value}",
        (FAN, "hole"): "make the holes of {holes} {value} wide",
        (SOCKETS, "spacing"): "space {behind} {value} from middle to middle",
        (DOOR, "gap"): "make the gap of the door {value} a side",
        (DOOR, "width"): "make the door {value} from left to right",
        (DOOR, "height"): "make the door {value} from front to back",
        (DOOR, "screw-length"): "use {value} screws for the hinges of the door",
        (DOOR, "screw"): "use screws {value} thick for the hinges of the door",
        (DISPLAY, "opening-width"): "make the opening before the display {value} from left to right",
        (DISPLAY, "opening-height"): "make the opening before the display {value} from front to back",
        (DISPLAY, "screw-length"): "use {value} screws for {behind}",
        (DISPLAY, "span"): "bring the supports of the plate to {value} from each other",
        (DISPLAY, "cable-width"): "make the cable slot {value} wide",
    }
)
"""What another length comes to, by maker and measure; ``holes`` and ``behind`` are what it placed."""

_CHOICES: Final[Mapping[tuple[str, str, Value], str]] = MappingProxyType(
    {
        (GRILLE, "field", 0.0): "let the holes of {holes} fill the circle of the cone",
        (GRILLE, "holes", "opening"): "make one opening with a ring before {behind}",
        (FAN, "holes", "opening"): "make one opening with a wire guard over it before {behind}",
        (FAN, "guard", True): "put a wire guard over {behind}",
        (FAN, "air", "in"): "let {behind} blow in",
        (FAN, "air", "out"): "let {behind} blow out",
        (DOOR, "hinged", "left"): "hinge the door at its left edge",
        (DOOR, "hinged", "right"): "hinge the door at its right edge",
        (DOOR, "hinged", "front"): "hinge the door at its front edge",
        (DOOR, "hinged", "back"): "hinge the door at its back edge",
        (DISPLAY, "fit", "loose"): "screw the display to the plate and leave it loose between the sides",
        (DISPLAY, "fit", "press"): "press the display in between the sides",
    }
)
"""The same of a choice."""

_BESIDES: Final = frozenset({(GRILLE, "open-area"), (FAN, "guard")})
"""Measures that follow from another one that is said."""


def remade(change: Remake, board: ResolvedBoard, unit: Unit) -> str:
    """Other measures of a maker as a clause that begins with a verb.

    Raises:
        LookupError: the maker is not on the board, or nobody says what that measure comes to.
    """
    making = next(each for each in board.makers if each.id == change.maker)
    own = [p for p in board.placements if p.maker == making.id]
    pieces = {
        "holes": [p.id for p in own if p.part.is_pattern],
        "behind": [p.id for p in own if not p.part.is_pattern],
    }
    who = {role: names(board, ids) for role, ids in pieces.items() if ids}
    said: list[str] = []
    for name, value in change.measures:
        form = _CHOICES.get((making.maker, name, value))
        if said and (making.maker, name) in _BESIDES:
            continue
        figure = typed(float(value), unit) if form is None else ""
        said.append((form or _FIGURES[making.maker, name]).format(**who, value=figure))
    return " and ".join(said)
