"""Two windows on one design: no change is lost, no step of another window is undone unseen, and each is told."""

from __future__ import annotations

import re
from contextlib import ExitStack
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.document.where import Where
from app.model.resolved import Placed
from app.service.windows import Meanwhile, between
from app.service.workshop import Workshop, open_workshop
from app.store import Moment, utc_now
from app.web.app import create_app
from app.web.guards import Address

BASE = "http://127.0.0.1:8123"


def parts(workshop: Workshop, deck: str) -> dict[str, Placed]:
    return {p.id: p for p in workshop.look(deck, Where()).checked.resolved.placements}


def shown(workshop: Workshop, deck: str) -> str:
    return workshop.design(deck)[0].revision.id


def told(page: Any) -> str:
    found = re.search(r'id="told"[^>]*><span>([^<]*)<', page.text)
    return unescape(found[1]) if found else ""


class Tab:
    """One window, as its scripts talk to the server: it says what it last saw and which window it is."""

    def __init__(self, client: TestClient, deck: str, name: str) -> None:
        self.client, self.deck, self.name = client, deck, name
        self.seen = ""
        self._keep(client.get(f"/designs/{deck}"))

    def send(self, path: str, **values: str) -> Any:
        data = {"unit": "mm", "seen": self.seen, "window": self.name, **values}
        return self._keep(self.client.post(f"/designs/{self.deck}/{path}", data=data))

    def _keep(self, page: Any) -> Any:
        found = re.search(r'data-revision="([^"]*)"', page.text)
        assert found
        self.seen = found[1]
        return page


@pytest.fixture
def tabs(client: TestClient, deck: str) -> tuple[Tab, Tab]:
    return Tab(client, deck, "one"), Tab(client, deck, "two")


def test_both_changes_are_kept_and_the_second_is_told(tabs: tuple[Tab, Tab], workshop: Workshop, deck: str) -> None:
    one, two = tabs
    before = parts(workshop, deck)
    assert told(one.send("edit/move", select="d", dx="12", dy="0", free="on")) == ""
    page = two.send("edit/move", select="e", dx="0", dy="7", free="on")
    now = parts(workshop, deck)
    assert (now["d"].x, now["e"].y) == (before["d"].x + 12, before["e"].y + 7)
    assert "Another window has changed this design: “Moved D 12 mm right" in told(page)
    assert "Your own step comes after it" in told(page)
    assert "Moved E" not in told(page), "its own step is no news to it"
    assert told(two.send("edit/move", select="e", dx="0", dy="1", free="on")) == "", "it is told once"


def test_fields_left_alone_keep_what_the_other_typed(tabs: tuple[Tab, Tab], workshop: Workshop, deck: str) -> None:
    one, two = tabs
    old = parts(workshop, deck)["d"]
    as_shown = {"x": f"{old.x:g}", "x.was": f"{old.x:g}", "y": f"{old.y:g}", "y.was": f"{old.y:g}"}
    one.send("edit/place", select="d", **as_shown | {"x": "300"})
    two.send("edit/place", select="d", **as_shown | {"y": "99"})
    now = parts(workshop, deck)["d"]
    assert (now.x, now.y) == (300, 99)


def test_undo_never_takes_back_a_step_not_seen(tabs: tuple[Tab, Tab], workshop: Workshop, deck: str) -> None:
    one, two = tabs
    one.send("edit/move", select="d", dx="12", dy="0", free="on")
    kept = shown(workshop, deck)
    page = two.send("undo")
    assert shown(workshop, deck) == kept
    assert "Nothing was undone" in told(page)
    assert told(two.send("undo")) == "", "the second press knows what it takes back"
    assert shown(workshop, deck) != kept
    page = one.send("redo")
    assert "“Moved D 12 mm right" in told(page) and "was undone" in told(page)
    assert "Nothing was redone" in told(page)
    one.send("redo")
    assert shown(workshop, deck) == kept


def test_a_part_another_window_moved_lands_where_it_was_let_go(
    tabs: tuple[Tab, Tab], workshop: Workshop, deck: str
) -> None:
    one, two = tabs
    start = parts(workshop, deck)["d"]
    one.send("edit/move", select="d", dx="31", dy="5", free="on")
    two.send("edit/move", select="d", dx="-10", dy="0", free="on")
    now = parts(workshop, deck)["d"]
    assert now.x == pytest.approx(start.x - 10, abs=1e-6)
    assert now.y == pytest.approx(start.y, abs=1e-6)


