"""As built and coupon in a real browser: typed, kept, undone, by hand and on a phone, in both schemes."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.bench import fetch, put_deck
from tests.browser.conftest import axe_finds_nothing
from tests.running import Server

TOUCH: dict[str, Any] = {"has_touch": True, "is_mobile": True}
FINGER = 44  # px, our own aim; WCAG 2.2, 2.5.8 asks for 24


def design_of(server: Server, design: str) -> dict[str, Any]:
    """What the server keeps, asked by somebody else."""
    found: dict[str, Any] = json.loads(fetch(f"{server.url}/designs/{design}/design.json"))
    return found


def row(page: Page, name: str) -> Locator:
    letter = page.locator(".built-letter", has_text=re.compile(f"^{name}$"))
    return page.locator(".built-row").filter(has=letter).first


def place(page: Page, name: str) -> tuple[float, float]:
    """Where a hole should be, as its row says [mm]."""
    said = row(page, name).locator(".built-state p").first.inner_text()
    x, y = (float(figure) for figure in re.findall(r"([\d.]+) mm", said))
    return x, y


@pytest.mark.parametrize(("width", "scheme"), [(1280, "light"), (390, "dark")])
def test_holes_are_ticked_and_typed_and_the_board_says_what_fits(
    open_page: Callable[..., Page], server: Server, width: int, scheme: str
) -> None:
    design = put_deck(server.url, title=f"As built, {scheme}")
    page = open_page(width, 844, scheme, **(TOUCH if width < 600 else {}))
    page.goto(f"{server.url}/designs/{design}/built")
    row(page, "A").get_by_role("checkbox").check()
    x, y = place(page, "D")
    row(page, "D").get_by_label("centre from the left").fill(str(x - 5))
    row(page, "D").get_by_label("centre from the front").fill(str(y - 4))
    page.get_by_role("button", name="Keep what I ticked and typed").click()
    expect(page.get_by_role("heading", name="Worse than drawn")).to_be_visible()
    expect(row(page, "A").get_by_role("checkbox")).to_be_checked()
    expect(page.locator(".built-drawing .shift")).to_have_count(1)
    marks = design_of(server, design)["boards"][0]["arrangements"][0]["as_built"]
    assert {(m["placement"], tuple(m.get("off") or ())) for m in marks} == {("a", ()), ("d", (-5.0, -4.0))}
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    if width < 600:
        small = page.locator("#built-form :is(input[type=text], button, summary):visible").evaluate_all(
            "all => all.filter((e) => e.tagName !== 'SUMMARY').map((e) => e.getBoundingClientRect().height)"
        )
        assert min(small) >= FINGER - 0.5
    axe_finds_nothing(page)
    page.get_by_role("link", name="Make room for the rest").click()
    page.get_by_role("button", name="Apply").click()
    expect(page.get_by_role("heading", name="What still fits")).to_be_visible()
    expect(page.locator(".built-report .stop")).to_have_count(0)
    page.locator("#take-back").click()
    page.locator("#take-back").click()
    expect(row(page, "D").get_by_role("checkbox")).not_to_be_checked()
    assert not design_of(server, design)["boards"][0]["arrangements"][0].get("as_built")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_fitted_in_scrap_is_typed_back(open_page: Callable[..., Page], server: Server, scheme: str) -> None:
    design = put_deck(server.url, title=f"Coupon, {scheme}")
    page = open_page(390, 844, scheme, **TOUCH)
    page.goto(f"{server.url}/designs/{design}/coupon")
    first = page.locator(".trial-row").nth(1)
    first.get_by_label("tight").check()
    first.get_by_label("Measured").fill("28.2")
    page.get_by_role("button", name="Keep the results").click()
    expect(page.locator(".trial-row").nth(1)).to_contain_text("Holes of this bit count as wide as that")
    kept = design_of(server, design)["coupon"]
    assert [(trial["fit"], trial["measured"]) for trial in kept] == [("tight", 28.2)]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    axe_finds_nothing(page)
    page.goto(f"{server.url}/designs/{design}")
    expect(page.get_by_text("went in tight in scrap on").first).to_be_attached()
