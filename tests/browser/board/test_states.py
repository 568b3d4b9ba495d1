"""Are the states of a part told apart by their form alone, by eyes that see no colour too?

Each state is put on the same part at the same place, so that nothing else differs: first the drawing is asked which
elements make it, colours left out; then screenshots are compared two by two as somebody sees them who sees no colour
at all, or green like red (the browser's own simulation of both). WCAG 2.2, 1.4.1: colour is not the only means.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from io import BytesIO
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.bench import put_file
from tests.browser.conftest import Watch
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
def designs(server: Server) -> dict[str, str]:
    """A deck for each state a document can be in: its id by the state."""
    return {state: put_file(server.url, json.dumps(document(state))) for state in BY_FILE}


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


@pytest.mark.parametrize("scheme", in_gate(["light", "dark"], lambda scheme: scheme == "dark"))
def test_states_are_told_apart_without_colour(
    open_page: Callable[..., Page], server: Server, watch: Watch, designs: dict[str, str], scheme: str
) -> None:
    """By what they are made of, colours left out (elements, filled or not, dashes, weights), and as they are seen."""
    watch.expect("Applying inline style violates")  # Playwright's own, for the caret
    page = open_page(1280, 720, scheme)
    eyes = page.context.new_cdp_session(page)
    seen: dict[str, dict[str, Grey]] = {"achromatopsia": {}, "deuteranopia": {}}
    forms: dict[str, list[str]] = {}
    for state in (*STATES, "plain again", "stop again"):
        bring_about(page, server.url, designs, state.removesuffix(" again"))
        forms[state] = page.evaluate(FORMS, [PART, WORDS])
        for deficiency, pictures in seen.items():
            eyes.send("Emulation.setEmulatedVisionDeficiency", {"type": deficiency})
            pictures[state] = picture(page)
    alike = [(a, b) for a, b in combinations(STATES, 2) if forms[a] == forms[b]]
    assert not alike, {state: forms[state] for pair in alike for state in pair}
    assert any("outline" in form for form in forms["focus"])
    for deficiency, pictures in seen.items():
        for state in ("plain", "stop"):  # else differences between states would prove nothing
            assert unlike(pictures[state], pictures[f"{state} again"]) < SHARE / 10
        shares = {(a, b): unlike(pictures[a], pictures[b]) for a, b in combinations(STATES, 2)}
        too_like = {pair: round(share, 4) for pair, share in shares.items() if share < SHARE}
        assert not too_like, f"{deficiency}, {scheme}: {too_like}"
