"""Odd values in addresses of sheets, drawings and printing are answered with a sentence, and cost next to nothing."""

from __future__ import annotations

import time

import pytest
from starlette.testclient import TestClient

ODD = ("nan", "inf", "-1", "1e-9", "1e308", "1e999", "9" * 400, "zzz", "1/0", "0x1")
REFUSED = {
    "sheet.svg": ("paper", "margin", "overlap", "only", "leaf", "printer", "face"),
    "template.pdf": ("paper", "margin", "overlap", "only", "printer", "face"),
    "all-templates.pdf": ("paper", "margin", "overlap", "printer", "face"),
    "drawing.svg": ("kerf", "face"),
    "drawing.dxf": ("kerf", "face"),
    "view.pdf": ("paper", "of"),
    "check-sheet.pdf": ("paper",),
    "outline-marking.pdf": ("paper", "margin", "overlap", "printer", "spacing", "reading"),
}
"""By address the names whose values mean something there."""

LONGEST_S = 0.5
"""Of this thread's work: a page of this deck takes a tenth of it."""


@pytest.mark.parametrize("page", REFUSED)
def test_an_odd_value_is_refused_in_words_before_it_costs_anything(client: TestClient, deck: str, page: str) -> None:
    client.get(f"/designs/{deck}/{page}")  # what is imported when it is first needed is there then
    for name in REFUSED[page]:
        for value in ODD:
            began = time.process_time()
            answer = client.get(f"/designs/{deck}/{page}", params={name: value})
            assert time.process_time() - began < LONGEST_S, (name, value)
            assert answer.status_code in {400, 404, 422}, (name, value, answer.status_code)
            assert "<h1" in answer.text or "<p" in answer.text, (name, value)


@pytest.mark.parametrize("name", ["scale", "step", "scale_x"])
def test_what_no_address_has_changes_nothing(client: TestClient, deck: str, name: str) -> None:
    plain = client.get(f"/designs/{deck}/sheet.svg").content
    for value in ODD:
        assert client.get(f"/designs/{deck}/sheet.svg", params={name: value}).content == plain
