"""What is in view of the board, and how large: by wheel, buttons and keys, at true size, layer by layer."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise, product
from typing import cast

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.bench import Bench, put_deck
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import rows_in_gate
from tests.running import Server

CARD = (85.60, 53.98)
"""Sides of a card of the size ID-1, nominal [mm]: ISO/IEC 7810."""

INCH = 25.4
"""mm, exactly: the international inch of 1959."""


def matrix(page: Page) -> dict[str, float]:
    """How the drawing's millimetres become pixels."""
    found = page.evaluate(
        "(({a, b, c, d, e, f}) => ({a, b, c, d, e, f}))(document.getElementById('board-svg').getScreenCTM())"
    )
    return cast("dict[str, float]", found)


def place(page: Page, x: float, y: float) -> tuple[float, float]:
    """What of the drawing is at a place on screen [mm, y down]."""
    m = matrix(page)
    return (x - m["e"]) / m["a"], (y - m["f"]) / m["d"]


def bar(page: Page, name: str) -> Locator:
    """A button of the bar under the drawing."""
    return page.get_by_role("group", name="View", exact=True).get_by_role("button", name=name, exact=True)


def undistorted(page: Page) -> float:
    """The scale, the same both ways and unturned [px/mm]."""
    m = matrix(page)
    assert m["a"] == pytest.approx(m["d"], rel=1e-9)
    assert (m["b"], m["c"]) == (0, 0)
    return m["a"]


def test_the_wheel_zooms_at_the_pointer_and_the_middle_button_pans(bench: Bench) -> None:
    page, before = bench.page, bench.document()
    fit = undistorted(page)
    x, y = map(round, bench.centre("G"))
    page.mouse.move(x, y)
    under = place(page, x, y)
    for _ in range(3):
        page.mouse.wheel(0, -250)
    page.wait_for_function(f"() => document.getElementById('board-svg').getScreenCTM().a > {2 * fit}")
    assert place(page, x, y) == pytest.approx(under, abs=0.05), "what was under the pointer is no longer"
    close = undistorted(page)
    page.mouse.down(button="middle")
    page.mouse.move(x + 70, y - 30, steps=4)
    page.mouse.up(button="middle")
    assert place(page, x + 70, y - 30) == pytest.approx(under, abs=0.05)
    page.keyboard.down(" ")
    page.mouse.down()
    page.mouse.move(x, y, steps=4)
    page.mouse.up()
    page.keyboard.up(" ")
    assert place(page, x, y) == pytest.approx(under, abs=0.05)
    assert undistorted(page) == pytest.approx(close)
    assert bench.document() == before
    for _ in range(9):
        page.mouse.wheel(0, 400)
    page.wait_for_function(f"() => Math.abs(document.getElementById('board-svg').getScreenCTM().a - {fit}) < 1e-6")
    expect(bar(page, "Whole board")).to_have_attribute("aria-pressed", "true")


def test_keys_and_buttons_do_the_same(bench: Bench) -> None:
    page, before = bench.page, bench.document()
    fit = undistorted(page)
    words = page.locator("#view-scale")
    expect(words).to_have_text("100 %")
    page.keyboard.press("+")
    once = undistorted(page)
    assert once == pytest.approx(1.25 * fit)
    expect(words).to_have_text("125 %")
    expect(page.get_by_role("status").filter(has_text="Scale")).to_contain_text("125 %")
    page.keyboard.press("-")
    assert undistorted(page) == pytest.approx(fit)
    bar(page, "Zoom in").click()
    assert undistorted(page) == pytest.approx(once)
    bar(page, "Zoom in").click()
    bar(page, "Zoom out").click()
    assert undistorted(page) == pytest.approx(once)
    page.keyboard.press("0")
    assert undistorted(page) == pytest.approx(fit)
    expect(words).to_have_text("100 %")
    for _ in range(40):
        page.keyboard.press("+")
    assert undistorted(page) == pytest.approx(12 * fit), "there is an end to it"
    bar(page, "Whole board").click()
    assert undistorted(page) == pytest.approx(fit)
    assert bench.document() == before


