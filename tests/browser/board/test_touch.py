"""The board by fingers: two move the view and never edit, one selects, drags, scrolls or draws a box."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import pytest
from playwright.sync_api import CDPSession, Page, expect

from tests.browser.bench import Bench
from tests.browser.board.test_view import matrix, place, undistorted
from tests.long_run import in_gate
from tests.running import Server

Place = tuple[float, float]

TARGET = 44.0
"""Least side of a target for a finger [CSS px]: WCAG 2.2, success criterion 2.5.5."""


@dataclass
class Hand:
    """Fingers on the screen, as the browser's own protocol sends them."""

    bench: Bench
    session: CDPSession

    @property
    def page(self) -> Page:
        return self.bench.page

    def send(self, kind: str, *points: Place) -> None:
        fingers = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})

    def press(self, *points: Place) -> None:
        self.send("touchStart", *points)

    def lift(self) -> None:
        self.send("touchEnd")

    def move(self, start: list[Place], end: list[Place], steps: int = 8) -> None:
        """Move fingers that are down straight to where they end."""
        for k in range(1, steps + 1):
            t = k / steps
            self.send(
                "touchMove", *((a + t * (c - a), b + t * (d - b)) for (a, b), (c, d) in zip(start, end, strict=True))
            )

    def pinch(self, start: list[Place], end: list[Place]) -> None:
        """Both fingers down one after the other, moved, and lifted."""
        self.press(start[0])
        self.press(*start)
        self.move(start, end)
        self.lift()

    def stroke(self, start: Place, end: Place) -> None:
        """One finger from place to place."""
        self.press(start)
        self.move([start], [end])
        self.lift()

    def tap(self, x: float, y: float) -> None:
        self.page.touchscreen.tap(x, y)

    def select(self, letter: str) -> None:
        with self.bench.changing():
            self.tap(*self.bench.centre(letter))
        expect(self.bench.card.get_by_role("heading", name=f"Selected · {letter}", exact=True)).to_be_visible()


def middle(page: Page) -> Place:
    """Middle of the drawing on screen."""
    area = page.locator("#board-svg").bounding_box()
    assert area
    return (area["x"] + area["width"] / 2, area["y"] + area["height"] / 2)


def rest(page: Page) -> None:
    """Wait until the page has come to rest: at the same place for a dozen pictures, one after the other."""
    page.evaluate(
        "new Promise(done => { let last = -1, same = 0; const look = () => {"
        " same = scrollY === last ? same + 1 : 0; last = scrollY;"
        " if (same < 12) requestAnimationFrame(look); else done(); }; requestAnimationFrame(look); })"
    )


def hand_on(open_page: Callable[..., Page], server: Server, wide: int, high: int) -> Hand:
    page = open_page(wide, high, "light", has_touch=True, is_mobile=True)
    bench = Bench(page, server.url)
    bench.put_deck(title="By finger")
    expect(page.locator("html")).to_have_attribute("data-ready", "yes")
    return Hand(bench, page.context.new_cdp_session(page))


@pytest.fixture
def hand(open_page: Callable[..., Page], server: Server) -> Hand:
    """A new deck on a tablet."""
    return hand_on(open_page, server, 1024, 768)


@pytest.fixture
def phone(open_page: Callable[..., Page], server: Server) -> Hand:
    """A new deck on a phone, where the page is longer than the screen."""
    return hand_on(open_page, server, 390, 844)


def test_nothing_moves_under_a_pinch(hand: Hand) -> None:
    """On bare board, on parts, on a selected part: the document stays as it is, to the letter."""
    page, bench = hand.page, hand.bench
    before = bench.document()
    fit = undistorted(page)
    (ex, ey), (gx, gy) = bench.centre("E"), bench.centre("G")
    hand.pinch([(ex, ey), (gx, gy)], [(ex - 30, ey + 10), (gx + 40, gy - 20)])
    assert undistorted(page) > 1.2 * fit
    page.keyboard.press("0")
    hand.select("E")
    x, y = bench.centre("E")
    hand.pinch([(x, y), (x + 90, y + 40)], [(x - 60, y - 30), (x + 150, y + 70)])
    bench.quiet()
    assert bench.document() == before
    expect(bench.drawing.locator(".held")).to_have_count(0)
    assert page.evaluate("visualViewport.scale") == 1, "the browser made the page larger instead"
    # The fingers go on to the smallest, and beyond.
    mx, my = middle(page)
    hand.pinch([(mx - 160, my), (mx + 160, my)], [(mx - 8, my), (mx + 8, my)])
    assert undistorted(page) == pytest.approx(fit)
    assert bench.document() == before


