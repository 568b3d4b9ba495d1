"""How bright paper and ink are all over a board, by its four cards: light is uneven, and cameras choose how bright."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.model.photo_cards import Cards
from app.photo.markers import FoundMarker

Floats = NDArray[np.float64]


class InkAndPaper(Struct, frozen=True):
    """The paper and the ink of the cards of a board.

    Args:
        cards: where they lie.
        white: brightness of their paper, corner by corner, shape (4,).
        black: of their ink, likewise.
    """

    cards: Cards
    white: Floats
    black: Floats

    def of(self, brightness: Floats, point: Floats) -> Floats:
        """Brightness at a place on the face [mm] as a part of the way from ink, 0, to paper, 1."""
        x = float(np.clip(point[0] / self.cards.width, 0, 1))
        y = float(np.clip(point[1] / self.cards.depth, 0, 1))
        weights = np.array([(1 - x) * (1 - y), x * (1 - y), x * y, (1 - x) * y])
        ink, paper = float(weights @ self.black), float(weights @ self.white)
        part: Floats = (brightness - ink) / max(paper - ink, 1.0)
        return part


def ink_and_paper_of(cards: Cards, markers: Sequence[FoundMarker]) -> InkAndPaper:
    """The paper and the ink of four markers."""
    return InkAndPaper(cards, np.array([m.white for m in markers]), np.array([m.black for m in markers]))
