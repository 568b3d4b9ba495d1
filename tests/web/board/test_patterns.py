"""Every page, file and change of a board with patterns of every order; a pattern is moved as a part is."""

from __future__ import annotations

import json
import re

import pytest
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from tests.reading.pages import Page
from tests.web.board.test_round_boards import addresses

ORDERS = ("square", "staggered-60", "staggered-45", "rings", "slots")
DESIGN = {
    "format": "holewise-design",
    "version": 3,
    "title": "Patterns, invented",
    "patterns": [
        {
            "id": f"holes-{order}", "order": order, "hole": 6, "pitch": 14, "length": 24, "gap": 16,
            "middle": "gap" if order == "square" else "hole",
            "boundary": {"shape": "rectangle" if order == "slots" else "circle", "width": 100, "height": 60},
        }
        for order in ORDERS
    ],
    "boards": [
        {
            "id": "wall", "name": "Wall", "role": "companion",
            "outline": {"corners": [{"x": x, "y": y} for x, y in ((0, 0), (700, 0), (700, 160), (0, 160))]},
            "layers": [{"material": "mdf", "thickness": 12}],
            "arrangements": [
                {
                    "id": "one",
                    "placements": [
                        {"id": f"p{k}", "part": f"holes-{order}", "x": 80 + 130 * k, "y": 80, "label": f"S{k}"}
                        for k, order in enumerate(ORDERS)
                    ],
                }
            ],
        }
    ],
}  # fmt: skip


@pytest.fixture
def wall(client: TestClient) -> str:
    """Id of the design on the shelf."""
    file = ("wall.json", json.dumps(DESIGN).encode(), "application/json")
    answer = client.post("/designs/open", files={"file": file}, follow_redirects=False)
    assert answer.status_code == 303, Page(answer.text).words
    return str(answer.headers["location"].removeprefix("/designs/").partition("?")[0])


def test_every_page_and_file_of_patterns_is_there(client: TestClient, workshop: Workshop, wall: str) -> None:
    head, _ = workshop.design(wall)
    asked = addresses(wall, head.revision.id, 1)
    of_hardware = asked.pop("/part/{placement}")
    asked["/boards/{board_id}.svg"] = [f"/designs/{wall}/boards/wall.svg"]  # it has no deck
    asked["/pattern/{pattern_id}"].append(f"/designs/{wall}/pattern/holes-rings")
    asked["/parts/{part_id}.svg"].append(f"/designs/{wall}/parts/holes-rings.svg")
    for address in (one for many in asked.values() for one in many):
        answer = client.get(address)
        assert answer.status_code == 200, (address, Page(answer.text).words[-300:])
    refused = client.get(of_hardware[0])
    assert refused.status_code == 404
    assert "a pattern of holes: no hardware with sizes to correct" in refused.text


def test_the_card_of_a_pattern_offers_what_can_be_done_with_it(client: TestClient, wall: str) -> None:
    page = client.get(f"/designs/{wall}?select=p1").text
    assert "holes of 6 mm, staggered at 60°" in page
    for cut in ("Counterbore", "Recess", "Correct its sizes"):
        assert cut not in Page(page).words


@pytest.mark.parametrize(("verb", "fields"), [("counterbore", "bore-diameter"), ("recess", "recess-width")])
def test_nothing_is_cut_from_below_about_a_pattern(
    client: TestClient, workshop: Workshop, wall: str, verb: str, fields: str
) -> None:
    cut = fields.partition("-")[0]
    sizes = {f"{cut}-{name}": "5 mm" for name in ("diameter", "width", "height", "depth", "corner")}
    answer = client.post(f"/designs/{wall}/edit/{verb}", data={"select": "p1", "unit": "mm", "seen": "", **sizes})
    assert answer.status_code == 422
    assert f"S1 is a pattern of holes, which has no {verb}. Choose a part." in Page(answer.text).words
    assert workshop.design(wall)[0].revision.number == 1


def test_a_pattern_is_moved_turned_copied_and_brought_back_as_a_part_is(
    client: TestClient, workshop: Workshop, wall: str
) -> None:
    def sent(address: str, **fields: str) -> str:
        seen = workshop.design(wall)[0].revision.id
        answer = client.post(f"/designs/{wall}/{address}", data={"unit": "mm", "seen": seen, "select": "p1", **fields})
        assert answer.status_code == 200, Page(answer.text).words[-300:]
        return str(answer.text)

    assert re.search(r"data-row", sent("preview", dx="3", dy="2", first="on"))
    sent("edit/move", dx="3", dy="2")
    sent("edit/turn", by="15")
    sent("edit/duplicate")
    placed = workshop.design(wall)[1].boards[0].arrangements[0].placements
    assert [(p.x, p.y, p.angle) for p in placed if p.id == "p1"] == [(213.0, 82.0, 15.0)]
    assert [p.part for p in placed].count("holes-staggered-60") == 2
    for _ in range(3):
        sent("undo")
    again = workshop.design(wall)[1].boards[0].arrangements[0].placements
    assert [(p.x, p.y, p.angle) for p in again if p.id == "p1"] == [(210.0, 80.0, 0.0)]
