"""The page of all boards and the strip: every board is reached, changed, deleted and brought back."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.dump import dumps
from app.service.background.memory import Memory
from app.service.checks import states
from tests.companions import with_companions


@pytest.fixture
def several(client: TestClient) -> str:
    """Path of a deck with a grille, a fan and sockets."""
    file = ("a.json", dumps(with_companions()).encode(), "application/json")
    return client.post("/designs/open", files={"file": file}).url.path


def names(client: TestClient, path: str) -> list[str]:
    return [unescape(name) for name in re.findall(r"<h3><a [^>]*>([^<]*)</a>", client.get(f"{path}/boards").text)]


def send(client: TestClient, path: str, verb: str, **fields: str) -> str:
    answer = client.post(f"{path}/boards/{verb}", data={"unit": "mm", **fields})
    assert answer.status_code == 200, answer.text
    return str(answer.url)


PAGES = ("", "/board", "/judged", "/marking", "/paper", "/report", "/room", "/shop", "/stations", "/timeline")


@pytest.mark.parametrize("page", PAGES)
def test_from_every_page_every_board_is_reached(client: TestClient, several: str, page: str) -> None:
    text = client.get(f"{several}{page}?board=fan").text
    strip = re.search(r'<nav class="board-strip".*?</nav>', text, re.DOTALL)
    assert strip is not None
    links = [unescape(link) for link in re.findall(r'<a href="([^"]*)" id="strip-', strip[0])]
    assert [re.search(r"board=([\w-]*)", link)[1] for link in links] == ["deck", "grille", "fan", "sockets"]  # type: ignore[index]
    assert all(link.startswith(f"{several}{page}?") for link in links)
    assert strip[0].count('aria-current="true"') == 1
    for link in links:
        assert client.get(link).status_code == 200
    for picture in re.findall(r'src="([^"]*)"', strip[0]):
        answer = client.get(unescape(picture))
        assert answer.headers["content-type"] == "image/svg+xml"
        assert "immutable" in answer.headers["cache-control"]


def test_the_shelf_shows_the_deck_and_says_how_many_boards(client: TestClient, several: str) -> None:
    assert "14&#34; × 8&#34; × 1/2&#34; Plywood; 3 more boards" in client.get("/").text
    for which in ("fan", "sockets"):
        send(client, several, "board-remove", which=which)
    assert "Plywood; 1 more board<" in client.get("/").text


def test_a_single_board_has_no_strip(client: TestClient, several: str) -> None:
    for which in ("grille", "fan", "sockets"):
        send(client, several, "board-remove", which=which)
    assert "board-strip" not in client.get(several).text
    assert f'href="{several}/boards"' in client.get(several).text
    assert "only board" in client.post(f"{several}/boards/board-remove", data={"which": "deck"}).text


def test_the_picture_of_a_board_is_known_by_what_it_shows(client: TestClient, several: str) -> None:
    def marks() -> dict[str, str]:
        text = client.get(several).text
        return dict(re.findall(r"/boards/([\w-]+)\.svg\?mark=(\w+)", text))

    before = marks()
    send(client, several, "board-rename", which="grille", **{"board-name": "Left grille"})
    client.post(f"{several}/edit/place", data={"select": "c", "unit": "mm", "x": "210", "x.was": "", "y": "100"})
    after = marks()
    assert {board for board, mark in after.items() if mark != before[board]} == {"deck", "grille"}


def test_a_board_in_view_is_deleted_and_brought_back(client: TestClient, several: str) -> None:
    url = send(client, several, "board-remove", which="fan", board="fan")
    assert url.endswith("/boards?board=grille")
    assert names(client, several) == ["Control deck", "Loudspeaker grille", "Row of sockets"]
    assert client.get(f"{several}?board=fan").status_code == 404
    back = client.post(f"{several}/undo", data={"page": "boards", "board": "grille"})
    assert names(client, several) == ["Control deck", "Loudspeaker grille", "Fan", "Row of sockets"]
    assert back.status_code == 200
    client.post(f"{several}/redo", data={"page": "boards", "board": "fan"}, follow_redirects=True)
    gone = client.post(f"{several}/undo", data={"board": "fan"})
    assert gone.status_code == 200
    assert names(client, several)[2] == "Fan"


def test_an_undone_board_that_is_in_view_gives_way_to_the_deck(client: TestClient, several: str) -> None:
    url = send(client, several, "board-add", name="Door", width="200 mm", depth="300 mm")
    assert url.endswith("?board=door")
    after = client.post(f"{several}/undo", data={"board": "door"})
    assert after.status_code == 200
    assert "board=door" not in str(after.url)


def test_boards_are_copied_renamed_and_put_in_order(client: TestClient, several: str) -> None:
    send(client, several, "board-copy", which="grille")
    send(client, several, "board-move", which="loudspeaker-grille-copy", way="up")
    assert names(client, several)[1] == "Loudspeaker grille copy"
    send(client, several, "board-rename", which="fan", **{"board-name": "Side panel"})
    assert "Side panel" in names(client, several)
    raw = json.loads(client.get(f"{several}/design.json").text)
    assert [board["id"] for board in raw["boards"]][1] == "loudspeaker-grille-copy"


@pytest.mark.parametrize(
    ("verb", "fields", "said"),
    [
        ("board-add", {"width": "wide"}, "is not a length"),
        ("board-add", {"width": "5 mm"}, "from 20 to 5,000"),
        ("board-add", {"name": "FAN"}, "Choose another name"),
        ("board-rename", {"which": "fan", "board-name": ""}, "Make it longer"),
        ("board-move", {"which": "fan", "way": "sideways"}, "must be one of up, down"),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(
    client: TestClient, several: str, verb: str, fields: dict[str, str], said: str
) -> None:
    before = client.get(f"{several}/now").text
    answer = client.post(f"{several}/boards/{verb}", data={"unit": "mm", **fields})
    assert answer.status_code == 422
    assert said in unescape(answer.text)
    assert client.get(f"{several}/now").text == before


def test_the_report_of_all_boards_says_what_each_says_by_itself(client: TestClient, several: str) -> None:
    assert "4 boards: no stops, no cautions." in client.get(f"{several}/report").text
    off = {"board": "fan", "select": "fan-fan", "unit": "mm", "x": "30", "x.was": ""}
    client.post(f"{several}/edit/place", data=off)
    tally = re.search(r'data-tally="([^"]*)"', client.get(f"{several}?board=fan").text)
    assert tally is not None
    text = client.get(f"{several}/report").text
    assert f"4 boards: {tally[1].replace(', ', ' and ')}." in text
    cards = text.split('<section class="card pad report-card"')[1:]
    lines = [re.findall(r'<li class="with-icon">.*?<a href="([^"]*)">', card, re.DOTALL) for card in cards]
    assert [bool(links) for links in lines] == [False, False, True, False]
    for link in map(unescape, lines[2]):
        assert "board=fan" in link and "select=fan-fan" in link
        assert client.get(link).status_code == 200


def test_on_a_board_that_is_not_leaned_on_the_list_says_what_was_not_checked(client: TestClient, several: str) -> None:
    said = {board: client.get(f"{several}/judged?board={board}").text for board in ("deck", "fan")}
    assert "and the strength of the deck" in said["deck"] and "Not checked:" not in said["deck"]
    assert "and the strength of the deck" not in said["fan"] and "Only the deck is." in said["fan"]


def test_boards_nobody_had_time_for_are_asked_for_by_the_list_and_by_every_strip(
    client: TestClient, several: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.service.sight.PATIENCE_S", 0.0)
    off = {"board": "fan", "select": "fan-fan", "unit": "mm", "x": "30", "x.was": ""}
    monkeypatch.setattr("app.service.checks.elsewhere.PATIENCE_S", 0.0)
    client.post(f"{several}/edit/place", data=off)
    for page in ("/boards", "/room", "/timeline"):
        monkeypatch.setattr(states, "_KNOWN", Memory(1_000_000))  # as after a start anew
        text = client.get(several + page).text
        assert "not checked yet" in text
        (asked,) = re.findall(r'hx-get="(/designs/[^"]*/states[^"]*)"', text)
        block = unescape(client.get(unescape(asked)).text)
        assert "not checked yet" not in block and "hx-get" not in block and "stop" in block
        assert ("board-row-fan" in block) == (page == "/boards") == ("Rename" in block)
        assert page == "/boards" or f'href="{several}{page}?board=fan"' in block


def test_what_an_empty_board_begins_with_is_what_is_put_on_such_a_board(client: TestClient, several: str) -> None:
    send(client, several, "board-add", name="Side", width="300 mm", depth="200 mm")
    side = client.get(f"{several}?board=side").text
    steps = re.search(r"first-steps.*?</section>", side, re.DOTALL)
    assert steps and "station" not in steps[0]
    for way in ("/pattern?board=side", "/make?board=side"):
        assert f'href="{several}{way}"' in unescape(steps[0])
        assert client.get(several + way).status_code == 200


def test_a_design_without_its_deck_is_shown_printed_and_brought_back(client: TestClient, several: str) -> None:
    url = send(client, several, "board-remove", which="deck", board="deck")
    assert url.endswith("/boards?board=grille")
    assert names(client, several) == ["Loudspeaker grille", "Fan", "Row of sockets"]
    files = ("/design.json", "/thumbnail.svg", "/template.pdf", "/all-templates.pdf")
    for page in (*PAGES, "/boards", "/make", "/paper?of=all-templates", *files):
        assert client.get(several + page).status_code == 200, page
    shelf = client.get("/").text
    assert "2 more boards" in shelf
    text = client.get(f"{several}/design.json").content
    opened = client.post("/designs/open", files={"file": ("b.json", text, "application/json")})
    assert opened.status_code == 200 and "Loudspeaker grille" in opened.text
    assert "becomes the deck" in client.get(f"{several}/boards").text
    send(client, several, "board-add", name="New deck", width="600 mm", depth="300 mm")
    assert "The deck, 1 arrangement" in client.get(f"{several}/boards").text
    assert "Of the deck" in client.get(f"{several}/boards").text
    for _ in range(2):
        client.post(f"{several}/undo", data={"page": "boards"})
    assert names(client, several)[0] == "Control deck"