def test_a_second_finger_puts_a_drag_back(hand: Hand) -> None:
    page, bench = hand.page, hand.bench
    before = bench.document()
    fit = undistorted(page)
    hand.select("G")
    x, y = bench.centre("G")
    hand.press((x, y))
    hand.move([(x, y)], [(x + 45, y - 25)])
    expect(page.locator("#bench.dragging")).to_have_count(1)
    with bench.changing():
        hand.press((x + 45, y - 25), (x + 150, y + 60))
    hand.move([(x + 45, y - 25), (x + 150, y + 60)], [(x, y - 60), (x + 200, y + 120)])
    hand.lift()
    expect(page.locator("#bench.dragging")).to_have_count(0)
    assert bench.document() == before
    assert undistorted(page) > 1.2 * fit, "the same two fingers should have zoomed"
    with bench.changing():
        page.keyboard.press("Escape")
    page.keyboard.press("0")
    bench.quiet()
    assert bench.centre("G") == pytest.approx((x, y), abs=1.5), "it is not drawn where it was"


def test_a_pinch_is_about_the_place_between_the_fingers(hand: Hand) -> None:
    page = hand.page
    x, y = hand.bench.centre("F")
    held = place(page, x, y)
    fit = undistorted(page)
    hand.pinch([(x - 60, y - 30), (x + 60, y + 30)], [(x - 120 + 25, y - 60 - 15), (x + 120 + 25, y + 60 - 15)])
    assert undistorted(page) == pytest.approx(2 * fit, rel=0.01), "twice as far apart is twice as large"
    assert place(page, x + 25, y - 15) == pytest.approx(held, abs=0.6)


def test_two_fingers_move_the_view_and_one_does_when_it_is_not_all_in_view(hand: Hand) -> None:
    page, bench = hand.page, hand.bench
    before = bench.document()
    mx, my = middle(page)
    hand.pinch([(mx - 40, my), (mx + 40, my)], [(mx - 120, my), (mx + 120, my)])
    start, scale = matrix(page), undistorted(page)
    hand.pinch([(mx - 40, my), (mx + 40, my)], [(mx - 100, my - 30), (mx - 20, my - 30)])
    moved = matrix(page)
    assert (moved["e"] - start["e"], moved["f"] - start["f"]) == pytest.approx((-60, -30), abs=2)
    assert undistorted(page) == pytest.approx(scale, rel=0.01)
    # From a part that is not selected as well.
    x, y = hand.bench.centre("F")
    hand.stroke((x, y), (x + 50, y + 20))
    again = matrix(page)
    assert again["e"] - moved["e"] == pytest.approx(50, abs=11)  # the first of it tells a stroke from a tap
    assert bench.document() == before
    expect(page.locator("#bench")).to_have_attribute("data-select", "")


def test_one_finger_on_the_bare_board_scrolls_the_page_or_moves_the_view(phone: Hand) -> None:
    page = phone.page
    before = phone.bench.document()
    x, y = middle(page)
    y -= 10
    phone.stroke((x, y + 60), (x, y - 120))
    page.wait_for_function("() => scrollY > 60")
    rest(page)  # it glides on
    page.evaluate("scrollTo(0, 0)")
    rest(page)
    page.keyboard.press("+")
    page.keyboard.press("+")
    page.keyboard.press("+")
    start = matrix(page)
    phone.stroke((x, y + 40), (x - 40, y))
    rest(page)
    assert page.evaluate("scrollY") == 0
    assert matrix(page)["e"] - start["e"] == pytest.approx(-40, abs=11)
    assert phone.bench.document() == before


def test_a_finger_drags_what_it_has_selected(phone: Hand) -> None:
    bench, page = phone.bench, phone.page
    phone.select("E")
    before = bench.placed("E")
    x, y = bench.centre("E")
    scale = undistorted(page)
    phone.press((x, y))
    phone.move([(x, y)], [(x - 30, y + 20)])  # past what a finger trembles, and back to where it shall be
    phone.move([(x - 30, y + 20)], [(x - 8 * scale, y + 6 * scale)])
    with bench.changing():
        phone.lift()
    now = bench.placed("E")
    assert (now["x"] - before["x"], now["y"] - before["y"]) == pytest.approx((-8, -6), abs=1.0)
    assert page.evaluate("scrollY") == 0


def test_a_finger_that_trembles_moves_nothing(hand: Hand) -> None:
    bench, page = hand.bench, hand.page
    hand.select("E")
    before = bench.document()
    x, y = bench.centre("E")
    hand.stroke((x, y), (x + 7, y - 5))
    bench.quiet()
    assert bench.document() == before
    expect(page.locator("#parts .selected")).to_have_count(1)


