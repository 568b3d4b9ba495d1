"""The page of wiring in a real browser: chosen by mouse, gone through by keys, read on a phone, without scripts."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.document.where import Where
from app.service.edits.wiring import encoder_added
from tests.browser.bench import put_file
from tests.browser.conftest import axe_finds_nothing
from tests.long_run import in_gate
from tests.running import Server


@pytest.fixture(scope="module")
def wired(server: Server) -> str:
    """Address of the wiring of a design with an encoder board."""
    plain = load_scenario("pine-shelf-compact")
    design = encoder_added(Where(), ("encoder-12-screw",), None, 1.0)(plain).design
    return f"{server.url}/designs/{put_file(server.url, dumps(design))}/wiring"


def lit(page: Page) -> list[str]:
    """Numbers of the wires that are lit up in the picture."""
    numbers: list[str] = page.locator("#wiring-svg .wire.lit").evaluate_all("all => all.map(e => e.dataset.wire)")
    return numbers


def test_an_encoder_board_is_added_placed_and_undone_by_mouse(page: Page, server: Server) -> None:
    page.goto(f"{server.url}/designs/{put_file(server.url, dumps(load_scenario('pine-shelf-compact')))}/bench")
    page.get_by_role("link", name="Wiring").click()
    expect(page.locator("html[data-ready]")).to_be_attached()
    axe_finds_nothing(page)
    page.get_by_role("button", name=re.compile("^Add Encoder board, 12 inputs")).click()
    expect(page.locator("#wiring-svg")).to_be_visible()
    before = page.locator("#wiring-svg #bundles").inner_html()
    left = page.locator(".encoder").get_by_label("From the left")
    left.fill("9")
    page.get_by_role("button", name=re.compile("^Place")).click()
    expect(left).to_have_value('9"')
    assert page.locator("#wiring-svg #bundles").inner_html() != before
    page.get_by_label("Grounds").select_option("tree")
    page.get_by_role("button", name="Apply").click()
    expect(page.get_by_text("Grounds are a tree")).to_be_visible()
    for _ in range(3):
        page.get_by_role("button", name=re.compile("^Undo")).click()
    expect(page.locator("#wiring-svg")).to_have_count(0)


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], {"dark"}.__contains__))
def test_a_wire_is_lit_up_by_pointing_and_by_going_through_the_list(
    open_page: Callable[..., Page], wired: str, scheme: str
) -> None:
    page = open_page(1280, 720, scheme)
    page.goto(wired)
    expect(page.locator("html[data-ready]")).to_be_attached()
    assert lit(page) == []
    cell = page.locator('.wires tr[data-wire="3"] td').first
    cell.hover()
    cell.hover(position={"x": 3, "y": 5})  # the first move of a pointer may come without saying how far it went
    expect(page.locator('#wiring-svg .wire.lit[data-wire="3"]').first).to_be_attached()
    assert lit(page) == ["3"]
    expect(page.locator("#lit-words")).to_contain_text("Wire 3, ")
    page.locator('.wires tr[data-wire="1"] a').focus()
    assert lit(page) == ["1"]
    for number in ("2", "3", "4"):
        page.keyboard.press("Tab")
        expect(page.locator(f'.wires tr[data-wire="{number}"] a')).to_be_focused()
        assert lit(page) == [number]
    row = page.locator('.wires tr[data-wire="4"]').bounding_box()
    picture = page.locator(".wiring-picture").bounding_box()
    assert row and picture
    assert row["y"] >= picture["y"] + picture["height"] - 1, "what has the focus is not below the picture"
    axe_finds_nothing(page)


def test_a_wire_in_the_picture_tells_its_row(page: Page, wired: str) -> None:
    page.goto(wired)
    expect(page.locator("html[data-ready]")).to_be_attached()
    core = page.locator('#wiring-svg .wire[data-wire="2"] .wire-core')
    core.dispatch_event("pointerdown")
    expect(page.locator('.wires tr[data-wire="2"]')).to_have_class("lit")


def test_without_scripts_a_link_lights_one_wire_and_forms_work(browser: Browser, wired: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 1280, "height": 720})
    try:
        page = context.new_page()
        page.goto(wired)
        page.locator('.wires tr[data-wire="2"] a').click()
        expect(page.locator("#lit-words")).to_contain_text("Wire 2, ")
        expect(page.locator("#wiring-svg .wire.lit")).to_have_count(1)
        page.get_by_role("link", name="Show all").click()
        expect(page.locator("#wiring-svg .wire.lit")).to_have_count(0)
        page.get_by_label("Slack, in %").fill("25")
        page.get_by_role("button", name="Apply").click()
        expect(page.get_by_label("Slack, in %")).to_have_value("25")
    finally:
        context.close()


def test_on_a_phone_nothing_is_wider_than_the_screen_and_the_picture_stays_in_view(
    open_page: Callable[..., Page], wired: str
) -> None:
    page = open_page(390, 844, "light")
    page.goto(wired)
    expect(page.locator("html[data-ready]")).to_be_attached()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator('.wires tr[data-wire="6"] a').scroll_into_view_if_needed()
    page.locator('.wires tr[data-wire="6"] a').focus()
    expect(page.locator("#wiring-svg")).to_be_in_viewport()
    assert lit(page) == ["6"]
    axe_finds_nothing(page)
