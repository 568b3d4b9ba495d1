"""A whole cabinet as a newcomer makes it: from the empty shelf to measured templates of every board.

Only what is on screen is used: links, fields by their words, buttons. Where the holes belong is worked out from what
was typed, by formulas and published figures named beside them; the files are read by PyMuPDF and ezdxf.
"""

from __future__ import annotations

import io
import re
from math import nan, sqrt
from pathlib import Path

from ezdxf.filemanagement import read as read_dxf
from playwright.sync_api import Page, expect

from tests.boards.scenario_cuts import Case, through_cuts
from tests.browser.bench import Bench
from tests.browser.conftest import axe_finds_nothing
from tests.reading.boards_on_sheets import WITHIN, Hole, assert_all_drilled
from tests.running import Server

M4 = 4.5  # ISO 273, clearance hole for M4, medium
FAN_80 = 71.5  # hole spacing of 80 mm fans, as makers' drawings publish it
DECK = (520.0, 240.0)

TYPED: dict[str, tuple[str, dict[str, str]]] = {
    "Grille, left": (
        "Loudspeaker grille",
        {
            "Driver, over its rim": "125", "Cone": "88 mm", "Screw circle": "115", "Hole": "10", "Pitch": "18 mm",
            "In the middle": "a hole", "Board, left to right": "180", "Board, front to back": "170",
        },
    ),
    "Grille, right": (
        "Loudspeaker grille",
        {
            "Driver, over its rim": "125", "Cone": "88 mm", "Screw circle": "115", "Hole": "10", "Pitch": "18 mm",
            "In the middle": "a hole", "Board, left to right": "180", "Board, front to back": "170",
        },
    ),
    "Fan board": ("Fan", {"Frame": "80 mm", "Board, left to right": "160", "Board, front to back": "150"}),
    "Display plate": ("Display plate", {"Mounting holes": "100 × 100 mm", "Board, left to right": "460"}),
    "Sockets": (
        "Row of sockets",
        {"Socket": "face plate 50 × 25 mm", "Sockets": "3", "Spacing": "62", "Board, left to right": "9 1/2 in"},
    ),
    "Door": (
        "Access door",
        {
            "Opening, left to right": "300", "Opening, front to back": "220", "Gap a side": "1/16 in",
            "Screws a leaf": "1", "Lock from the free edge": "30", "Holes for air": "yes", "Vent hole": "8",
            "Vent pitch": "17", "Vents within, left to right": "200", "Vents within, front to back": "120",
        },
    ),
    "Header": (
        "Header", {"Opening that shows, left to right": "400", "Vent hole": "8", "Vent pitch": "25"},
    ),
}  # fmt: skip
"""What is made, by which maker, and what is typed or chosen there, by the words on screen."""


_HELD = """() => {
  const strip = document.querySelector('.board-strip'), area = (e) => e.getBoundingClientRect();
  const here = area(strip.querySelector('[aria-current]')), end = area(strip.querySelector('.strip-all')).left;
  const others = [...strip.querySelectorAll('a:not([aria-current], .strip-all)')].map(area);
  return [here.left >= 0 && here.right <= end + 1, others.every((o) => o.right <= here.left || o.left >= here.right)];
}"""


def staggered(width: float, depth: float, hole: float, pitch: float, inside: float, high: float = 0.0) -> list[Hole]:
    """Rows √3/2 of the pitch apart, every other one half a pitch aside, a hole in the middle of the board.

    Args:
        width: of the board [mm].
        depth: of the board [mm].
        hole: diameter [mm].
        pitch: centre to centre of nearest holes [mm].
        inside: the circle that the holes lie within; with ``high`` a rectangle so wide and high [mm].
        high: of the rectangle; 0 for the circle.
    """
    found, many = [], int(inside / pitch) + 2
    for row in range(-2 * many, 2 * many + 1):
        for column in range(-2 * many, 2 * many + 1):
            x, y = (column + row % 2 / 2) * pitch, row * pitch * sqrt(3) / 2
            fits = abs(x) <= (inside - hole) / 2 and abs(y) <= (high - hole) / 2 if high else x * x + y * y <= (
                (inside - hole) / 2
            ) ** 2  # fmt: skip
            if fits:
                found.append(Hole(width / 2 + x, depth / 2 + y, hole))
    return found


def corners(width: float, depth: float, spacing: float, hole: float) -> list[Hole]:
    """Four holes at the corners of a square about the middle of the board."""
    return [Hole(width / 2 + i * spacing / 2, depth / 2 + k * spacing / 2, hole) for i in (-1, 1) for k in (-1, 1)]


