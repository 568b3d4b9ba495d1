"""Several parts at once, places drawn to while dragging, distances, shortcuts: by mouse, finger and keyboard alone."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.bench import Bench
from tests.browser.board.test_hands import moved, places
from tests.browser.conftest import Watch
from tests.running import Server


def words(bench: Bench) -> Locator:
    """What is written on the drawing beside a part being dragged."""
    return bench.page.locator("#dims text")


def by_keyboard(bench: Bench, *letters: str) -> None:
    """Select parts without a pointer."""
    bench.part(letters[0]).focus()
    with bench.changing():
        bench.page.keyboard.press("Enter")
    for letter in letters[1:]:
        bench.part(letter).focus()
        with bench.changing():
            bench.page.keyboard.press("Shift+Enter")


def test_parts_are_lined_up_and_spaced_by_keyboard_alone(bench: Bench) -> None:
    text = bench.document()
    by_keyboard(bench, "E", "F", "G")
    expect(bench.page.get_by_role("heading", name="Selected · 3 parts")).to_be_visible()
    front = bench.card.get_by_role("button", name="Line up at the front")
    front.focus()
    with bench.changing():
        bench.page.keyboard.press("Enter")
    now = places(bench)
    assert len({now[letter][1] for letter in "EFG"}) == 1
    expect(bench.page.get_by_role("status")).to_contain_text("Lined up E, F and G at the front")
    with bench.changing():
        bench.page.keyboard.press("Control+z")
    assert bench.document() == text
    bench.press("Space evenly left to right")
    now = places(bench)
    assert now["F"][0] == pytest.approx((now["E"][0] + now["G"][0]) / 2)


def test_a_group_is_duplicated_and_removed_by_keys(bench: Bench) -> None:
    text, count = bench.document(), len(bench.placements())
    by_keyboard(bench, "Q", "R")
    with bench.changing():
        bench.page.keyboard.press("Control+d")
    expect(bench.page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    assert len(bench.placements()) == count + 2
    bench.page.locator("#drawing").focus()
    with bench.changing():
        bench.page.keyboard.press("Delete")
    assert len(bench.placements()) == count
    bench.undo()
    bench.undo()
    assert bench.document() == text


def test_a_drag_is_drawn_to_a_line_and_says_so_but_not_with_alt(bench: Bench) -> None:
    page = bench.page
    start, scale = places(bench), bench.scale()
    # G stands in one column with D; from 12 mm beside it, a hand that comes within a few pixels is drawn to it.
    bench.select("G")
    bench.type(x=str(start["G"][0] + 12), y=str(start["G"][1] - 30))
    x, y = bench.take("G")
    page.mouse.move(x - 6 * scale, y, steps=4)
    expect(words(bench).filter(has_text=re.compile("centres .* hole edges .* flanges"))).to_have_count(1)
    page.mouse.move(x - 11 * scale, y, steps=4)
    page.mouse.move(x - 10.4 * scale, y, steps=2)
    expect(words(bench).filter(has_text="in line with D")).to_have_count(1)
    page.keyboard.down("Alt")
    page.mouse.move(x - 10.3 * scale, y, steps=2)
    expect(words(bench).filter(has_text="in line with")).to_have_count(0)
    page.keyboard.up("Alt")
    page.mouse.move(x - 10.4 * scale, y, steps=3)
    expect(words(bench).filter(has_text="in line with D")).to_have_count(1)
    with bench.changing():
        page.mouse.up()
    assert bench.placed("G")["x"] == bench.placed("D")["x"], "exactly, not by the pixel"


def test_escape_puts_a_drag_back_and_fifty_moves_are_one_step(bench: Bench) -> None:
    page, text, scale = bench.page, bench.document(), bench.scale()
    x, y = bench.take("L")
    page.mouse.move(x - 40, y + 30, steps=25)
    with bench.changing():
        page.keyboard.press("Escape")
    page.mouse.up()
    expect(bench.drawing.locator(".held")).to_have_count(0)
    assert bench.document() == text
    before = places(bench)
    x, y = bench.take("L")
    for n in range(1, 51):
        page.mouse.move(x - n * 0.3 * scale, y - 3.7 * scale * (n % 2))
    with bench.changing():
        page.mouse.up()
    assert set(moved(bench, before)) == {"L"}
    bench.undo()
    assert bench.document() == text


def test_two_parts_are_measured_and_one_is_placed_by_the_other(bench: Bench) -> None:
    by_keyboard(bench, "F", "G")
    told = bench.card.locator(".measures")
    expect(told).to_contain_text("Hole edge to hole edge")
    expect(words(bench).filter(has_text=re.compile("centres .* hole edges .* flanges"))).to_have_count(1)
    bench.select("G")
    fold = bench.card.locator("#relative-fold")
    fold.locator("summary").click()
    with bench.changing():
        fold.get_by_label("Measured from").select_option(label=_option(fold, "F"))
    fold = bench.card.locator("#relative-fold")
    fold.get_by_label("To the right of it").fill("2in")
    fold.get_by_label("Behind it").fill("-3")
    with bench.changing():
        fold.get_by_role("button", name="Place by offsets").click()
    now = places(bench)
    assert (now["G"][0] - now["F"][0], now["G"][1] - now["F"][1]) == pytest.approx((50.8, -3.0))


def _option(fold: Locator, letter: str) -> str:
    texts = fold.locator("#field-to option").all_inner_texts()
    return next(text for text in texts if text.startswith(f"{letter} ·"))


def test_shortcuts_are_listed_and_closed_by_keys(bench: Bench) -> None:
    page = bench.page
    bench.select("E")
    at = bench.placed("E")["x"]
    page.keyboard.press("?")
    listed = page.get_by_role("dialog", name="Keyboard shortcuts")
    expect(listed).to_be_visible()
    expect(listed).to_contain_text("duplicate the selection")
    page.keyboard.press("Escape")
    expect(listed).to_be_hidden()
    expect(page.get_by_role("heading", name="Selected · E")).to_be_visible()
    page.get_by_role("button", name="Keyboard shortcuts").click()
    expect(listed).to_be_visible()
    page.keyboard.press("ArrowRight")
    listed.get_by_role("button", name="Close").click()
    expect(listed).to_be_hidden()
    assert bench.placed("E")["x"] == at


def test_the_nudge_pad_moves_by_taps_in_one_step(open_page: Callable[..., Page], server: Server) -> None:
    bench = Bench(open_page(1024, 768, "light", has_touch=True, is_mobile=True), server.url)
    bench.put_deck(title="By taps")
    text, before = bench.document(), places(bench)
    with bench.changing():
        bench.page.touchscreen.tap(*bench.centre("E"))
    right = bench.card.get_by_role("button", name="Nudge right")
    expect(right).to_be_visible()
    area = right.bounding_box()
    assert area and area["width"] >= 44 and area["height"] >= 44
    right.tap()
    right.tap()
    with bench.changing():
        bench.card.get_by_role("button", name="Nudge back").tap()
    assert moved(bench, before)["E"] == pytest.approx((2.0, 1.0))
    bench.undo()
    assert bench.document() == text


def pick(bench: Bench, *letters: str) -> None:
    """Select parts with the pointer: a click, then clicks with Shift."""
    bench.select(letters[0])
    bench.page.keyboard.down("Shift")
    for letter in letters[1:]:
        with bench.changing():
            bench.page.mouse.click(*bench.centre(letter))
    bench.page.keyboard.up("Shift")
    expect(bench.page.get_by_role("heading", name=f"Selected · {len(letters)} parts")).to_be_visible()


def test_every_way_to_line_up_space_mirror_and_turn_does_what_it_is_called(bench: Bench) -> None:
    """Centres are lined up; spaces are even between centres; the mirror line is the middle of the board, 380 mm."""
    start, text = places(bench), bench.document()
    three = ("C", "E", "Q")
    xs, ys = [start[n][0] for n in three], [start[n][1] for n in three]
    wanted = {
        "Line up at the left": ([min(xs)] * 3, ys),
        "Line up at the right": ([max(xs)] * 3, ys),
        "Line up on one line, front to back": ([(min(xs) + max(xs)) / 2] * 3, ys),
        "Line up at the front": (xs, [min(ys)] * 3),
        "Line up at the back": (xs, [max(ys)] * 3),
        "Line up on one line, left to right": (xs, [(min(ys) + max(ys)) / 2] * 3),
        "Space evenly left to right": ([(min(xs) + max(xs)) / 2, min(xs), max(xs)], ys),
        "Space evenly front to back": (xs, [(min(ys) + max(ys)) / 2, min(ys), max(ys)]),
        "Move to the other side of the centre line": ([760 - x for x in xs], ys),
    }
    pick(bench, *three)
    for name, (new_xs, new_ys) in wanted.items():
        bench.press(name)
        now = places(bench)
        assert [now[n][0] for n in three] == pytest.approx(new_xs), name
        assert [now[n][1] for n in three] == pytest.approx(new_ys), name
        assert {n: p for n, p in now.items() if n not in three} == {n: p for n, p in start.items() if n not in three}
        with bench.changing():
            bench.page.keyboard.press("Control+z")
        assert bench.document() == text, name
    bench.press("Copy to the other side of the centre line")
    copies = {p["label"]: p for p in bench.placements() if p["label"] not in start}
    # The mirror place of Q is that of R, where a part is already.
    found = sorted((p["x"], p["y"]) for p in copies.values())
    assert found == [(760 - start[n][0], start[n][1]) for n in ("C", "E")]
    expect(bench.page.get_by_role("heading", name="Selected · 2 parts")).to_be_visible()
    bench.press("Turn each by 90° clockwise")
    assert {p["angle"] for p in bench.placements() if p["label"] not in start} == {-90.0}


def test_a_players_parts_are_mirrored_to_the_other_player(bench: Bench) -> None:
    bench.drag("F", 0.0, -3.0)
    bench.card.get_by_text("Player 1", exact=True).click()
    with bench.changing():
        bench.card.get_by_role("button", name="Mirror for the other player").click()
    now = places(bench)
    ours = sorted((760 - now[n][0], now[n][1]) for n in "ABCDEFG")
    theirs = sorted(now[n] for n in "HJKLMNP")
    assert [v for p in theirs for v in p] == pytest.approx([v for p in ours for v in p])
    bench.undo()
    with bench.changing():
        bench.card.get_by_role("button", name="Copy as it is").click()
    now = places(bench)
    across = now["H"][0] - now["A"][0]
    for our, their in zip("BCDEFG", "JKLMNP", strict=True):
        assert now[their] == pytest.approx((now[our][0] + across, now[our][1]))


@pytest.mark.parametrize(
    ("place", "near", "axis", "said"),
    [
        # Where it is typed to first, how far the hand then goes [mm], and what draws it: a formula of the others.
        ((352.0, 60.0), (27.6, 0.0), ("x", 380.0), "^on the centre line$"),
        ((246.0, 53.0), (-29.5, 0.0), ("x", 216.0), "^in line with E$"),
        ((340.0, 60.0), (-3.2, 48.9), ("y", 108.5), "^in line with E$"),
    ],
)
def test_places_draw_a_drag_and_say_so(
    bench: Bench, place: tuple[float, float], near: tuple[float, float], axis: tuple[str, float], said: str
) -> None:
    page, scale = bench.page, bench.scale()
    bench.select("Q")
    bench.type(x=str(place[0]), y=str(place[1]))
    x, y = bench.take("Q")
    page.mouse.move(x + near[0] * scale * 0.5, y - near[1] * scale * 0.5, steps=4)
    expect(words(bench).filter(has_text="centres")).to_have_count(1)
    page.mouse.move(x + near[0] * scale, y - near[1] * scale, steps=4)
    expect(words(bench).filter(has_text=re.compile(said))).to_have_count(1)
    expect(page.locator("#dims .guide").first).to_be_attached()
    with bench.changing():
        page.mouse.up()
    assert bench.placed("Q")[axis[0]] == axis[1], "exactly, not by the pixel"


def test_even_spaces_draw_a_drag_and_rims_do(bench: Bench) -> None:
    """E, F and Q in one row: F is 42 mm from E, so Q is drawn to 42 mm from F; a rim of 24 mm to one of 28 mm."""
    page, scale = bench.page, bench.scale()
    bench.select("F")
    bench.type(x="270", y="40")
    bench.select("E")
    bench.type(x="210", y="40")
    bench.select("Q")
    bench.type(x="350", y="41")
    x, y = bench.take("Q")
    page.mouse.move(x - 14 * scale, y, steps=4)
    expect(words(bench).filter(has_text="centres")).to_have_count(1)
    page.mouse.move(x - 19.6 * scale, y, steps=4)
    expect(words(bench).filter(has_text="evenly spaced, 60 mm")).to_have_count(1)
    with bench.changing():
        page.mouse.up()
    assert bench.placed("Q")["x"] == 330.0
    bench.type(y="60")
    x, y = bench.take("Q")
    page.mouse.move(x, y + 12 * scale, steps=4)
    expect(words(bench).filter(has_text="centres")).to_have_count(1)
    page.mouse.move(x, y + 17.8 * scale, steps=4)
    expect(words(bench).filter(has_text=re.compile("hole edges in line with [EF]"))).to_have_count(1)
    with bench.changing():
        page.mouse.up()
    assert bench.placed("Q")["y"] == pytest.approx(40.0 + (14.0 - 12.0)), "the rims are in line at the back"


def test_the_grid_is_shown_as_it_takes_hold_and_not_with_alt(bench: Bench) -> None:
    page, scale = bench.page, bench.scale()
    bench.select("Q")
    bench.type(x="340.4", y="52.3")
    lines = page.locator("#dims .grid-line")
    x, y = bench.take("Q")
    page.mouse.move(x + 6 * scale, y + 4 * scale, steps=5)
    expect(words(bench).filter(has_text="centres")).to_have_count(1)
    page.mouse.move(x + 6.1 * scale, y + 4.2 * scale, steps=2)
    expect(lines.first).to_be_attached()
    page.keyboard.down("Alt")
    page.mouse.move(x + 6.3 * scale, y + 4.4 * scale, steps=2)
    expect(lines).to_have_count(0)
    page.keyboard.up("Alt")
    page.mouse.move(x + 6.1 * scale, y + 4.2 * scale, steps=3)
    expect(lines.first).to_be_attached()
    with bench.changing():
        page.mouse.up()
    kept = bench.placed("Q")
    assert kept["x"] == round(kept["x"]) and kept["y"] == round(kept["y"])


def test_distances_are_told_live_in_the_units_on_screen(bench: Bench) -> None:
    """From both datum edges, and centres, rims and flanges to the nearest part; each worked out from the document."""
    page = bench.page
    page.get_by_role("navigation", name="Units").get_by_role("link", name="inch").click()
    expect(bench.truth).to_contain_text('"')
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    scale = bench.scale()
    x, y = bench.take("Q")
    page.keyboard.down("Alt")  # nothing else is written beside it then
    page.mouse.move(x - 60 * scale, y - 4 * scale, steps=8)
    apart = words(bench).filter(has_text=re.compile("centres .* hole edges .* flanges"))
    expect(apart).to_contain_text('"')
    # The last place is told of once the hand rests; what is on the page until then is of a place on the way.
    with bench.resting():
        page.mouse.move(x - 60.5 * scale, y - 4 * scale)
    field = bench.page.locator("#dims text")
    expect(field).to_have_count(3)
    told = field.all_text_contents()
    with bench.changing():
        page.mouse.up()
    page.keyboard.up("Alt")
    now = places(bench)["Q"]
    edges = sorted(now)
    assert sorted(_inches(t) for t in told if "centres" not in t) == pytest.approx(edges, abs=25.4 / 64)
    nearest = min((math.dist(now, p), n) for n, p in places(bench).items() if n != "Q")
    (words_apart,) = [t for t in told if "centres" in t]
    centres = _inches(words_apart.split(" · ")[0].removeprefix("centres "))
    assert centres == pytest.approx(nearest[0], abs=25.4 / 64)
    rims = _inches(words_apart.split(" · ")[1].removeprefix("hole edges "))
    radii = 12.0 + (12.0 if nearest[1] == "R" else 14.0)
    assert rims == pytest.approx(nearest[0] - radii, abs=25.4 / 64)


def _inches(text: str) -> float:
    """Millimetres of ``14 3/16"``, as a ruler reads it."""
    total = 0.0
    for piece in text.strip().removesuffix('"').replace("−", "-").split():
        over, _, under = piece.partition("/")
        total += float(over) / float(under) if under else float(over)
    return total * 25.4


