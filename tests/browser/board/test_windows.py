"""Two windows on one design in a real browser: neither loses an edit, and the one that is behind is told."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request, expect

from tests.browser.bench import Bench, HeldBack, frames
from tests.browser.conftest import Watch
from tests.long_run import in_gate


def window(page: Page, bench: Bench, path: str = "") -> Bench:
    """The same design in one more window."""
    page.goto(f"{bench.url}/designs/{bench.design}{path}")
    other = Bench(page, bench.url)
    other.design = bench.design
    return other


@contextmanager
def apart(browser: Browser, bench: Bench, watch: Watch) -> Iterator[Bench]:
    """The same design in another browser, which the first cannot speak to."""
    context = browser.new_context(viewport={"width": 1280, "height": 720}, reduced_motion="reduce")
    page = context.new_page()
    watch.follow(page)
    yield window(page, bench)
    context.close()


def told(bench: Bench) -> Locator:
    return bench.page.locator("#told")


def test_a_window_beside_follows_by_itself_and_says_why(bench: Bench, context: BrowserContext) -> None:
    other = window(context.new_page(), bench)
    before = {p["label"]: p["x"] for p in bench.placements()}
    bench.drag("F", 12.0, 0.0)
    expect(told(other)).to_contain_text(re.compile("Another window .*“Moved F .*The change is shown here now"))
    expect(other.page.locator("#live")).to_contain_text("Another window")
    expect(told(bench)).to_have_count(0)
    assert "since" not in other.page.url, "told once, not again when the page is loaded anew"
    other.drag("G", 9.0, 0.0)
    expect(told(other)).to_have_count(0)
    expect(told(bench)).to_contain_text("“Moved G ")
    now = {p["label"]: p["x"] for p in bench.placements()}
    assert now["F"] == pytest.approx(before["F"] + 12, abs=1)
    assert now["G"] == pytest.approx(before["G"] + 9, abs=1)


def test_another_browser_that_is_behind_loses_nothing_and_undoes_nothing_unseen(
    bench: Bench, browser: Browser, watch: Watch
) -> None:
    with apart(browser, bench, watch) as other:
        other.drag("E", 0.0, -8.0)
        before = {p["label"]: p["x"] for p in bench.placements()}
        bench.drag("F", 12.0, 0.0)
        kept = bench.document()
        other.page.keyboard.press("Control+z")
        expect(told(other)).to_contain_text("Nothing was undone")
        assert bench.document() == kept
        bench.drag("F", 6.0, 0.0)
        other.drag("G", 9.0, 0.0)
        expect(told(other)).to_contain_text("Your own step comes after it")
        now = {p["label"]: p["x"] for p in bench.placements()}
        assert now["F"] == pytest.approx(before["F"] + 18, abs=2)
        assert now["G"] == pytest.approx(before["G"] + 9, abs=1)
        # Turning to the window that is behind is enough.
        bench.page.evaluate("window.dispatchEvent(new Event('focus'))")
        expect(told(bench)).to_contain_text("“Moved G ")


def test_what_is_in_the_hand_or_half_typed_is_not_taken_away(bench: Bench, context: BrowserContext) -> None:
    other = window(context.new_page(), bench)
    other.select("G")
    before = {p["label"]: (p["x"], p["y"]) for p in bench.placements()}
    x, y = other.take("G")
    other.page.mouse.move(x + 30, y, steps=5)
    bench.drag("F", 12.0, 0.0)
    expect(other.drawing.locator(".held")).to_have_count(1)
    with other.changing():
        other.page.mouse.up()
    expect(told(other)).to_contain_text("“Moved F ")
    expect(told(bench)).to_contain_text("“Moved G ")  # until it follows, its parts are being drawn anew
    other.card.get_by_label("From front edge").fill("77 mm")
    bench.drag("F", 6.0, 0.0)
    expect(other.card.get_by_label("From front edge")).to_have_value("77 mm")
    with other.changing():
        other.card.get_by_label("From front edge").press("Enter")
    expect(told(other)).to_contain_text("“Moved F 6 mm right")
    now = {p["label"]: (p["x"], p["y"]) for p in bench.placements()}
    assert now["F"][0] == pytest.approx(before["F"][0] + 18, abs=2)
    assert now["G"][0] > before["G"][0] + 5
    assert now["G"][1] == 77


def test_a_message_that_comes_late_does_not_wipe_what_was_told(bench: Bench, context: BrowserContext) -> None:
    """A window that shows a step already hears of the step before it: it does not look again, with nothing to tell."""
    other = window(context.new_page(), bench)
    late = other.page.locator("#bench").get_attribute("data-revision")
    bench.drag("F", 12.0, 0.0)
    expect(told(other)).to_contain_text("“Moved F ")

    other.quiet()  # a window at work does not look

    def asked(request: Request) -> bool:
        return request.url.endswith("/now") or "since=" in request.url

    with other.page.expect_request_finished(asked):
        bench.page.evaluate(
            "message => new BroadcastChannel('holewise').postMessage(message)",
            {"design": bench.design, "revision": late},
        )
    other.quiet()
    expect(told(other)).to_contain_text("“Moved F ")


def test_a_window_that_waits_for_an_answer_looks_when_it_has_come(bench: Bench, context: BrowserContext) -> None:
    """What a page asks for by itself, here ways out of what was found, is no reason to stay behind."""
    page = context.new_page()
    other = window(page, bench)
    held = HeldBack(page, r"/ways\?")
    other.drag("F", 30.0, 0.0)  # on its neighbour
    way = held.next()
    expect(told(bench)).to_contain_text("“Moved F ")
    with page.expect_event("console", lambda said: said.text == "heard"):
        page.evaluate("new BroadcastChannel('holewise').addEventListener('message', () => console.info('heard'))")
        bench.drag("G", 6.0, 0.0)
    frames(page)  # what it does on hearing is done
    expect(told(other)).to_have_count(0)
    way.continue_()
    held.release()
    expect(told(other)).to_contain_text("“Moved G ")


def test_a_window_whose_look_was_lost_looks_again(bench: Bench, context: BrowserContext, watch: Watch) -> None:
    for words in ("ERR_FAILED", "htmx:sendError", "htmx:afterRequest"):
        watch.expect(words)
    other = window(context.new_page(), bench)
    lost = HeldBack(other.page, "since=")
    bench.drag("F", 12.0, 0.0)
    lost.next().abort()
    expect(other.page.locator("#notice")).to_contain_text("is not answering")
    lost.release()
    bench.drag("F", 6.0, 0.0)
    expect(told(other)).to_contain_text("“Moved F ")


@pytest.mark.parametrize("path", in_gate(["/stations", "/timeline", "/shop", "/board"], "/stations".__eq__))
def test_every_page_of_the_design_follows(bench: Bench, context: BrowserContext, path: str) -> None:
    other = window(context.new_page(), bench, path)
    bench.drag("F", 12.0, 0.0)
    expect(told(other)).to_contain_text("“Moved F ")
    expect(other.page.locator("#undo")).to_have_attribute("title", re.compile("Moved F"))
