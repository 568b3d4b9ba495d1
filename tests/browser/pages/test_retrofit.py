"""What a drilled board needs, in a real browser: chosen, changed hole by hole, with and without scripts; axe."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from app.document.dump import dumps
from tests.boards.drilled_boards import NUT_24, NUT_28, NUT_30, Button, drilled_design
from tests.browser.bench import put_file
from tests.browser.conftest import axe_finds_nothing
from tests.running import Server

OLD: list[Button] = [("p0", 60, 60, NUT_28), ("p1", 150, 60, NUT_28), ("p2", 240, 60, NUT_28)]
NEW: list[Button] = [OLD[0], ("p1", 150, 60, NUT_30), ("p2", 240, 120, NUT_24)]


@pytest.fixture(scope="module")
def address(server: Server) -> str:
    """The page of a deck on which one hole became wider and one moved, drilled to another design of the shelf."""
    old, new = (put_file(server.url, dumps(drilled_design(some))) for some in (OLD, NEW))
    return f"{server.url}/designs/{new}/retrofit?from=design:{old}"


@pytest.mark.parametrize(("width", "scheme", "scripts"), [(1280, "light", True), (390, "dark", False)])
def test_a_way_is_chosen_for_one_hole_and_taken_back(
    open_page: Callable[..., Page], address: str, width: int, scheme: str, scripts: bool
) -> None:
    page = open_page(width, 800, scheme, java_script_enabled=scripts)
    page.goto(address)
    # 15 for the plug, 4 for each hole, 8 for the guide block, as the catalogue has them.
    summed = page.get_by_role("heading", level=2)
    expect(summed).to_contain_text("About 31 min of work")
    row = page.get_by_role("row").filter(has_text="Old B")
    expect(row).to_contain_text("Enlarge it to 30 mm for B, with a guide block")
    row.get_by_label("What to do with old B").select_option(label="Plug")
    row.get_by_role("button", name="Choose for old B").click()
    expect(summed).to_contain_text("of work")
    expect(page.get_by_role("row").filter(has_text="Old B")).to_contain_text("Glue in a plug of 28 mm")
    if scripts:
        axe_finds_nothing(page)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    page.get_by_role("link", name="Set all back to least work").click()
    expect(summed).to_contain_text("About 31 min of work")
    with page.expect_download() as waiting:
        page.get_by_role("link", name="Template and list, as PDF").click()
    assert waiting.value.suggested_filename.endswith("retrofit.pdf")
