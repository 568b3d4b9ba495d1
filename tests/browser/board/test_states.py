"""Are the states of a part told apart by their form alone, by eyes that see no colour too?

Each state is put on the same part at the same place, so that nothing else differs: first the drawing is asked which
elements make it, colours left out; then screenshots are compared two by two as somebody sees them who sees no colour
at all, or green like red (the browser's own simulation of both). WCAG 2.2, 1.4.1: colour is not the only means.
"""

from __future__ import annotations

import json
from io import BytesIO
from itertools import combinations
from pathlib import Path
from typing import Any, Literal

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect

from tests.browser.bench import Bench
from tests.browser.conftest import LIMIT, Watch
from tests.long_run import in_gate
from tests.running import Server
from tests.tools import ROOT

PART = "a"
STATES = ("plain", "hover", "focus", "selected", "in hand", "locked", "undrilled", "stop", "caution", "accepted")
BY_FILE = ("plain", "locked", "undrilled", "stop", "caution", "accepted")
"""States the document makes; a pointer, a key or the address makes the others."""

HALF = 34
"""Half the side of what is compared [px]: the part with its rings, and no neighbour."""

SEEN = 24
"""Difference of a pixel's lightness that is seen, of 255: about 1.3 to 1 on these boards. Our own choice."""
SHARE = 0.01
"""Least share of the pixels that have to differ so: 46 px, about a stroke of 2 px as long as a letter is high."""

Grey = npt.NDArray[np.float64]

WORDS = "text, [class^=tag], [class^=sign], .leader"
FORMS = """([id, words]) => {
  const group = document.querySelector(`#parts [data-placement="${id}"]`);
  const middle = e => { const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; };
  const [x, y] = middle(group);
  const near = e => { const [a, b] = middle(e); return Math.hypot(a - x, b - y) < 40; };
  const marks = [...document.querySelectorAll('#halos > *')].filter(e => !e.matches(words) && near(e));
  const form = e => {
    const s = getComputedStyle(e);
    const width = parseFloat(s.strokeWidth).toFixed(1);
    return [e.tagName, s.strokeDasharray, width, s.fill === 'none' ? 'open' : 'filled'].join(' ');
  };
  const s = getComputedStyle(group);
  const frame = s.outlineStyle === 'none' ? [] : [`outline ${s.outlineStyle} ${s.outlineWidth}`];
  const own = [...group.children].filter(e => !/title|text/.test(e.tagName));
  return [...own, ...marks].map(form).concat(frame).sort();
}"""


