"""What the workshop has, as far as it is changed on the board page."""

from __future__ import annotations

from dataclasses import dataclass

from app.catalogue.load import catalogue
from app.document.schema import Design
from app.drafting.words import exact
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.web.contexts.here import Choice, Here
from app.web.contexts.words import as_typed


@dataclass(frozen=True, slots=True)
class ShopCard:
    """What the workshop has: fields to change it.

    Args:
        thickness: of the only layer, as shown; empty where a board has several.
        layers: the layers in words.
        drilling: methods to choose from.
        papers: papers to choose from.
        bits: sets of bits to take.
        url: the shop page, with every bit and layer.
    """

    thickness: str
    layers: str
    drilling: tuple[Choice, ...]
    papers: tuple[Choice, ...]
    bits: tuple[Choice, ...]
    url: str


def shop_card(design: Design, board: ResolvedBoard, here: Here) -> ShopCard:
    """The card for a board of a design."""
    unit = Unit(board.units)
    return ShopCard(
        thickness=as_typed(board.layers[0].thickness, unit) if len(board.layers) == 1 else "",
        layers=" on ".join(f"{exact(la.thickness, unit)} {la.material.name}" for la in board.layers),
        drilling=drilling_choices(design),
        papers=paper_choices(design, board),
        bits=(
            Choice("", f"Keep these {len(board.shop.bits)} bits", chosen=True),
            *(Choice(name, f"Use the {name} set") for name in catalogue().bit_sets),
        ),
        url=here.url("/shop"),
    )


def drilling_choices(design: Design) -> tuple[Choice, ...]:
    """The drilling methods."""
    return tuple(Choice(a.id, a.name, a.id == design.shop.drilling) for a in catalogue().allowances.values())


def paper_choices(design: Design, board: ResolvedBoard) -> tuple[Choice, ...]:
    """The papers known by name, and the shop's own if it is another."""
    papers = [Choice(p.id, p.name, p.id == design.shop.paper) for p in catalogue().papers.values()]
    if not any(choice.chosen for choice in papers):
        papers.append(Choice(design.shop.paper, board.shop.paper.name, chosen=True))
    return tuple(papers)