def test_arrows_move_the_view_only_if_nothing_is_selected(bench: Bench) -> None:
    page = bench.page
    before = bench.document()
    page.keyboard.press("ArrowRight")
    at_fit = matrix(page)
    for _ in range(5):
        page.keyboard.press("+")
    start = matrix(page)
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    moved = matrix(page)
    assert (moved["e"] - start["e"], moved["f"] - start["f"]) == pytest.approx((-60, -60), abs=0.01)
    page.keyboard.press("Shift+ArrowLeft")
    assert matrix(page)["e"] - moved["e"] == pytest.approx(6, abs=0.01)
    for _ in range(60):
        page.keyboard.press("ArrowRight")
    x0, _ = place(page, *_corner(page, "right"))
    assert x0 <= bench.raw()["boards"][0]["outline"]["corners"][1]["x"] + 60, "the board has left the view"
    assert bench.document() == before
    page.keyboard.press("0")
    assert matrix(page) == pytest.approx(at_fit)
    page.keyboard.press("+")
    bench.select("E")
    still, x = matrix(page), bench.placed("E")["x"]
    with bench.changing():
        page.keyboard.press("ArrowRight")
    assert bench.placed("E")["x"] == pytest.approx(x + 1)
    assert matrix(page) == pytest.approx(still)


def _corner(page: Page, side: str) -> tuple[float, float]:
    area = page.locator("#board-svg").bounding_box()
    assert area
    return (area["x"] + (area["width"] if side == "right" else 0), area["y"])


def test_a_part_reached_by_keys_comes_into_view(bench: Bench) -> None:
    page = bench.page
    for _ in range(8):
        page.keyboard.press("+")
    stage = page.locator("#board-svg").bounding_box()
    assert stage
    page.locator("#drawing").focus()
    for key in ["Tab", *15 * ["PageDown"], *15 * ["PageUp"]]:
        page.keyboard.press(key)
        area = page.locator("#board-svg [data-placement]:focus").bounding_box()
        assert area, f"{key} left the board"
        assert area["x"] >= stage["x"]
        assert area["y"] >= stage["y"]
        assert area["x"] + area["width"] <= stage["x"] + stage["width"]
        assert area["y"] + area["height"] <= stage["y"] + stage["height"]


def test_single_keys_can_be_switched_off(bench: Bench) -> None:
    page = bench.page
    page.keyboard.press("?")
    page.get_by_role("checkbox", name=re.compile("Single-key shortcuts")).uncheck()
    page.keyboard.press("Escape")
    fit = undistorted(page)
    for key in ("+", "1", "g"):
        page.keyboard.press(key)
    assert undistorted(page) == fit
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(bar(page, "Grid")).to_have_attribute("aria-pressed", "false")
    bench.card.or_(page.locator("body")).first.press("Control+a")
    page.keyboard.press("+")
    assert undistorted(page) == fit


# -- true size ---------------------------------------------------------------------------------------------


def check_by_ruler(page: Page, said: str) -> float:
    """Type a length of the bar as somebody with a ruler does; its width on screen [px]."""
    asked = page.get_by_role("dialog", name="True size on this screen")
    expect(asked).to_be_visible()
    width = page.locator(".glass-bar").bounding_box()
    assert width
    asked.get_by_label("Length of the bar, measured").fill(said)
    return width["width"]


@pytest.mark.parametrize(
    ("said", "mm"),
    rows_in_gate(
        [("900", 900.0), ("170", 170.0), ("17,2 cm", 172.0), ("6 1/2 in", 6.5 * INCH), ('6.75"', 6.75 * INCH)],
        lambda row: row[0] in {"900", "6 1/2 in"},
    ),
)
def test_at_true_size_a_millimetre_of_the_board_is_one_on_the_glass(bench: Bench, said: str, mm: float) -> None:
    page = bench.page
    page.keyboard.press("1")
    wide = check_by_ruler(page, said)
    page.get_by_role("button", name="It matches").click()
    expect(bar(page, "True size")).to_have_attribute("aria-pressed", "true")
    expect(page.locator("#view-scale")).to_have_text("1:1")
    assert undistorted(page) == pytest.approx(wide / mm, rel=0.001)
    # Two parts as far apart on the glass as in the document.
    bench.page.keyboard.press("0")
    fit = undistorted(page)
    share = fit / (wide / mm)
    text = page.locator("#view-scale").inner_text()
    found = float(text.split(":")[1]) if share < 1 else 1 / float(text.split(":")[0])
    assert found == pytest.approx(1 / share, rel=0.01)


def test_the_outline_of_a_card_is_a_card(bench: Bench) -> None:
    page = bench.page
    bar(page, "True size").click()
    slide = page.get_by_role("slider", name="Width of the card’s outline".replace("’", "'"))
    slide.focus()
    for _ in range(40):
        page.keyboard.press("ArrowRight")
    for _ in range(3):
        page.get_by_role("button", name="Wider").click()
    card = page.locator(".glass-card").bounding_box()
    assert card
    assert card["width"] / card["height"] == pytest.approx(CARD[0] / CARD[1], rel=0.005)
    page.get_by_role("button", name="It matches").click()
    assert undistorted(page) == pytest.approx(card["width"] / CARD[0], rel=0.001)


