"""Making room on screen: shown first, taken as one step or left; a changed board is not moved by old words."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.service import changes
from app.service.changes import Where
from app.service.workshop import Workshop


def crowded(workshop: Workshop, deck: str) -> None:
    """One button pushed against its neighbour, so that they run into each other below."""
    places = workshop.design(deck)[1].boards[0].arrangements[0].placements
    one, other = (p for p in places if p.id in ("c", "d"))
    by = (other.x - one.x) * 0.3
    workshop.edit(deck, Where(), changes.dragged(Where(), ("c",), by, 0.0, 0.0))


def grave(workshop: Workshop, deck: str) -> int:
    report = workshop.look(deck, Where()).checked.report
    return len(report.stops) + len(report.cautions)


def test_it_is_offered_shown_and_taken_as_one_step(client: TestClient, workshop: Workshop, deck: str) -> None:
    assert "to-room" not in client.get(f"/designs/{deck}").text, "a board that fits has nothing to make room for"
    crowded(workshop, deck)
    assert grave(workshop, deck) > 0
    assert "to-room" in client.get(f"/designs/{deck}").text
    before = workshop.design(deck)
    page = unescape(client.get(f"/designs/{deck}/room").text)
    assert workshop.design(deck) == before, "looking changes nothing"
    assert "This would make room" in page
    assert "mm right" in page or "mm left" in page
    assert 'class="room-ghost"' in page
    said = re.search(r'name="said" value="([^"]*)"', page)
    assert said
    client.post(f"/designs/{deck}/room", data={"unit": "mm", "said": said[1]})
    assert grave(workshop, deck) == 0
    assert workshop.moments(deck)[-1].summary.startswith("Made room:")
    client.post(f"/designs/{deck}/undo")
    assert workshop.design(deck)[1] == before[1]


def test_words_that_no_longer_hold_move_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    crowded(workshop, deck)
    before = workshop.design(deck)
    answer = client.post(f"/designs/{deck}/room", data={"unit": "mm", "said": "C 999 mm right"})
    assert answer.status_code == 422
    assert "nothing was done" in unescape(answer.text)
    assert workshop.design(deck) == before


def test_a_board_that_fits_has_nothing_to_take(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = unescape(client.get(f"/designs/{deck}/room").text)
    assert "Nothing to move" in page
    assert ">Take it<" not in page
    assert client.post(f"/designs/{deck}/room", data={"unit": "mm", "said": ""}).status_code == 422


def test_stations_may_move_as_a_whole(client: TestClient, workshop: Workshop, deck: str) -> None:
    crowded(workshop, deck)
    page = unescape(client.get(f"/designs/{deck}/room?rigid=1").text)
    assert 'aria-current="true"' in page
    assert "room" in page


@pytest.mark.parametrize("odd", ["unit=mme9", "units=mme9", "units=MM", "face=over", "rigid=yes%20please"])
def test_an_odd_word_in_an_address_is_refused_before_it_costs_work(
    client: TestClient, deck: str, odd: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.service.room.room_found", lambda *_, **__: pytest.fail("room was looked for"))
    for page in ("/room", "", "/paper", "/template.pdf"):
        answer = client.get(f"/designs/{deck}{page}?{odd}")
        assert answer.status_code == 422
        assert "is none of them" in unescape(answer.text)
    name, _, value = odd.partition("=")
    assert client.post(f"/designs/{deck}/room", data={"unit": "mm", name: value, "said": ""}).status_code == 422
