"""Making room on screen: shown first, taken as one step or left; a changed board is not moved by old words."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.where import Where
from app.room import make
from app.room.constraint_set import ConstraintSet
from app.room.strategies import ClearMoves, clear_moves_of
from app.service.edits import changes
from app.service.room import room
from app.service.workshop import Workshop
from app.values import replace


def crowded(workshop: Workshop, deck: str) -> None:
    """One button pushed against its neighbour, so that they run into each other below."""
    places = workshop.design(deck)[1].boards[0].arrangements[0].placements
    one, other = (p for p in places if p.id in ("c", "d"))
    by = (other.x - one.x) * 0.3
    workshop.edit(deck, Where(), changes.moved(Where(), ("c",), by, 0.0, 0.0))


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
    assert ">Apply<" not in page
    assert client.post(f"/designs/{deck}/room", data={"unit": "mm", "said": ""}).status_code == 422


def test_stations_may_move_as_a_whole(client: TestClient, workshop: Workshop, deck: str) -> None:
    crowded(workshop, deck)
    page = unescape(client.get(f"/designs/{deck}/room?rigid=1").text)
    assert 'aria-current="true"' in page
    assert "room" in page


@pytest.fixture
def jammed(workshop: Workshop, deck: str) -> str:
    """Id of a deck on which one player's station stands 160 mm nearer to the other's than there is room for."""
    document = workshop.design(deck)[1].model_dump(mode="json")
    board = document["boards"][0]
    del board["arrangements"][1:]
    for placed in board["arrangements"][0]["placements"]:
        placed["x"] -= 160.0 * (placed["station"] == "s2")
        if not placed["station"]:
            del placed["station"]
    return workshop.open_file(json.dumps(document).encode()).design.id


def blind(monkeypatch: pytest.MonkeyPatch, lost: Callable[[int], bool]) -> None:
    """Let the search find no way, without a proof that there is none, where so many things move by themselves."""

    def clear_moves(constraint_set: ConstraintSet) -> ClearMoves:
        found = clear_moves_of(constraint_set)
        return replace(found, found=(), proven=False) if lost(len(constraint_set.freedom)) else found

    monkeypatch.setattr(make, "clear_moves_of", clear_moves)


ONE_BY_ONE, AS_A_WHOLE = "parts one by one", "whole stations"


@pytest.mark.parametrize(
    ("query", "lost", "way", "other"),
    [
        ("", lambda count: count > 4, AS_A_WHOLE, ONE_BY_ONE),
        ("?rigid=1", lambda count: count <= 4, ONE_BY_ONE, AS_A_WHOLE),
    ],
)
def test_the_one_way_is_tried_where_the_other_finds_nothing(
    client: TestClient, workshop: Workshop, jammed: str, monkeypatch: pytest.MonkeyPatch,
    query: str, lost: Callable[[int], bool], way: str, other: str,
) -> None:  # fmt: skip
    """Two stations and two parts of no station: as a whole no more than four things move by themselves."""
    before = grave(workshop, jammed)
    blind(monkeypatch, lost)
    page = unescape(client.get(f"/designs/{jammed}/room{query}").text)
    assert "This would make room" in page
    assert f"this clears {before} findings" in page
    assert f"Found by moving {way}; moving {other} found no way." in page
    said = re.search(r'name="said" value="([^"]*)"', page)
    assert said
    client.post(f"/designs/{jammed}/room{query}", data={"unit": "mm", "said": said[1], "rigid": query[-1:]})
    assert grave(workshop, jammed) == 0


def test_what_was_tried_is_said_where_none_was_found(
    client: TestClient, jammed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    blind(monkeypatch, lambda _: True)
    for query, tried in (("", (ONE_BY_ONE, AS_A_WHOLE)), ("?rigid=1", (AS_A_WHOLE, ONE_BY_ONE))):
        page = unescape(client.get(f"/designs/{jammed}/room{query}").text)
        assert "This would make room" not in page
        assert f"Tried: {tried[0]}, then {tried[1]}." in page
        assert "There may still be one we did not find" in page


@pytest.mark.parametrize("odd", ["unit=mme9", "units=mme9", "units=MM", "face=over", "rigid=yes%20please"])
def test_an_odd_word_in_an_address_is_refused_before_it_costs_work(
    client: TestClient, deck: str, odd: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.service.room.room.room_found", lambda *_, **__: pytest.fail("room was looked for"))
    for page in ("/room", "", "/paper", "/template.pdf"):
        answer = client.get(f"/designs/{deck}{page}?{odd}")
        assert answer.status_code == 422
        assert "Go back and choose it" in unescape(answer.text)
    name, _, value = odd.partition("=")
    assert client.post(f"/designs/{deck}/room", data={"unit": "mm", name: value, "said": ""}).status_code == 422


@pytest.mark.parametrize("more", [0, 1])
@pytest.mark.parametrize("limit", ["MOST", "MOST_HOLES"])
def test_with_more_parts_or_holes_than_room_is_looked_for_nothing_is_tried_and_it_is_said(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch, limit: str, more: int
) -> None:
    crowded(workshop, deck)
    placements = workshop.look(deck, Where()).checked.resolved.placements
    many = len(placements) if limit == "MOST" else sum(len(p.holes) for p in placements)
    monkeypatch.setattr(room, limit, many - more)
    text = unescape(client.get(f"/designs/{deck}/room").text)
    what = "parts" if limit == "MOST" else "holes"
    assert ("Nothing was tried: making room takes up to " in text) is bool(more)
    assert (f"{many - 1} {what}" in text and f"{many} {what}" in text) is bool(more)
    assert ("Apply" in text) is not bool(more)
