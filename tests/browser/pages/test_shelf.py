"""A shelf of many designs: found while one types, turned page by page, and never a keyboard's place lost."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.service.shelf.search import MOST, ShelfQuery
from app.service.workshop import open_workshop
from tests.browser.nursery import Nursery
from tests.running import Server, running_app

EXTRA = 5


@pytest.fixture(scope="module")
def server(apps: Nursery, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A shelf of two pages, all of it looked at once, so that no test waits for boards to be judged."""
    data: Path = tmp_path_factory.mktemp("shelf") / "data"
    workshop, design = open_workshop(data), load_scenario("willow-court-easy-reach")
    for n in range(MOST + EXTRA):
        title = f"Attic {n}" if n % 2 else f"Kitchen {n}"
        workshop.open_file(dumps(design.model_copy(update={"title": title})).encode("utf-8"))
    for page in (1, 2):
        workshop.shelf.keep(workshop.shelf.look(ShelfQuery(page=page)).made)
    workshop.close()
    with running_app(data, begin=apps.begin) as running:
        yield running


def test_designs_are_found_while_one_types_and_the_number_is_said(page: Page, server: Server) -> None:
    page.goto(server.url)
    field = page.get_by_role("searchbox", name="Search titles")
    field.press_sequentially("KITCHEN 1")
    # Of the even numbers below 65 those with a 1 in them: 10, 12, 14, 16, 18.
    expect(page.locator("#found .design")).to_have_count(5)
    expect(page.locator("#live")).to_have_text(f"5 of {MOST + EXTRA} designs")
    expect(field).to_be_focused()
    expect(page).to_have_url(f"{server.url}/?find=KITCHEN%201&order=changed")
    page.get_by_role("combobox", name="Order").select_option("title")
    expect(page.locator("#found h3").first).to_have_text("Kitchen 10")
    page.reload()
    expect(page.locator("#found h3").first).to_have_text("Kitchen 10")
    expect(field).to_have_value("KITCHEN 1")


def test_a_page_is_turned_and_the_keyboard_begins_at_its_top(page: Page, server: Server) -> None:
    page.goto(server.url)
    pages = page.get_by_role("navigation", name="Pages of designs")
    pages.get_by_role("link", name="Page 2").press("Enter")
    expect(page.locator("#found .design")).to_have_count(EXTRA)
    expect(page.locator("#found")).to_be_focused()
    expect(page.locator("#found h3").first).to_be_in_viewport()
    page.go_back()
    expect(page.locator("#found .design")).to_have_count(MOST)


def test_the_shapes_on_offer_follow_the_number_of_buttons(page: Page, server: Server) -> None:
    page.goto(server.url)
    shape, buttons = page.get_by_label("Button layout"), page.get_by_label("Buttons per player")

    def offered() -> list[str]:
        words: list[str] = shape.evaluate("each => [...each.options].filter((o) => !o.disabled).map((o) => o.text)")
        return words

    for number in range(1, 21):
        buttons.fill(str(number))
        rows = 1 if number < 4 else 2
        columns = -(-number // rows)
        row = f"One row (1 × {number})"
        if number == 1:
            assert offered() == [row]
            continue
        size = f"{rows} × {columns}"
        straight = [] if rows == 1 else [f"Straight rows ({size}{' straight' if columns > 2 else ''})"]
        assert offered() == [row, *straight, f"Stepped columns ({size} stepped)", f"Arc ({size} arc)"]
    shape.select_option("arc")
    buttons.fill("1")
    expect(shape).to_have_value("row")
    buttons.fill("5")
    expect(shape).to_have_value("arc")
    page.get_by_label("One player").check()
    page.get_by_role("button", name="Make the deck").click()
    expect(page.locator("#drawing")).to_be_visible()
    expect(page.get_by_role("heading", level=1)).to_contain_text("2 × 3 arc")
