"""What a builder reads of photo cards: how they are laid and photographed, and what stands in the way."""

from __future__ import annotations

from typing import Final

from app.drafting.words import exact
from app.model.photo_cards import LEAST_PIXELS, LONG_SIDE, CardPlan, Cards
from app.model.resolved import ResolvedBoard
from app.units import Unit


def how_words(cards: Cards, unit: Unit) -> tuple[str, ...]:
    """How cards are cut, laid and photographed."""
    face = "top face" if cards.face == "top" else "underside"
    cut = (
        "1. Print this on stiff white paper, or glue it to card. With a knife and a steel rule, cut along every line. "
        "The two that run on past each card go into the corner of the board: cut these exactly."
    )
    lay = (
        "2. Clear away chips, and rub out circles drawn close round holes: they look like rims. Lay the board with its "
        f"{face} up on something dark and plain, and the four cards in its corners, flat and flush with both edges. "
        "You stand at the front edge and read the words upright."
    )
    take = (
        "3. In even light, hold the camera above the middle of the board, so high that the board just fills the "
        "picture. The straighter you look down, the more holes can be measured; from more than 40° none can."
    )
    send = (
        f"4. Send the picture on the page As built. The markers are {exact(cards.marker, unit)} wide, and belong to "
        f"this face of this board alone, {exact(cards.width, unit)} × {exact(cards.depth, unit)}."
    )
    return cut, lay, take, send


def lack_words(plan: CardPlan, board: ResolvedBoard) -> tuple[str, ...]:
    """What is wrong with the cards of a board, a sentence each; none where nothing is."""
    if plan.lack == "small":
        said = "This board is too small for four cards, so it cannot be measured in a photograph."
        return (f"{said} {_BY_HAND}",)
    if plan.lack == "corner":
        where = f"At the {' and '.join(plan.corners)} corner{'s' if len(plan.corners) > 1 else ''}"
        said = f"{where} this board has no two straight edges that meet square, for a card to lie along."
        return (f"{said} {_BY_HAND}",)
    found = []
    if plan.covered:
        letters = [p.label or p.part.name for p in board.drilled if p.id in set(plan.covered)]
        shown = ", ".join(letters[:8]) + (f" and {len(letters) - 8} more" if letters[8:] else "")
        found.append(f"Holes of {shown} lie under a card, or too near to one. Measure these by hand.")
    if plan.near and plan.cards is not None:
        need = max(plan.cards.width, plan.cards.depth) * LEAST_PIXELS / plan.cards.marker / LONG_SIDE * 4000
        found.append(f"There is only room for small cards, so the picture should be at least {need:,.0f} pixels long.")
    return tuple(found)


_BY_HAND: Final = "Measure its holes by hand and type them."
