"""Hands that are quick, several, far away or clumsy: what they do is kept once, rightly, or not at all."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, CDPSession, Page, expect

from tests.browser.bench import Bench, HeldBack, fetch, until
from tests.browser.conftest import Watch
from tests.browser.nursery import Nursery
from tests.long_run import in_gate, long
from tests.running import Server, running_app


def places(bench: Bench) -> dict[str, tuple[float, float]]:
    """X and y of every part, by letter, as kept."""
    return {p["label"]: (p["x"], p["y"]) for p in bench.placements()}


def moved(bench: Bench, before: dict[str, tuple[float, float]]) -> dict[str, tuple[float, float]]:
    """How far each part that moved is from where it was."""
    now = places(bench)
    return {
        label: (now[label][0] - x, now[label][1] - y)
        for label, (x, y) in before.items()
        if label in now and now[label] != (x, y)
    }


def test_parts_selected_together_move_together_as_one_step(bench: Bench) -> None:
    before, text = places(bench), bench.document()
    bench.select("F")
    with bench.changing():
        bench.page.keyboard.down("Shift")
        bench.page.mouse.click(*bench.centre("G"))
        bench.page.keyboard.up("Shift")
    expect(bench.page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    bench.drag("G", 5.0, -7.0)
    went = moved(bench, before)
    assert set(went) == {"F", "G"}
    assert went["F"] == pytest.approx(went["G"], abs=1e-6), "they keep their distance"
    assert went["G"] == pytest.approx((5.0, -7.0), abs=1.0)
    bench.undo()
    assert bench.document() == text


def test_a_box_drawn_on_the_bare_board_selects_what_is_in_it(bench: Bench) -> None:
    page, scale = bench.page, bench.scale()
    x0, y0 = bench.centre("C")
    x1, y1 = bench.centre("G")
    before = bench.document()
    bench.surround((x0 - 20 * scale, y0 - 22 * scale), (x1 + 24 * scale, y1 + 24 * scale))
    expect(page.get_by_role("heading", name="Selected · 4 parts")).to_be_visible()
    with bench.changing():
        bench.card.get_by_role("button", name="Leave undrilled").click()
    off = {p["label"] for p in bench.placements() if not p["drill"]}
    assert off == {"C", "D", "F", "G"}
    bench.undo()
    assert bench.document() == before


MIDDLE = 380.0
"""The line between two players on a board as wide as the form proposes, 760 [mm]."""


@pytest.mark.parametrize("lets_go", [False, True])
def test_a_hand_that_is_quicker_than_the_server_is_drawn_to_the_same_places(bench: Bench, *, lets_go: bool) -> None:
    """It rests, or lets go, before the first answer says which places are near: they take hold when it comes."""
    page = bench.page
    held, scale, placed = HeldBack(page, "/preview$"), bench.scale(), bench.placed("Q")
    x, y = bench.take("Q")
    page.mouse.move(x - 30, y)
    page.mouse.move(x + (MIDDLE + 1.7 - placed["x"]) * scale, y + 12.4 * scale)  # on the grid it would be at 382
    first = held.next()
    with bench.changing():
        if lets_go:
            page.mouse.up()
        first.continue_()
        held.release()
        if not lets_go:
            expect(page.locator("#dims").get_by_text("on the centre line")).to_be_visible()
            page.mouse.up()
    assert bench.placed("Q")["x"] == MIDDLE


def test_a_step_back_asked_for_right_after_a_drop_takes_back_the_drop(bench: Bench) -> None:
    page, before = bench.page, bench.document()
    held = HeldBack(page, "/preview$")
    x, y = bench.take("Q")
    page.mouse.move(x - 30, y)
    page.mouse.up()
    page.keyboard.press("Control+z")
    held.next().continue_()
    held.release()
    expect(page.get_by_role("button", name=re.compile("^Redo: Moved Q"))).to_be_visible()
    assert bench.document() == before


def test_a_part_that_is_pressed_while_the_drawing_is_exchanged_is_dragged_all_the_same(bench: Bench) -> None:
    page, scale, before = bench.page, bench.scale(), places(bench)
    held = HeldBack(page, "select=e(&|$)")
    page.mouse.click(*bench.centre("E"))
    slow = held.next()
    x, y = bench.take("G")
    with bench.changing():
        slow.continue_()
    held.release()
    expect(bench.card.get_by_role("heading", name="Selected · E", exact=True)).to_be_visible()
    page.mouse.move(x + 10 * scale, y - 10 * scale, steps=4)
    with bench.changing():
        page.mouse.up()
    assert moved(bench, before)["G"] == pytest.approx((10.0, 10.0), abs=3.5)


def test_a_locked_part_stays_where_it_is(bench: Bench) -> None:
    page = bench.page
    bench.select("E")
    with bench.changing():
        bench.card.get_by_role("switch", name=re.compile("Lock|Free")).click()
    assert bench.placed("E")["locked"] is True
    before = bench.document()
    x, y = bench.take("E")
    page.mouse.move(x + 60, y - 40, steps=6)
    page.mouse.up()
    bench.part("E").focus()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("status")).to_contain_text("This part is locked")
    assert bench.document() == before


def test_a_part_lands_under_the_pointer_when_looked_at_closely(bench: Bench) -> None:
    page = bench.page
    page.mouse.move(*bench.centre("L"))
    wide = bench.scale()
    page.mouse.wheel(0, -600)
    whole = page.get_by_role("button", name="Whole board", exact=True)
    expect(whole).to_have_attribute("aria-pressed", "false")
    close = bench.scale()
    assert close > 1.5 * wide
    before = places(bench)
    x, y = bench.take("L")
    page.mouse.move(x - 10 * close, y + 4 * close, steps=8)
    with bench.changing():
        page.mouse.up()
    assert moved(bench, before)["L"] == pytest.approx((-10.0, -4.0), abs=0.6)
    assert bench.scale() == pytest.approx(close, rel=0.01), "the change took the view away"
    whole.click()
    expect(whole).to_have_attribute("aria-pressed", "true")
    assert bench.scale() == pytest.approx(wide, rel=0.01)


@pytest.mark.parametrize(
    "command",
    in_gate(["Control+z", "Delete", "Control+d", "PageDown"], lambda command: command in {"Control+z", "PageDown"}),
)
def test_a_command_right_after_a_nudge_comes_after_it(bench: Bench, command: str) -> None:
    """Nudges are gathered for half a second into one step; what comes within it must find the nudge made."""
    page = bench.page
    bench.drag("G", 0.0, -6.0)  # an older step, which a hasty undo must not take back instead
    start, count = bench.document(), len(bench.placements())
    at = bench.placed("E")
    bench.part("E").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press(command)
    if command == "PageDown":
        page.keyboard.press("ArrowUp")
        expect(page.get_by_role("status")).to_contain_text("Moved F")
        assert bench.placed("E")["x"] == pytest.approx(at["x"] + 1.0)
        assert bench.placed("E")["y"] == pytest.approx(at["y"])
        return
    undo = page.get_by_role("button", name=re.compile("^Undo"))
    if command == "Control+z":
        expect(page.get_by_role("button", name=re.compile("^Redo: Moved E"))).to_be_visible()
        assert bench.document() == start
    elif command == "Delete":
        expect(bench.part("E")).to_have_count(0)
        expect(undo.get_by_text("Deleted E")).to_be_attached()
        bench.undo()
        assert bench.placed("E")["x"] == pytest.approx(at["x"] + 1.0)
    else:
        expect(undo.get_by_text("Duplicated E")).to_be_attached()
        assert len(bench.placements()) == count + 1
        assert bench.placed("E")["x"] == pytest.approx(at["x"] + 1.0)
    expect(page.locator("#notice")).to_be_empty()


def test_leaving_the_page_right_after_a_nudge_keeps_it(bench: Bench) -> None:
    page = bench.page
    at = bench.placed("E")["x"]
    bench.part("E").focus()
    page.keyboard.press("ArrowRight")
    page.get_by_role("link", name="Paper", exact=True).click()
    expect(page.get_by_role("link", name=re.compile("template, PDF"))).to_be_visible()
    assert bench.placed("E")["x"] == pytest.approx(at + 1.0)


def test_leaving_while_the_server_is_slow_keeps_a_nudge_once(bench: Bench) -> None:
    page = bench.page
    at = bench.placed("E")["x"]
    page.route("**/preview", lambda _: None)  # never answered
    bench.part("E").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.goto(f"{bench.url}/")
    expect(page.get_by_role("region", name="New deck")).to_be_visible()
    until(page, lambda: bench.placed("E")["x"] != at)
    page.unroute_all()
    page.goto(f"{bench.url}/designs/{bench.design}")
    assert bench.placed("E")["x"] == pytest.approx(at + 2.0)
    bench.undo()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_be_disabled()  # once, and not twice
    assert bench.placed("E")["x"] == at


@long  # two windows, programs and browsers are tried in the gate too
def test_the_same_design_in_two_browsers_loses_nothing(
    bench: Bench, server: Server, browser: Browser, watch: Watch
) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 720}, reduced_motion="reduce")
    other = Bench(context.new_page(), server.url)
    watch.follow(other.page)
    other.page.goto(f"{server.url}/designs/{bench.design}")
    other.arrive()
    bench.drag("C", 0.0, 6.0)
    other.drag("M", 0.0, -6.0)  # from a screen that still shows C where it was
    now = places(bench)
    assert now["C"][1] == pytest.approx(173.0, abs=1.0) or now["C"] != places(other)["M"]
    both = json.loads(fetch(f"{server.url}/designs/{bench.design}/design.json"))
    kept = {p["label"]: p for p in both["boards"][0]["arrangements"][0]["placements"]}
    assert kept["C"]["y"] - kept["D"]["y"] == pytest.approx(6.0, abs=1.0)
    assert kept["M"]["y"] - kept["E"]["y"] == pytest.approx(-6.0, abs=1.0)
    expect(other.part("C")).to_have_accessible_name(re.compile(f"{kept['C']['y']:g} mm from the front edge"))
    # A part removed in one window cannot be moved in the other: it says so and shows the board as it is.
    watch.expect("404")
    watch.expect("422")
    other.select("B")
    with other.changing():
        other.card.get_by_role("button", name="Delete", exact=True).click()
    kept_text = bench.document()
    x, y = bench.take("B")
    bench.page.mouse.move(x + 30, y, steps=5)
    bench.page.mouse.up()
    expect(bench.page.get_by_role("alert").filter(has_text=re.compile("B|part", re.IGNORECASE)).first).to_be_visible()
    assert bench.document() == kept_text
    context.close()


def test_a_server_that_is_gone_is_said_and_nothing_is_lost(browser: Browser, apps: Nursery, tmp_path: Path) -> None:
    page = browser.new_context(viewport={"width": 1280, "height": 720}).new_page()
    with running_app(tmp_path / "data", begin=apps.begin) as first:
        bench = Bench(page, first.url)
        bench.put_deck(title="Left alone")
        before = bench.document()
    x, y = bench.take("E")
    page.mouse.move(x + 20, y, steps=4)
    page.mouse.up()
    expect(page.locator("#notice")).to_contain_text("is not answering")
    with running_app(tmp_path / "data", begin=apps.begin) as second:
        assert fetch(f"{second.url}/designs/{bench.design}/design.json").decode() == before
    page.context.close()


def touch(session: CDPSession, kind: str, *points: tuple[float, float]) -> None:
    """Fingers on the screen, as the browser's own protocol sends them."""
    fingers = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
    session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})


