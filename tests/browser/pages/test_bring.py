"""Bringing things to other designs, in a real browser: ticked, tried, done, with and without scripts; axe."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from tests.browser.bench import put_file
from tests.browser.conftest import axe_finds_nothing
from tests.companions import with_companions
from tests.long_run import rows_in_gate
from tests.running import Server


@pytest.mark.parametrize(
    ("width", "scheme", "scripts"), rows_in_gate([(1280, "light", True), (390, "dark", False)], lambda row: row[2])
)
def test_a_board_is_tried_on_another_design_and_brought(
    open_page: Callable[..., Page], server: Server, width: int, scheme: str, scripts: bool
) -> None:
    title = f"Brought to, {width}"
    source = put_file(server.url, dumps(with_companions()))
    target = put_file(server.url, dumps(load_scenario("lantern-hill-solo").model_copy(update={"title": title})))
    page = open_page(width, 800, scheme, java_script_enabled=scripts)
    page.goto(f"{server.url}/designs/{source}/boards")
    page.get_by_role("link", name="Bring to other designs").click()
    page.get_by_role("checkbox", name="Loudspeaker grille").check()
    page.get_by_role("checkbox", name=title).check()
    page.get_by_role("button", name="Try it").click()
    expect(page.get_by_role("heading", name="Tried on 1 design")).to_be_in_viewport()
    card = page.locator(".tried-card")
    expect(card.locator("svg.thumb")).to_have_count(1)
    expect(card.get_by_role("checkbox", name=f"Bring it to {title}")).to_be_checked()
    if scripts:
        axe_finds_nothing(page)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    page.get_by_role("button", name="Bring it to the ticked designs").click()
    page.get_by_role("status").get_by_role("link", name=title).click()
    expect(page).to_have_url(f"{server.url}/designs/{target}")
    page.goto(f"{server.url}/designs/{target}/timeline")
    expect(page.locator("#timeline")).to_contain_text("Brought the board “Loudspeaker grille”")
