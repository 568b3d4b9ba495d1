"""What somebody types is what is kept: by real keys, while answers are slow, on every page with fields."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.bench import Bench, answered, raft
from tests.browser.conftest import LIMIT, Watch
from tests.long_run import in_gate
from tests.running import Server

LATE = [50, 250, 800]
"""How late answers come [ms]: from a quick machine, a busy one, one at the far end of a house."""


def late(page: Page, by: int) -> None:
    """Every answer of the server comes so late [ms]; hands go on meanwhile."""
    session = page.context.new_cdp_session(page)
    way = {"offline": False, "latency": by, "downloadThroughput": -1, "uploadThroughput": -1}
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", way)


def go(bench: Bench, where: str) -> Page:
    """Open a page of the design, and wait until it answers."""
    bench.page.goto(f"{bench.url}/designs/{bench.design}{where}")
    bench.page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    return bench.page


def over(field: Locator, text: str) -> None:
    """Press into a field, mark what stands there and type over it, as a quick hand does."""
    field.click()
    field.page.keyboard.press("Control+a")
    field.page.keyboard.type(text, delay=25)


def on(page: Page, text: str) -> None:
    """Go on to the next field by Tab and type over what stands there."""
    page.keyboard.press("Tab")
    page.keyboard.type(text, delay=25)


def settled(page: Page) -> None:
    """Everything that was asked is answered."""
    answered(page)
    expect(page.locator(".htmx-request")).to_have_count(0)


def last_step(page: Page, words: str) -> None:
    """Wait until the last step says so: four answers, each with its redirect, may take their time."""
    expect(page.locator("#undo")).to_have_attribute("title", re.compile(words), timeout=LIMIT)


def rim(bench: Bench) -> list[tuple[float, float]]:
    return [(c["x"], c["y"]) for c in bench.raw()["boards"][0]["outline"]["corners"]]


def layers(bench: Bench) -> list[float]:
    return [layer["thickness"] for layer in bench.raw()["boards"][0]["layers"]]


@pytest.mark.parametrize("by", in_gate(LATE, lambda by: by == LATE[1]))
def test_fields_typed_one_after_the_other_by_tab_are_each_kept(bench: Bench, by: int) -> None:
    """Size, corner, layers, stations: Tab saves, and what is typed meanwhile replaces what stood there."""
    page = go(bench, "/board?group=size")
    late(page, by)
    over(page.get_by_label("Width", exact=True), "770")
    on(page, "262")
    page.keyboard.press("Tab")
    last_step(page, "262 mm")
    settled(page)
    xs, ys = zip(*rim(bench), strict=True)
    assert max(xs) - min(xs) == 770.0
    assert max(ys) - min(ys) == 262.0
    expect(page.get_by_label("Depth, front to back", exact=True)).to_have_value("262 mm")

    go(bench, "/board?group=corners&hold=corner-0-2")
    over(page.get_by_label("From left edge", exact=True), "751")
    on(page, "248")
    on(page, "21")
    on(page, "23")
    page.keyboard.press("Tab")
    last_step(page, "23 mm")
    settled(page)
    corner = bench.raw()["boards"][0]["outline"]["corners"][2]
    assert corner == {"x": 751.0, "y": 248.0, "setback": [21.0, 23.0]}

    go(bench, "/board?group=layers")
    over(page.get_by_label("Thickness, measured", exact=True), "17.6")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    settled(page)
    assert layers(bench) == [17.6]

    go(bench, "/stations")
    over(page.get_by_label("Column to column", exact=True), "41")
    on(page, "43")
    page.keyboard.press("Tab")
    last_step(page, "43 mm")
    settled(page)
    assert bench.placed("C")["x"] - bench.placed("B")["x"] == pytest.approx(41.0)
    assert bench.placed("B")["y"] - bench.placed("E")["y"] == pytest.approx(43.0)


@pytest.mark.parametrize("by", in_gate(LATE, lambda by: by == LATE[1]))
def test_an_answer_that_comes_into_a_pause_leaves_the_field_as_the_hand_left_it(bench: Bench, by: int) -> None:
    """Tab has marked the next field's whole text: whenever the answer comes, the next key replaces it."""
    page = go(bench, "/stations")
    late(page, by)
    over(page.get_by_label("Column to column", exact=True), "41")
    page.keyboard.press("Tab")
    field = page.get_by_label("Row to row", exact=True)
    stood = field.input_value()
    last_step(page, "41 mm")
    settled(page)
    expect(field).to_be_focused()
    marked = "e => e.value.slice(e.selectionStart, e.selectionEnd)"
    assert field.evaluate(marked) == stood
    # Half a number, and the answer to the field before: the half stays, and the caret behind it.
    page.keyboard.type("4")
    settled(page)
    page.keyboard.type("4.5")
    expect(field).to_have_value("44.5")
    page.keyboard.press("Enter")
    settled(page)
    expect(field).to_be_focused()
    page.keyboard.press("Tab")
    expect(field).to_have_value("44.5 mm")


