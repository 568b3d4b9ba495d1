"""Makers of a file as the model has them, whatever the file says of their measures."""

from __future__ import annotations

from app.arrange.maker.make import make_board
from app.catalogue.load import catalogue
from app.document.makers import makings_of
from app.document.pattern_schema import MakerEntry, MeasureEntry
from app.document.resolve import find_board, resolve
from app.document.schema import ArrangementEntry
from app.model.maker.making import ASKS, AirWays
from app.model.maker.measure import answered
from tests.unit.arrange.maker.designs import plain


def test_what_a_file_leaves_out_or_gives_as_what_it_cannot_be_has_its_default() -> None:
    measures = (MeasureEntry(name="cone", value=70.0), MeasureEntry(name="outer", value="wide"))
    entry = MakerEntry(id="m1", maker="grille", x=10.0, y=20.0, angle=30.0, measures=measures)
    (found,) = makings_of(ArrangementEntry(id="one", makers=(entry,)))
    assert (found.id, found.x, found.y, found.angle) == ("m1", 10.0, 20.0, 30.0)
    assert found.asked.values == answered(ASKS["grille"], {"cone": 70.0}).values
    assert found.asked.number("outer") == 125.0


def test_a_maker_of_a_later_program_is_passed_over_and_its_parts_are_judged_as_any() -> None:
    edit = make_board(plain(), "fan", {"holes": "square"}, catalogue())
    board = find_board(edit.design, edit.board)
    (within,) = board.arrangements
    strange = within.model_copy(update={"makers": (within.makers[0].model_copy(update={"maker": "windmill"}),)})
    boards = (edit.design.boards[0], board.model_copy(update={"arrangements": (strange,)}))
    resolved = resolve(edit.design.model_copy(update={"boards": boards}), edit.board, None, catalogue())
    assert (resolved.makers, resolved.air) == ((), AirWays())
    assert len(resolved.placements) == 2 and {p.maker for p in resolved.placements} == {"fan"}
