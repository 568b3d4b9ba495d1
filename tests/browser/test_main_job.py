"""The whole main job, as somebody does it who has never seen the app: from an empty shelf to a measured template.

What the screen shows is checked on the screen; what became of it is checked through a second channel: the document
asked for outside the browser, `holewise check` on it, and a PDF measured by PyMuPDF.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import cast

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.boards.scenario_cuts import Case, Face, counterbores, pilots, through_cuts
from tests.browser.bench import Bench, fetch
from tests.browser.conftest import Watch
from tests.long_run import by_turns, long
from tests.reading.measure import page_sizes, pdf_circles, pdf_lines
from tests.running import Server, running_app

INCH = 25.4


def test_an_empty_shelf_offers_a_new_deck_and_the_scenarios(page: Page, server: Server) -> None:
    page.goto(server.url)
    expect(page.get_by_role("heading", name="Nothing on the shelf yet")).to_be_visible()
    expect(page.get_by_role("button", name="Make the deck")).to_be_visible()
    copies = page.get_by_role("button", name=re.compile("^Open a copy of"))
    expect(copies.first).to_be_visible()
    assert copies.count() >= 5


def test_a_new_two_player_deck_can_be_built_as_it_is(page: Page, server: Server, tmp_path: Path) -> None:
    bench = Bench(page, server.url)
    bench.make_deck(title="Harbour wall", players="Two players", buttons="6", width="760", depth="260", thickness="18")
    expect(page).to_have_title(re.compile("Harbour wall"))
    expect(page.get_by_role("heading", name="Harbour wall")).to_be_visible()
    expect(bench.verdict).to_contain_text("Fits")
    expect(bench.truth).to_contain_text("760 × 260 × 18 mm")
    expect(bench.truth).to_contain_text("sheets of A4")
    raw = bench.raw()
    assert raw["title"] == "Harbour wall"
    assert len(bench.placements()) == 2 * 6 + 2 + 2  # buttons, sticks, admin buttons
    assert raw["boards"][0]["layers"] == [{"material": "mdf", "thickness": 18.0}]
    assert bench.check(tmp_path) == 0
    # And it stands on the shelf with a true drawing of its own.
    page.goto(server.url)
    card = page.get_by_role("listitem").filter(has=page.get_by_role("heading", name="Harbour wall"))
    expect(card).to_contain_text("Fits")
    expect(card).to_contain_text("760 × 260 × 18 mm")
    picture = card.locator("img")
    expect(picture).to_have_js_property("complete", value=True)
    assert picture.evaluate("img => img.naturalWidth") > 0


def test_a_wrong_answer_is_explained_beside_its_field_and_nothing_is_lost(
    page: Page, server: Server, watch: Watch
) -> None:
    watch.expect("422")
    page.goto(server.url)
    form = page.get_by_role("region", name="New deck")
    form.get_by_label("Title", exact=True).fill("Kept title")
    form.get_by_label("Board width", exact=True).fill("quite wide")
    form.get_by_label("Thickness", exact=True).fill("3/0")
    form.get_by_role("radio", name="One player").check()
    form.get_by_role("button", name="Make the deck").click()
    width, thickness = form.get_by_label("Board width", exact=True), form.get_by_label("Thickness", exact=True)
    expect(width).to_have_attribute("aria-invalid", "true")
    expect(width).to_have_accessible_description(re.compile("quite wide"))
    expect(thickness).to_have_accessible_description(re.compile("3/0"))
    expect(width).to_have_value("quite wide")
    expect(thickness).to_have_value("3/0")
    expect(form.get_by_label("Title", exact=True)).to_have_value("Kept title")
    expect(form.get_by_role("radio", name="One player")).to_be_checked()


def test_dragging_to_the_edge_shows_the_stop_while_the_pointer_is_still_down(bench: Bench, tmp_path: Path) -> None:
    page = bench.page
    before = bench.document()
    expect(bench.verdict).to_contain_text("Fits")
    scale = bench.scale()
    right = max(c["x"] for c in bench.raw()["boards"][0]["outline"]["corners"])
    x, y = bench.take("L")
    reach = right - bench.placed("L")["x"] - 16.0
    page.mouse.move(x + reach * scale, y, steps=12)
    # The pointer is down: the report, the line at the foot and the marks on the board follow already.
    expect(bench.report).to_contain_text("Stop")
    expect(bench.report).to_contain_text(re.compile("edge", re.IGNORECASE))
    expect(bench.report).to_contain_text("needs")
    expect(bench.truth).to_contain_text("stop")
    expect(bench.page.locator("#halos > *").first).to_be_attached()
    assert bench.document() == before, "nothing is kept before the pointer is let go"
    with bench.changing():
        page.mouse.up()
    expect(bench.report).to_contain_text("Stop")
    assert bench.placed("L")["x"] == pytest.approx(right - 16.0, abs=1.5)
    assert bench.check(tmp_path) == 1
    # The offered changes clear it: one for each thing that is wrong, none of which makes another worse.
    stops = bench.report.get_by_role("heading", name=re.compile("^Stop"))
    for _ in range(3):
        left = stops.count()
        if not left:
            break
        bench.advised()
        fix = (
            bench.report.get_by_role("listitem")
            .filter(has_text="Stop")
            .get_by_role("button", name=re.compile("Move L"))
        )
        with bench.changing():
            fix.first.click()
        assert stops.count() < left
    expect(stops).to_have_count(0)
    assert bench.check(tmp_path) == 0
    assert bench.document() != before
    # Every step back, to the very document there was.
    while page.get_by_role("button", name=re.compile("^Undo")).is_enabled():
        bench.undo()
    assert bench.document() == before
    expect(bench.verdict).to_contain_text("Fits")


def test_a_drag_is_one_step_and_can_be_taken_back_and_made_again(bench: Bench) -> None:
    before = bench.document()
    bench.drag("G", 12.0, -9.0)
    moved = bench.document()
    assert moved != before
    was, now = json.loads(before), json.loads(moved)
    (old,) = (p for p in was["boards"][0]["arrangements"][0]["placements"] if p["label"] == "G")
    (new,) = (p for p in now["boards"][0]["arrangements"][0]["placements"] if p["label"] == "G")
    assert (new["x"] - old["x"], new["y"] - old["y"]) == pytest.approx((12.0, -9.0), abs=1.0)
    expect(bench.page.get_by_role("button", name=re.compile("^Undo")).get_by_text("Moved G")).to_be_attached()
    bench.undo()
    assert bench.document() == before
    bench.redo()
    assert bench.document() == moved


@long  # test_timeline.py goes to and fro over a restart
def test_undo_reaches_back_over_a_restart_of_the_server(page: Page, server: Server, tmp_path: Path) -> None:
    """A server of its own, stopped and started again on the same folder; ports differ, the design does not."""
    with running_app(tmp_path / "data") as first:
        page.on("request", lambda _: None)
        other = page.context.browser
        assert other
        before, moved, design = _move_and_leave(other, first)
    with running_app(tmp_path / "data") as second:
        context = second_page(other)
        bench = Bench(context, second.url)
        bench.design = design
        context.goto(f"{second.url}/designs/{design}")
        assert bench.document() == moved
        bench.undo()
        assert bench.document() == before
        bench.redo()
        assert bench.document() == moved
        context.close()


def second_page(browser: Browser) -> Page:
    """A page in a context of its own, which the watch of one server knows nothing of."""
    return browser.new_context(viewport={"width": 1280, "height": 720}).new_page()


def _move_and_leave(browser: Browser, server: Server) -> tuple[str, str, str]:
    page = second_page(browser)
    bench = Bench(page, server.url)
    bench.make_deck(title="Over night")
    before = bench.document()
    bench.drag("C", 0.0, 6.0)
    moved = bench.document()
    assert moved != before
    page.close()
    return before, moved, bench.design


def test_escape_lets_go_of_a_drag_and_keeps_nothing(bench: Bench) -> None:
    before, place = bench.document(), bench.centre("L")
    x, y = bench.take("L")
    bench.page.mouse.move(x + 80, y - 30, steps=6)
    with bench.changing():
        bench.page.keyboard.press("Escape")
    bench.page.mouse.up()
    expect(bench.drawing.locator(".held")).to_have_count(0)
    expect(bench.verdict).to_contain_text("Fits")
    assert bench.centre("L") == pytest.approx(place, abs=1.0)
    assert bench.document() == before


def test_one_player_is_one_press_away_and_changes_nothing(bench: Bench, tmp_path: Path) -> None:
    before = bench.document()
    bench.page.get_by_role("navigation", name="Arrangement").get_by_role("link", name="One player").click()
    expect(bench.truth).to_contain_text("9 holes")  # six buttons, a stick, two admin buttons
    expect(bench.part("L")).to_have_count(0)
    expect(bench.verdict).to_contain_text("Fits")
    assert bench.document() == before
    one = bench.raw()["boards"][0]["arrangements"][1]
    assert len(one["placements"]) == 9
    assert bench.check(tmp_path, "--arrangement", one["id"]) == 0
    # Letters mean the same hole in both, so that one plan can grow into the other.
    bench.page.get_by_role("navigation", name="Arrangement").get_by_role("link", name="Two players").click()
    expect(bench.part("L")).to_be_visible()


def test_inches_are_only_another_way_to_say_it(bench: Bench, watch: Watch) -> None:
    page = bench.page
    before = bench.document()
    page.get_by_role("navigation", name="Units").get_by_role("link", name="inch").click()
    expect(bench.truth).to_contain_text('"')
    assert bench.document() == before
    bench.select("E")
    field = bench.card.get_by_label("From left edge", exact=True)
    was = bench.placed("E")
    # Decimals where it is no fraction: 216 mm is 8.504 in, so the next fraction is another place.
    assert was["x"] == 216
    expect(field).to_have_value('8.504"')
    bench.type(x='8 1/2"')
    assert bench.placed("E")["x"] == pytest.approx(8.5 * INCH, abs=1e-6)
    bench.type(x='8 3/4"')
    expect(field).to_have_value('8 3/4"')
    assert bench.placed("E")["x"] == pytest.approx(8.75 * INCH, abs=1e-6)
    assert bench.placed("E")["y"] == was["y"], "a field that was not touched is kept to the last digit"
    for typed, mm in (("215mm", 215.0), ("8-7/16", 8.4375 * INCH)):
        bench.type(x=typed)
        assert bench.placed("E")["x"] == pytest.approx(mm, abs=1e-6), typed
    kept = bench.document()
    watch.expect("422")
    bench.type(x="about there")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile("about there"))
    expect(field).to_have_value("about there")
    expect(field).to_be_focused()
    assert bench.document() == kept
    bench.type(x='8 1/4"')
    expect(field).not_to_have_attribute("aria-invalid", "true")
    page.get_by_role("navigation", name="Units").get_by_role("link", name="mm").click()
    expect(bench.card.get_by_label("From left edge", exact=True)).to_have_value(re.compile(r"^209\.(55|6) mm$"))


def test_a_part_is_added_duplicated_relabelled_switched_off_and_removed(bench: Bench) -> None:
    page = bench.page
    count = len(bench.placements())
    palette = page.get_by_role("complementary", name="Hardware to add")
    with bench.changing():
        palette.get_by_role("button", name=re.compile("24 mm hole")).first.click()
    assert len(bench.placements()) == count + 1
    letter = bench.placements()[-1]["label"]
    expect(bench.card.get_by_role("heading", name=f"Selected · {letter}")).to_be_visible()
    expect(bench.part(letter)).to_be_visible()

    bench.press("Duplicate")
    assert len(bench.placements()) == count + 2
    second = bench.placements()[-1]["label"]
    assert second != letter
    expect(bench.card.get_by_role("heading", name=f"Selected · {second}")).to_be_visible()

    bench.type(label="COIN")
    expect(bench.part("COIN")).to_be_visible()
    assert bench.placements()[-1]["label"] == "COIN"

    holes = bench.truth.get_by_text(re.compile(r"\d+ holes"))
    was = holes.inner_text()
    switch = bench.card.get_by_role("switch", name=re.compile("rilled"))
    expect(switch).to_have_attribute("aria-checked", "true")
    switch.click()
    expect(switch).to_have_attribute("aria-checked", "false")
    expect(bench.truth).to_contain_text("1 not drilled")
    expect(holes).not_to_have_text(was)
    assert bench.placements()[-1]["drill"] is False

    bench.press("Delete")
    expect(bench.part("COIN")).to_have_count(0)
    assert len(bench.placements()) == count + 1
    assert all(p["label"] != "COIN" for p in bench.placements())


def test_a_label_that_is_taken_is_explained_beside_the_field(bench: Bench, watch: Watch) -> None:
    watch.expect("422")
    kept = bench.document()
    bench.select("E")
    bench.type(label="F")
    field = bench.card.get_by_label("Label", exact=True)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_accessible_description(re.compile("F"))
    expect(field).to_have_value("F")
    assert bench.document() == kept


def test_hardware_is_dragged_on_to_the_board_where_it_is_dropped(bench: Bench) -> None:
    page = bench.page
    count = len(bench.placements())
    tile = (
        page.get_by_role("complementary", name="Hardware to add")
        .get_by_role("button", name=re.compile("28 mm hole"))
        .first
    )
    box = tile.bounding_box()
    assert box
    scale, (bx, by), placed = bench.scale(), bench.centre("B"), bench.placed("B")
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(bx, by - 60 * scale, steps=8)
    with bench.changing():
        page.mouse.up()
    added = bench.placements()[count:]
    assert len(added) == 1, "dropped once, added once"
    assert (added[0]["x"], added[0]["y"]) == pytest.approx((placed["x"], placed["y"] + 60.0), abs=1.5)
    # Dropped beside the board it is not added, and the next press on it still counts.
    box = tile.bounding_box()
    assert box
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 60, box["y"] + 30, steps=4)
    page.mouse.up()
    assert len(bench.placements()) == count + 1
    with bench.changing():
        tile.click()
    assert len(bench.placements()) == count + 2


@long  # test_keyboard.py does the whole job so
def test_the_keyboard_alone_moves_copies_and_removes(bench: Bench) -> None:
    page = bench.page
    page.get_by_role("link", name="To the board").focus()
    page.keyboard.press("Enter")
    for _ in range(60):
        page.keyboard.press("PageDown" if page.locator("#board-svg :focus").count() else "Tab")
        if page.evaluate("document.activeElement.getAttribute('aria-label') ?? ''").startswith("E, "):
            break
    expect(bench.part("E")).to_be_focused()
    start = bench.placed("E")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    expect(page.get_by_role("status")).to_contain_text("Moved E")
    moved = bench.placed("E")
    assert (moved["x"] - start["x"], moved["y"] - start["y"]) == pytest.approx((2.0, 1.0), abs=0.51)
    expect(bench.part("E")).to_be_focused()
    page.keyboard.press("Shift+ArrowRight")
    expect(bench.part("E")).to_have_accessible_name(re.compile(rf"{moved['x'] + 0.1:.1f}".rstrip("0").rstrip(".")))
    assert bench.placed("E")["x"] == pytest.approx(moved["x"] + 0.1, abs=1e-6)

    count = len(bench.placements())
    page.keyboard.press("Delete")
    expect(bench.part("E")).to_have_count(0)
    assert len(bench.placements()) == count - 1
    page.keyboard.press("Control+z")
    expect(bench.part("E")).to_be_visible()
    page.keyboard.press("Control+y")
    expect(bench.part("E")).to_have_count(0)
    page.keyboard.press("Control+Shift+z")
    page.keyboard.press("Control+z")
    expect(bench.part("E")).to_be_visible()


def test_the_underside_is_the_mirror_image_and_drags_like_one(bench: Bench) -> None:
    page = bench.page
    top_b, top_l = bench.centre("B")[0], bench.centre("L")[0]
    assert top_b < top_l
    page.get_by_role("navigation", name="Face").get_by_role("link", name="Underside").click()
    expect(bench.drawing).to_contain_text("UNDERSIDE")
    assert bench.centre("B")[0] > bench.centre("L")[0]
    start = bench.placed("L")
    bench.drag("L", 10.0, 0.0)
    assert bench.placed("L")["x"] == pytest.approx(start["x"] - 10.0, abs=1.0)
    assert bench.placed("L")["y"] == pytest.approx(start["y"], abs=0.51)


@pytest.mark.parametrize(("face", "paper"), by_turns(["top", "under"], ["a4", "letter"]))
def test_the_downloaded_template_measures_true(
    make_bench: Callable[..., Bench], tmp_path: Path, face: str, paper: str
) -> None:
    bench = make_bench(title="To be measured", players="One player", width="500", depth="230", thickness="19.05")
    page = bench.page
    page.get_by_role("link", name="Paper", exact=True).click()
    expect(page).to_have_url(re.compile("/paper"))
    page.wait_for_load_state("load")  # until then the page's scripts do not hear what is chosen
    if face == "under":
        page.get_by_role("navigation", name="Face").get_by_role("link", name="Underside").click()
        expect(page.get_by_text("The underside, mirrored")).to_be_visible()
    if paper == "letter":
        page.get_by_label("Size", exact=True).select_option("letter")
        expect(page.locator("#truth")).to_contain_text(re.compile(r"sheets? of Letter"))
    with page.expect_download() as started:
        page.get_by_role("link", name=re.compile("template, PDF")).click()
    assert re.fullmatch(r"[a-z0-9-]+\.pdf", started.value.suggested_filename)
    file = tmp_path / "template.pdf"
    started.value.save_as(file)
    pdf = file.read_bytes()
    # What is asked for is worked out from the kept document alone.
    raw, seen = bench.raw()["boards"][0], "under" if face == "under" else "top"
    case = Case("kept", bench.document(), raw["id"], raw["arrangements"][0]["id"], cast("Face", seen))
    cuts = [cut for cut in through_cuts(case) + counterbores(case) + pilots(case) if cut.diameter]
    assert len(cuts) >= 9
    size = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}[paper]
    wanted = [(c.x, c.y, c.diameter) for c in cuts]
    met: set[tuple[float, float, float]] = set()
    for number, sides in enumerate(page_sizes(pdf)):
        assert sorted(sides) == pytest.approx(size, abs=0.004)
        lengths = [max(abs(c - a), abs(d - b)) for a, b, c, d in pdf_lines(pdf, number)]
        assert sum(abs(length - 100.0) <= 0.01 for length in lengths) >= 2
        assert sum(abs(length - 4 * INCH) <= 0.01 for length in lengths) >= 2
        met |= _met(wanted, [(c.x, c.y, c.diameter) for c in pdf_circles(pdf, number)])
    assert met == set(wanted), "summed over the sheets, every hole is there, true within 0.01 mm"


def _met(
    wanted: list[tuple[float, float, float]], found: list[tuple[float, float, float]]
) -> set[tuple[float, float, float]]:
    """The wanted holes that a page shows, wherever the page lies on the board: the shift most of them agree on."""
    best: set[tuple[float, float, float]] = set()
    for x, y, d in found:
        for wx, wy, wd in wanted:
            if abs(wd - d) <= 0.01:
                dx, dy = x - wx, y - wy
                here = {
                    w
                    for w in wanted
                    if any(max(abs(w[0] + dx - f[0]), abs(w[1] + dy - f[1]), abs(w[2] - f[2])) <= 0.01 for f in found)
                }
                best = max(best, here, key=len)
    return best


def test_the_design_goes_out_as_a_file_and_comes_back_the_same(bench: Bench, server: Server, tmp_path: Path) -> None:
    page = bench.page
    bench.drag("D", 3.0, 4.0)
    with page.expect_download() as started:
        page.get_by_role("link", name=re.compile("^Save a file")).click()
    assert page.url.partition("?")[0] == f"{server.url}/designs/{bench.design}", "one click, and still at the bench"
    file = tmp_path / started.value.suggested_filename
    started.value.save_as(file)
    assert file.suffix == ".json"
    page.goto(server.url)
    page.get_by_label(re.compile("A saved design")).set_input_files(file)
    page.get_by_role("button", name="Open file").click()
    again = Bench(page, server.url)
    again.arrive()
    assert again.design != bench.design
    assert again.document() == bench.document() == file.read_text("utf-8")


def test_a_file_that_is_none_says_what_to_do(page: Page, server: Server, watch: Watch, tmp_path: Path) -> None:
    watch.expect("422")
    file = tmp_path / "shopping.json"
    file.write_text('{"milk": 2}', "utf-8")
    page.goto(server.url)
    page.get_by_label(re.compile("A saved design")).set_input_files(file)
    page.get_by_role("button", name="Open file").click()
    alert = page.get_by_role("alert").filter(has_text="shopping.json")
    expect(alert).to_contain_text("Choose a file that Holewise saved")


def test_a_deck_is_duplicated_and_the_copy_can_be_changed_by_itself(bench: Bench, server: Server) -> None:
    page, before = bench.page, bench.document()
    page.goto(server.url)
    design = page.get_by_role("listitem").filter(has=page.locator(f'a[href="/designs/{bench.design}"]'))
    design.get_by_role("button", name=re.compile("^Duplicate ")).focus()
    page.keyboard.press("Enter")
    copy = Bench(page, server.url)
    copy.arrive()
    assert copy.design != bench.design
    assert copy.raw() == {**bench.raw(), "title": copy.raw()["title"]}
    assert re.fullmatch(rf"{re.escape(bench.raw()['title'])} copy( \d+)?", copy.raw()["title"])
    copy.drag("D", 3.0, 4.0)
    assert bench.document() == before


def test_a_deck_put_away_can_be_put_back(bench: Bench, server: Server) -> None:
    page = bench.page
    page.goto(server.url)
    design = page.get_by_role("listitem").filter(has=page.locator(f'a[href="/designs/{bench.design}"]'))
    design.get_by_role("button", name=re.compile("^Put .* away$")).click()
    expect(page.locator(f'a[href="/designs/{bench.design}"]')).to_have_count(0)
    page.get_by_text(re.compile("^Put away ·")).click()
    page.get_by_role("button", name=re.compile("^Put Bench test.* back$")).first.click()
    expect(page.locator(f'h3 a[href="/designs/{bench.design}"]')).to_be_visible()
    assert json.loads(fetch(f"{server.url}/designs/{bench.design}/design.json"))["title"] == bench.raw()["title"]
