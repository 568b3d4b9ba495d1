"""What hangs behind a pattern is not seen from above: dashed, its letter apart from that of the pattern."""

from __future__ import annotations

import pytest

from app.drafting.hardware.part_faces import top_view
from app.drafting.hardware.part_letters import hides_behind
from app.model.maker.measure import Value
from app.scene.palette import HIDDEN
from app.scene.primitives import Text
from tests.unit.fit.made_boards import made_board


@pytest.mark.parametrize(
    ("maker", "measures", "hides"),
    [
        ("grille", {"fixing": "glue"}, True),
        ("grille", {}, True),
        ("grille", {"holes": "opening", "cone": 92.0}, False),
        ("fan", {"holes": "rings"}, True),
        ("fan", {}, False),
    ],
)
def test_only_what_is_behind_a_pattern_is_dashed(maker: str, measures: dict[str, Value], hides: bool) -> None:
    board = made_board(maker, 0, **measures)
    hung, *patterns = board.placements
    assert hides_behind(hung) is hides and not any(hides_behind(p) for p in patterns)
    styles = [getattr(item, "style", None) for item in top_view(hung)]
    assert (HIDDEN in styles) is hides
    letters = [item for p in board.placements for item in top_view(p) if isinstance(item, Text)]
    heights = [text.at[1] for text in letters]
    assert len(letters) == len(board.placements)
    assert all(abs(a - b) > letters[0].size for k, a in enumerate(heights) for b in heights[k + 1 :])
