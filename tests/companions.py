"""A design of several boards: a deck with companions that makers made."""

from __future__ import annotations

from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.service.edits.makers import board_made

COMPANIONS = ("grille", "fan", "sockets")


def with_companions(scenario: str = "pine-shelf-compact") -> Design:
    """A scenario with a board of each of some makers, all at their defaults."""
    design = load_scenario(scenario)
    for maker in COMPANIONS:
        design = board_made(maker, {})(design).design
    return design
