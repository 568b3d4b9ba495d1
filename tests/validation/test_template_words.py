"""Can every word on the template of a dense board be read, and does it say the right thing of the right hole?

Written as PDF and read back by PyMuPDF, which had no part in writing it: the boxes of all words, and every line,
circle and filled field as it is drawn. Boards of 12 mm holes 20 to 30 mm apart, with and without counterbores, both
faces, both common papers, and the templates of one bit; letters one to six long.

Sources: ISO 32000-1, 8.3.2.3 (72 points to the inch). No ink within 0.3 mm of a centre: common practice, no source.
How far letters reach above and below their baseline: outlines of the embedded font, l and ř 0.78, g and ] 0.23 em.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from math import hypot

import numpy as np
import numpy.typing as npt
import pymupdf
import pytest
from msgspec import Struct
from scipy.spatial import KDTree

from app.catalogue.load import catalogue
from app.drafting.template.template_bits import template_bits
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.paper.sheet.tiling import Tile
from app.writers import pdf
from tests.boards.dense_boards import dense_board
from tests.long_run import in_gate
from tests.reading.measure import POINT

Floats = npt.NDArray[np.float64]
Box = tuple[float, float, float, float]

ABOVE, BELOW = 0.78, 0.23
RADIUS = 6.0


class Case(Struct, frozen=True):
    """A template: holes, their pitch and counterbores [mm], face, paper, and whether it is that of one bit."""

    count: int
    pitch: float
    bore: float
    face: Face
    paper: str
    alone: bool = False

    def __str__(self) -> str:
        return f"{self.count}-{self.pitch:g}-{self.bore:g}-{self.face}-{self.paper}{'-alone' * self.alone}"

    @property
    def only(self) -> Bit | None:
        return template_bits(self.board, self.face)[0] if self.alone else None

    @property
    def reach(self) -> float:
        """Radius of the largest circle about each centre [mm]."""
        return self.bore / 2 if self.bore and not (self.alone and self.face == "top") else RADIUS

    @property
    def board(self) -> ResolvedBoard:
        return dense_board(self.count, self.pitch, self.bore)


FACES: tuple[Face, Face] = ("top", "under")
BOARDS = ((110, 20.0, 0.0), (110, 25.0, 0.0), (110, 30.0, 0.0), (110, 20.0, 18.0), (110, 25.0, 18.0), (10, 20.0, 0.0))
CASES = [Case(*board, face, paper) for board in BOARDS for face in FACES for paper in ("a4", "letter")]
CASES += [Case(110, 20.0, 18.0, face, "a4", alone=True) for face in FACES]
each = pytest.mark.parametrize("case", in_gate(CASES, lambda case: case.paper == "a4" and case.pitch != 25.0), ids=str)
"""In the gate on one paper, at 20 mm, too close for words, and at 30 mm, wide enough; the long run adds 25 mm."""


class Page(Struct, frozen=True):
    """A page as it is read back, in mm from its lower left corner.

    Args:
        tile: where it lies on the board.
        words: every line of text and the box round it.
        ink: points of all drawn lines, at most 0.1 mm apart.
        strokes: ends of straight lines, as rows x0, y0, x1, y1.
        solid: boxes of what is filled.
    """

    tile: Tile
    words: list[tuple[str, Box]]
    ink: Floats
    strokes: Floats
    solid: Floats

    def of_board(self, x: float, y: float) -> tuple[float, float]:
        return (x + self.tile.offset[0], y + self.tile.offset[1])


@cache
def pages(case: Case) -> tuple[Page, ...]:
    paper = catalogue().papers[case.paper]
    data = pdf.write(template_pages(case.board, case.face, paper, only=case.only))
    tiles = plan_sheets(case.board, case.face, paper, only=case.only).tiling.tiles
    with pymupdf.open(stream=data, filetype="pdf") as file:
        assert len(file) == len(tiles)
        return tuple(read(page, tile) for page, tile in zip(file, tiles, strict=True))


def read(page: pymupdf.Page, tile: Tile) -> Page:
    height = page.mediabox.height * POINT
    ink, strokes, solid = [], [], []
    for drawing, window in visible(page):
        if drawing["type"] == "f":
            r = drawing["rect"]
            solid.append((r.x0 * POINT, height - r.y1 * POINT, r.x1 * POINT, height - r.y0 * POINT))
            continue
        for piece in drawing["items"]:
            points = along(piece) * POINT
            points[:, 1] = height - points[:, 1]
            if piece[0] == "l":
                strokes.append((*points[0], *points[-1]))
            ink.append(points[inside(points, window, height)])
    return Page(tile, list(lines(page, height)), np.vstack(ink), np.array(strokes), np.array(solid).reshape(-1, 4))


def visible(page: pymupdf.Page) -> Iterator[tuple[dict, pymupdf.Rect | None]]:  # type: ignore[type-arg]
    """Every drawn path with the window it is seen through."""
    windows: list[tuple[int, pymupdf.Rect]] = []
    for drawing in page.get_drawings(extended=True):
        windows = [w for w in windows if w[0] < drawing["level"]]
        if drawing["type"] == "clip":
            windows.append((drawing["level"], drawing["scissor"]))
        elif drawing["type"] != "group":
            yield drawing, windows[-1][1] if windows else None


def along(piece: tuple) -> Floats:  # type: ignore[type-arg]
    """Points along a piece of a path, at most 0.1 mm apart, in points of the page."""
    kind = piece[0]
    if kind == "re":
        r = piece[1]
        corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1), (r.x0, r.y0)]
        return np.vstack([straight(np.array(a), np.array(b)) for a, b in pairwise(corners)])
    ends = [np.array((p.x, p.y)) for p in piece[1:]]
    if kind == "l":
        return straight(*ends)
    assert kind == "c", kind
    a, b, c, d = ends
    t = np.linspace(0.0, 1.0, int(np.abs(np.diff(ends, axis=0)).sum() * POINT / 0.1) + 2)[:, None]
    return np.asarray((1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d)


def straight(a: Floats, b: Floats) -> Floats:
    t = np.linspace(0.0, 1.0, int(hypot(*(b - a)) * POINT / 0.1) + 2)[:, None]
    return np.asarray(a + t * (b - a))


def inside(points: Floats, window: pymupdf.Rect | None, height: float) -> npt.NDArray[np.bool_]:
    if window is None:
        return np.ones(len(points), bool)
    x, y = points.T
    x0, x1, y0, y1 = window.x0 * POINT, window.x1 * POINT, height - window.y1 * POINT, height - window.y0 * POINT
    return np.asarray((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1), bool)


def lines(page: pymupdf.Page, height: float) -> Iterator[tuple[str, Box]]:
    """The words of a page as they were set, one after another."""
    for span in page.get_texttrace():
        size, chars = span["size"] * POINT, span["chars"]
        text = "".join(chr(char[0]) for char in chars).strip()
        (x, y), box = (v * POINT for v in chars[0][2]), [v * POINT for v in span["bbox"]]
        if text and abs(span["dir"][1]) < 1e-6:
            yield text, (box[0], height - y - BELOW * size, box[2], height - y + ABOVE * size)
        elif text:  # read from the right: letters stand to the left of their line
            yield text, (x - ABOVE * size, height - box[3], x + BELOW * size, height - box[1])


def boxes(page: Page, by: float = 0.0) -> Floats:
    return np.asarray(np.array([box for _, box in page.words]) + np.array((-by, -by, by, by)))


@each
def test_no_word_stands_on_another(case: Case) -> None:
    for page in pages(case):
        a = boxes(page, -0.05)
        met = (np.maximum(a[:, None, :2], a[None, :, :2]) < np.minimum(a[:, None, 2:], a[None, :, 2:])).all(axis=2)
        pairs = [(page.words[i][0], page.words[j][0]) for i, j in np.argwhere(np.triu(met, 1))]
        assert pairs == []


@each
def test_no_line_runs_through_a_word(case: Case) -> None:
    """Rims, crosses, ruled lines, seams, marks, leaders, check bars and frames, each as it is drawn."""
    for page in pages(case):
        for (text, _), (x0, y0, x1, y1) in zip(page.words, boxes(page, 0.05), strict=True):
            x, y = page.ink.T
            through = page.ink[(x > x0) & (x < x1) & (y > y0) & (y < y1)]
            assert not len(through), (text, through[0])
            s = page.solid
            assert not ((s[:, 0] < x1) & (s[:, 2] > x0) & (s[:, 1] < y1) & (s[:, 3] > y0)).any(), text


@each
def test_no_word_of_another_stands_in_a_hole(case: Case) -> None:
    """Words in a hole are those of the hole: all in it, and its own letter or a number of the key."""
    for page in pages(case):
        at = np.array([page.of_board(*centre) for centre in centres(case)])
        for text, (x0, y0, x1, y1) in page.words:
            near = np.hypot(
                np.maximum(np.maximum(x0 - at[:, 0], at[:, 0] - x1), 0.0),
                np.maximum(np.maximum(y0 - at[:, 1], at[:, 1] - y1), 0.0),
            )
            on_window = in_window(page, ((x0 + x1) / 2, (y0 + y1) / 2))
            for k in np.nonzero(near < case.reach)[0] if on_window else ():
                far = max(hypot(x - at[k][0], y - at[k][1]) for x in (x0, x1) for y in (y0, y1))
                assert far < case.reach, (text, at[k])


@each
def test_no_ink_within_three_tenths_of_a_centre(case: Case) -> None:
    for page in pages(case):
        ink, a = KDTree(page.ink), boxes(page, 0.3)
        for x, y in (page.of_board(*centre) for centre in centres(case)):
            if in_window(page, (x, y)):
                assert ink.query((x, y))[0] >= 0.3, (x, y)
                assert not ((a[:, 0] < x) & (x < a[:, 2]) & (a[:, 1] < y) & (y < a[:, 3])).any(), (x, y)


def centres(case: Case) -> list[tuple[float, float]]:
    """Where the holes are on the drawing of the face: x' = width − x on the underside."""
    width = case.board.width
    return [(p.x if case.face == "top" else width - p.x, p.y) for p in case.board.drilled]


