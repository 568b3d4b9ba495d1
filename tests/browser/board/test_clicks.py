"""How many times a builder presses to get there: counted by the browser itself, of a real pointer and real keys.

A walk may take fewer presses than it is allowed, never more.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.document.load import loads
from app.fit.report.groups import FindingGroup
from app.service.checks.checking import check_design
from tests.browser.bench import Bench, fetch
from tests.reading.measure import page_sizes, pdf_circles
from tests.running import Server

_COUNTED = """
for (const [event, what] of [["pointerdown", "press"], ["keydown", "key"]]) {
  addEventListener(event, (e) => e.isTrusted && counted(what), true);
}
"""


class Presses:
    """What was pressed on a page since it was opened: by pointer, a drag being one press, and by key."""

    def __init__(self, page: Page) -> None:
        self.made = {"press": 0, "key": 0}
        page.expose_binding("counted", lambda _source, what: self._note(what))
        page.add_init_script(_COUNTED)

    def _note(self, what: str) -> None:
        self.made[what] += 1

    @contextmanager
    def at_most(self, presses: int, keys: int = 0) -> Iterator[None]:
        """Fails if what is done meanwhile takes more, and if it takes none: then nothing was counted."""
        before = dict(self.made)
        yield
        taken = {what: self.made[what] - before[what] for what in before}
        assert 0 < taken["press"] <= presses and taken["key"] <= keys, taken


@pytest.fixture
def presses(page: Page) -> Presses:
    return Presses(page)


def test_from_an_empty_shelf_to_the_template_of_a_deck(
    page: Page, server: Server, presses: Presses, tmp_path: Path
) -> None:
    page.goto(server.url)
    expect(page.get_by_role("heading", name="Nothing on the shelf yet")).to_be_visible()
    bench = Bench(page, server.url)
    with presses.at_most(4, keys=2):
        page.get_by_role("radio", name="One player").click()
        page.keyboard.press("Tab")  # what stands in the next field is selected, so that a figure takes its place
        page.keyboard.press("4")
        page.get_by_role("button", name="Make the deck").click()
        bench.arrive()
        page.get_by_role("link", name="Paper", exact=True).click()
        with page.expect_download() as waiting:
            page.locator("#download-template, #downloads a.primary").first.click()
    file = tmp_path / "template.pdf"
    waiting.value.save_as(file)
    buttons = [p for p in bench.placements() if p["part"].startswith("button-28")]
    assert len(buttons) == 4
    pages = range(len(page_sizes(file.read_bytes())))
    found = [round(c.diameter, 1) for number in pages for c in pdf_circles(file.read_bytes(), number)]
    assert found.count(28.0) >= 4


def test_six_buttons_are_swapped_and_every_stop_and_caution_cleared(
    page: Page, server: Server, presses: Presses
) -> None:
    """Longer buttons want a spanner's room between them, and a thread too short for the board another part."""
    bench = Bench(page, server.url)
    bench.make_deck(title="Swapped", players="One player", buttons="6")
    six = [p["label"] for p in bench.placements() if p["part"] == "button-28-nut-long"][:6]
    scale, places = bench.scale(), [bench.centre(letter) for letter in six]
    (left, right), (top, bottom) = ((min(v), max(v)) for v in zip(*places, strict=True))
    with presses.at_most(7, keys=8):
        bench.surround((left - 22 * scale, top - 22 * scale), (right + 22 * scale, bottom + 22 * scale))
        expect(page.get_by_role("heading", name="Selected · 6 parts")).to_be_visible()
        page.locator("#all-fold > summary").click()
        page.locator("#all-fold").get_by_text("Hardware", exact=True).click()
        choice = page.locator("#all-fold select[name=part]")
        for _ in range(8):
            if choice.input_value() != "button-30-nut-short":
                page.keyboard.press("ArrowDown")
        with bench.changing():
            page.get_by_role("button", name="Set for all 6").click()
        assert {g.severity for g in _groups(bench)} == {"stop", "caution"}
        for _ in range(3):
            if any(g for g in _groups(bench)):
                with bench.changing():
                    bench.report.locator("form.fix button").first.click()
    assert not _groups(bench)
    expect(bench.verdict).to_contain_text("Fits")


def test_three_bits_are_owned_for_every_design(page: Page, server: Server, presses: Presses) -> None:
    first = Bench(page, server.url)
    first.make_deck(title="First", players="One player")
    page.goto(server.url)
    with presses.at_most(5):
        page.get_by_role("link", name="Bits in your workshop").click()
        for size in ("24", "28", "30"):
            page.get_by_role("checkbox", name=f"Keep the {size} mm Forstner bit").click()
        page.get_by_role("button", name="Keep only these").click()
        expect(page.get_by_role("heading", name="In your workshop · 3 bits")).to_be_visible()
    other = Bench(page, server.url)
    other.make_deck(title="Second", players="One player")
    there = fetch(f"{other.url}/designs/{other.design}/shop").decode("utf-8")
    assert set(re.findall(r"Keep the (.+?) bit", there)) == {f"{size} mm Forstner" for size in (24, 28, 30)}


def _groups(bench: Bench) -> list[FindingGroup]:
    """What is open of the kept document but notes, judged outside the browser."""
    return [g for g in check_design(loads(bench.document()))[0].groups(tried=False) if g.severity != "note"]
