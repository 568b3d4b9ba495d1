"""The board itself in a real browser: by pointer, keyboard, finger and typing, light and dark, without scripts."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, CDPSession, Locator, Page, expect

from tests.browser.bench import Bench, put_deck, until
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.long_run import long
from tests.running import Server

GROUPS = ("size", "shapes", "corners", "openings", "layers", "edges", "below", "clear")


def kept(bench: Bench) -> dict[str, Any]:
    board = bench.raw()["boards"][0]
    assert isinstance(board, dict)
    return board


def rim(bench: Bench) -> list[tuple[float, float]]:
    return [(c["x"], c["y"]) for c in kept(bench)["outline"]["corners"]]


def open_board(bench: Bench, query: str = "") -> Page:
    if query:
        bench.page.goto(f"{bench.url}/designs/{bench.design}/board?{query}")
    else:
        bench.page.locator("#to-board-edit").click()
    expect(bench.page.locator("html")).to_have_attribute("data-ready", "yes")
    return bench.page


def handle(page: Page, name: str) -> Locator:
    return page.locator(f'[data-handle="{name}"]')


def middle(page: Page, name: str) -> tuple[float, float]:
    area = handle(page, name).locator(".handle-form").bounding_box()
    assert area
    return area["x"] + area["width"] / 2, area["y"] + area["height"] / 2


def scale(page: Page) -> float:
    return float(page.evaluate("document.getElementById('shape-svg').getScreenCTM().a"))


def undo_says(page: Page, words: str) -> None:
    expect(page.locator("#undo")).to_have_attribute("title", re.compile(words))


def test_the_right_edge_is_dragged_and_the_drawing_follows_before_it_is_let_go(bench: Bench) -> None:
    page, wide = open_board(bench), max(x for x, _ in rim(bench))
    parts = bench.placements()
    x, y = middle(page, "edge-0-1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30.3 * scale(page), y + 8, steps=6)
    expect(page.locator("#board-said")).to_contain_text("Moved the right edge out by 30 mm")
    expect(page.locator("#board-dims")).to_contain_text(f"{wide + 30:g} mm")
    assert middle(page, "edge-0-1")[0] == pytest.approx(x + 30 * scale(page), abs=1.5)
    assert max(x for x, _ in rim(bench)) == wide, "nothing is kept before it is let go"
    page.mouse.up()
    undo_says(page, "right edge out by 30 mm")
    assert max(x for x, _ in rim(bench)) == wide + 30
    assert bench.placements() == parts
    page.keyboard.press("Control+z")
    expect(page.locator("#undo")).to_be_disabled()
    assert max(x for x, _ in rim(bench)) == wide


def test_an_easing_is_dragged_evenly_and_escape_puts_a_drag_back(bench: Bench) -> None:
    page = open_board(bench, "hold=corner-0-1")
    x, y = middle(page, "before-0-1")
    corner = middle(page, "corner-0-1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 20 * scale(page), y, steps=5)
    expect(page.locator("#board-said")).to_contain_text("Set corner 2 back")
    page.mouse.up()
    undo_says(page, "Set corner 2 back by 20 mm × 20 mm")
    assert kept(bench)["outline"]["corners"][1]["setback"] == [20, 20]
    page.mouse.move(*corner)
    page.mouse.down()
    page.mouse.move(corner[0] + 60, corner[1] - 60, steps=5)
    expect(page.locator("#board-said")).to_contain_text("Moved corner 2")
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator(".dragging")).to_have_count(0)
    undo_says(page, "Set corner 2 back by 20 mm × 20 mm")


def test_by_keyboard_alone_a_run_of_steps_is_one_and_keeps_the_focus(bench: Bench) -> None:
    page, before = open_board(bench), rim(bench)
    held = handle(page, "corner-0-2")
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.dataset.handle") == "corner-0-2":
            break
    expect(held).to_be_focused()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    undo_says(page, "Moved corner 3 to")
    assert rim(bench)[2] == (before[2][0] + 4, before[2][1] - 1)
    expect(handle(page, "corner-0-2")).to_be_focused()
    expect(page.locator("#live")).to_contain_text("Moved corner 3")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Corner 3", exact=True)).to_be_visible()
    page.keyboard.press("Delete")
    undo_says(page, "Deleted corner 3")
    assert len(rim(bench)) == len(before) - 1
    page.keyboard.press("Control+z")
    undo_says(page, "Moved corner 3 to")


def test_leaving_while_the_server_is_slow_keeps_steps_once(bench: Bench) -> None:
    page, before = open_board(bench), rim(bench)
    page.route("**/board/preview", lambda _: None)  # never answered
    handle(page, "corner-0-2").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.goto(f"{bench.url}/")
    until(page, lambda: rim(bench) != before)
    assert rim(bench)[2] == (before[2][0] - 2, before[2][1])


def test_a_drag_no_board_can_follow_says_why_and_changes_nothing(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page, before = open_board(bench), rim(bench)
    x, y = middle(page, "edge-0-1")
    near, _ = middle(page, "edge-0-3")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(near + 20, y, steps=6)  # so narrow that the set-backs of the back corners would overlap
    expect(page.locator("#board-said.wrong")).to_contain_text("Reduce them")
    page.mouse.up()
    expect(page.get_by_role("alert").filter(has_text="Reduce them")).to_be_visible()
    assert rim(bench) == before


def test_a_size_typed_and_a_wrong_one_kept_beside_its_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page = open_board(bench)
    field = page.get_by_label("Width", exact=True)
    field.fill("32 in")
    field.press("Tab")
    undo_says(page, "Made the deck 812.8 mm wide")
    expect(page.get_by_label("Depth, front to back")).to_be_focused()
    assert max(x for x, _ in rim(bench)) == pytest.approx(812.8, abs=1e-9)
    page.get_by_label("Depth, front to back").fill("flat")
    page.get_by_label("Depth, front to back").press("Enter")
    expect(page.locator("#wrong-depth")).to_contain_text("flat")
    expect(page.get_by_label("Depth, front to back")).to_have_value("flat")
    expect(page.get_by_label("Depth, front to back")).to_be_focused()


def test_an_opening_and_an_area_are_made_and_moved_by_their_handles(bench: Bench) -> None:
    page = open_board(bench, "group=openings")
    page.get_by_role("button", name="Cut opening").click()
    expect(page.get_by_role("heading", name="Opening 1")).to_be_visible()
    start = kept(bench)["outline"]["openings"][0][0]
    x, y = middle(page, "opening-1")
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 40 * scale(page), y + 30 * scale(page), steps=5)
    page.mouse.up()
    undo_says(page, "Moved opening 1")
    moved = kept(bench)["outline"]["openings"][0][0]
    assert (moved["x"], moved["y"]) == (pytest.approx(start["x"] - 40, abs=1), pytest.approx(start["y"] - 30, abs=1))
    page.get_by_role("navigation", name="Group").get_by_role("link", name="Keep clear").click()
    page.get_by_label("Reason").fill("hinge")
    page.get_by_role("button", name="Add area").click()
    expect(page.get_by_role("heading", name="Area 1", exact=True)).to_be_visible()
    handle(page, "size-0").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    undo_says(page, "Kept 83 mm × .* clear")
    expect(handle(page, "size-0")).to_be_focused()
    area = kept(bench)["keep_clear"][0]
    assert (area["label"], area["width"]) == ("hinge", 83)


def test_a_shape_is_taken_by_its_picture(bench: Bench) -> None:
    page = open_board(bench, "group=shapes")
    page.get_by_label("Offset across").fill("100")
    page.get_by_label("Front to back").fill("50")
    page.get_by_role("button", name="Sloped front corners").click()
    undo_says(page, "sloped front corners, 100 mm × 50 mm")
    xs = {x for x, _ in rim(bench)}
    assert {100.0, max(xs) - 100} <= xs
    assert len(rim(bench)) == 6


def finger(session: CDPSession, kind: str, *points: tuple[float, float]) -> None:
    fingers = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})


def test_a_finger_beside_a_handle_takes_the_nearest_and_a_second_one_never_edits(
    server: Server, open_page: Callable[..., Page]
) -> None:
    page = open_page(1024, 768, "light", has_touch=True)
    bench = Bench(page, server.url)
    bench.design = put_deck(server.url)
    page.goto(f"{bench.url}/designs/{bench.design}/board")
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    before, session = rim(bench), page.context.new_cdp_session(page)
    x, y = middle(page, "edge-0-1")
    page.touchscreen.tap(x + 14, y + 10)
    expect(page.locator(".handle.held")).to_have_attribute("data-handle", "edge-0-1")
    x, y = middle(page, "edge-0-1")
    finger(session, "touchStart", (x, y))
    for n in range(1, 6):
        finger(session, "touchMove", (x + 6 * n, y))
    finger(session, "touchEnd")
    undo_says(page, "Moved the right edge out")
    after = rim(bench)
    assert max(c for c, _ in after) > max(c for c, _ in before)
    x, y = middle(page, "edge-0-1")
    finger(session, "touchStart", (x, y))
    finger(session, "touchMove", (x + 20, y))
    finger(session, "touchStart", (x + 20, y), (x - 90, y + 60))
    finger(session, "touchMove", (x + 50, y), (x - 120, y + 60))
    finger(session, "touchEnd")
    expect(page.locator(".dragging")).to_have_count(0)
    assert rim(bench) == after


@long  # in the gate the page is looked at with all others
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_for_axe_to_find_and_it_fits_the_screen(
    server: Server, open_page: Callable[..., Page], scheme: str
) -> None:
    design = put_deck(server.url)
    page = open_page(1280, 720, scheme)
    for query in (*(f"group={group}" for group in GROUPS), "hold=corner-0-2"):
        page.goto(f"{server.url}/designs/{design}/board?{query}")
        # What is beside the drawing is all that differs; a corner that is held has its measures in the drawing.
        axe_finds_nothing(page, None if "hold" in query else ".side")
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight + 1"), query
        assert page.evaluate("(s => s.scrollHeight <= s.clientHeight + 1)(document.querySelector('.side'))"), query


@long  # test_phone.py holds it for the page as it is first shown
def test_on_a_phone_nothing_sticks_out(bench: Bench, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    for group in GROUPS:
        page.goto(f"{bench.url}/designs/{bench.design}/board?group={group}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), group
    context.close()


@long  # tests/web sends every form without scripts
def test_without_scripts_everything_can_be_typed(bench: Bench, browser: Browser, server: Server) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{server.url}/designs/{bench.design}/board")
    page.get_by_label("Width", exact=True).fill("900")
    page.get_by_role("button", name="Apply").click()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("900 mm wide")
    page.get_by_role("link", name="Corners", exact=True).click()
    page.get_by_role("link", name=re.compile("^2 · 900 mm")).click()
    page.get_by_label("Set-back before it").fill("30")
    page.get_by_role("button", name="Apply").click()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("Set corner 2 back by 30 mm × 30 mm")
    expect(page.get_by_role("heading", name="Corner 2", exact=True)).to_be_visible()
    assert kept(bench)["outline"]["corners"][1] == {"x": 900.0, "y": 0.0, "setback": [30.0, 30.0]}
    context.close()