def in_window(page: Page, at: tuple[float, float]) -> bool:
    x0, y0, x1, y1 = page.tile.window
    return x0 <= at[0] - page.tile.offset[0] <= x1 and y0 <= at[1] - page.tile.offset[1] <= y1


NUMBER = re.compile(r"\[(\d+)\]")


def key_of(page: Page) -> dict[str, str]:
    """What the numbers in brackets stand for: lines that begin with one and go on."""
    found = [re.fullmatch(r"\[(\d+)\] (.+)", text) for text, _ in page.words]
    listed = [(m[1], m[2]) for m in found if m]
    assert len({number for number, _ in listed}) == len(listed), "a number twice in a key"
    return dict(listed)


def own(case: Case, page: Page) -> list[tuple[str, tuple[float, float]]]:
    """Letters and centres of the holes between the seams of a sheet, in board coordinates."""
    x0, y0, x1, y1 = page.tile.cell
    labels = [p.label for p in case.board.drilled]
    return [(w, (x, y)) for w, (x, y) in zip(labels, centres(case), strict=True) if x0 <= x <= x1 and y0 <= y <= y1]


@each
def test_every_hole_is_named_once_on_its_own_sheet_and_what_it_takes_is_told(case: Case) -> None:
    """Beside the hole, in the key by the number beside it, or, where not even that has room, by its place."""
    told = work(case)
    for page in pages(case):
        key = key_of(page)
        for letter, (x, y) in own(case, page):
            beside = [text for text, _ in page.words if re.fullmatch(rf"{letter}( .*)?", text)]
            left = x if case.face == "top" else case.board.width - x
            place = f"{left:g} mm from the left, {y:g} mm from the front: "
            by_place = [text.removeprefix(place) for text, _ in page.words if text.startswith(place)]
            listed = [text for text in (*key.values(), *by_place) if re.match(rf"{letter}\b", text)]
            assert len(beside) + len(listed) == 1, (letter, beside, listed)
            for text in listed:
                number = NUMBER.search(text)
                assert text == f"{letter}, {told}" or (number and key[number[1]] == told), text
            for text in beside:
                assert told_beside(page, letter, told, key), text


