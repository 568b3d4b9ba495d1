"""Designs by keys and pointer: renamed, opened from a drawing, arrangements that say how they stand, proposals."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from app.arrange.design.arrangements import add_arrangement
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.service.checks.long_designs import is_long
from app.service.edits import board_changes, changes
from app.service.shelf.starting import new_design
from app.service.workshop import open_workshop
from tests.browser.bench import Bench
from tests.browser.conftest import Watch
from tests.browser.nursery import Nursery
from tests.long_run import in_gate
from tests.running import Server, running_app

LONG = 24
"""Arrangements of a design that is so long that no page judges them all."""

STADIUM = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="840mm" height="300mm" viewBox="0 0 840 300">'
    '<path d="M60,10 H780 A60,60 0 0 1 840,70 V290 H10 V60 A50,50 0 0 1 60,10 Z"/></svg>'
)


@pytest.fixture(scope="module")
def made() -> dict[str, str]:
    """Ids of the designs on the shelf, by what they are."""
    return {}


@pytest.fixture(scope="module")
def server(apps: Nursery, tmp_path_factory: pytest.TempPathFactory, made: dict[str, str]) -> Iterator[Server]:
    """A shelf with a deck too thick for its nuts, and a long design the last arrangement of which does not fit."""
    data: Path = tmp_path_factory.mktemp("designs") / "data"
    workshop = open_workshop(data)
    thick = NewDeck(title="Thick", players=1, buttons=4, finger_gap=25.0, width=760.0, depth=300.0)
    made["thick"] = workshop.create(thick).design.id
    workshop.edit(made["thick"], Where(), board_changes.layers_set(Where(), {}, {0: 32.0}))
    design = new_design(NewDeck(title="Long", players=2, buttons=8, width=900.0, depth=260.0))
    while len(design.boards[0].arrangements) < LONG:
        design = add_arrangement(design, None, "two").design
    assert is_long(dumps(design))
    made["long"] = workshop.open_file(dumps(design).encode()).design.id
    where = Where(None, "one")
    on = workshop.look(made["long"], where).checked.resolved.placements[0]
    workshop.edit(made["long"], where, changes.added(where, "button-24-nut-long", (on.x + 1, on.y), "top", 0.0))
    workshop.close()
    with running_app(data, begin=apps.begin) as running:
        yield running


def test_a_design_is_renamed_by_keys_and_a_title_that_cannot_be_is_told(
    page: Page, server: Server, made: dict[str, str], watch: Watch
) -> None:
    watch.expect("422")
    page.goto(server.url)
    button = page.get_by_label("Rename Thick")
    button.focus()
    page.keyboard.press("Enter")
    field = page.locator(f"#title-{made['thick']}")
    field.fill(" ")
    page.keyboard.press("Enter")
    expect(page.locator(f"#wrong-title-{made['thick']}")).to_contain_text("1 to 200 characters")
    expect(field).to_be_focused()
    field.fill("Thick board")
    page.keyboard.press("Enter")
    card = page.locator(f"#design-{made['thick']}")
    expect(card.get_by_role("heading")).to_have_text("Thick board")
    expect(card).to_be_in_viewport()
    expect(page.get_by_label("Rename Thick board")).to_be_visible()


def test_a_drawing_opened_on_the_shelf_shows_its_outline_and_loading_anew_makes_no_other_board(
    page: Page, server: Server, tmp_path: Path
) -> None:
    file = tmp_path / "stadium bench.svg"
    file.write_text(STADIUM, encoding="utf-8")
    page.goto(server.url)
    before = page.locator("#found .design").count()
    page.get_by_label("A saved design").set_input_files(file)
    page.get_by_role("button", name="Open file").click()
    expect(page.get_by_role("heading", name="Outline from a file · stadium bench")).to_be_visible()
    expect(page.locator("#outline-svg")).to_be_visible()
    page.reload()
    expect(page.locator("#outline-svg")).to_be_visible()
    page.get_by_role("button", name="Import this outline").click()
    expect(page.locator("#board-svg")).to_be_visible()
    expect(page.get_by_role("contentinfo").or_(page.get_by_label("What the board asks of the bench"))).to_contain_text(
        "830 × 280"
    )
    page.goto(server.url)
    expect(page.locator("#found .design")).to_have_count(before + 1)


def test_arrangements_of_a_long_design_are_judged_once_the_page_is_there(
    page: Page, server: Server, made: dict[str, str]
) -> None:
    page.goto(f"{server.url}/designs/{made['long']}")
    listed = page.locator("#arrangement-list")
    expect(listed.locator("summary")).to_contain_text("1 other with stops")
    expect(page).to_have_url(f"{server.url}/designs/{made['long']}")
    listed.locator("summary").click()
    ways = listed.get_by_role("link")
    expect(ways).to_have_count(LONG)
    expect(listed.get_by_text("not checked yet")).to_have_count(0)
    expect(listed.get_by_text("· fits")).to_have_count(LONG)  # in the list for all but one, and in its title
    listed.get_by_role("link", name="One player").click()
    expect(listed.locator("summary")).to_contain_text("One player · ")
    expect(listed.locator("summary .stop")).to_be_visible()


def test_a_step_in_every_arrangement_tells_what_it_did_in_one_not_on_screen(bench: Bench) -> None:
    """B, a button of both arrangements, goes where only the one player has another part."""
    page = bench.page
    switch = page.get_by_role("navigation", name="Arrangement")
    expect(switch.get_by_role("link", name="One player")).to_have_text("One player · fits")
    switch.get_by_role("link", name="One player").click()
    expect(switch.locator("[aria-current]")).to_contain_text("One player")
    page.locator("#palette").get_by_role("button").first.click()
    expect(page.get_by_role("heading", name="Selected")).to_be_visible()
    letter = page.locator("#selected-title strong").text_content() or ""
    own = next(p for p in bench.placements(1) if p["label"] == letter)
    switch.get_by_role("link", name="Two players").click()
    expect(switch.locator("[aria-current]")).to_contain_text("Two players")
    bench.part("B").press("Enter")
    page.get_by_label("From left edge").first.fill(str(own["x"]))
    page.get_by_label("From front edge").first.fill(str(own["y"]))
    page.get_by_role("button", name="Apply").click()
    expect(page.locator("#undo")).to_contain_text("in One player")
    expect(switch.get_by_role("link", name="One player")).to_contain_text("stop")


@pytest.mark.parametrize("units", in_gate(["mm", "inch"], lambda units: units == "inch"))
def test_fields_begin_with_what_would_do_and_keep_what_is_typed(
    page: Page, server: Server, made: dict[str, str], units: str
) -> None:
    address = f"{server.url}/designs/{made['thick']}?select=d&units={units}"
    page.goto(address)
    fold = page.locator("#bore-fold")
    expect(fold.locator("summary")).to_contain_text("would do")
    fold.locator("summary").click()
    deep = fold.get_by_label("Depth from below")
    proposed = deep.input_value()
    assert proposed and proposed in (fold.locator("summary").text_content() or "")
    expect(fold.get_by_text("nothing is cut until you press the button")).to_be_visible()
    deep.fill("7")
    # Another change to the same part leaves what is typed.
    page.locator("#lock").click()
    expect(page.locator("#lock")).to_have_attribute("aria-checked", "true")
    expect(deep).to_have_value("7")
    page.locator("#lock").click()
    expect(page.locator("#lock")).to_have_attribute("aria-checked", "false")
    page.goto(address)
    fold.locator("summary").click()
    expect(deep).to_have_value(proposed)
    fold.get_by_role("button", name="Add counterbore").click()
    expect(fold.get_by_role("button", name="Change counterbore")).to_be_visible()
    expect(fold.locator(".proposed")).to_have_count(0)
    page.locator("#undo").click()
    expect(fold.locator("summary")).to_contain_text("would do")


def test_an_arc_is_as_deep_as_is_typed(make_bench: Callable[..., Bench], watch: Watch) -> None:
    watch.expect("422")
    bench = make_bench(title="Arc", players="One player", buttons="8")
    page = bench.page
    page.goto(f"{bench.url}/designs/{bench.design}/stations?station=s1")
    expect(page.get_by_label("Depth of the arc")).to_have_count(0)
    page.get_by_label("Layout", exact=True).select_option("arc")
    deep = page.get_by_label("Depth of the arc")
    expect(deep).to_be_visible()
    deep.fill("14")
    deep.press("Tab")
    expect(page.locator("#undo")).to_contain_text("depth of the arc 14 mm")
    steps = bench.raw()["boards"][0]["arrangements"][0]["stations"][0]["steps"]
    assert steps == [0, 14, 14, 0]
    deep.fill("90")
    deep.press("Tab")
    expect(page.locator("#wrong-arc")).to_contain_text("half a circle")


def test_the_depth_of_an_arc_is_asked_for_only_of_an_arc(page: Page, server: Server) -> None:
    page.goto(server.url)
    expect(page.get_by_label("Depth of the arc")).to_be_hidden()
    page.get_by_label("Button layout").select_option("arc")
    page.get_by_label("Depth of the arc").fill("1/2in")
    page.get_by_label("Title", exact=True).fill("Half an inch")
    page.get_by_role("button", name="Make the deck").click()
    expect(page.locator("#board-svg")).to_be_visible()
    design = page.url.rpartition("/")[2].partition("?")[0]
    page.goto(f"{server.url}/designs/{design}/stations?station=s1")
    expect(page.get_by_label("Depth of the arc")).to_have_value("12.7 mm")


def test_name_and_material_are_changed_beside_the_size(bench: Bench) -> None:
    page = bench.page
    page.goto(f"{bench.url}/designs/{bench.design}/board")
    page.get_by_label("Material", exact=True).select_option("plywood")
    expect(page.locator("#undo")).to_contain_text("plywood")
    name = page.get_by_label("Name of this board")
    name.fill("Top panel")
    name.press("Enter")
    expect(page.locator("#undo")).to_contain_text("Renamed the board")
    board = bench.raw()["boards"][0]
    assert (board["name"], board["layers"][0]["material"]) == ("Top panel", "plywood")
