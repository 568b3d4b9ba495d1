"""Does every page fit its screen, in light and dark, and can everybody use it?

Accessibility is judged by axe-core (WCAG 2.0, 2.1 and 2.2, levels A and AA, and its best practices), which reads the
page as it stands in the browser. Target size 24 × 24 px: WCAG 2.2, 2.5.8; contrast: 1.4.3 and 1.4.11; reflow: 1.4.10.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from app.document.dump import dumps
from tests.browser.bench import Bench, put_deck, put_file
from tests.browser.conftest import Watch, axe_finds_nothing
from tests.companions import with_companions
from tests.long_run import by_turns, long
from tests.running import Server

SCHEMES = ["light", "dark"]
FITTED = ["board", "strip", "selected", "several", "stop", "underside", "section", "inch", "empty"]
"""Boards, which fit a laptop's screen."""
BESIDE = [
    "part", "pattern", "shop", "stations", "legends", "board itself", "room", "paper", "make", "made", "wiring",
]  # fmt: skip
"""Pages with something beside what they are about, of which only lists scroll."""
READ = [
    "timeline", "revisions", "pack", "compare", "bring", "retrofit", "boards", "makers", "report", "bench", "list",
    "outline", "marking", "printer", "judged", "judged short", "at board", "built", "coupon", "problem", "steps",
]  # fmt: skip
"""Pages that are scrolled as a whole."""
PAGES = ["shelf", *FITTED, *BESIDE, *READ]


@pytest.fixture(scope="module")
def made(browser: Browser, server: Server) -> tuple[str, ...]:
    """Addresses of a board that fits, of one with a stop, of a bare one and of one with companions."""
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    bad = Bench(context.new_page(), server.url)
    bad.put_deck(title="Looked at, wrong")
    bad.select("L")
    bad.type(x="745")
    context.close()
    good = put_deck(server.url, title="Looked at")
    bare = put_deck(server.url, title="Looked at, bare", players="Empty board")
    full = put_file(server.url, dumps(with_companions()))
    return tuple(f"{server.url}/designs/{design}" for design in (good, bad.design, bare, full))


def show(page: Page, name: str, server: Server, made: tuple[str, ...]) -> None:
    """Open a page and wait until it stands."""
    good, bad, bare, full = made
    url = {
        "shelf": server.url,
        "board": good,
        "selected": f"{good}?select=e",
        "stop": f"{bad}?select=l",
        "underside": f"{good}?face=under&select=a",
        "inch": f"{good}?units=inch&select=e",
        "paper": f"{good}/paper",
        "several": f"{good}?select=e,f,g",
        "section": f"{good}?face=section&select=a",
        "empty": bare,
        "part": f"{good}/part/a",
        "shop": f"{good}/shop",
        "stations": f"{good}/stations",
        "legends": f"{bad}/legends",
        "board itself": f"{good}/board?group=corners",
        "room": f"{bad}/room",
        "timeline": f"{bad}/timeline",
        "revisions": f"{bad}/revisions",
        "pack": f"{full}/pack",
        "compare": f"{bad}/compare",
        "bring": f"{full}/bring?what=board:grille&trying=1&into={good[-12:]}&into={bad[-12:]}",
        "retrofit": f"{bad}/retrofit",
        "boards": f"{full}/boards",
        "makers": f"{full}/make",
        "bench": f"{full}/bench",
        "list": f"{good}/bench/marking",
        "at board": f"{good}/at-board?at=a/hole-1/through",
        "wiring": f"{good}/wiring",
        "built": f"{good}/built",
        "coupon": f"{good}/coupon",
        "report": f"{full}/report",
        "make": f"{full}/make/grille",
        "steps": f"{full}/steps",
        "made": f"{full}/made/fan?board=fan",
        "strip": full,
        "outline": f"{good}/outline",
        "marking": f"{good}/marking",
        "pattern": f"{good}/pattern",
        "printer": f"{good}/printer",
        "judged": f"{good}/judged?units=inch",
        "judged short": f"{bad}/judged",
        "problem": f"{server.url}/designs/none",
    }[name]
    page.goto(url)
    page.wait_for_load_state("load")
    expect(page.get_by_role("heading").first).to_be_visible()
    if name == "stop":
        expect(page.get_by_role("heading", name=re.compile("^Stop")).first).to_be_visible()


