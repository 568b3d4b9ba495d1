"""A photograph tells where holes are; what is none, too large, blurred or of other cards is refused."""

from __future__ import annotations

import struct
import sys
import zlib
from functools import cache

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from app.errors import PhotoError
from app.model.photo_cards import Cards
from app.photo.limits import LARGEST, MOST_BYTES
from app.photo.measuring import PhotoMeasured, measure_photo
from app.photo.picture import picture_size, read_picture
from app.photo.wanted import SoughtHole
from app.values import replace
from tests.photographs.of_board import dark_shot
from tests.photographs.render import Photograph, Shot
from tests.photographs.scene import Board, Hole, Lie

Picture = NDArray[np.uint8]

CARDS = Cards("top", 17, 300.0, 200.0, 32.0)
WANTED = (SoughtHole("A", 100.0, 100.0, 28.0), SoughtHole("B", 170.0, 90.0, 24.0), SoughtHole("C", 205.0, 110.0, 12.0))
SIZE = (1040, 780)
SHOT = dark_shot(SIZE, 5.0)
BOARD = Board(
    CARDS,
    ((0.0, 0.0, 0.0),) * 4,
    (1.0, 1.0),
    tuple(Hole(w, w.x + 0.5, w.y, w.diameter) for w in WANTED),
    12.0,
    (),
    0.0,
    4,
)


@cache
def taken(board: Board = BOARD, shot: Shot = SHOT) -> bytes:
    return Photograph(board, shot).jpeg


def measured(data: bytes, *cards: Cards) -> PhotoMeasured:
    return measure_photo(data, cards or (CARDS,), {"top": WANTED, "under": WANTED})


def refused(data: bytes, *cards: Cards) -> str:
    with pytest.raises(PhotoError) as said:
        measured(data, *cards)
    return str(said.value)


def test_a_good_photograph_tells_every_centre_and_width_and_how_sure_that_is() -> None:
    found = measured(taken())
    assert found.cards == CARDS and found.angle == pytest.approx(SHOT.tilt, abs=4)
    for hole, one in zip(BOARD.holes, found.holes, strict=True):
        assert one.doubt == "" and one.code == hole.wanted.code
        assert (one.x, one.y) == pytest.approx((hole.x, hole.y), abs=0.15)
        assert one.diameter == pytest.approx(hole.diameter, abs=0.25) and 0.1 < one.within < 0.8
    picture = grey_of(found.picture.jpeg)
    left, _, right, back = found.picture.box
    scale = picture.shape[1] / (right - left)
    for hole in BOARD.holes:  # it is dark in the straightened picture where a hole is
        assert picture[round((back - hole.y) * scale), round((hole.x - left) * scale)] < 60


def test_the_face_is_told_by_its_cards_and_its_picture_may_be_turned() -> None:
    under = replace(CARDS, face="under", code=142)
    turned = replace(SHOT, roll=183.0)
    assert measured(taken(replace(BOARD, cards=under), turned), CARDS, under).cards.face == "under"


def test_cards_that_were_printed_too_small_are_allowed_for_and_far_too_small_refused() -> None:
    found = measured(taken(replace(BOARD, printed=(0.985, 0.985))))
    assert found.printed == pytest.approx((0.985, 0.985), abs=0.004)
    assert [(h.x, h.y) for h in found.holes] == [pytest.approx((b.x, b.y), abs=0.3) for b in BOARD.holes]
    assert "% of their true size" in refused(taken(replace(BOARD, printed=(0.95, 0.95))))


@pytest.mark.parametrize("kind", ["knot", "screw", "pencil", "ring"])
def test_what_is_round_and_no_hole_is_not_measured(kind: str) -> None:
    holes = tuple(replace(hole, drilled=False) for hole in BOARD.holes)
    lies = tuple(Lie(kind, w.x + 0.4, w.y, w.diameter) for w in WANTED)  # type: ignore[arg-type]
    found = measured(taken(replace(BOARD, holes=holes, decoys=lies)))
    assert all(one.doubt for one in found.holes), found.holes


def test_a_hole_far_from_its_place_or_of_another_width_is_not_taken_for_it() -> None:
    first, second, third = BOARD.holes
    holes = (replace(first, x=first.x + 14), replace(second, diameter=17.0), replace(third, x=third.x + 1.5))
    found = measured(taken(replace(BOARD, holes=holes)))
    assert found.holes[0].doubt and found.holes[1].doubt
    assert found.holes[2].x == pytest.approx(holes[2].x, abs=0.2)


