"""The layers of the drawing that can be shown and hidden."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

from msgspec import Struct

from app.catalogue.load import catalogue
from app.drafting.view.layer_names import ASKABLE
from app.model.part import Face
from app.service.screens.words import length
from app.units import Unit

if TYPE_CHECKING:
    from app.model.resolved import ResolvedBoard

DEMANDED = frozenset(name for names in ASKABLE.values() for name in names)
"""Layers of either face that are drawn only when asked for."""

_UNDER = "keep other bodies, plates and nuts out"


class LayerChoice(Struct, frozen=True):
    """One layer of the drawing.

    Args:
        name: of the layer.
        words: what it is called on screen.
        more: what it means; empty if that is plain.
        usual: whether it shows as long as nobody has chosen.
        on_demand: whether the server draws it only when asked for.
        drawn: whether it is in the drawing on the page.
    """

    name: str
    words: str
    more: str
    usual: bool
    on_demand: bool
    drawn: bool


def layers_of(board: ResolvedBoard, face: Face, chosen: Collection[str]) -> tuple[LayerChoice, ...]:
    """The layers of a face, from the top down; ``chosen`` are those that were asked for."""
    from app.drafting.view.reach_zones import has_hands

    top = face == "top"
    rows = [
        ("flanges", "Flanges and button tops" if top else "Flanges, on the far face", ""),
        ("holes", "Holes" if top else "Holes, counterbores and recesses", ""),
        ("bodies", "Bodies below" if top else "Bodies, nuts and plates", ""),
        ("rooms", "Room each part needs", "keep the edges of other holes out" if top else _UNDER),
        ("labels", "Letters", ""),
        ("dims", "Dimensions", ""),
        ("marks", "Stops and cautions", ""),
        ("rulers", "Rulers", ""),
    ]
    if top and any(placed.legend is not None for placed in board.drilled):
        rows.insert(4, ("legends", "Legends", ""))
    if top and has_hands(board):
        rows.append(("hands", "Hands", _hand_words(board)))
    demanded = ASKABLE[face]
    return tuple(
        LayerChoice(name, words, more, name not in demanded, name in demanded, name in chosen or not demanded)
        for name, words, more in rows
    )


def _hand_words(board: ResolvedBoard) -> str:
    unit, rule = Unit(board.units), catalogue().rule
    palm, hand = length(rule("station-palm-rest"), unit), length(rule("station-arc-radius"), unit)
    return f"wrist at the front edge; average palm {palm}, hand {hand}"