@pytest.mark.parametrize(("name", "scheme"), by_turns(PAGES, SCHEMES))
def test_a_laptop_shows_the_whole_page_and_axe_finds_nothing(
    open_page: Callable[..., Page],
    server: Server,
    made: tuple[str, ...],
    watch: Watch,
    name: str,
    scheme: str,
) -> None:
    """At 1280 × 720 only lists beside the board scroll; board, elevation and the line at the foot are in sight."""
    watch.expect("404")
    page = open_page(1280, 720, scheme)
    show(page, name, server, made)
    width, height = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert width <= 1280
    if name in {*FITTED, *BESIDE, "printer", "timeline"}:
        assert height <= 720
    if name in FITTED:
        drawings = ["#section-svg"] if name == "section" else ["#board-svg", "#elevation"]
        for wanted in map(page.locator, [*drawings, "#truth"]):
            area = wanted.bounding_box()
            assert area
            assert area["y"] >= 0
            assert area["y"] + area["height"] <= 720.5
            assert area["x"] + area["width"] <= 1280.5
    if name == "board":
        follows_the_system(page, scheme)
    if name == "stop":
        is_told_without_colour(page)
    if name == "paper":  # pages are not true to size when a browser prints them, so this one says what is
        expect(page.get_by_text(re.compile("Print at actual size"))).to_be_visible()
    axe_finds_nothing(page)


def follows_the_system(page: Page, scheme: str) -> None:
    """The ground is light on a light system, and dark on a dark one."""
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    red, green, blue = (int(v) for v in re.findall(r"\d+", ground)[:3])
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    assert (light > 200) == (scheme == "light")


def is_told_without_colour(page: Page) -> None:
    """A stop has a sign, words at the foot, and marks on the board."""
    heading = page.get_by_role("heading", name=re.compile("^Stop ·")).first
    expect(heading.locator("svg")).to_be_visible()
    expect(page.get_by_label("What the board asks of the bench")).to_contain_text("stop")
    expect(page.locator("#halos > *").first).to_be_attached()


@long  # the narrower ones of test_phone.py are sharper, in one scheme
@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("name", PAGES)
def test_a_phone_is_never_scrolled_sideways(
    open_page: Callable[..., Page],
    server: Server,
    made: tuple[str, ...],
    watch: Watch,
    name: str,
    scheme: str,
) -> None:
    watch.expect("404")
    page = open_page(390, 844, scheme, has_touch=True, is_mobile=True, device_scale_factor=2)
    show(page, name, server, made)
    width, shown = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert shown == 390, "the page made the browser zoom out"
    assert width <= 390, wide_elements(page)


def wide_elements(page: Page) -> str:
    """What reaches beyond the right edge, for the message."""
    return str(
        page.evaluate(
            "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > 391)"
            ".slice(0, 8).map(e => e.tagName + '.' + e.className + '#' + e.id)"
        )
    )


def too_low_for_a_finger(page: Page) -> list[str]:
    """Buttons and fields less than 44 px high, which a finger may miss (our own aim; WCAG 2.2, 2.5.8 asks for 24)."""
    found: list[str] = page.evaluate(
        "[...document.querySelectorAll('button, .button, select, input:not([type=hidden]):not([type=radio])')]"
        ".map(e => [e, (e.closest('label') ?? e).getBoundingClientRect()])"
        ".filter(([e, r]) => r.width && r.height && r.height < 43.5)"
        ".map(([e, r]) => (e.id || e.name || e.textContent.trim().slice(0, 30)) + ' ' + Math.round(r.height))"
    )
    return found


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_colours_follow_the_system(
    open_page: Callable[..., Page], server: Server, made: tuple[str, ...], watch: Watch, scheme: str
) -> None:
    watch.expect("404")
    page = open_page(1280, 720, scheme)
    show(page, "problem", server, made)
    follows_the_system(page, scheme)


def test_the_focus_is_always_seen(open_page: Callable[..., Page], server: Server, made: tuple[str, ...]) -> None:
    page = open_page(1280, 720, "light")
    show(page, "selected", server, made)
    unseen = []
    for _ in range(40):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            "(() => { const e = document.activeElement; const s = getComputedStyle(e);"
            " return [e.tagName + '#' + e.id + ' ' + (e.textContent || '').trim().slice(0, 20),"
            " s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2 || s.boxShadow !== 'none'"
            " || e.closest('svg') !== null]; })()"
        )
        if not seen[1]:
            unseen.append(seen[0])
    assert not unseen
