"""Photo cards: their markers are the dictionary's, the printed page is read back, and where no card can lie is said."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import cv2
import numpy as np
import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.geometry.outline import Corner, Outline
from app.model.part import Face
from app.model.photo_cards import CODES, CORNERS, LEAST_PIXELS, LONG_SIDE, MARKERS, Cards, plan_cards
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.kinds import PHOTO_CARDS
from app.paper.photo.marker_cells import marker_cells
from app.paper.sheet_kind import SheetJob, bound_pages
from app.service import new_design
from app.values import replace
from app.writers import pdf
from tests.unit.drafting.boards import A4

DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_6X6_1000)
BOARD = resolve(new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)), None, None, catalogue())


def of_size(width: float, depth: float, setback: float | None = None) -> ResolvedBoard:
    """A bare board with its four corners set back."""
    back = (setback, setback) if setback else None
    corners = tuple(Corner(x, y, back) for x, y in ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)))
    bare = BOARD.populated(())
    return replace(bare, outline=Outline(corners))


def test_every_marker_is_that_of_the_dictionary_that_reads_it() -> None:
    for number in range(1000):
        drawn = DICTIONARY.generateImageMarker(number, 8) > 0
        assert (np.array(marker_cells(number)) == drawn).all(), number
    for number in (-1, 1000):
        with pytest.raises(ValueError, match="markers 0 to 999"):
            marker_cells(number)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="no pdftoppm")
@pytest.mark.parametrize("face", ["top", "under"])
def test_the_printed_page_is_read_back_with_each_marker_in_its_corner_and_at_true_size(
    face: Face, tmp_path: Path
) -> None:
    job = SheetJob(BOARD, Printing(A4), face=face)
    cards = plan_cards(BOARD, face).cards
    assert cards is not None and len(PHOTO_CARDS.rows(job)) == len(CORNERS)
    (tmp_path / "cards.pdf").write_bytes(pdf.write(tuple(bound_pages(PHOTO_CARDS, job))))
    subprocess.run(["pdftoppm", "-r", "254", "-gray", "-png", "cards.pdf", "page"], cwd=tmp_path, check=True)
    (file,) = tmp_path.glob("page*.png")
    page = cv2.imread(str(file), cv2.IMREAD_GRAYSCALE)
    assert page is not None
    found, numbers, _ = cv2.aruco.ArucoDetector(DICTIONARY).detectMarkers(page)
    places = {int(n): quad.reshape(4, 2) / 10 for n, quad in zip(numbers.ravel(), found, strict=True)}  # 10 px a mm
    assert set(places) == set(cards.numbers)
    front_left, front_right, back_right, back_left = (places[n].mean(axis=0) for n in cards.numbers)
    assert front_left[0] == pytest.approx(back_left[0], abs=0.2) and front_right[0] > front_left[0] + cards.side
    assert back_right[1] < front_right[1] - cards.side, "the back is up"
    for quad in places.values():
        sides = np.hypot(*(np.roll(quad, -1, axis=0) - quad).T)
        assert sides == pytest.approx(np.full(4, cards.marker), abs=0.25)
        assert quad[0][0] < quad[1][0] and quad[0][1] < quad[2][1], "upright"


def test_cards_are_as_large_as_corners_and_holes_leave_room_for() -> None:
    free = plan_cards(of_size(600, 300), "top")
    assert free.cards is not None and free.cards.marker == MARKERS[0] and free.lack is None and not free.near
    assert MARKERS[0] > 600 / LONG_SIDE * LEAST_PIXELS, "100 px of a 4,000 px photograph of a 600 mm board"
    small = plan_cards(of_size(120, 90), "top").cards
    assert small is not None and small.marker < 32 and 2 * (small.side + small.tab) <= 90
    assert plan_cards(of_size(60, 40), "top").lack == "small"
    assert plan_cards(of_size(2400, 80), "top").near, "a long narrow board has small cards, and needs many pixels"
    for placed in BOARD.drilled:
        for hole in placed.holes:
            x0, y0, x1, y1 = hole.shape.bounds
            cards = plan_cards(BOARD, "top").cards
            assert cards is not None
            for k in range(4):
                a, b = cards.low_corner(k)
                over = x0 < a + cards.side and x1 > a and y0 < b + cards.side and y1 > b
                assert not over, (placed.label, CORNERS[k])


@pytest.mark.parametrize(("setback", "fits"), [(None, True), (8.0, True), (30.0, True), (60.0, False)])
def test_a_rounded_corner_takes_a_card_where_both_edges_run_along_it(setback: float | None, fits: bool) -> None:
    plan = plan_cards(of_size(600, 300, setback), "top")
    assert (plan.cards is not None) is fits
    assert plan.lack is (None if fits else "corner") and plan.corners == (() if fits else CORNERS)


def test_a_sloped_side_names_the_corners_as_each_face_has_them() -> None:
    corners = (Corner(0.0, 0.0), Corner(600.0, 0.0), Corner(520.0, 300.0), Corner(0.0, 300.0))
    board = replace(BOARD.populated(()), outline=Outline(corners))
    assert plan_cards(board, "top").corners == ("front right", "back right")
    assert set(plan_cards(board, "under").corners) == {"front left", "back left"}
    pages = [
        pages for face in ("top", "under") for pages in bound_pages(PHOTO_CARDS, SheetJob(board, Printing(A4), face))
    ]
    assert len(pages) == 2 and PHOTO_CARDS.rows(SheetJob(board, Printing(A4))) == ()


def test_cards_of_another_face_board_design_or_size_have_another_code() -> None:
    def code(board: ResolvedBoard, face: Face = "top") -> int:
        cards = plan_cards(board, face).cards
        assert isinstance(cards, Cards) and 0 <= cards.code < CODES
        return cards.code

    others = [
        code(BOARD, "under"), code(replace(BOARD, title="Another")), code(replace(BOARD, id="door")),
        code(of_size(600, 300)), code(of_size(601, 300)),
    ]  # fmt: skip
    assert code(BOARD) not in others
    assert code(replace(BOARD, revision="revision B")) == code(BOARD), "they serve as long as the board is the same"
