"""What the workshop has, as far as it is changed on the board page."""

from __future__ import annotations

from msgspec import Struct

from app.document.schema import Design
from app.model.resolved import ResolvedBoard
from app.service.screens.choices import Choice, bit_sets, papers, ways_of_drilling
from app.service.screens.words import as_typed, exact
from app.units import Unit


class ShopCard(Struct, frozen=True):
    """What the workshop has: fields to change it.

    Args:
        thickness: of the only layer, as shown; empty where a board has several.
        layers: the layers in words.
        drilling: methods to choose from.
        papers: papers to choose from.
        bits: sets of bits to take.
    """

    thickness: str
    layers: str
    drilling: tuple[Choice, ...]
    papers: tuple[Choice, ...]
    bits: tuple[Choice, ...]


def shop_card(design: Design, board: ResolvedBoard) -> ShopCard:
    """The card for a board of a design."""
    unit = Unit(board.units)
    return ShopCard(
        thickness=as_typed(board.layers[0].thickness, unit) if len(board.layers) == 1 else "",
        layers=" on ".join(f"{exact(la.thickness, unit)} {la.material.name}" for la in board.layers),
        drilling=ways_of_drilling(design.shop.drilling),
        papers=papers(design.shop.paper, board.tooling.paper.name),
        bits=(
            Choice("", f"Keep these {len(board.tooling.bits)} bits", chosen=True),
            *(Choice(name, f"Use the {name} set") for name in bit_sets()),
        ),
    )
