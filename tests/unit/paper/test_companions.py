"""Sheets of a companion speak of its front, never of a player: nobody sits before a fan plate."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.model.part import Face
from app.model.printing import Printing
from app.paper.kinds import COVER, TEMPLATE
from app.paper.sheet_kind import SheetJob
from app.scene.primitives import Text, walk


@pytest.mark.parametrize("face", ["top", "under"])
@pytest.mark.parametrize(("board", "played"), [("deck", True), ("fan", False), ("sockets", False)])
def test_only_before_a_deck_sits_a_player(board: str, face: Face, *, played: bool) -> None:
    made = resolve(load_scenario("foundry-yard-cabinet"), board, None, catalogue())
    job = SheetJob(made, Printing(paper_by_text("a4")), face)
    every = [kind.pages(job) for kind in (COVER, TEMPLATE)]
    pages = [drawn[number] for drawn in every for number in range(len(drawn))]
    words = [item.text for page in pages for item, _ in walk(page.items) if isinstance(item, Text)]
    assert any("player" in text for text in words) is played
    assert any("front" in text for text in words)
