"""As built, by hand and by a photograph, and coupon in a real browser: kept, undone, on a phone, in both schemes."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from tests.browser.bench import fetch, put_deck
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.long_run import in_gate, rows_in_gate
from tests.photographs.of_board import photograph
from tests.running import Server

SEEN = [(1280, "light"), (390, "dark")]
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


@pytest.mark.parametrize(("width", "scheme"), rows_in_gate(SEEN, {(390, "dark")}.__contains__))
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


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], {"light"}.__contains__))
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


@pytest.mark.parametrize(("width", "scheme"), rows_in_gate(SEEN, {(1280, "light")}.__contains__))
def test_a_photograph_is_looked_at_before_anything_is_kept(
    open_page: Callable[..., Page], server: Server, watch: Watch, width: int, scheme: str
) -> None:
    watch.expect("422")
    design = put_deck(server.url, title=f"Photographed, {scheme}")
    board = resolve(loads(fetch(f"{server.url}/designs/{design}/design.json").decode()), None, None, catalogue())
    data = photograph(board, off={"d/hole-1/through": (2.0, -1.0)}, undrilled=frozenset({"f/hole-1/through"}))
    page = open_page(width, 844, scheme, **(TOUCH if width < 600 else {}))
    page.goto(f"{server.url}/designs/{design}/built")
    page.locator(".photo-fold > summary").click()
    assert page.get_by_role("link", name="Cards for the top face").get_attribute("href")
    axe_finds_nothing(page)
    file = page.get_by_label("Photograph, JPEG or PNG")
    file.set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"nothing"})
    page.get_by_role("button", name="Measure in this photograph").click()
    expect(page.get_by_role("alert")).to_contain_text("no photograph that can be read here")
    file.set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": data})
    page.get_by_role("button", name="Measure in this photograph").click()
    expect(page.get_by_role("heading", name="holes measured")).to_be_visible(timeout=30_000)
    off = r"2\.[1-3] mm off: (1\.9|2|2\.1) mm to the right, (0\.9|1|1\.1) mm to the front"
    expect(row(page, "D")).to_contain_text(re.compile(off))
    expect(page.locator(".photo-frame text.doubt", has_text="F?")).to_have_count(1)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert not design_of(server, design)["boards"][0]["arrangements"][0].get("as_built")
    axe_finds_nothing(page)
    row(page, "A").get_by_role("checkbox").uncheck()
    page.get_by_role("button", name="Keep what is ticked").click()
    expect(row(page, "D").locator(".built-state")).to_contain_text("from a photograph, ±")
    expect(row(page, "A").get_by_role("checkbox")).not_to_be_checked()
    page.locator("#take-back").click()
    expect(row(page, "D").get_by_role("checkbox")).not_to_be_checked()