@long  # test_touch.py holds each of it by itself
def test_a_finger_selects_first_and_drags_then(browser: Browser, server: Server, watch: Watch) -> None:
    context = browser.new_context(viewport={"width": 1024, "height": 768}, has_touch=True, reduced_motion="reduce")
    context.on("page", watch.follow)
    page: Page = context.new_page()
    bench = Bench(page, server.url)
    bench.put_deck(title="By finger")
    session = context.new_cdp_session(page)
    before, text, scale = places(bench), bench.document(), bench.scale()

    # A finger that moves over a part not selected is on its way to scroll: nothing is edited.
    x, y = bench.centre("E")
    touch(session, "touchStart", (x, y))
    for n in range(1, 7):
        touch(session, "touchMove", (x + 6 * n, y - 3 * n))
    touch(session, "touchEnd")
    assert bench.document() == text

    with bench.changing():
        page.touchscreen.tap(x, y)
    expect(bench.card.get_by_role("heading", name="Selected · E")).to_be_visible()

    # Two fingers never edit.
    x, y = bench.centre("E")
    touch(session, "touchStart", (x, y))
    touch(session, "touchMove", (x + 12, y))
    with bench.changing():
        touch(session, "touchStart", (x + 12, y), (x + 90, y + 50))
    touch(session, "touchMove", (x + 40, y), (x + 120, y + 50))
    touch(session, "touchEnd")
    expect(bench.drawing.locator(".held")).to_have_count(0)
    assert bench.document() == text

    x, y = bench.centre("E")
    scale = bench.scale()
    touch(session, "touchStart", (x, y))
    for n in (1, 4, 9, 16, 25, 16, 6):  # past what a finger trembles, and back to where it shall be
        touch(session, "touchMove", (x - n * scale, y + n * scale))
    with bench.changing():
        touch(session, "touchEnd")
    assert moved(bench, before)["E"] == pytest.approx((-6.0, -6.0), abs=1.0)
    context.close()