def work(case: Case) -> str:
    """What is said of every hole of the board, by the words of its template (test_template.py)."""
    if not case.bore:
        return "12 mm"
    size = f"counterbore {case.bore:g} × 4.5 mm"
    if case.alone:
        return f"{size} deep first" if case.face == "under" else "12 mm"
    return f"12 mm, {size} deep first" if case.face == "under" else f"12 mm, {size}, from the underside"


def block(page: Page, number: int) -> tuple[list[str], Box]:
    """A line of words and those set close under it, flush left or right; and the box round them."""
    text, box = page.words[number]
    said, under = [text], box
    for words, other in sorted(page.words, key=lambda w: -w[1][3]):
        flush = abs(other[0] - box[0]) < 0.05 or abs(other[2] - box[2]) < 0.05
        if flush and abs(other[3] - under[1]) < 0.05:
            said.append(words)
            under = other
            box = (min(box[0], other[0]), other[1], max(box[2], other[2]), box[3])
    return said, box


def told_beside(page: Page, letter: str, told: str, key: dict[str, str]) -> bool:
    """Whether the block of a letter says all there is, or gives the number that does."""
    said, _ = block(page, next(k for k, (text, _) in enumerate(page.words) if text.split()[0] == letter))
    whole = " ".join(said).removeprefix(letter)
    return any(key.get(n) == told for n in NUMBER.findall(whole)) or whole.split() == told.replace(",", "").split()


