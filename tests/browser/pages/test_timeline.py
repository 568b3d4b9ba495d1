"""The timeline: back to any moment and forward again, by pointer and finger, over a restart, with nothing ever lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.bench import Bench
from tests.browser.nursery import Nursery
from tests.running import running_app


def open_timeline(bench: Bench) -> Locator:
    """The steps, newest first."""
    bench.page.locator("#to-timeline").click()
    expect(bench.page.get_by_role("heading", level=1)).to_contain_text("Timeline")
    return bench.page.locator(".step")


def go(page: Page, name: str) -> None:
    """Press the button of a moment, and wait until it is the present one."""
    page.get_by_role("button", name=re.compile(f"^Go (back )?to this step: {name}")).click()
    expect(page.locator(".step[aria-current=step]")).to_contain_text(re.compile(name))


def test_any_moment_is_reached_and_every_other_from_there(bench: Bench) -> None:
    documents = [bench.document()]
    for letter, dx, dy in (("E", -4.0, -3.0), ("G", 6.0, -8.0), ("M", -4.0, -5.0)):
        bench.drag(letter, dx, dy)
        documents.append(bench.document())
    assert len(set(documents)) == 4
    steps = open_timeline(bench)
    expect(steps).to_have_count(4)
    names = ["New deck", "Moved E", "Moved G", "Moved M"]
    for k in (1, 3, 0, 2):
        go(bench.page, names[k])
        assert bench.document() == documents[k]
    expect(bench.page.locator(".step.after")).to_have_count(1)
    bench.page.get_by_role("button", name=re.compile("^Redo")).click()
    expect(steps.first).to_have_attribute("aria-current", "step")
    assert bench.document() == documents[3]


def test_another_way_leaves_the_old_one_aside_but_never_loses_it(bench: Bench) -> None:
    bench.drag("G", 6.0, -8.0)
    left = bench.document()
    bench.undo()
    bench.drag("E", -4.0, -3.0)
    taken = bench.document()
    steps = open_timeline(bench)
    expect(steps).to_have_count(3)
    expect(bench.page.locator(".step.aside")).to_contain_text("Moved G")
    go(bench.page, "Moved G")
    assert bench.document() == left
    go(bench.page, "Moved E")
    assert bench.document() == taken


def test_the_timeline_outlives_a_restart(browser: Browser, apps: Nursery, tmp_path: Path) -> None:
    page = browser.new_context(viewport={"width": 1280, "height": 720}).new_page()
    with running_app(tmp_path / "data", begin=apps.begin) as first:
        bench = Bench(page, first.url)
        bench.put_deck(title="Over night, every step")
        start = bench.document()
        bench.drag("G", 6.0, -8.0)
        moved = bench.document()
    with running_app(tmp_path / "data", begin=apps.begin) as second:
        bench.url = second.url
        page.goto(f"{second.url}/designs/{bench.design}/timeline")
        go(page, "New deck")
        assert bench.document() == start
        go(page, "Moved G")
        assert bench.document() == moved
    page.context.close()


def test_by_finger_on_a_phone(bench: Bench, open_page: Callable[..., Page]) -> None:
    start = bench.document()
    bench.drag("G", 6.0, -8.0)
    page = open_page(390, 844, "light", has_touch=True, is_mobile=True)
    page.goto(f"{bench.url}/designs/{bench.design}/timeline")
    back = page.get_by_role("button", name=re.compile("^Go back to this step: New deck"))
    area = back.bounding_box()
    assert area and area["height"] >= 43.5
    back.tap()
    expect(page.locator(".step[aria-current=step]")).to_contain_text("New deck")
    assert bench.document() == start
