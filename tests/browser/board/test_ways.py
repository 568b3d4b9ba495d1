"""Ways out of findings come after the board they are for: what is typed, opened or held meanwhile stays."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Page, Route, expect

from tests.browser.bench import Bench, frames
from tests.browser.conftest import Watch


@contextmanager
def held_back(page: Page) -> Iterator[list[Route]]:
    """Requests for ways out wait from here on, until the block ends; what waits is in the list."""
    waiting: list[Route] = []

    def hold(route: Route) -> None:
        waiting.append(route)

    page.route("**/ways?*", hold)
    yield waiting
    for route in waiting:
        route.continue_()
    page.unroute("**/ways?*")


def clash(bench: Bench) -> None:
    """Move one button against another, so that something stops the board."""
    with bench.changing():
        bench.drag("B", (bench.placed("C")["x"] - bench.placed("B")["x"]) * bench.scale() / 3, 0.0)


def test_the_findings_are_there_before_their_ways_out(bench: Bench) -> None:
    page = bench.page
    with held_back(page) as waiting:
        clash(bench)
        expect(bench.report.locator(".stop-card").first).to_be_visible()
        expect(bench.report).to_have_attribute("aria-busy", "true")
        expect(page.locator("#first-fix")).to_have_count(0)
        assert len(waiting) == 1
    expect(page.locator("#first-fix")).to_be_visible()
    expect(bench.report).not_to_have_attribute("aria-busy", "true")
    said = page.locator("#first-fix").inner_text()
    stops = bench.report.locator(".stop-card").count()
    with bench.changing():
        page.locator("#first-fix").click()
    assert bench.report.locator(".stop-card").count() == stops - 1, said


def test_ways_out_of_a_board_that_has_changed_since_are_not_shown(bench: Bench) -> None:
    page = bench.page
    with held_back(page) as waiting:
        clash(bench)
        expect(bench.report.locator(".stop-card").first).to_be_visible()
        bench.undo()
        expect(bench.report.locator(".stop-card")).to_have_count(0)
        assert len(waiting) == 1
    page.wait_for_load_state("networkidle")
    expect(bench.report.locator(".stop-card")).to_have_count(0)
    expect(page.locator("#first-fix")).to_have_count(0)


def test_ways_out_that_come_while_a_part_is_in_the_hand_come_again_when_it_is_put_back(bench: Bench) -> None:
    page = bench.page
    with held_back(page) as waiting:
        clash(bench)
        x, y = bench.take("H")
        page.mouse.move(x + 6.0, y, steps=3)
        assert len(waiting) == 1
    page.wait_for_function("() => !document.getElementById('report').hasAttribute('aria-busy')")
    expect(page.locator("#first-fix")).to_have_count(0)
    page.keyboard.press("Escape")
    page.mouse.up()
    expect(page.locator("#first-fix")).to_be_visible()


def test_where_ways_out_cannot_be_had_the_findings_stay(bench: Bench, watch: Watch) -> None:
    watch.expect("503")
    page = bench.page
    page.route("**/ways?*", lambda route: route.fulfill(status=503, body="<p>busy</p>"))
    clash(bench)
    page.wait_for_function("() => !document.getElementById('report').hasAttribute('aria-busy')")
    expect(bench.report.locator(".stop-card").first).to_be_visible()
    expect(bench.report).not_to_contain_text("busy")


def test_a_press_on_the_report_is_not_lost_where_ways_out_come_under_it(bench: Bench) -> None:
    page = bench.page
    with held_back(page) as waiting:
        clash(bench)
        show = bench.report.locator(".stop-card").first.get_by_role("link", name="Show")
        show.hover()
        page.mouse.down()
        assert len(waiting) == 1
        with page.expect_response("**/ways?*"):
            waiting.pop().continue_()
        frames(page)
        expect(page.locator("#first-fix")).to_have_count(0)
        page.evaluate("document.addEventListener('click', (e) => { document.body.dataset.hit = e.target.innerText; })")
        page.mouse.up()
        expect(page.locator("body")).to_have_attribute("data-hit", "Show")
    expect(page.locator("#first-fix")).to_be_visible()
