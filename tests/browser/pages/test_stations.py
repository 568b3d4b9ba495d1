"""Stations and the timeline in a real browser: by keyboard and pointer, light and dark, on a phone."""

from __future__ import annotations

import json
import math
import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench, HeldBack
from tests.browser.conftest import Watch
from tests.long_run import long


def places(bench: Bench, station: str = "s1") -> dict[str, tuple[float, float]]:
    rows = json.loads(bench.document())["boards"][0]["arrangements"][0]["placements"]
    return {p["label"]: (p["x"], p["y"]) for p in rows if p.get("station") == station}


def open_stations(bench: Bench) -> Page:
    bench.page.get_by_role("link", name=re.compile("^Stations")).click()
    expect(bench.page.get_by_role("heading", level=1)).to_contain_text("Stations")
    return bench.page


def test_a_pitch_typed_by_keyboard_moves_the_buttons_at_once_and_undo_brings_them_back(bench: Bench) -> None:
    page, before = open_stations(bench), places(bench)
    field = page.get_by_label("Column to column")
    field.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type("2 in")
    page.keyboard.press("Tab")
    undo = page.get_by_role("button", name=re.compile("^Undo"))
    expect(undo).to_contain_text("column to column")
    after = places(bench)
    assert after.keys() == before.keys()
    xs = sorted({round(x, 6) for label, (x, _) in after.items() if label != "A"})
    assert xs[1] - xs[0] == pytest.approx(50.8, abs=1e-6)  # 2 in, exactly
    drawn = page.locator("#part-b")
    expect(drawn).to_be_visible()
    undo.click()
    expect(undo).not_to_contain_text("column to column")
    assert places(bench) == before


def test_the_other_player_is_chosen_and_a_wrong_number_stays_beside_its_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    page = open_stations(bench)
    page.get_by_role("navigation", name="Station").get_by_role("link", name="Player 2").click()
    expect(page.get_by_role("heading", name="Player 2")).to_be_visible()
    field = page.get_by_label("Row to row")
    field.fill("far")
    field.press("Enter")
    wrong = page.locator("#wrong-row_spacing")
    expect(wrong).to_contain_text("far")
    expect(page.get_by_label("Row to row")).to_have_value("far")


def change(page: Page, label: str, value: str) -> None:
    """Choose or type a parameter as somebody does, and wait until the step has its name; no button is pressed."""
    undo = page.get_by_role("button", name=re.compile("^Undo"))
    was = undo.get_attribute("title")
    field = page.get_by_label(label, exact=True)
    if field.evaluate("e => e.tagName") == "SELECT":
        field.select_option(value)
    else:
        field.fill(value)
        field.press("Tab")
    expect(undo).not_to_have_attribute("title", was or "")


def test_every_parameter_moves_the_station_at_once(bench: Bench) -> None:
    """Each result is a formula of what was typed: rows, columns and steps from front and stick outward."""
    page = open_stations(bench)
    stick = page.locator("#part-a")

    def drawn() -> tuple[float, float]:
        area = page.locator("#part-b").bounding_box()
        assert area
        return area["x"], area["y"]

    at = drawn()
    change(page, "Layout", "straight")
    rows = places(bench)
    assert rows["B"][1] == rows["C"][1] == rows["D"][1] and rows["E"][1] == rows["F"][1] == rows["G"][1]
    change(page, "Row to row", "48 mm")
    rows = places(bench)
    assert rows["B"][1] - rows["E"][1] == pytest.approx(48.0)
    assert drawn() != at, "it is seen where it stands now"
    change(page, "Layout", "stepped")
    change(page, "Step of the columns", "12 mm")
    rows = places(bench)
    assert [rows[n][1] - rows["B"][1] for n in "CD"] == pytest.approx([12.0, 12.0])
    change(page, "Layout", "straight")
    change(page, "Tilt", "10")
    rows = places(bench)
    slope = math.atan2(rows["D"][1] - rows["B"][1], rows["D"][0] - rows["B"][0])
    assert math.degrees(slope) == pytest.approx(10.0, abs=1e-3)
    change(page, "Tilt", "0")
    change(page, "Front row from the front edge", "3 in")
    assert places(bench)["E"][1] == pytest.approx(76.2)
    rows = places(bench)
    change(page, "Stick", "right")
    after = places(bench)
    assert after["A"][0] > max(x for n, (x, _) in after.items() if n != "A")
    was = stick.bounding_box()
    page.get_by_role("checkbox", name="Other hand, mirrored").check()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("mirrored")
    mirrored = places(bench)
    middle = (min(x for x, _ in after.values()) + max(x for x, _ in after.values())) / 2
    assert mirrored["A"][0] == pytest.approx(2 * middle - after["A"][0], abs=1e-5)
    assert stick.bounding_box() != was


def test_a_part_moved_by_hand_keeps_its_place_until_it_is_called_back(bench: Bench) -> None:
    bench.drag("C", 0.0, 14.0)
    by_hand = places(bench)["C"]
    page = open_stations(bench)
    expect(page.get_by_text(re.compile("^C was moved or locked by hand"))).to_be_visible()
    change(page, "Column to column", "45 mm")
    assert places(bench)["C"] == by_hand
    assert places(bench)["D"][0] - places(bench)["B"][0] == pytest.approx(90.0)
    page.get_by_role("button", name="Reset parts to station positions").click()
    expect(page.get_by_text(re.compile("^C was moved or locked by hand"))).to_have_count(0)
    rows = places(bench)
    assert rows["C"][0] - rows["B"][0] == pytest.approx(45.0)
    assert rows["C"][1] == pytest.approx(rows["D"][1])