@pytest.fixture(scope="module")
def designs(browser: Browser, server: Server, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """A deck for each state a document can be in: its id by the state."""
    page = browser.new_page()
    made = {}
    for state in BY_FILE:
        file = tmp_path_factory.mktemp("states") / f"{state}.json"
        file.write_text(json.dumps(document(state)), "utf-8")
        page.goto(server.url)
        page.get_by_label("A saved design (.json)").set_input_files(file)
        page.get_by_role("button", name="Open file").click()
        bench = Bench(page, server.url)
        bench.arrive()
        made[state] = bench.design
    page.close()
    return made


def document(state: str) -> dict[str, Any]:
    """The scenario with the stick of the left player in ``state``."""
    found: dict[str, Any] = json.loads(Path(ROOT / "scenarios/harbour-lane-two-seater.json").read_text("utf-8"))
    board = found["boards"][0]
    arrangement = board["arrangements"][0]
    part = next(p for p in arrangement["placements"] if p["id"] == PART)
    # The free depth decides what is wrong, and moves nothing: at 52 mm the wires have too little room, at 30 mm bodies.
    board["depth_below"] = dict.fromkeys(
        ("front", "back"), {"stop": 30.0, "caution": 52.0, "accepted": 52.0}.get(state, 80.0)
    )
    part["locked"] = state == "locked"
    part["drill"] = state != "undrilled"
    if state == "accepted":
        arrangement["accepted"] = [
            {"rule": "depth-below", "subjects": [PART], "measured": 14.0, "reason": "the wires leave to the side"}
        ]
    return found


def bring_about(page: Page, url: str, designs: dict[str, str], state: str) -> None:
    """Open the board with the part in ``state``."""
    chosen = {"selected": "?select=h,a", "in hand": "?select=a"}.get(state, "")
    page.goto(f"{url}/designs/{designs.get(state, designs['plain'])}{chosen}")
    part = page.locator(f'#parts [data-placement="{PART}"]')
    expect(part).to_be_visible()
    page.wait_for_load_state("load")
    if state == "hover":
        part.hover()
    elif state == "focus":
        # A key has been pressed before, so the browser shows where the focus is.
        page.keyboard.press("Shift")
        part.focus()
        assert part.evaluate("e => e.matches(':focus-visible')")
    else:
        page.mouse.move(2, 2)
    # Measures and the words of findings stand beside a part; what is compared is the part and the rings round it.
    page.evaluate(
        "words => document.querySelectorAll(`#dims > *, #halos > :is(${words})`).forEach(e => e.remove())", WORDS
    )


def picture(page: Page) -> Grey:
    """The part and its rings, as light as they are."""
    x, y = page.locator(
        f'#parts [data-placement="{PART}"] > .contact, #parts [data-placement="{PART}"] > .hole-off'
    ).first.evaluate("e => { const b = e.getBoundingClientRect(); return [b.x + b.width / 2, b.y + b.height / 2]; }")
    clip = {"x": round(x) - HALF, "y": round(y) - HALF, "width": 2 * HALF, "height": 2 * HALF}
    shot = page.screenshot(clip=clip, animations="disabled")  # type: ignore[arg-type]
    return np.asarray(Image.open(BytesIO(shot)).convert("L"), dtype=np.float64)


def unlike(one: Grey, other: Grey) -> float:
    """Share of the pixels that are seen to differ."""
    return float(np.mean(np.abs(one - other) >= SEEN))


@pytest.fixture
def look(browser: Browser, watch: Watch) -> Any:
    """Opens a page of a laptop's size in a colour scheme; closed at the end."""
    watch.expect("Applying inline style violates")  # Playwright's own, for the caret
    opened: list[Any] = []

    def new(scheme: Literal["light", "dark"]) -> Page:
        context = browser.new_context(
            viewport={"width": 1280, "height": 720}, color_scheme=scheme, reduced_motion="reduce", locale="en-GB"
        )
        context.set_default_timeout(LIMIT)
        context.on("page", watch.follow)
        opened.append(context)
        return context.new_page()

    yield new
    for context in opened:
        context.close()


def test_each_state_is_made_of_other_forms(look: Any, server: Server, designs: dict[str, str]) -> None:
    """Colours left out: elements, whether filled, their dashes and weights."""
    page = look("light")
    forms: dict[str, list[str]] = {}
    for state in STATES:
        bring_about(page, server.url, designs, state)
        forms[state] = page.evaluate(FORMS, [PART, WORDS])
    alike = [(a, b) for a, b in combinations(STATES, 2) if forms[a] == forms[b]]
    assert not alike, {state: forms[state] for pair in alike for state in pair}
    assert any("outline" in form for form in forms["focus"])


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
def test_states_are_told_apart_without_colour(
    look: Any, server: Server, designs: dict[str, str], scheme: Literal["light", "dark"]
) -> None:
    page = look(scheme)
    eyes = page.context.new_cdp_session(page)
    seen: dict[str, dict[str, Grey]] = {"achromatopsia": {}, "deuteranopia": {}}
    for state in STATES:
        bring_about(page, server.url, designs, state)
        for deficiency, pictures in seen.items():
            eyes.send("Emulation.setEmulatedVisionDeficiency", {"type": deficiency})
            pictures[state] = picture(page)
    for deficiency, pictures in seen.items():
        shares = {(a, b): unlike(pictures[a], pictures[b]) for a, b in combinations(STATES, 2)}
        too_like = {pair: round(share, 4) for pair, share in shares.items() if share < SHARE}
        assert not too_like, f"{deficiency}, {scheme}: {too_like}"


def test_the_same_state_twice_is_the_same(look: Any, server: Server, designs: dict[str, str]) -> None:
    """Else differences between states would prove nothing."""
    page = look("light")
    for state in ("plain", "stop"):
        pictures = []
        for _ in range(2):
            bring_about(page, server.url, designs, state)
            pictures.append(picture(page))
        assert unlike(*pictures) < SHARE / 10