def test_two_presses_of_one_window_are_no_news_to_it(tabs: tuple[Tab, Tab]) -> None:
    one, _ = tabs
    late = one.seen
    one.send("edit/move", select="d", dx="1", dy="0", free="on")
    one.seen = late  # pressed before the first answer came
    assert told(one.send("edit/move", select="e", dx="1", dy="0", free="on")) == ""


@pytest.mark.parametrize("page", ["", "/stations", "/timeline", "/shop", "/board"])
def test_every_page_says_what_it_shows_and_what_happened_since(
    client: TestClient, workshop: Workshop, deck: str, tabs: tuple[Tab, Tab], page: str
) -> None:
    before = shown(workshop, deck)
    tabs[0].send("edit/move", select="d", dx="12", dy="0", free="on")
    answer = client.get(f"/designs/{deck}{page}?since={before}")
    assert "The change is shown here now" in told(answer)
    assert f'data-revision="{shown(workshop, deck)}"' in answer.text
    assert client.get(f"/designs/{deck}/now").text == shown(workshop, deck)
    assert told(client.get(f"/designs/{deck}{page}?since=nonsense")) == ""
    for form in re.findall(r'<form[^>]*method="post".*?</form>', answer.text, re.S):
        assert f'name="seen" value="{shown(workshop, deck)}"' in form


def moment(name: str, parent: str | None) -> Moment:
    return Moment(name, parent, 1, name, utc_now())


def test_between_two_moments_of_a_tree() -> None:
    # a - b - c
    #      \ d - e
    tree = [moment("a", None), moment("b", "a"), moment("c", "b"), moment("d", "b"), moment("e", "d")]

    def names(found: Meanwhile) -> tuple[list[str], list[str]]:
        return [m.id for m in found.made], [m.id for m in found.taken_back]

    assert names(between(tree, "a", "c")) == (["b", "c"], [])
    assert names(between(tree, "c", "e")) == (["d", "e"], ["c"])
    assert names(between(tree, "e", "a")) == ([], ["e", "d", "b"])
    assert names(between(tree, "c", "c")) == ([], [])
    assert names(between(tree, "gone", "c")) == ([], [])


def test_a_drag_shows_the_board_it_was_begun_on(tabs: tuple[Tab, Tab], client: TestClient, deck: str) -> None:
    one, two = tabs

    def place(seen: str) -> tuple[str, ...]:
        asked = {"unit": "mm", "select": "d", "dx": "4", "dy": "0", "seen": seen}
        text = client.post(f"/designs/{deck}/preview", data=asked).text
        return tuple(re.findall(r'data-[xy]="([^"]*)"', text))

    begun = place(two.seen)
    assert place(two.seen) == begun
    one.send("edit/move", select="d", dx="50", dy="0", free="on")
    assert place(two.seen) == begun
    assert place(one.seen) == place("") == place("unknown") != begun


def test_windows_are_told_alike_by_every_process(workshop: Workshop, deck: str, tmp_path: Path) -> None:
    """The steps of one window may be answered by one process and its next look by another."""
    other = open_workshop(tmp_path / "data")
    with ExitStack() as opened:
        clients = [
            opened.enter_context(TestClient(create_app(shop, Address("127.0.0.1", 8123)), base_url=BASE))
            for shop in (workshop, other)
        ]
        one, two = Tab(clients[0], deck, "one"), Tab(clients[0], deck, "two")
        late = one.seen
        one.send("edit/move", select="d", dx="12", dy="0", free="on")
        one.client, two.client = clients[1], clients[1]
        one.seen = late
        assert told(one.send("edit/move", select="e", dx="1", dy="0", free="on")) == "", "no news to itself"
        page = two.send("edit/move", select="e", dx="0", dy="7", free="on")
        assert "“Moved E 1 mm right" in told(page) and "“Moved D 12 mm right" in told(page)
        one.seen = two.seen
        one.client = clients[0]
        shown_last = one.seen
        one.send("undo")
        one.seen = shown_last  # pressed again before the first answer came, and answered by the other process
        one.client = clients[1]
        assert told(one.send("edit/move", select="d", dx="1", dy="0", free="on")) == ""
    other.close()