def test_what_was_found_is_kept_for_this_screen_and_asked_for_on_another(bench: Bench) -> None:
    page = bench.page
    page.keyboard.press("1")
    check_by_ruler(page, "170")
    page.get_by_role("button", name="It matches").click()
    expect(page.get_by_role("dialog")).to_have_count(0)  # until it is gone, the keys are for its field
    true = undistorted(page)
    with bench.changing():
        page.keyboard.press("Control+a")
    assert undistorted(page) == pytest.approx(true), "an answer of the server took the scale away"
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    expect(page.locator("#view-scale")).to_contain_text("1:")
    page.keyboard.press("1")
    expect(page.get_by_role("dialog")).to_have_count(0)
    assert undistorted(page) == pytest.approx(true, rel=0.001)
    # Another zoom of the browser, or another monitor: other pixels.
    session = page.context.new_cdp_session(page)
    metrics = {"width": 1280, "height": 720, "deviceScaleFactor": 1.5, "mobile": False}
    session.send("Emulation.setDeviceMetricsOverride", metrics)
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    expect(page.locator("#view-scale")).to_have_text("100 %")
    page.keyboard.press("1")
    expect(page.get_by_role("dialog", name="True size on this screen")).to_be_visible()
    page.get_by_role("button", name="Cancel").click()
    expect(page.locator("#view-scale")).to_have_text("100 %")


def test_a_length_that_cannot_be_is_explained_and_kept(bench: Bench) -> None:
    page = bench.page
    page.locator("#view-scale").click()
    field = page.get_by_label("Length of the bar, measured")
    for said, words in (
        ("about ten", "not a length"),
        ("2 m", "not a length"),
        ("1", "not fit any screen"),
        ("0", "not fit any"),
    ):
        field.fill(said)
        expect(page.locator("#glass-wrong")).to_contain_text(words)
        page.get_by_role("button", name="It matches").click()
        expect(field).to_be_focused()
        expect(field).to_have_value(said)
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    assert page.evaluate("localStorage.getItem('holewise.glass')") is None


def test_nothing_pressed_in_the_check_moves_a_part(bench: Bench) -> None:
    page, before = bench.page, bench.document()
    bench.select("E")
    page.keyboard.press("1")
    page.get_by_role("button", name="Wider").focus()
    for key in ("ArrowRight", "Delete", "Control+d", "t"):
        page.keyboard.press(key)
    page.get_by_role("button", name="Cancel").click()
    bench.quiet()
    assert bench.document() == before


# -- layers ------------------------------------------------------------------------------------------------

SEEN = """names => names.map(name => [...document.querySelectorAll(name)].filter(each => each.checkVisibility()
  && each.getBoundingClientRect().width > 0).length)"""


def visible(page: Page, *selectors: str) -> list[int]:
    """How many of each can be seen."""
    return cast("list[int]", page.evaluate(SEEN, list(selectors)))


def layer(page: Page, name: str) -> Locator:
    """The box of a layer; the list is opened if it is not."""
    if page.locator("#layers").get_attribute("open") is None:
        page.locator("#layers > summary").click()
    return page.locator(f"#layer-{name}")


def test_each_layer_is_shown_and_hidden_by_itself(bench: Bench) -> None:
    page = bench.page
    bench.select("E")
    parts = len(bench.placements())
    for name, selector in (
        ("labels", "#parts text"),
        ("dims", "#dims text"),
        ("rulers", "#rulers text"),
        ("flanges", "#parts .flange, #parts .cap, #parts .knob"),
        ("holes", "#parts .hole-open"),
    ):
        before = visible(page, selector, "#parts .part", "#parts .halo-selected")
        assert before[0] > 0, name
        layer(page, name).uncheck()
        assert visible(page, selector)[0] == 0, name
        assert visible(page, "#parts .halo-selected")[0] == before[2], f"{name} took the mark of the selection along"
        layer(page, name).check()
        assert visible(page, selector)[0] == before[0], name
    layer(page, "flanges").uncheck()
    assert visible(page, "#parts .hole-open")[0] >= parts, "no hole where a flange was"