def test_more_and_fewer_buttons_take_new_letters_and_retire_old_ones(bench: Bench) -> None:
    page = open_stations(bench)
    change(page, "Buttons", "8")
    more = places(bench)
    assert len(more) == 9
    new = more.keys() - set("ABCDEFG")
    assert len(new) == 2 and not new & {"H", "J", "K", "L", "M", "N", "P", "Q", "R"}, "one letter is one hole"
    change(page, "Buttons", "4")
    fewer = places(bench)
    assert len(fewer) == 5
    retired = bench.raw()["boards"][0]["arrangements"][0]["retired"]
    assert set(retired) == more.keys() - fewer.keys()
    expect(page.locator("#stations")).to_contain_text(f"{len(fewer) + 2} holes in common")


def test_a_change_of_one_arrangement_only_leaves_the_other(bench: Bench) -> None:
    page = open_stations(bench)
    other = bench.raw()["boards"][0]["arrangements"][1]
    only = page.get_by_role("radio", name=re.compile("^This arrangement only"))
    only.check()
    change(page, "Front row from the front edge", "90 mm")
    expect(only).to_be_checked()
    assert bench.raw()["boards"][0]["arrangements"][1] == other
    moved = places(bench)
    assert not moved.keys() & {p["label"] for p in other["placements"]}, "what moved has letters of its own"
    expect(page.get_by_text(re.compile("2 holes in common: Q, R"))).to_be_visible()
    pictures = page.locator(".beside img")
    expect(pictures).to_have_count(2)
    for k in range(2):
        expect(pictures.nth(k)).to_have_js_property("complete", value=True)


def test_a_player_leaves_and_another_comes(bench: Bench) -> None:
    page = open_stations(bench)
    start = bench.document()
    page.get_by_role("navigation", name="Station").get_by_role("link", name="Player 2").click()
    players = page.get_by_text("Add or delete a player")
    players.click()
    page.get_by_role("button", name="Delete Player 2 and its parts").click()
    expect(page.get_by_role("navigation", name="Station").get_by_role("link", name="Player 2")).to_have_count(0)
    assert not places(bench, "s2")
    players.click()
    page.get_by_role("radio", name="Other hand, mirrored").check()
    page.get_by_role("button", name="Add a player").click()
    expect(page.get_by_role("heading", name="Player 2")).to_be_visible()
    ours, theirs = places(bench), places(bench, "s2")
    assert len(theirs) == len(ours) == 7
    axis = 380.0
    image = sorted((round(2 * axis - x, 3), round(y, 3)) for x, y in ours.values())
    assert sorted((round(x, 3), round(y, 3)) for x, y in theirs.values()) == image, "the mirror image about the middle"
    expect(page.locator(".head .tally")).to_contain_text("Fits")
    for _ in range(2):
        name = page.get_by_role("button", name=re.compile("^Undo"))
        was = name.get_attribute("title")
        name.click()
        expect(name).not_to_have_attribute("title", was or "")
    assert bench.document() == start


def test_from_a_part_on_the_board_it_is_one_step_to_its_players_buttons(bench: Bench) -> None:
    bench.select("K")
    bench.card.get_by_text("Player 2", exact=True).click()
    bench.card.get_by_role("link", name=re.compile("^Buttons, layout")).click()
    expect(bench.page.get_by_role("heading", name="Player 2")).to_be_visible()


@long  # test_phone.py holds it for the page as it is first shown
def test_on_a_phone_nothing_sticks_out(bench: Bench, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    for where in ("stations", "timeline"):
        page.goto(f"{bench.url}/designs/{bench.design}/{where}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where
    context.close()


def test_what_is_typed_while_an_answer_is_on_its_way_is_not_lost(bench: Bench) -> None:
    """A slow machine, a quick hand: three fields one after the other, each left before the one before has come back."""
    page = open_stations(bench)
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    held = HeldBack(page, "/stations/station-lay-out$")
    page.get_by_label("Column to column").focus()
    for value in ("46 mm", "47 mm", "13 mm"):
        page.keyboard.press("Control+a")
        page.keyboard.type(value)
        page.keyboard.press("Tab")
    page.keyboard.press("Control+a")
    page.keyboard.type("92")
    for _ in range(3):
        route = held.next()
        assert not held, "one at a time"
        route.continue_()
    held.release()
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("13 mm")
    expect(page.get_by_label("Stick to buttons")).to_be_focused()
    expect(page.get_by_label("Stick to buttons")).to_have_value("92")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name=re.compile("^Undo"))).to_contain_text("92 mm")
    rows = places(bench)
    assert rows["C"][0] - rows["B"][0] == pytest.approx(46.0)
    assert rows["B"][1] - rows["E"][1] == pytest.approx(47.0)
    assert rows["C"][1] - rows["B"][1] == pytest.approx(13.0)
    assert rows["B"][0] - rows["A"][0] == pytest.approx(92.0)