def test_what_is_typed_into_a_card_outlives_its_other_buttons(bench: Bench) -> None:
    page = bench.page
    bench.select("C")
    x = bench.card.get_by_label("From left edge", exact=True)
    for by in LATE:
        late(page, by)
        over(x, f"{by}.5")
        with bench.changing():
            bench.card.get_by_role("button", name="Turn by 90° anticlockwise").click()
        expect(x).to_have_value(f"{by}.5")
    # Typed while the answer to a button is on its way.
    bench.card.get_by_role("button", name="Turn by 90° anticlockwise").click()
    over(x, "123")
    settled(page)
    expect(x).to_have_value("123")
    expect(x).to_be_focused()
    with bench.changing():
        bench.card.get_by_role("button", name="Apply").click()
    assert bench.placed("C")["x"] == 123.0
    expect(x).to_have_value("123 mm")
    # What is about the board is no matter of the part in hand.
    page.get_by_role("heading", name="Board and workshop").click()
    thick = page.get_by_label("Thickness, measured", exact=True)
    over(thick, "17.4")
    bench.select("F")
    expect(thick).to_have_value("17.4")
    expect(thick).to_be_visible()
    bench.select("C")
    # Another part is another matter: what was typed for C is not offered to D.
    over(x, "77")
    bench.select("D")
    assert x.input_value() != "77"


def test_a_reason_half_typed_outlives_a_drag(page: Page, server: Server) -> None:
    """The report is worked out anew at every step of a drag; what is written into it is not."""
    bench = raft(page, server)
    fold = bench.report.locator("details.accept").first
    fold.locator("summary").click()
    reason = fold.get_by_label("Reason for accepting it")
    over(reason, "seen to")
    finding = fold.locator("input[name=finding], input[name=group]").input_value()
    x, y = bench.take("R10")
    with page.expect_response(re.compile("/preview$")):
        page.mouse.move(x + 9.0, y + 6.0, steps=6)
    with bench.changing():
        page.mouse.up()
    mine = bench.report.locator("details.accept", has=page.locator(f'input[value="{finding}"]'))
    expect(mine.get_by_label("Reason for accepting it")).to_have_value("seen to")
    expect(mine.get_by_label("Reason for accepting it")).to_be_visible()


def test_the_shop_keeps_what_is_typed_beside_its_other_buttons(bench: Bench) -> None:
    page = go(bench, "/shop")
    late(page, 250)
    size = page.get_by_label("Size", exact=True)
    over(size, "31.5")
    out = page.get_by_role("button", name=re.compile("^Delete the .* bit"))
    bits = out.count()
    out.first.click()
    over(page.get_by_label("Reach", exact=True), "44")
    expect(out).to_have_count(bits - 1)
    settled(page)
    expect(size).to_have_value("31.5")
    expect(page.get_by_label("Reach", exact=True)).to_have_value("44")