def test_the_hole_under_a_flange_is_as_wide_as_the_bit(bench: Bench) -> None:
    page = bench.page
    layer(page, "flanges").uncheck()
    page.keyboard.press("Escape")
    hole = bench.part("E").locator(".hole-under").bounding_box()
    assert hole
    assert hole["width"] / undistorted(page) == pytest.approx(28.0, abs=0.6)  # a button for 28 mm, its line included
    x, y = bench.centre("E")
    assert (hole["x"] + hole["width"] / 2, hole["y"] + hole["height"] / 2) == pytest.approx((x, y), abs=0.6)


def test_bodies_rooms_and_hands_come_when_they_are_asked_for(bench: Bench) -> None:
    page = bench.page
    assert visible(page, "#parts .bodies", "#parts .rooms", "#hands") == [0, 0, 0]
    assert page.locator(".bodies, .rooms, #hands").count() == 0, "drawn though nobody looks"
    for name, selector, many in (
        ("bodies", "#parts .bodies", 16),
        ("rooms", "#parts .rooms", 16),
        ("hands", "#hands", 1),
    ):
        with bench.changing():
            layer(page, name).check()
        expect(layer(page, name)).to_be_checked()
        assert visible(page, selector) == [many]
        expect(layer(page, name)).to_be_focused()
    layer(page, "rooms").uncheck()
    assert visible(page, "#parts .bodies", "#parts .rooms", "#hands") == [16, 0, 1]


def test_layers_outlive_an_edit_and_a_reload(bench: Bench) -> None:
    page = bench.page
    layer(page, "labels").uncheck()
    with bench.changing():
        layer(page, "bodies").check()
    page.keyboard.press("Escape")
    expect(page.locator("#layers")).not_to_have_attribute("open", "")
    bench.drag("E", 0.0, -6.0)
    assert visible(page, "#parts text", "#parts .bodies") == [0, 16]
    with bench.changing():
        page.keyboard.press("Control+d")
    assert visible(page, "#parts text", "#parts .bodies") == [0, 17]
    bench.undo()
    page.goto(f"{bench.url}/designs/{bench.design}")  # an address that says nothing of layers
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    expect(bench.part("E").locator(".bodies")).to_be_visible()
    assert visible(page, "#parts text", "#parts .bodies") == [0, 16]


def test_a_body_goes_along_while_its_part_is_dragged(bench: Bench) -> None:
    page = bench.page
    with bench.changing():
        layer(page, "bodies").check()
    page.keyboard.press("Escape")
    layer(page, "labels").uncheck()
    page.keyboard.press("Escape")
    bench.select("E")
    x, y = bench.take("E")
    page.mouse.move(x + 40, y - 30, steps=6)
    page.wait_for_function(
        "([x, y, most]) => [...document.querySelectorAll('.sheet .bodies')]"
        ".filter(b => getComputedStyle(b.parentNode).opacity > 0).map(b => b.getBoundingClientRect())"
        ".some(r => Math.abs(r.x + r.width / 2 - x) < most && Math.abs(r.y + r.height / 2 - y) < most)",
        arg=[x + 40, y - 30, undistorted(page) * 1.5],
    )
    assert visible(page, ".sheet .part text") == [0], "a hidden layer came back in the hand"
    page.keyboard.press("Escape")
    page.mouse.up()


def test_the_underside_has_layers_of_its_own(bench: Bench) -> None:
    page = bench.page
    page.goto(f"{bench.url}/designs/{bench.design}?face=under")
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    bodies = "#parts .part > .body, #parts .part > .plate-under"
    assert visible(page, bodies)[0] > 0
    layer(page, "bodies").uncheck()
    assert visible(page, bodies, "#parts .part > .nut") == [0, 0]
    assert page.locator("#layer-hands").count() == 0
    with bench.changing():
        layer(page, "flanges").check()
    assert visible(page, "#parts .flanges")[0] >= 14


def test_without_scripts_all_is_shown_and_the_bar_is_not_in_the_way(browser: Browser, bench: Bench) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 720})
    page = context.new_page()
    page.goto(f"{bench.url}/designs/{bench.design}?layers=bodies,rooms,hands")
    for selector in ("#parts .flange", "#parts text", "#parts .bodies", "#parts .rooms", "#hands", "#rulers"):
        expect(page.locator(selector).first).to_be_visible()
    expect(page.locator("#layers > summary")).to_be_hidden()
    expect(page.get_by_role("link", name="Download this drawing, PDF")).to_be_visible()
    context.close()


# -- the grid ----------------------------------------------------------------------------------------------


