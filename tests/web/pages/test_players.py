"""Players come and go on the stations page: laid out like the last one, where the rules let them, under new letters."""

from __future__ import annotations

import re
import time
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.schema import ArrangementEntry, PlacementEntry
from app.document.where import Where
from app.service.workshop import Workshop


def arrangements(workshop: Workshop, deck: str) -> tuple[ArrangementEntry, ...]:
    return workshop.design(deck)[1].boards[0].arrangements


def of(arrangement: ArrangementEntry, station: str) -> list[PlacementEntry]:
    return [p for p in arrangement.placements if p.station == station]


def send(client: TestClient, deck: str, verb: str, status: int = 200, **values: str) -> str:
    answer = client.post(f"/designs/{deck}/stations/{verb}", data=values)
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def one_player(workshop: Workshop, width: float = 760.0, **more: object) -> str:
    return workshop.create(NewDeck(players=1, width=width, depth=260.0, **more)).design.id  # type: ignore[arg-type]


@pytest.mark.parametrize("sit", ["alike", "mirrored"])
def test_a_one_player_deck_grows_to_two_and_fits(client: TestClient, workshop: Workshop, sit: str) -> None:
    deck = one_player(workshop, width=900.0)
    aside = {"station": "s1", "centre": "210 mm", "centre.was": "x"}
    client.post(f"/designs/{deck}/stations/station-lay-out", data=aside)
    before = arrangements(workshop, deck)[0]
    page = send(client, deck, "station-add", sit=sit)
    (after,) = arrangements(workshop, deck)
    assert [s.name for s in after.stations if s.id != "admin"] == ["Player 1", "Player 2"]
    assert after.placements[: len(before.placements)] == before.placements, "nobody is moved"
    theirs = of(after, "s2")
    assert len(theirs) == len(of(before, "s1"))
    letters = [p.label for p in after.placements]
    assert len(set(letters)) == len(letters)
    seen = workshop.look(deck, Where()).checked
    assert not seen.report.stops and not seen.report.cautions
    stick = next(p for p in theirs if p.part.startswith("stick"))
    buttons = [p.x for p in theirs if p.part.startswith("button")]
    assert (stick.x > max(buttons)) == (sit == "mirrored")
    assert "Player 2" in page and "Fits" in page
    client.post(f"/designs/{deck}/undo", data={"page": "stations"})
    assert arrangements(workshop, deck) == (before,), "one step"


def test_the_second_player_can_have_an_arrangement_beside_the_first_ones(
    client: TestClient, workshop: Workshop
) -> None:
    deck = one_player(workshop, width=900.0)
    aside = {"station": "s1", "centre": "210 mm", "centre.was": "x"}
    client.post(f"/designs/{deck}/stations/station-lay-out", data=aside)
    before = arrangements(workshop, deck)[0]
    page = send(client, deck, "station-add", sit="alike", beside="on")
    first, both = arrangements(workshop, deck)
    assert first == before
    assert (both.id, both.name) == ("two", "Two players")
    assert both.placements[: len(before.placements)] == before.placements, "one letter, one hole"
    assert f"{len(before.placements)} holes in common" in page
    assert re.search(r'aria-current="true"[^>]*>\s*Two players', page), "it is the one in view"


def test_an_empty_board_gets_a_first_player_as_a_new_deck_would(client: TestClient, workshop: Workshop) -> None:
    empty = workshop.create(NewDeck(players=0, width=500.0, depth=260.0)).design.id
    assert "<summary>Add a player</summary>" in client.get(f"/designs/{empty}/stations").text
    send(client, empty, "station-add", sit="alike")
    made = of(arrangements(workshop, empty)[0], "s1")
    new = workshop.create(NewDeck(players=1, width=500.0, depth=260.0, admin=0)).design.id
    theirs = of(arrangements(workshop, new)[0], "s1")
    assert [(p.part, p.x, p.y, p.label) for p in made] == [(p.part, p.x, p.y, p.label) for p in theirs]


def test_where_there_is_no_room_it_goes_where_least_is_wrong_and_the_report_says_so(
    client: TestClient, workshop: Workshop
) -> None:
    deck = one_player(workshop, width=420.0)
    began = time.process_time()
    page = send(client, deck, "station-add", sit="alike")
    assert time.process_time() - began < 10.0
    assert len(of(arrangements(workshop, deck)[0], "s2")) == 7
    assert "stop" in page


def test_a_board_too_small_for_anybody_says_what_it_would_take(client: TestClient, workshop: Workshop) -> None:
    empty = workshop.create(NewDeck(players=0, width=150.0, depth=260.0)).design.id
    page = send(client, empty, "station-add", status=422, sit="mirrored")
    assert "needs a board at least" in page
    assert re.search(r'name="sit" value="mirrored" checked', page), "what was chosen is kept"
    assert not arrangements(workshop, empty)[0].placements


def test_a_player_goes_from_this_arrangement_or_from_every_one(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    send(client, deck, "station-remove", station="s1")
    two, one = arrangements(workshop, deck)
    assert not of(two, "s1") and of(one, "s1")
    client.post(f"/designs/{deck}/undo", data={"page": "stations"})
    send(client, deck, "station-remove", station="s1", scope="all")
    two, one = arrangements(workshop, deck)
    assert not of(two, "s1") and not of(one, "s1")
    assert set(two.retired) >= set("ABCDEFG"), "their letters are never given again"
    send(client, deck, "station-add", sit="alike")
    again = of(arrangements(workshop, deck)[0], "s1")
    assert not {p.label for p in again} & set("ABCDEFG")
    seats = sorted(s.name for s in arrangements(workshop, deck)[0].stations if s.id != "admin")
    assert seats == ["Player 1", "Player 2"], "the first free number, once"


def test_a_locked_part_keeps_its_station(client: TestClient, workshop: Workshop, deck: str) -> None:
    client.post(f"/designs/{deck}/edit/lock", data={"select": "b", "lock": "on"})
    before = workshop.design(deck)[1]
    page = send(client, deck, "station-remove", status=422, station="s1", scope="all")
    assert "B is locked. Unlock it, then delete the station." in page
    assert workshop.design(deck)[1] == before


def test_a_drilled_part_keeps_its_station_until_its_mark_is_cleared(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """To unlock it would not do: what is drilled is said as such, and what to do about it does it."""
    for placement in "bc":
        client.post(f"/designs/{deck}/at-board/drilled", data={"at": f"{placement}/hole-1/through"})
    page = send(client, deck, "station-remove", status=422, station="s1", scope="all")
    assert "B, C are drilled, so they stay where they are." in page
    client.post(f"/designs/{deck}/at-board/clear", data={"at": "c/hole-1/through"})
    page = send(client, deck, "station-remove", status=422, station="s1", scope="all")
    assert "B is drilled, so it stays where it is." in page
    client.post(f"/designs/{deck}/at-board/clear", data={"at": "b/hole-1/through"})
    send(client, deck, "station-remove", station="s1", scope="all")
    assert not of(arrangements(workshop, deck)[0], "s1")


def test_a_ninth_player_is_not_offered(client: TestClient, workshop: Workshop) -> None:
    deck = one_player(workshop, width=3800.0, buttons=1)
    for _ in range(7):
        send(client, deck, "station-add", sit="alike")
    page = client.get(f"/designs/{deck}/stations").text
    assert "Add a player" not in page
    assert "<summary>Delete a player</summary>" in page
    assert "8 players already" in send(client, deck, "station-add", status=422, sit="alike")