@each
def test_a_number_means_one_thing_on_all_sheets_and_every_number_is_in_the_key(case: Case) -> None:
    meaning: dict[str, str] = {}
    for page in pages(case):
        key = key_of(page)
        used = Counter(n for text, _ in page.words for n in NUMBER.findall(text))
        for number, count in used.items():
            assert number in key, number
            assert count >= 2, f"nothing bears the number {number}"
            assert meaning.setdefault(number, key[number]) == key[number]


@each
def test_words_stand_by_their_own_hole_or_are_led_to_it(case: Case) -> None:
    """The rim nearest to a letter is its own by a millimetre, or a line leads from the words to that rim."""
    for page in pages(case):
        at = np.array([page.of_board(*centre) for centre in centres(case)])
        where = {p.label: k for k, p in enumerate(case.board.drilled)}
        for number, (text, _) in enumerate(page.words):
            k = where.get(text.split()[0])
            if k is None or not in_window(page, tuple(at[k])):
                continue
            _, box = block(page, number)
            gaps = np.hypot(
                np.maximum(np.maximum(box[0] - at[:, 0], at[:, 0] - box[2]), 0.0),
                np.maximum(np.maximum(box[1] - at[:, 1], at[:, 1] - box[3]), 0.0),
            )
            nearer = gaps[k] + 1.0 <= np.delete(gaps, k).min()
            assert nearer or led(page, box, tuple(at[k]), case.reach), text


def led(page: Page, box: Box, at: tuple[float, float], reach: float) -> bool:
    """Whether a straight line leads from a rim to words: to within a millimetre of their box."""
    a, b = page.strokes[:, :2], page.strokes[:, 2:]
    for start, end in ((a, b), (b, a)):
        on_rim = np.abs(np.hypot(*(end - at).T) - reach) < 0.02
        by_words = (start > np.array(box[:2]) - 1.0).all(axis=1) & (start < np.array(box[2:]) + 1.0).all(axis=1)
        if (on_rim & by_words).any():
            return True
    return False