def grid_lines(page: Page) -> tuple[list[float], list[float]]:
    """Where the fine lines stand: from left to right and from the top [mm]."""
    d = page.locator("#grid .grid-fine").get_attribute("d") or ""
    return (
        sorted({float(x) for x in re.findall(r"M(-?[\d.e-]+) -?[\d.e-]+V", d)}),
        sorted({float(y) for y in re.findall(r"M-?[\d.e-]+ (-?[\d.e-]+)H", d)}),
    )


def test_the_grid_is_the_one_that_draws_the_parts(bench: Bench) -> None:
    page = bench.page
    assert page.locator("#grid").count() == 0
    page.keyboard.press("g")
    for _ in range(7):
        xs, ys = grid_lines(page)
        scale = undistorted(page)
        steps = {round(b - a, 6) for a, b in pairwise(xs)}
        assert len(steps) == 1
        step = steps.pop()
        assert step * scale >= 8
        assert step == round(step), "no multiple of 1 mm"
        assert all(abs(x / step - round(x / step)) < 1e-9 for x in (*xs, *ys)), "not from the datum edges"
        page.keyboard.press("+")
    for _ in range(5):
        page.keyboard.press("+")
    xs, _ = grid_lines(page)
    assert xs[1] - xs[0] == pytest.approx(1.0), "near enough, every step has its line"
    page.keyboard.press("0")
    # A part let go lies on a line, whichever is drawn nearest.
    bench.drag("E", 3.4, -8.7)
    assert bench.placed("E")["x"] == pytest.approx(round(bench.placed("E")["x"]))
    assert page.locator("#grid").count() == 1, "an edit took the grid away"
    page.reload()
    expect(page.locator("#grid .grid-fine")).to_be_attached()
    bar(page, "Grid").click()
    assert page.locator("#grid").count() == 0


def test_the_grid_is_in_inches_where_lengths_are_and_from_the_right_on_the_underside(bench: Bench) -> None:
    page = bench.page
    page.goto(f"{bench.url}/designs/{bench.design}?units=inch&face=under")
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    page.keyboard.press("g")
    xs, ys = grid_lines(page)
    step = (xs[1] - xs[0]) / (INCH / 16)
    assert step == pytest.approx(round(step), abs=1e-6)
    assert round(step) & (round(step) - 1) == 0, "no binary part of an inch"
    wide = max(corner["x"] for corner in bench.raw()["boards"][0]["outline"]["corners"])
    assert xs[-1] == pytest.approx(wide)
    assert ys[-1] == pytest.approx(0.0)


# -- the page around it ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("size", "scheme"),
    rows_in_gate(
        product([(1280, 720), (390, 844), (1024, 768)], ["light", "dark"]),
        lambda row: row in {((1280, 720), "light"), ((390, 844), "dark")},
    ),
)
def test_nothing_for_axe_to_find_and_nothing_sticks_out(
    server: Server, open_page: Callable[..., Page], scheme: str, size: tuple[int, int]
) -> None:
    wide, high = size
    page = open_page(wide, high, scheme, has_touch=wide < 1280)
    page.goto(f"{server.url}/designs/{put_deck(server.url)}")
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    page.locator("#show-grid").click()
    page.locator("#layers > summary").click()
    axe_finds_nothing(page, "#view-bar")  # the drawing itself is looked at on all of its pages
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    if wide > 860:
        assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
    area = page.locator(".layer-list").bounding_box()
    assert area
    assert area["x"] >= 0
    assert area["x"] + area["width"] <= wide
    assert 0 <= area["y"] <= area["y"] + area["height"] <= high
    page.keyboard.press("Escape")
    page.locator("#true-size").click()
    expect(page.get_by_role("dialog", name="True size on this screen")).to_be_visible()
    axe_finds_nothing(page, "#glass")
    assert page.evaluate("(d => d.scrollWidth <= d.clientWidth)(document.getElementById('glass'))")
    card = page.locator(".glass-card").bounding_box()
    assert card
    assert 0 <= card["x"] <= card["x"] + card["width"] <= wide


def test_the_view_is_another_design_s_own(bench: Bench, server: Server) -> None:
    page = bench.page
    page.keyboard.press("+")
    with bench.changing():
        page.get_by_role("link", name="Underside", exact=True).click()
    expect(bar(page, "Whole board")).to_have_attribute("aria-pressed", "false")
    other = Bench(page, server.url)
    other.make_deck(title="Another, smaller", players="One player")
    expect(bar(page, "Whole board")).to_have_attribute("aria-pressed", "true")