def test_of_a_wide_hole_in_a_thick_board_the_rim_on_the_face_is_measured_and_not_the_one_below() -> None:
    small = Cards("top", 18, 160.0, 140.0, 24.0)
    wide = SoughtHole("fan", 80.0, 70.0, 76.0)
    board = replace(BOARD, cards=small, holes=(Hole(wide, 80.6, 70.0, 76.0),), thickness=22.0)
    (found,) = measure_photo(taken(board), (small,), {"top": (wide,), "under": ()}).holes
    assert (found.x, found.y, found.diameter) == pytest.approx((80.6, 70.0, 76.0), abs=0.2)


def test_over_something_bright_nothing_is_guessed() -> None:
    assert all(one.doubt for one in measured(taken(BOARD, replace(SHOT, below=0.9))).holes)


def test_what_is_no_photograph_is_refused_before_it_is_unpacked() -> None:
    assert "No photograph was chosen" in refused(b"")
    for data in (
        b"GIF89a" + bytes(40),
        b"%PDF-1.7" + bytes(40),
        b"\xff\xd8\xff",
        b"\xff\xd8" + b"\xff" * 50,
        bytes(99),
    ):
        assert "no photograph that can be read" in refused(data)
    assert "at most 10 MB" in refused(b"\xff\xd8" + bytes(MOST_BYTES))
    assert "damaged" in refused(taken()[:2000])
    assert "damaged" in refused(png(800, 700)[:-40])
    assert "too small" in refused(png(400, 300))
    side = int(LARGEST**0.5) + 1
    assert "megapixels" in refused(png(side, side)), "by its head alone: it would take 150 MB"
    assert "megapixels" in refused(png(2**31 - 1, 2**31 - 1))
    assert picture_size(taken()) == SIZE and picture_size(png(800, 700)) == (800, 700)
    assert read_picture(png(800, 700)).size == (800, 700)


def png(width: int, height: int) -> bytes:
    """A grey picture of that size, or what claims to be one."""
    rows = zlib.compress(b"".join(b"\0" + b"\x80" * width for _ in range(height))) if width * height < 10**6 else b"x"
    parts = ((b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)), (b"IDAT", rows), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body)) for kind, body in parts
    )


def test_cards_that_are_missing_of_another_board_twice_or_laid_wrongly_are_named() -> None:
    grey = png(800, 700)
    assert "No markers were found" in refused(grey)
    assert "another board, design or arrangement" in refused(taken(), replace(CARDS, code=18))
    wood = np.full((60, 60), 190, np.uint8)
    bare = grey_of(taken())
    camera = Photograph(BOARD, SHOT).camera
    x, y = camera.project(np.array([(*CARDS.centre(2), 0.0)]))[0].round().astype(int)
    bare[y - 30 : y + 30, x - 30 : x + 30] = wood
    assert "card 3 (back right)" in refused(jpeg(bare))
    swapped = Photograph(BOARD, SHOT)
    swapped._bits = [swapped._bits[k] for k in (1, 0, 2, 3)]
    assert "do not lie in their own corners" in refused(swapped.jpeg)
    twice = Photograph(BOARD, SHOT)
    twice._bits = [twice._bits[k] for k in (0, 1, 2, 2)]
    assert "Card 3 is in this picture twice" in refused(twice.jpeg)
    moved = replace(BOARD, lie=((0.0, 0.0, 0.0), (-9.0, 0.0, 0.0), (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)))
    assert "do not lie as they should" in refused(taken(moved))


def grey_of(data: bytes) -> Picture:
    picture = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert picture is not None
    return np.array(picture, np.uint8)


def jpeg(picture: Picture) -> bytes:
    return cv2.imencode(".jpg", picture)[1].tobytes()


def test_blurred_from_the_side_and_from_far_away_is_refused_with_what_to_do() -> None:
    assert "blurred" in refused(taken(BOARD, replace(SHOT, blur=6.5)))
    assert "too much from the side" in refused(taken(BOARD, replace(SHOT, tilt=52.0)))
    far = refused(taken(BOARD, replace(SHOT, size=(900, 700), fill=0.28)))
    assert "Fill the picture" in far or "No markers" in far or "Not all four" in far


def test_without_opencv_it_says_what_installs_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "cv2", None)
    assert 'pip install ".[photo]"' in refused(taken())