@pytest.mark.usefixtures("browser")  # the one of all: it is not known before that a page of it is asked for
@pytest.mark.parametrize("screen", in_gate(["hand", "phone"], lambda screen: screen == "phone"))
def test_held_still_a_finger_draws_a_box(screen: str, request: pytest.FixtureRequest) -> None:
    hand: Hand = request.getfixturevalue(screen)
    bench, page = hand.bench, hand.page
    before = bench.document()
    (x0, y0), (x1, y1) = bench.centre("C"), bench.centre("G")
    mm = undistorted(page)
    start, end = (x0 - 24 * mm, y0 - 60 * mm), (x1 + 24 * mm, y1 + 24 * mm)  # from where no part is meant
    hand.press(start)
    expect(page.locator(".hold-mark")).to_be_visible()
    hand.move([start], [end])
    expect(page.locator(".lasso")).to_be_visible()
    with bench.changing():
        hand.lift()
    expect(page.get_by_role("heading", name="Selected · 4 parts")).to_be_visible()
    expect(page.locator(".hold-mark, .lasso")).to_have_count(0)
    assert page.evaluate("scrollY") == 0
    assert bench.document() == before
    # Not held, the same stroke draws none.
    hand.press(start)
    hand.move([start], [end], steps=4)
    assert page.locator(".lasso").count() == 0
    hand.lift()


def test_taps_add_to_the_selection_where_there_is_no_shift(hand: Hand) -> None:
    bench, page = hand.bench, hand.page
    add = page.get_by_role("button", name="Add to selection")
    add.tap()
    expect(add).to_have_attribute("aria-pressed", "true")
    hand.select("B")
    with bench.changing():
        hand.tap(*bench.centre("F"))
    expect(page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    expect(add).to_have_attribute("aria-pressed", "true")
    with bench.changing():
        hand.tap(*bench.centre("K"))
    expect(page.get_by_role("heading", name="Selected · 3 parts")).to_be_visible()
    with bench.changing():
        hand.tap(*bench.centre("B"))
    expect(page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    add.tap()
    hand.select("C")


def test_with_a_mouse_there_is_no_button_for_what_shift_does(bench: Bench) -> None:
    expect(bench.page.get_by_role("button", name="Add to selection")).to_be_hidden()


def free_direction(at: Place, others: list[Place]) -> Place:
    """The unit direction away from what is nearest."""
    ways = [(math.cos(math.radians(a)), math.sin(math.radians(a))) for a in range(0, 360, 15)]
    far = TARGET / 2 - 1
    return max(ways, key=lambda w: min(math.dist((at[0] + far * w[0], at[1] + far * w[1]), o) for o in others))


def test_every_part_is_a_target_of_44_px(phone: Hand) -> None:
    """On a phone a part is drawn 12 px wide; 21 px beside its middle, away from the others, a tap still means it."""
    bench, page = phone.bench, phone.page
    at = {p["label"]: bench.centre(p["label"]) for p in bench.placements()}
    small = 0
    for letter, (x, y) in at.items():
        box = bench.part(letter).bounding_box()
        assert box
        small += box["width"] < TARGET
        dx, dy = free_direction((x, y), [place for other, place in at.items() if other != letter])
        far = TARGET / 2 - 1
        with bench.changing():
            phone.tap(x + far * dx, y + far * dy)
        expect(page.locator("#parts .selected")).to_have_attribute("data-placement", _id(bench, letter))
    assert small > 10, "the test has not seen a part smaller than its target"
    # Between two, the nearer is meant.
    (bx, by), (ex, ey) = at["B"], at["E"]
    for share, letter in ((0.4, "B"), (0.6, "E")):
        with bench.changing():
            phone.tap(bx + share * (ex - bx), by + share * (ey - by))
        expect(page.locator("#parts .selected")).to_have_attribute("data-placement", _id(bench, letter))


def _id(bench: Bench, letter: str) -> str:
    return str(bench.placed(letter)["id"])


def test_everything_to_press_in_the_bar_is_44_px(phone: Hand) -> None:
    for each in phone.page.locator("#view-bar :is(button, summary, a):visible").all():
        box = each.bounding_box()
        assert box
        assert min(box["width"], box["height"]) >= TARGET, each.inner_text()


def test_a_drag_goes_on_from_beside_the_part(phone: Hand) -> None:
    """Where a tap means the part, a drag does; and the part keeps its distance to the finger."""
    bench, page = phone.bench, phone.page
    phone.select("A")
    before = bench.placed("A")
    x, y = bench.centre("A")
    scale = undistorted(page)
    start = (x - 18, y - 4)
    phone.press(start)
    phone.move([start], [(start[0] + 30, start[1])])
    phone.move([(start[0] + 30, start[1])], [(start[0] + 10 * scale, start[1])])
    with bench.changing():
        phone.lift()
    assert bench.placed("A")["x"] - before["x"] == pytest.approx(10, abs=1.0)
