"""Several parts at once, places drawn to while dragging, distances, shortcuts: by mouse, finger and keyboard alone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Locator, expect

from tests.browser.bench import Bench
from tests.browser.conftest import Watch
from tests.browser.test_hands import moved, places
from tests.running import Server


def words(bench: Bench) -> Locator:
    """What is written on the drawing beside a part being dragged."""
    return bench.page.locator("#dims text")


def by_keyboard(bench: Bench, *letters: str) -> None:
    """Select parts without a pointer."""
    bench.part(letters[0]).focus()
    with bench.changing():
        bench.page.keyboard.press("Enter")
    for letter in letters[1:]:
        bench.part(letter).focus()
        with bench.changing():
            bench.page.keyboard.press("Shift+Enter")


def test_parts_are_lined_up_and_spaced_by_keyboard_alone(bench: Bench) -> None:
    text = bench.document()
    by_keyboard(bench, "E", "F", "G")
    expect(bench.page.get_by_role("heading", name="Selected · 3 parts")).to_be_visible()
    front = bench.card.get_by_role("button", name="Line up at the front")
    front.focus()
    with bench.changing():
        bench.page.keyboard.press("Enter")
    now = places(bench)
    assert len({now[letter][1] for letter in "EFG"}) == 1
    expect(bench.page.get_by_role("status")).to_contain_text("Aligned E, F and G at the front")
    with bench.changing():
        bench.page.keyboard.press("Control+z")
    assert bench.document() == text
    bench.press("Space evenly left to right")
    now = places(bench)
    assert now["F"][0] == pytest.approx((now["E"][0] + now["G"][0]) / 2)


def test_a_group_is_duplicated_and_removed_by_keys(bench: Bench) -> None:
    text, count = bench.document(), len(bench.placements())
    by_keyboard(bench, "Q", "R")
    with bench.changing():
        bench.page.keyboard.press("Control+d")
    expect(bench.page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    assert len(bench.placements()) == count + 2
    bench.page.locator("#drawing").focus()
    with bench.changing():
        bench.page.keyboard.press("Delete")
    assert len(bench.placements()) == count
    bench.undo()
    bench.undo()
    assert bench.document() == text


def test_a_drag_is_drawn_to_a_line_and_says_so_but_not_with_alt(bench: Bench) -> None:
    page = bench.page
    start, scale = places(bench), bench.scale()
    # G stands in one column with D; from 12 mm beside it, a hand that comes within a few pixels is drawn to it.
    bench.select("G")
    bench.type(x=str(start["G"][0] + 12), y=str(start["G"][1] - 30))
    x, y = bench.take("G")
    page.mouse.move(x - 6 * scale, y, steps=4)
    expect(words(bench).filter(has_text=re.compile("centres .* rims .* flanges"))).to_have_count(1)
    page.mouse.move(x - 11 * scale, y, steps=4)
    page.mouse.move(x - 10.4 * scale, y, steps=2)
    expect(words(bench).filter(has_text="in line with D")).to_have_count(1)
    page.keyboard.down("Alt")
    page.mouse.move(x - 10.3 * scale, y, steps=2)
    expect(words(bench).filter(has_text="in line with")).to_have_count(0)
    page.keyboard.up("Alt")
    page.mouse.move(x - 10.4 * scale, y, steps=3)
    expect(words(bench).filter(has_text="in line with D")).to_have_count(1)
    with bench.changing():
        page.mouse.up()
    assert bench.placed("G")["x"] == bench.placed("D")["x"], "exactly, not by the pixel"


def test_escape_puts_a_drag_back_and_fifty_moves_are_one_step(bench: Bench) -> None:
    page, text, scale = bench.page, bench.document(), bench.scale()
    x, y = bench.take("L")
    page.mouse.move(x - 40, y + 30, steps=25)
    with bench.changing():
        page.keyboard.press("Escape")
    page.mouse.up()
    expect(bench.drawing.locator(".held")).to_have_count(0)
    assert bench.document() == text
    before = places(bench)
    x, y = bench.take("L")
    for n in range(1, 51):
        page.mouse.move(x - n * 0.3 * scale, y - 3.7 * scale * (n % 2))
    with bench.changing():
        page.mouse.up()
    assert set(moved(bench, before)) == {"L"}
    bench.undo()
    assert bench.document() == text


def test_two_parts_are_measured_and_one_is_placed_by_the_other(bench: Bench) -> None:
    by_keyboard(bench, "F", "G")
    told = bench.card.locator(".measures")
    expect(told).to_contain_text("Rim to rim")
    expect(words(bench).filter(has_text=re.compile("centres .* rims .* flanges"))).to_have_count(1)
    bench.select("G")
    fold = bench.card.locator("#relative-fold")
    fold.locator("summary").click()
    with bench.changing():
        fold.get_by_label("Measured from").select_option(label=_option(fold, "F"))
    fold = bench.card.locator("#relative-fold")
    fold.get_by_label("To the right of it").fill("2in")
    fold.get_by_label("To the back of it").fill("-3")
    with bench.changing():
        fold.get_by_role("button", name="Place by these two").click()
    now = places(bench)
    assert (now["G"][0] - now["F"][0], now["G"][1] - now["F"][1]) == pytest.approx((50.8, -3.0))


def _option(fold: Locator, letter: str) -> str:
    texts = fold.locator("#field-to option").all_inner_texts()
    return next(text for text in texts if text.startswith(f"{letter} ·"))


def test_shortcuts_are_listed_and_closed_by_keys(bench: Bench) -> None:
    page = bench.page
    bench.select("E")
    at = bench.placed("E")["x"]
    page.keyboard.press("?")
    listed = page.get_by_role("dialog", name="Keyboard shortcuts")
    expect(listed).to_be_visible()
    expect(listed).to_contain_text("duplicate it")
    page.keyboard.press("Escape")
    expect(listed).to_be_hidden()
    expect(page.get_by_role("heading", name="Selected · E")).to_be_visible()
    page.get_by_role("button", name="Keyboard shortcuts").click()
    expect(listed).to_be_visible()
    page.keyboard.press("ArrowRight")
    listed.get_by_role("button", name="Close").click()
    expect(listed).to_be_hidden()
    assert bench.placed("E")["x"] == at


def test_the_nudge_pad_moves_by_taps_in_one_step(browser: Browser, server: Server, watch: Watch) -> None:
    context = browser.new_context(
        viewport={"width": 1024, "height": 768}, has_touch=True, is_mobile=True, reduced_motion="reduce"
    )
    context.on("page", watch.follow)
    bench = Bench(context.new_page(), server.url)
    bench.make_deck(title="By taps")
    text, before = bench.document(), places(bench)
    with bench.changing():
        bench.page.touchscreen.tap(*bench.centre("E"))
    right = bench.card.get_by_role("button", name="Nudge right")
    expect(right).to_be_visible()
    area = right.bounding_box()
    assert area and area["width"] >= 44 and area["height"] >= 44
    right.tap()
    right.tap()
    with bench.changing():
        bench.card.get_by_role("button", name="Nudge back").tap()
    assert moved(bench, before)["E"] == pytest.approx((2.0, 1.0))
    bench.undo()
    assert bench.document() == text
    context.close()
