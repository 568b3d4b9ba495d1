"""The whole job without a pointer: from the shelf to the template, every change said in words, the focus never lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench import Bench
from tests.browser.board.test_hands import places
from tests.browser.conftest import Watch
from tests.long_run import in_gate
from tests.reading.measure import pdf_circles
from tests.running import Server

INCH = 25.4

ACTIVE = """() => {
  const e = document.activeElement;
  if (!e || e === document.body || !e.isConnected) return null;
  const s = getComputedStyle(e), r = e.getBoundingClientRect();
  const ring = (x) => { const c = getComputedStyle(x);
    return c.outlineStyle !== 'none' && parseFloat(c.outlineWidth) >= 2 && c.outlineColor !== 'rgba(0, 0, 0, 0)'; };
  return {
    tag: e.tagName.toLowerCase(), id: e.id, part: e.closest('[data-placement]')?.dataset.placement ?? '',
    name: (e.getAttribute('aria-label') ?? e.labels?.[0]?.textContent ?? e.textContent ?? '')
      .trim().replace(/\\s+/g, ' '),
    seen: ring(e) || s.boxShadow !== 'none' || [...e.querySelectorAll('*')].some(ring)
      || e.matches('input') && e.closest('label') && ring(e.closest('label')),
    box: [r.left, r.top, r.right, r.bottom],
  };
}"""


class Keys:
    """Somebody at the keyboard; after every key the focus is somewhere, and it can be seen where."""

    def __init__(self, page: Page, bench: Bench) -> None:
        self.page = page
        self.bench = bench

    def here(self) -> dict[str, Any]:
        """What has the focus."""
        found = self.page.evaluate(ACTIVE)
        assert found is not None, "the focus is lost"
        return dict(found)

    def press(self, *keys: str) -> dict[str, Any]:
        """Press keys one after the other."""
        for key in keys:
            self.page.keyboard.press(key)
        return self.here()

    def tab_to(self, name: str, *, back: bool = False, most: int = 120) -> dict[str, Any]:
        """Go on with Tab until what has the focus is called so; the ring round it is seen on the way."""
        self.page.wait_for_load_state("load")  # before its style sheets are there, a page has no rings
        for _ in range(most):
            self.page.keyboard.press("Shift+Tab" if back else "Tab")
            found = self.page.evaluate(ACTIVE)
            if found is None:
                continue  # round the browser's own controls
            assert found["seen"], f"no ring round {found}"
            if re.match(name, found["name"]):
                return dict(found)
        raise AssertionError(f"{name} is not reached by Tab")

    def part(self, letter: str) -> dict[str, Any]:
        """Go to a part from another one: the drawing is one stop for Tab, within it Page Down goes on."""
        if not self.here()["part"]:
            self.tab_to("[A-Z], ")
        found = self.press("Home")
        while not found["name"].startswith(f"{letter}, "):
            before, found = found, self.press("PageDown")
            assert found["part"] != before["part"], f"{letter} is not reached"
            assert found["seen"], f"no ring round {found}"
        return found

    def change(self, *keys: str) -> dict[str, Any]:
        """Press keys that change the design, and wait for what comes of it."""
        with self.bench.changing():
            self.page.keyboard.press(keys[0])
            for key in keys[1:]:
                self.page.keyboard.press(key)
        return self.here()

    def fill(self, text: str) -> None:
        """Type over what stands in the field."""
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def said(self, *words: str) -> None:
        """The live region reads out all of these."""
        for each in words:
            expect(self.page.locator("#live")).to_contain_text(each)


def test_the_whole_job_by_keyboard_alone(page: Page, server: Server, watch: Watch, tmp_path: Path) -> None:
    watch.expect("422")  # of the wrong entry
    bench = Bench(page, server.url)
    keys = Keys(page, bench)
    page.goto(server.url)

    # A two-player deck, by the form on the shelf.
    keys.tab_to("Title")
    keys.fill("By keys alone")
    keys.tab_to("(One player|Two players|Empty)")
    while not re.match("Two players", keys.here()["name"]):
        keys.press("ArrowRight")
    keys.tab_to("Make the deck")
    page.keyboard.press("Enter")
    bench.arrive()
    start = bench.document()
    assert len([p for p in bench.placements() if p["label"] in "AH"]) == 2

    # To the board, and through the parts: rows from the back, each from left to right, as the list of keys says.
    keys.tab_to("To the board")
    keys.press("Enter")
    walked = [keys.tab_to("[A-Z], ")["part"]]
    while (part := keys.press("PageDown")["part"]) != walked[-1]:
        walked.append(part)
    rows: list[list[dict[str, Any]]] = []
    for placed in sorted(bench.placements(), key=lambda p: -p["y"]):
        if not rows or rows[-1][0]["y"] - placed["y"] > 24.0:
            rows.append([])
        rows[-1].append(placed)
    assert walked == [p["id"] for row in rows for p in sorted(row, key=lambda p: p["x"])]

    # The board is one stop: Tab goes past it, and back to where one was.
    assert keys.press("Tab")["part"] == ""
    assert keys.press("Shift+Tab")["part"] == walked[-1]
    assert keys.press("PageUp")["part"] == walked[-2]
    assert keys.press("Home")["part"] == walked[0]
    assert keys.press("End")["part"] == walked[-1]

    # Nudge E: two steps to the left and a fine one forward are one step of the design.
    at = places(bench)["E"]
    keys.part("E")
    keys.press("ArrowLeft", "ArrowLeft")
    assert keys.change("Shift+ArrowDown")["part"] == "e"
    assert places(bench)["E"] == pytest.approx((at[0] - 2.0, at[1] - 0.1))
    keys.said("Moved E", f"Button E, {at[0] - 2:g} mm from left, {at[1] - 0.1:g} mm from front, clear")

    # The same again is a step of its own and is said again.
    page.evaluate("document.getElementById('live').textContent = ''")
    keys.change("ArrowLeft")
    keys.said("Moved E 1 mm left")
    page.evaluate("document.getElementById('live').textContent = ''")
    keys.change("ArrowLeft")
    keys.said("Moved E 1 mm left", f"{at[0] - 4:g} mm from left")

    # Exact places, in inches, whatever is displayed.
    expect(page.get_by_role("heading", name="Selected · E")).to_be_visible()
    keys.tab_to("From left edge")
    keys.fill('8 1/2"')
    keys.tab_to("From front edge", most=2)
    keys.fill("4.25in")
    keys.tab_to("Apply")
    assert keys.change("Enter")["name"] == "Apply"
    assert places(bench)["E"] == pytest.approx((8.5 * INCH, 4.25 * INCH), abs=1e-9)
    keys.said("Button E, 215.9 mm from left, 108 mm from front")

    # A wrong entry is kept, explained and where the focus goes.
    kept = bench.document()
    keys.tab_to("From left edge", back=True)
    keys.fill("8 quarters")
    assert keys.change("Enter")["id"] == "field-x"
    expect(page.locator("#field-x")).to_have_value("8 quarters")
    expect(page.locator("#field-x")).to_have_accessible_description(re.compile("8 quarters"))
    assert bench.document() == kept
    keys.fill('8 1/2"')
    keys.change("Enter")

    # A part from the list of hardware.
    count = len(bench.placements())
    keys.tab_to("Button, 24 mm", back=True)
    assert keys.change("Enter")["id"].startswith("add-button-24")
    added = bench.placements()[-1]
    assert len(bench.placements()) == count + 1
    keys.said("Added", f"Button {added['label']}, ")

    # Find it on the board, turn it, lock it, and let it go again.
    keys.tab_to("To the board", back=True)
    keys.press("Enter")
    keys.part(added["label"])
    assert keys.change("t")["part"] == added["id"]
    assert bench.placed(added["label"])["angle"] == pytest.approx(90.0)
    keys.said("Turned", "90°")
    keys.change("l")
    assert bench.placed(added["label"])["locked"] is True
    keys.said("Locked", "locked")
    keys.press("ArrowLeft")
    keys.said("This part is locked")
    keys.change("l")
    assert bench.placed(added["label"]).get("locked", False) is False

    # A duplicate is in hand at once, and Delete leads on to the next part.
    second = keys.change("Control+d")["part"]
    assert second == bench.placements()[-1]["id"] != added["id"]
    keys.said("Duplicated")
    assert keys.change("Delete")["part"] not in ("", second)
    assert len(bench.placements()) == count + 1
    keys.said("Deleted")

    # Several: the selection is extended by Shift and Enter, then lined up.
    keys.part("M")
    keys.change("Enter")
    keys.part("N")
    keys.change("Shift+Enter")
    keys.part("P")
    keys.change("Shift+Enter")
    expect(page.get_by_role("heading", name="Selected · 3 parts")).to_be_visible()
    keys.tab_to("Line up at the front")
    assert keys.change("Enter")["name"] == "Line up at the front"
    now = places(bench)
    assert now["M"][1] == now["N"][1] == now["P"][1]
    keys.said("Lined up M, N and P at the front")

    # Back and forth, each said for what it is.
    aligned = bench.document()
    keys.change("Control+z")
    keys.said("Undone: Lined up M, N and P")
    keys.change("Control+y")
    keys.said("Redone: Lined up M, N and P")
    assert bench.document() == aligned

    # The other player's columns, a little wider.
    keys.tab_to("Stations|Players")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Stations")
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    keys.tab_to("Player 2")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="Player 2")).to_be_visible()
    keys.here()
    keys.tab_to("Column to column")
    keys.fill("44 mm")
    page.keyboard.press("Enter")
    keys.said("Player 2: column to column 44 mm")
    keys.here()
    xs = sorted({round(x, 6) for label, (x, _) in places(bench).items() if label in "JKL"})
    assert [b - a for a, b in pairwise(xs)] == pytest.approx([44.0, 44.0])

    # By the timeline to the beginning, and forth to the last step.
    laid = bench.document()
    keys.tab_to("‹ Board", back=True)
    page.keyboard.press("Enter")
    bench.arrive()
    keys.tab_to("(Saved · )?Timeline")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Timeline")
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    keys.tab_to("Go back to this step: New deck")
    page.keyboard.press("Enter")
    keys.said("Now at the start")
    keys.here()
    assert bench.document() == start
    keys.tab_to("Go to this step: Player 2: column to column", back=True)
    page.keyboard.press("Enter")
    keys.said("Now at Player 2: column to column 44 mm")
    keys.here()
    assert bench.document() == laid

    # The template, which has every hole that is kept.
    keys.tab_to("‹ Board", back=True)
    page.keyboard.press("Enter")
    bench.arrive()
    keys.tab_to("Paper")
    page.keyboard.press("Enter")
    expect(page.get_by_role("link", name=re.compile("template, PDF"))).to_be_visible()
    keys.tab_to(".*template, PDF")
    with page.expect_download() as started:
        page.keyboard.press("Enter")
    file = tmp_path / "template.pdf"
    started.value.save_as(file)
    drawn = {round(c.diameter, 2) for number in range(8) for c in _circles(file.read_bytes(), number)}
    assert {28.0, 24.0} <= drawn
    assert bench.document() == laid


@pytest.mark.parametrize("where", in_gate(["board", "stations", "timeline"], lambda where: where != "timeline"))
def test_a_button_that_is_spent_leaves_the_focus_on_the_way_back(bench: Bench, where: str) -> None:
    """Undo, pressed until nothing is left to undo, hands on to Redo, and that back to Undo."""
    page, keys = bench.page, Keys(bench.page, bench)
    start = bench.document()
    bench.drag("G", 6.0, -8.0)
    bench.drag("G", 0.0, -9.0)
    last = bench.document()
    if where != "board":
        page.goto(f"{bench.url}/designs/{bench.design}/{where}")
        page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    undo, redo = page.locator("#undo"), page.locator("#redo")
    undo.focus()
    for pressed, other in ((undo, redo), (redo, undo)):
        for k in range(2):
            title = pressed.get_attribute("title") or ""
            page.keyboard.press("Enter")
            expect(pressed).not_to_have_attribute("title", title)
            expect(other if k else pressed).to_be_focused()
            assert keys.here()["seen"]
        assert bench.document() == (start if pressed is undo else last)


def test_what_is_in_view_and_in_hand_is_said_as_well(bench: Bench) -> None:
    keys = Keys(bench.page, bench)
    keys.tab_to("One player")
    keys.change("Enter")
    keys.said("One player. fits.")
    assert re.match("One player", keys.here()["name"])
    keys.tab_to("Underside")
    keys.change("Enter")
    keys.said("Underside")
    bench.part("E").focus()
    keys.change("Enter")
    keys.said("Button E, ")
    bench.page.evaluate("document.getElementById('live').textContent = ''")
    keys.press("Enter")  # it is chosen already: said again, for whoever asks
    keys.said("Button E, ")
    keys.change("Escape")
    keys.said("Nothing selected")
    # On the underside left is right: what is seen to go right comes nearer to the left edge.
    at = {p["label"]: p["x"] for p in bench.placements(1)}["E"]
    bench.part("E").focus()
    keys.change("ArrowRight")
    assert {p["label"]: p["x"] for p in bench.placements(1)}["E"] == pytest.approx(at - 1.0)


def test_a_fix_taken_by_keyboard_leaves_the_focus_in_the_report_or_beside_it(bench: Bench) -> None:
    page, keys = bench.page, Keys(bench.page, bench)
    bench.select("L")
    bench.type(x="740")
    fix = page.locator("#first-fix")
    fix.focus()
    for _ in range(6):
        expect(page.locator("#report")).not_to_have_attribute("aria-busy", "true")
        if not fix.count():
            break
        fix.focus()
        keys.change("Enter")
        keys.here()
    expect(bench.verdict).to_contain_text("Fits")


def test_removing_every_part_by_keyboard_never_loses_the_place(make_bench: Callable[..., Bench]) -> None:
    bench = make_bench(title="Emptied", players="One player", buttons="3", width="500")
    keys = Keys(bench.page, bench)
    bench.part("B").focus()
    while bench.placements():
        found = keys.change("Delete")
        assert found["part"] or not bench.placements(), "there are parts, and none is at hand"
    assert keys.here()["id"] == "drawing"
    keys.change("Control+z")
    assert len(bench.placements()) == 1
    keys.here()
    keys.change("Control+Shift+z")
    assert not bench.placements()


def _circles(pdf: bytes, number: int) -> list[Any]:
    try:
        return list(pdf_circles(pdf, number))
    except (IndexError, ValueError):
        return []
