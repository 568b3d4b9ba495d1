"""A real drag in a real browser on the running app: how late the page follows the pointer, and how smoothly."""

from __future__ import annotations

import math
import tempfile
import time
from itertools import pairwise
from pathlib import Path

from msgspec import Struct
from playwright.sync_api import Browser, Page

from app.document.dump import dumps
from app.document.schema import Design
from app.service import open_workshop
from tests.bench.boards import grid
from tests.bench.timing import Aim, ms, percentile, print_table, ratio_aim
from tests.running import running_app

SIZES = (40, 200)
SECONDS = 6.0
MOVES_A_SECOND = 60.0
GROWTH = 1.5
"""How many times as late an answer among 200 controls may be as one among 40, at p95."""

SLOW_SHARE = 0.01
"""How many of the frames may be slow."""

SLOW_FRAME = 25.0
"""A frame that took longer than this was seen to stutter [ms]."""

# Notes when the pointer moved, when the page sent the newest place, when its answer was on the page, and every frame.
WATCH = """
window.watched = {moves: [], requests: [], frames: []};
let moved = 0, asked = null;
addEventListener("pointermove", (e) => { moved = e.timeStamp; watched.moves.push(moved); }, true);
document.addEventListener("holewise:asked", () => { asked = {moved, sent: performance.now()}; });
document.addEventListener("holewise:shown", () => {
  if (asked) watched.requests.push({...asked, shown: performance.now()});
  asked = null;
});
const frame = (at) => { watched.frames.push(at); requestAnimationFrame(frame); };
requestAnimationFrame(frame);
"""


class Drag(Struct, frozen=True):
    """What one drag came to, all in ms.

    Args:
        answers: from a move that was sent to its answer on the page.
        follows: from any move to the page showing that place or a newer one.
        frames: between two frames.
    """

    answers: list[float]
    follows: list[float]
    frames: list[float]


def measure(browser: Browser) -> list[Aim]:
    """Measure, print the table, and return the aims."""
    rows, aims, late = [], list[Aim](), list[float]()
    for size in SIZES:
        drag = one_drag(browser, grid(size), f"p{size // 2}")
        slow = sum(frame > SLOW_FRAME for frame in drag.frames)
        answer, follow = percentile(drag.answers, 95), percentile(drag.follows, 95)
        rows.append([
            str(size), str(len(drag.answers)), ms(percentile(drag.answers, 50)), ms(answer),
            ms(percentile(drag.follows, 50)), ms(follow), f"{slow} of {len(drag.frames)}",
        ])  # fmt: skip
        late.append(answer)
        share = slow / len(drag.frames)
        said = f"frames over {SLOW_FRAME:.0f} ms, {size} controls"
        aims.append(Aim(said, f"{share:.1%}", f"< {SLOW_SHARE:.0%}", share < SLOW_SHARE))
    few, many = late
    aims.append(ratio_aim("drag, 200 controls, p95", many, f"{ms(few)} ms, 40 controls", few, most=GROWTH))
    head = ["controls", "answers", "answer p50", "p95", "any move p50", "p95", f"frames over {SLOW_FRAME:.0f} ms"]
    print_table(f"Drag for {SECONDS:.0f} s at {MOVES_A_SECOND:.0f} moves a second [ms]", head, rows)
    print("  Answer: from a place that was sent to marks, measures, elevation and report on the page.")
    print("  Any move: until the page shows where the pointer was, or a later place; most places are never sent.")
    return aims


def one_drag(browser: Browser, dragged: Design, placement: str) -> Drag:
    """Drag a placement of a design in circles."""
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        workshop = open_workshop(data)
        design = workshop.open_file(dumps(dragged).encode("utf-8")).design.id
        workshop.close()
        with running_app(data) as server:
            page = browser.new_page(viewport={"width": 1280, "height": 720})
            page.add_init_script(WATCH)
            page.goto(f"{server.url}/designs/{design}")
            drag = _circles(page, f'#board-svg [data-placement="{placement}"]')
            page.close()
    return drag


def _circles(page: Page, target: str) -> Drag:
    part = page.locator(target).first
    part.scroll_into_view_if_needed()
    area = part.bounding_box()
    assert area is not None, "the part is on screen"
    x, y = area["x"] + area["width"] / 2, area["y"] + area["height"] / 2
    radius = 40.0
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 10, y)
    began = time.perf_counter()
    page.evaluate("Object.assign(watched, {moves: [], requests: [], frames: []})")
    for step in range(int(SECONDS * MOVES_A_SECOND)):
        angle = step / MOVES_A_SECOND * math.pi
        page.mouse.move(x + radius * math.cos(angle), y + radius * math.sin(angle))
        time.sleep(max(0.0, began + (step + 1) / MOVES_A_SECOND - time.perf_counter()))
    watched = page.evaluate("watched")
    page.mouse.up()
    requests = watched["requests"]
    assert len(requests) > SECONDS, "the page asked while the part was dragged"
    answers = [one["shown"] - one["moved"] for one in requests]
    follows = [
        next(one["shown"] for one in requests if one["moved"] >= moved) - moved
        for moved in watched["moves"]
        if moved <= requests[-1]["moved"]
    ]
    frames = watched["frames"]
    return Drag(answers, follows, [b - a for a, b in pairwise(frames)])