def test_escape_puts_back_nudges_and_a_drag_of_several(bench: Bench) -> None:
    page, text = bench.page, bench.document()
    bench.part("E").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    with bench.changing():
        page.keyboard.press("Escape")
    bench.quiet()
    assert bench.document() == text
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_be_disabled()
    bench.select("F")
    page.keyboard.down("Shift")
    with bench.changing():
        page.mouse.click(*bench.centre("G"))
    page.keyboard.up("Shift")
    at = {letter: bench.centre(letter) for letter in "FG"}
    x, y = bench.take("F")
    page.mouse.move(x - 30, y + 20, steps=5)
    expect(bench.drawing.locator(".held")).to_have_count(2)
    with bench.changing():
        page.keyboard.press("Escape")
    page.mouse.up()
    for letter in "FG":
        assert bench.centre(letter) == pytest.approx(at[letter], abs=1.0)
    expect(page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    assert bench.document() == text


def test_a_locked_part_among_several_stays_while_the_others_go(bench: Bench) -> None:
    bench.select("F")
    with bench.changing():
        bench.card.get_by_role("switch", name="Locked").click()
    before = places(bench)
    bench.page.keyboard.down("Shift")
    with bench.changing():
        bench.page.mouse.click(*bench.centre("G"))
    bench.page.keyboard.up("Shift")
    bench.drag("G", 6.0, -8.0)
    assert set(moved(bench, before)) == {"G"}
    bench.press("Line up at the front")
    assert places(bench)["F"] == before["F"]


def test_a_box_with_shift_adds_to_what_is_selected(bench: Bench) -> None:
    page, scale = bench.page, bench.scale()
    bench.select("A")
    x0, y0 = bench.centre("Q")
    x1, y1 = bench.centre("R")
    page.keyboard.down("Shift")
    page.mouse.move(x0 - 18 * scale, y0 - 18 * scale)
    page.mouse.down()
    page.mouse.move(x1 + 20 * scale, y1 + 18 * scale, steps=6)
    with bench.changing():
        page.mouse.up()
    page.keyboard.up("Shift")
    expect(page.get_by_role("heading", name="Selected · 3 parts")).to_be_visible()
    for letter in "AQR":
        expect(bench.part(letter)).to_have_attribute("aria-pressed", "true")
    with bench.changing():
        page.keyboard.press("Escape")
    expect(bench.drawing.locator('[aria-pressed="true"]')).to_have_count(0)


def test_whole_bottom_line_follows_while_a_part_is_in_the_hand(bench: Bench) -> None:
    """Stops and cautions at once, sheets as soon as the hand rests; what it then says is what it says when let go."""
    page, scale = bench.page, bench.scale()
    x, y = bench.take("L")
    with bench.resting():
        page.mouse.move(x - 14 * scale, y + 2 * scale, steps=10)
        expect(bench.truth).to_contain_text(re.compile("stop|caution"))
    held = bench.truth.inner_text()
    with bench.changing():
        page.mouse.up()
    assert bench.truth.inner_text() == held
    bench.undo()
    expect(bench.truth).to_contain_text("Fits")
