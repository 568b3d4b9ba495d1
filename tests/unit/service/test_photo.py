"""What is looked for in a photograph, and what comes of it, on either face and for a board cut a little narrow."""

from __future__ import annotations

import math

import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.where import Where
from app.errors import EditError
from app.model.as_built import AsBuilt
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.service import new_design
from app.service.edits.built_photo import PhotoHole, holes_taken
from app.service.edits.built_typing import last_cuts
from app.service.photo import MOST, measured_in, photo_asked
from app.service.photo_told import found_of, told_of
from app.service.screens.bench.photo_seen import photo_seen
from app.service.screens.bench.photo_text import photo_json, photo_lines
from app.units import Unit, parse_length
from app.values import replace
from tests.photographs.of_board import photograph

DESIGN = new_design(NewDeck(title="One-seater", players=1, width=460.0, depth=240.0))
BOARD = resolve(DESIGN, None, None, catalogue())
NOW = "2026-02-01T10:30:00Z"


def taken(board: ResolvedBoard, data: bytes, size: tuple[float, float] | None = None) -> dict[str, PhotoHole]:
    asked = photo_asked(board, size)
    found = found_of(*told_of(measured_in(data, asked)))
    return {hole.code: hole for row in photo_seen(board, asked, found).rows for hole in row.holes}


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_hole_is_as_far_off_on_the_board_whichever_face_is_photographed(face: Face) -> None:
    code = photo_asked(BOARD).wanted[face][1].code
    side = 1.0 if face == "top" else -1.0
    # Cut 3 mm narrow on the right: on the underside that is the left, and holes keep their distance from the datum.
    real = (BOARD.width - 3.0, BOARD.depth_front_to_back)
    data = photograph(BOARD, face, off={code: (side * 2.0, -1.5)}, size=(1500, 1125), real=real)
    cuts = {cut.code: cut for cut in last_cuts(BOARD)}
    holes = taken(BOARD, data, real)
    assert len(holes) > 0.7 * len(photo_asked(BOARD).wanted[face])
    for name, hole in holes.items():
        dx, dy = (2.0, -1.5) if name == code else (0.0, 0.0)
        at = cuts[name].at
        assert (hole.x, hole.y) == pytest.approx((at[0] + dx, at[1] + dy), abs=0.3), name
        assert math.dist((hole.x, hole.y), (at[0] + dx, at[1] + dy)) <= hole.within
        assert hole.measured is None, "as wide as its bit, as far as that can be told"
    edit = holes_taken(Where(), list(holes.values()), NOW)(DESIGN)
    marks = resolve(edit.design, None, None, catalogue()).as_built
    mark = marks.of(cuts[code].key, "through")
    assert mark is not None and mark.by == "photograph" and mark.off == pytest.approx((2.0, -1.5), abs=0.3)


def test_a_hole_that_is_marked_elsewhere_is_looked_for_there() -> None:
    cut = next(cut for cut in last_cuts(BOARD) if cut.work == "through")
    mark = cut.marked((20.0, 5.0), when=NOW)
    moved = replace(BOARD, as_built=AsBuilt((mark,)))
    wanted = {w.code: w for w in photo_asked(moved).wanted["top"]}
    assert (wanted[cut.code].x, wanted[cut.code].y) == pytest.approx((cut.at[0] + 20, cut.at[1] + 5))


def test_a_board_is_no_other_size_than_it_can_be_and_what_is_kept_no_surer() -> None:
    with pytest.raises(EditError) as said:
        photo_asked(BOARD, (520.0, 240.0))
    assert set(said.value.problems) == {"width"}
    with pytest.raises(EditError, match="No hole is ticked"):
        holes_taken(Where(), [], NOW)
    for within in (-0.1, 2.5, math.nan):
        with pytest.raises(EditError, match="did not arrive complete"):
            holes_taken(Where(), [PhotoHole("a/hole-1/through", 10.0, 10.0, within)], NOW)
    with pytest.raises(EditError, match="at most 100 mm"):
        holes_taken(Where(), [PhotoHole("a/hole-1/through", 400.0, 200.0, 0.5)], NOW)(DESIGN)
    assert MOST >= 500


def test_it_is_told_in_words_and_for_programs() -> None:
    data = photograph(BOARD, size=(1500, 1125), undrilled=frozenset({"f/hole-1/through"}))
    asked = photo_asked(BOARD)
    found = measured_in(data, asked)
    lines = photo_lines(photo_seen(BOARD, asked, found))
    assert lines[0].endswith("measured on the top face") and any(line.startswith("  F: No hole") for line in lines)
    assert '"not_measured": "not seen"' in photo_json(BOARD, asked, found)


def test_in_inches_how_sure_it_is_is_rounded_up_too() -> None:
    board = replace(BOARD, units="inch")
    asked = photo_asked(board)
    for row in photo_seen(board, asked, measured_in(photograph(board, size=(1500, 1125)), asked)).rows:
        said = parse_length(row.within.removeprefix("±"), Unit.INCH)
        assert row.holes[0].within <= said <= row.holes[0].within + 25.4 / 64
