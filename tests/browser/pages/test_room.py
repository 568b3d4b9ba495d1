"""Making room in a real browser: looked at, taken or left, by mouse, by keyboard alone and by finger.

The second channel is the document the server keeps, judged by the rules outside the browser.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import partial
from typing import Any

import pytest
from playwright.sync_api import ConsoleMessage, Locator, Page, expect

from app.document.load import loads
from app.service.checks.checking import check_design
from tests.browser.bench import Bench, HeldBack, fetch, put_deck, put_file
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import in_gate, long
from tests.running import Server

Change = Callable[[list[dict[str, Any]], dict[str, Any]], None]
Opened = Callable[..., Bench]

OFF = {"E": (14.0, 4.0), "L": (0.0, -30.0), "R": (-9.0, 0.0)}
"""How far parts of the crowded deck are off their places [mm]."""


def crowded(placements: list[dict[str, Any]], _board: dict[str, Any]) -> None:
    """A few parts pushed into their neighbours."""
    for placed in placements:
        dx, dy = OFF.get(placed["label"], (0.0, 0.0))
        placed["x"] += dx
        placed["y"] += dy


def beside_the_edge(placements: list[dict[str, Any]], _board: dict[str, Any]) -> None:
    """The last button of the player on the right stands over the right edge."""
    next(placed for placed in placements if placed["label"] == "L")["x"] = 745.0


def heaped(placements: list[dict[str, Any]], board: dict[str, Any]) -> None:
    """Three buttons on a board with room for two, one behind the other where there is room for one."""
    # A hole of 28 mm keeps 12 mm to an edge and 5 mm to the next one, and each may be drilled 1 mm off.
    placements[:] = [p for p in placements if p["label"] in "BCD"]
    for n, placed in enumerate(placements):
        placed.update(x=45.0 + 15 * n, y=30.0)
    corners = ((0, 0), (120, 0), (120, 60), (0, 60))
    board["outline"] = {"corners": [{"x": x, "y": y} for x, y in corners]}
    board.pop("edges", None)


@pytest.fixture(scope="module")
def deck(server: Server) -> str:
    """A deck of two players, as a file."""
    return fetch(f"{server.url}/designs/{put_deck(server.url, title='Short of room')}/design.json").decode("utf-8")


@pytest.fixture
def opened(page: Page, server: Server, deck: str) -> Opened:
    """A changed deck, opened by the page of the bench or another one."""

    def open_(change: Change, other: Page | None = None) -> Bench:
        there = Bench(other or page, server.url)
        there.open(changed(server.url, deck, change))
        return there

    return open_


def changed(url: str, deck: str, change: Change) -> str:
    """Id of a changed deck on the shelf."""
    design = json.loads(deck)
    board = design["boards"][0]
    del board["arrangements"][1:]
    change(board["arrangements"][0]["placements"], board)
    return put_file(url, json.dumps(design))


def findings(bench: Bench) -> list[str]:
    """Rules of the open stops and cautions of the kept document."""
    report = check_design(loads(bench.document()))[0].report
    return [f.rule for f in (*report.stops, *report.cautions)]


def places(bench: Bench) -> dict[str, tuple[float, float]]:
    return {p["label"]: (p["x"], p["y"]) for p in bench.placements()}


def shifts(bench: Bench, before: dict[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """How far each part moved that did [mm]."""
    now = places(bench)
    by = {k: (round(now[k][0] - x, 6), round(now[k][1] - y, 6)) for k, (x, y) in before.items()}
    return {k: v for k, v in by.items() if v != (0.0, 0.0)}


def told(page: Page) -> dict[str, tuple[float, float]]:
    """The same as the page puts it in words: letters, figures in millimetres and directions."""
    signs = {"right": (1, 0), "left": (-1, 0), "back": (0, 1), "forward": (0, -1)}
    found = {}
    for line in page.locator("#room > ul > li").all_inner_texts():
        x = y = 0.0
        for figure, way in re.findall(r"([\d.]+) mm (right|left|back|forward)", line):
            x, y = x + signs[way][0] * float(figure), y + signs[way][1] * float(figure)
        found[line.split()[0]] = (x, y)
    return found


def ghosts(page: Page) -> Locator:
    return page.locator("#room-svg .room-ghost, .room-frame svg .room-ghost")


def by_mouse(page: Page, target: Locator) -> None:
    area = target.bounding_box()
    assert area
    page.mouse.click(area["x"] + area["width"] / 2, area["y"] + area["height"] / 2)


def by_keys(page: Page, target: Locator) -> None:
    for _ in range(120):
        page.keyboard.press("Tab")
        if target.evaluate("e => e === document.activeElement"):
            break
    expect(target).to_be_focused()
    page.keyboard.press("Enter")


def by_finger(_page: Page, target: Locator) -> None:
    target.scroll_into_view_if_needed()
    target.tap()


Press = Callable[[Page, Locator], None]


def take_it(bench: Bench, press: Press) -> None:
    """Open the page of making room, compare what it shows, take it, and look at what was kept."""
    page, text, before = bench.page, bench.document(), places(bench)
    assert findings(bench)
    press(page, page.locator("#to-room"))
    expect(page.get_by_role("heading", name="This would make room")).to_be_visible()
    promised = told(page)
    assert set(promised) >= {"E"}
    assert ghosts(page).count() == len(promised)
    assert page.locator(".room-frame svg .arrow-head").count() == len(promised)
    figures = [text.strip() for text in page.locator(".room-frame svg #ghosts text").all_text_contents()]
    assert sorted(figures) == sorted(page.locator("#room > ul > li").all_inner_texts())
    assert bench.document() == text, "looking changes nothing"

    press(page, page.get_by_role("button", name="Apply"))
    bench.arrive()
    assert shifts(bench, before) == promised
    assert findings(bench) == []
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("Made room")
    bench.undo()
    assert bench.document() == text


@long  # by finger and by keys it is held in the gate, and by mouse in parts below
def test_it_is_taken_by_mouse_and_undone_by_its_name(opened: Opened) -> None:
    take_it(opened(crowded), by_mouse)


def test_it_is_taken_by_keyboard_alone(opened: Opened) -> None:
    take_it(opened(crowded), by_keys)


def test_it_is_taken_by_finger(opened: Opened, open_page: Callable[..., Page]) -> None:
    take_it(opened(crowded, open_page(1024, 768, "light", has_touch=True, is_mobile=True)), by_finger)


def test_on_a_phone_what_would_move_is_in_sight(server: Server, deck: str, open_page: Callable[..., Page]) -> None:
    page = open_page(390, 844, "light", has_touch=True, is_mobile=True)
    page.goto(f"{server.url}/designs/{changed(server.url, deck, beside_the_edge)}/room")
    expect(page.locator("html[data-ready]")).to_be_attached()
    ghost, frame = (ghosts(page).bounding_box(), page.locator(".room-frame").bounding_box())
    assert ghost
    assert frame
    assert frame["x"] <= ghost["x"] < ghost["x"] + ghost["width"] <= frame["x"] + frame["width"] <= 390


_SAY_NOTICES = """() => {
  const notice = document.getElementById("notice");
  new MutationObserver(() => console.info("notice:", notice.textContent)).observe(notice, { childList: true });
}"""


def says(words: str, said: ConsoleMessage) -> bool:
    return said.text.startswith(f"notice: {words}")


def test_what_is_tried_is_said_while_it_runs(opened: Opened) -> None:
    bench = opened(crowded)
    page = bench.page
    held = HeldBack(page, r"/room(\?|$)")
    whole = page.get_by_role("link", name="Whole stations")
    for link, words, found in (
        (
            page.locator("#to-room"),
            "Trying to move parts one by one, then whole stations",
            "Found by moving parts one by one.",
        ),
        (whole, "Trying your choice, then the other way", "Moving whole stations clears nothing"),
    ):
        page.wait_for_load_state("load")  # its scripts have run
        # Said by the page itself: while the next one is on its way, nobody else can ask it.
        page.evaluate(_SAY_NOTICES)
        with page.expect_console_message(partial(says, words)):
            link.click(no_wait_after=True)
        held.next().continue_()
        expect(page.locator("#room")).to_contain_text(found)
        expect(page.locator("#notice")).to_be_empty()


@pytest.mark.parametrize("press", in_gate([by_mouse, by_keys], lambda press: press is by_mouse))
def test_left_it_changes_nothing(opened: Opened, press: Press) -> None:
    bench = opened(crowded)
    page, text = bench.page, bench.document()
    press(page, page.locator("#to-room"))
    expect(ghosts(page).first).to_be_visible()
    press(page, page.get_by_role("link", name="Leave the board as it is"))
    bench.arrive()
    assert bench.document() == text
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_be_disabled()


def test_stations_move_as_a_whole_when_asked(opened: Opened) -> None:
    def off_the_board(placements: list[dict[str, Any]], _board: dict[str, Any]) -> None:
        for placed in placements:
            placed["x"] -= 75.0 if placed["station"] == "s1" else 0.0

    bench = opened(off_the_board)
    page, before = bench.page, places(bench)
    station = {p["label"] for p in bench.placements() if p["station"] == "s1"}
    page.locator("#to-room").click()
    page.get_by_role("link", name="Whole stations").click()
    expect(page.get_by_role("link", name="Whole stations")).to_have_attribute("aria-current", "true")
    promised = told(page)
    assert set(promised) == station
    assert len(set(promised.values())) == 1, "one shift for all of them"
    page.get_by_role("button", name="Apply").click()
    bench.arrive()
    assert shifts(bench, before) == promised
    assert findings(bench) == []


def test_a_locked_part_stays(opened: Opened) -> None:
    def locked(placements: list[dict[str, Any]], board: dict[str, Any]) -> None:
        crowded(placements, board)
        next(p for p in placements if p["label"] == "E")["locked"] = True

    bench = opened(locked)
    page, before = bench.page, places(bench)
    page.locator("#to-room").click()
    page.get_by_role("button", name="Apply").click()
    bench.arrive()
    assert "E" not in shifts(bench, before)
    assert findings(bench) == []


def test_where_there_is_no_room_for_all_it_says_why_and_offers_what_clears_the_most(opened: Opened) -> None:
    bench = opened(heaped)
    page, text = bench.page, bench.document()
    page.locator("#to-room").click()
    expect(page.get_by_role("heading", name="This would make some room")).to_be_visible()
    card = page.locator("#room")
    expect(card).to_contain_text(re.compile(r"The best found clears \d+ of \d+"))
    expect(card).to_contain_text(re.compile(r"There is room if you leave [BCD] out, or make the board \d+ mm longer"))
    assert bench.document() == text, "nothing is moved before it is taken"

    # What it says is true: on a board so much longer there is room.
    more = re.search(r"(\d+) mm longer", card.inner_text())
    assert more

    def longer(placements: list[dict[str, Any]], board: dict[str, Any]) -> None:
        heaped(placements, board)
        for corner in board["outline"]["corners"]:
            corner["x"] += float(more[1]) if corner["x"] else 0.0

    bench = opened(longer)
    bench.page.locator("#to-room").click()
    expect(bench.page.get_by_role("heading", name="This would make room")).to_be_visible()


def test_a_deck_that_fits_has_nothing_to_take(bench: Bench) -> None:
    page = bench.page
    expect(page.locator("#to-room")).to_have_count(0)
    page.goto(f"{bench.url}/designs/{bench.design}/room")
    expect(page.get_by_role("heading", name="Nothing to move")).to_be_visible()
    expect(page.get_by_role("button", name="Apply")).to_have_count(0)


@long  # in the gate the page is looked at with all others
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_for_axe_to_find_and_it_fits_the_screen(
    server: Server, deck: str, open_page: Callable[..., Page], scheme: str
) -> None:
    """What is offered, by parts and by stations, and what could not be: on a laptop and on a phone."""
    designs = {change: changed(server.url, deck, change) for change in (crowded, heaped)}
    shown = [(change, query) for change in designs for query in ("", "?rigid=1", "?units=inch")]
    for width, height in ((1280, 720), (390, 844)):
        page = open_page(width, height, scheme, has_touch=width < 500, is_mobile=width < 500)
        for change, query in shown:
            page.goto(f"{server.url}/designs/{designs[change]}/room{query}")
            expect(page.get_by_role("heading", level=1)).to_be_visible()
            assert page.evaluate("document.documentElement.scrollWidth") <= width, query
            if width > 500:
                assert page.evaluate("document.documentElement.scrollHeight <= innerHeight + 1"), query
            if (width > 500) == (query == ""):  # the other words in the other place: colours are the same in both
                axe_finds_nothing(page, None if query == "" else "#room")
            if width < 500 and (change, query) == (crowded, ""):
                tall = page.locator(".room-frame svg #ghosts text").first.bounding_box()
                assert tall
                assert tall["height"] >= 9, "letters of some 9 px, as the smallest elsewhere"