def test_any_two_parts_are_measured_in_five_ways(bench: Bench) -> None:
    """E and P, far apart, in mm: formulas of their places and sizes."""
    pick(bench, "E", "P")
    now = places(bench)
    far = math.dist(now["E"], now["P"])
    told = dict(
        zip(
            bench.card.locator(".measures dt").all_inner_texts(),
            bench.card.locator(".measures dd").all_inner_texts(),
            strict=True,
        )
    )
    assert float(told["Centre to centre"].removesuffix(" mm")) == pytest.approx(far, abs=0.051)
    assert float(told["Hole edge to hole edge"].removesuffix(" mm")) == pytest.approx(far - 28.0, abs=0.051)
    across, along = told["Across, along"].replace(" mm", "").replace("−", "-").split(", ")
    assert (abs(float(across)), abs(float(along))) == pytest.approx(
        (abs(now["P"][0] - now["E"][0]), abs(now["P"][1] - now["E"][1])), abs=0.051
    )
    assert {"Flange to flange", "Below, nut to nut"} <= told.keys()


def test_several_are_moved_by_what_is_typed_in_either_unit_and_a_wrong_entry_is_kept(
    bench: Bench, watch: Watch
) -> None:
    watch.expect("422")
    before = places(bench)
    pick(bench, "E", "F", "G")
    fold = bench.card.locator("#by-fold")
    fold.locator("summary").click()
    fold.get_by_label("To the right").fill("-1/4 in")
    fold.get_by_label("To the back").fill("-2.5")
    with bench.changing():
        fold.get_by_role("button", name="Move them").click()
    assert set(moved(bench, before)) == {"E", "F", "G"}
    for step in moved(bench, before).values():
        assert step == pytest.approx((-6.35, -2.5))
    kept = bench.document()
    fold = bench.card.locator("#by-fold")
    fold.get_by_label("To the right").fill("a bit")
    with bench.changing():
        fold.get_by_role("button", name="Move them").click()
    field = bench.card.get_by_label("To the right")
    expect(field).to_have_value("a bit")
    expect(field).to_be_focused()
    expect(field).to_have_accessible_description(re.compile("a bit"))
    assert bench.document() == kept
    angle = bench.card.locator("#all-fold")
    angle.locator("summary").click()
    angle.get_by_label("Angle").fill("45")
    with bench.changing():
        angle.get_by_role("button", name="Set for all 3").click()
    assert {bench.placed(n)["angle"] for n in "EFG"} == {45.0}


def test_a_part_is_placed_by_distance_and_direction_from_another(bench: Bench) -> None:
    bench.select("Q")
    fold = bench.card.locator("#relative-fold")
    fold.locator("summary").click()
    with bench.changing():
        fold.get_by_label("Measured from").select_option(label=_option(fold, "R"))
    fold = bench.card.locator("#relative-fold")
    fold.get_by_label("Distance").fill("2 in")
    fold.get_by_label("Direction").fill("180")
    with bench.changing():
        fold.get_by_role("button", name="Place by distance").click()
    now = places(bench)
    assert now["Q"] == pytest.approx((now["R"][0] - 50.8, now["R"][1]), abs=1e-5)
