"""The steps in a real browser: read, reworded, moved, hidden and added, by mouse and keys, with scripts and without."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from tests.browser.bench import put_file
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import in_gate
from tests.running import Server


@pytest.fixture
def design(server: Server) -> str:
    """Address of a cabinet of eight boards."""
    return f"{server.url}/designs/{put_file(server.url, dumps(load_scenario('foundry-yard-cabinet')))}"


def titles(page: Page) -> list[str]:
    return [re.sub(r"^\d+\s*", "", each) for each in page.locator(".step h3").all_inner_texts()]


def expect_titles(page: Page, wanted: list[str]) -> None:
    """The steps bear these titles, numbered from 1."""
    expect(page.locator(".step h3")).to_have_text([f"{n} {title}" for n, title in enumerate(wanted, 1)])


def card(page: Page, key: str) -> str:
    return f'[id="step-{key}"]'


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
def test_from_the_bench_to_the_steps_and_each_can_be_changed(
    open_page: Callable[..., Page], design: str, scheme: str
) -> None:
    page = open_page(1280, 720, scheme)
    page.goto(f"{design}/bench")
    page.get_by_role("link", name="Steps").click()
    expect(page.locator("html[data-ready]")).to_be_attached()
    usual = titles(page)
    assert len(usual) > 40
    first = page.locator(card(page, "cut"))
    first.locator("summary").click()
    axe_finds_nothing(page, card(page, "cut"))
    first.get_by_label("What is done").fill("Saw everything")
    with page.expect_response("**/steps/step-reword"):
        first.get_by_role("button", name="Apply").click()
    expect(page.locator(card(page, "cut")).locator("h3")).to_contain_text("Saw everything")
    expect(page.locator("#live")).to_contain_text("Reworded the step")
    expect_titles(page, ["Saw everything", *usual[1:]])
    # Down by keys, and the keyboard stays on the button.
    down = page.locator('[id="step-move-down-cut"]')
    down.focus()
    with page.expect_response("**/steps/step-move"):
        page.keyboard.press("Enter")
    expect(page.locator(".step h3").first).not_to_contain_text("Saw everything")
    expect(down).to_be_focused()
    with page.expect_response("**/undo"):
        page.locator("#undo").click()
    expect(page.locator(".step h3").first).to_contain_text("Saw everything")


def test_every_picture_is_there_once_it_is_scrolled_to(open_page: Callable[..., Page], design: str) -> None:
    page = open_page(1280, 720, "light")
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if "step.svg" in request.url else None)
    page.goto(f"{design}/steps")
    images = page.locator(".step > img")
    page.wait_for_function("image => image.complete && image.naturalWidth > 0", arg=images.first.element_handle())
    assert 0 < len(asked) < images.count(), "only those in sight, and near it, are drawn"
    last = images.last
    last.scroll_into_view_if_needed()
    page.wait_for_function("image => image.complete && image.naturalWidth > 0", arg=last.element_handle())


def test_without_scripts_on_a_phone(browser: Browser, design: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False, has_touch=True)
    page = context.new_page()
    page.goto(f"{design}/steps")
    assert page.locator("main").bounding_box()["width"] <= 390  # type: ignore[index]
    usual = titles(page)
    page.locator(card(page, "ease")).locator("summary").tap()
    page.locator('[id="step-hide-ease"]').tap()
    expect(page.get_by_text("Left out on purpose: Ease the arrises")).to_be_visible()
    expect_titles(page, [title for title in usual if not title.startswith("Ease")])
    page.get_by_role("button", name="Show: Ease the arrises").tap()
    expect_titles(page, usual)
    page.get_by_label("What is done").last.fill("Have tea")
    page.get_by_label("After").select_option("cut")
    page.get_by_role("button", name="Add the step").tap()
    expect_titles(page, [usual[0], "Have tea", *usual[1:]])
    page.get_by_label("What is done").last.fill("")
    page.get_by_role("button", name="Add the step").tap()
    expect(page.get_by_text("Write what is done in this step.")).to_be_visible()
    context.close()


def test_what_is_typed_stays_while_answers_come(open_page: Callable[..., Page], design: str) -> None:
    page = open_page(1280, 720, "light")
    page.goto(f"{design}/steps")
    expect(page.locator("html[data-ready]")).to_be_attached()
    page.locator("#field-title").fill("Half a title")
    page.locator(card(page, "cut")).locator("summary").click()
    with page.expect_response("**/steps/step-move"):
        page.locator('[id="step-move-down-cut"]').click()
    expect(page.locator(".step h3").nth(1)).to_contain_text("Cut the 8 boards")
    expect(page.locator("#field-title")).to_have_value("Half a title")