def test_paper_and_printer_keep_what_is_typed_beside_their_other_buttons(bench: Bench) -> None:
    page = go(bench, "/paper?paper=a4")
    late(page, 250)
    page.get_by_text("Drawings with kerf").click()
    kerf = page.get_by_label("Full width of the cut")
    over(kerf, "3.2")
    page.get_by_label("Size", exact=True).select_option("letter")
    expect(page).to_have_url(re.compile("paper=letter"))
    settled(page)
    expect(kerf).to_have_value("3.2")
    expect(kerf).to_be_visible()

    go(bench, "/printer?paper=a4")
    over(page.get_by_label("A, bottom"), "178.7")
    over(page.get_by_label("C, left"), "235.2")
    page.keyboard.press("Enter")
    over(page.get_by_label("B, "), "178.8")
    expect(page.locator("#diagnosis")).to_be_visible()
    settled(page)
    expect(page.get_by_label("B, ")).to_have_value("178.8")


def test_hardware_keeps_what_is_typed_when_another_button_loads_it_anew(bench: Bench) -> None:
    page = go(bench, "/part/b")
    over(page.get_by_label("Thread", exact=True), "31")
    page.get_by_role("radio", name="Only at B").check()
    page.get_by_role("button", name="Save as a part of this design").click()
    bench.arrive()
    with bench.changing():
        page.locator("#field-part").select_option(index=3)
    go(bench, "/part/b")
    over(page.get_by_label("Thread", exact=True), "27.5")
    page.get_by_role("button", name="Delete", exact=True).first.click()
    expect(page.get_by_role("button", name="Delete", exact=True)).to_have_count(0)
    expect(page.get_by_label("Thread", exact=True)).to_have_value("27.5")


def test_the_shelf_keeps_what_is_typed_when_another_button_loads_it_anew(bench: Bench) -> None:
    page = bench.page
    page.goto(bench.url)
    title = page.get_by_role("region", name="New deck").get_by_label("Title")
    over(title, "Another one")
    page.get_by_role("button", name=re.compile("^Put Bench test, two players away")).first.click()
    expect(page.get_by_text("Put away ·")).to_be_visible()
    expect(title).to_have_value("Another one")


def test_a_refusal_does_not_take_the_hand_out_of_the_next_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page = go(bench, "/board?group=size")
    late(page, 250)
    over(page.get_by_label("Width", exact=True), "wide")
    on(page, "3")
    expect(page.locator("#wrong-width")).to_contain_text("wide")
    page.keyboard.type("01")
    expect(page.get_by_label("Depth, front to back", exact=True)).to_have_value("301")
    over(page.get_by_label("Width", exact=True), "765")
    page.keyboard.press("Enter")
    settled(page)
    xs, ys = zip(*rim(bench), strict=True)
    assert (max(xs) - min(xs), max(ys) - min(ys)) == (765.0, 301.0)


def test_presses_one_after_the_other_are_made_one_after_the_other(bench: Bench) -> None:
    """A thickness, and at once the button beside it: neither is lost, however late the answers come."""
    page = go(bench, "/board?group=layers")
    late(page, 250)
    over(page.get_by_label("Thickness", exact=True), "3")
    page.get_by_role("button", name="Add layer").click()
    expect(page.get_by_role("heading", name="Order")).to_be_visible()
    settled(page)
    over(page.get_by_label("Thickness, measured", exact=True).first, "17.2")
    page.get_by_role("button", name="Move layer 2 up").click()
    last_step(page, "[Ll]ayer|[Mm]oved")
    settled(page)
    assert layers(bench) == [3.0, 17.2]


@pytest.mark.parametrize("by", in_gate([0, 150, 400], lambda by: by == 150))
def test_a_fold_that_was_opened_since_is_not_folded_by_an_answer(bench: Bench, by: int) -> None:
    page = go(bench, "/stations")
    late(page, by)
    page.get_by_role("navigation", name="Station").get_by_role("link", name="Player 2").click()
    page.get_by_text("Add or delete a player").click()
    expect(page.get_by_role("heading", name="Player 2")).to_be_visible()
    settled(page)
    expect(page.get_by_role("button", name="Delete Player 2 and its parts")).to_be_visible()