def holes_of_companions() -> dict[str, tuple[tuple[float, float], list[Hole]]]:
    """Size of each board and its round holes, from what was typed."""
    sixteenth = 25.4 / 16
    door = 300 - 2 * sixteenth, 220 - 2 * sixteenth
    # The pin is over the middle of the gap, so its line is half a gap before the door; screws are 17 mm from the pin,
    # in the middle of leaves of 50 mm that begin 30 mm from the corners. How wide their pilots are depends on the wood.
    hinges = [Hole(17 - sixteenth / 2, at, nan) for at in (30 + 25, door[1] - 30 - 25)]
    # The lock asks for 19 mm; the next larger metric bit is 20 mm.
    lock = Hole(door[0] - 30, door[1] / 2, 20.0)
    wide = 9.5 * 25.4
    return {
        "grille": (
            (180, 170), staggered(180, 170, 10, 18, 88) + corners(180, 170, 115 / sqrt(2), M4)
        ),
        # The opening: from the bore of 75 mm to the frame less 1.5 mm, as tests/validation/test_published_sizes.py.
        "fan": ((160, 150), [Hole(80, 75, nan), *corners(160, 150, FAN_80, M4)]),
        # The display's holes: flat display mounting interface, 100 × 100 mm, M4.
        "display": ((460, 290), corners(460, 290, 100, M4)),
        # Face plates whose screws are 40 mm apart, as the list of hardware says; their openings are not round.
        "sockets": ((wide, 100), [Hole(wide / 2 + k * 62 + i * 20, 50, nan) for k in (-1, 0, 1) for i in (-1, 1)]),
        "door": (door, [*staggered(*door, 8, 17, 200, 120), *hinges, lock]),
        # The row is behind the diffuser, as far as its maker says; nobody types how far.
        "header": ((470, 160), [Hole(235 + k * 25, nan, 8) for k in range(-7, 8)]),
    }  # fmt: skip


def at_rest(page: Page) -> None:
    expect(page.locator("html[data-ready]")).to_be_attached()


def make(page: Page, maker: str, typed: dict[str, str]) -> None:
    """From a board to a further one: *Make from measures*, the card, its measures, *Make the board*."""
    page.get_by_role("link", name=re.compile("^Make from measures")).click()
    page.get_by_role("link", name=maker).click()
    at_rest(page)
    for words, text in typed.items():
        field = page.get_by_label(words, exact=True)
        if field.evaluate("field => field.localName") == "select":
            field.select_option(label=text)
        else:
            field.fill(text)
        field.press("Tab")
    expect(page.locator("#make-svg")).to_be_visible()
    page.get_by_role("button", name="Make the board").click()
    page.wait_for_url(re.compile(r"[?&]board="))
    at_rest(page)


def rename(page: Page, old: str, new: str) -> None:
    page.get_by_label(f"Rename: {old}", exact=True).click()
    row = page.get_by_role("listitem").filter(has=page.get_by_role("link", name=old, exact=True))
    row.get_by_label("Name of this board").fill(new)
    row.get_by_role("button", name="Rename", exact=True).click()
    expect(page.get_by_role("link", name=new, exact=True)).to_be_visible()


def downloaded(page: Page, words: str) -> bytes:
    with page.expect_download() as waiting:
        page.get_by_role("link", name=words, exact=True).click()
    return Path(waiting.value.path()).read_bytes()


def test_a_newcomer_makes_every_board_of_a_cabinet_and_prints_them_true(page: Page, server: Server) -> None:
    bench = Bench(page, server.url)
    bench.make_deck(title="Quay wall cabinet", players="One player", width="520", depth="240")
    for name, (maker, typed) in TYPED.items():
        make(page, maker, typed)
        expect(bench.verdict).to_contain_text("Fits")
        expect(page.get_by_role("navigation", name="Boards").locator("[aria-current]")).to_contain_text(maker)
        if name == "Door":
            expect(bench.truth).to_contain_text("20")
    assert page.evaluate(_HELD) == [True, True], "the board in hand is in sight, and lies over no other"
    page.get_by_role("link", name="Add or change boards").click()
    for name, (maker, _) in TYPED.items():
        if name != maker:
            rename(page, f"{maker} 2" if name == "Grille, right" else maker, name)
    page.get_by_role("link", name="Fit report of all boards").click()
    expect(page.get_by_text("8 boards: no stops, no cautions.")).to_be_visible()

    page.get_by_role("link", name="Grille, left", exact=True).click()
    page.get_by_role("link", name="Paper", exact=True).click()
    holes = holes_of_companions()
    deck = through_cuts(
        Case("quay", bench.document(), "deck", bench.raw()["boards"][0]["arrangements"][0]["id"], "top")
    )
    boards = holes | {"deck": (DECK, [Hole(cut.x, cut.y, cut.diameter) for cut in deck])}
    strip = page.get_by_role("navigation", name="Boards")
    named = dict(zip(TYPED, ["grille", "grille", "fan", "display", "sockets", "door", "header"], strict=True))
    for name, kind in {**named, "Control deck": "deck"}.items():
        strip.get_by_role("link", name=re.compile(f"^{name}")).click()
        expect(strip.locator("[aria-current]")).to_contain_text(name)
        assert_all_drilled(downloaded(page, "Top template, PDF"), {kind: boards[kind]}, copies={})
        if name == "Grille, left":
            assert_drawn(downloaded(page, "Drawing for other programs, DXF"), boards[kind][1])
    page.get_by_role("link", name="All boards", exact=True).click()
    expect(page.locator(".all-boards")).to_contain_text("Grille, right")
    axe_finds_nothing(page)
    every = downloaded(page, "All boards, top, PDF")
    assert_all_drilled(every, boards, copies={"grille": 2})


def assert_drawn(data: bytes, holes: list[Hole]) -> None:
    """A drawing has every hole as a circle, and no other."""
    drawn = read_dxf(io.StringIO(data.decode("utf-8"))).modelspace().query("CIRCLE")
    left = [(c.dxf.center.x, c.dxf.center.y, 2 * c.dxf.radius) for c in drawn if "THROUGH" in c.dxf.layer]
    for hole in holes:
        (found,) = [c for c in left if max(abs(c[0] - hole.x), abs(c[1] - hole.y), abs(c[2] - hole.diameter)) <= WITHIN]
        left.remove(found)
    assert not left
