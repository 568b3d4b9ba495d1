"""Making boards and cut-outs: what is there afterwards, and what is refused with nothing changed."""

from __future__ import annotations

import math

import pytest

from app.arrange.maker.make import make_board, make_on_board
from app.arrange.maker.registry import MAKERS, maker_named
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.keep import kept
from app.document.load import loads
from app.document.makers import given_of
from app.document.resolve import find_board, resolve
from app.document.where import Where
from app.errors import EditError, NotFoundError
from app.fit.report.report import check
from app.model.limits import BOARDS
from app.model.maker.making import ASKS
from app.model.maker.measure import Value
from tests.unit.arrange.maker.designs import plain

NAMES = [maker.name for maker in MAKERS]
SIZED: dict[str, dict[str, Value]] = {"door": {"sized": "door"}}
"""What makes a board as large as it is said to be, where it would follow from something else."""


def test_what_makers_ask_is_known_to_the_model_too() -> None:
    assert {maker.name: maker.measures for maker in MAKERS} == dict(ASKS)


@pytest.mark.parametrize("maker", MAKERS, ids=NAMES)
def test_every_measure_has_a_default_that_is_allowed_and_a_name_of_its_own(maker: object) -> None:
    measures = maker_named(getattr(maker, "name", "")).measures
    assert len({m.name for m in measures}) == len(measures)
    for measure in measures:
        assert measure.takes(measure.default)
        if measure.only:
            other = next(m for m in measures if m.name == measure.only[0])
            assert all(other.takes(value) for value in measure.only[1])


@pytest.mark.parametrize("name", NAMES)
def test_a_maker_left_to_its_defaults_makes_a_board_without_stop_or_caution(name: str) -> None:
    edit = make_board(plain(), name, {}, catalogue())
    report = check(resolve(edit.design, edit.board, None, catalogue()), catalogue())
    assert [(f.rule, f.subjects) for f in (*report.stops, *report.cautions)] == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_made_bears_its_maker_which_keeps_every_measure_and_the_file_reads_back(name: str) -> None:
    edit = make_board(plain(), name, {"width": 300.0, "height": 200.0, **SIZED.get(name, {})}, catalogue())
    board = find_board(edit.design, edit.board)
    (entry,) = board.arrangements[0].makers
    assert entry.outline and given_of(entry)["width"] == 300.0
    assert {m.name for m in entry.measures} == {m.name for m in maker_named(name).measures}
    placements = board.arrangements[0].placements
    assert placements and {p.maker for p in placements} == {entry.id}
    assert len({p.label for p in placements}) == len(placements)
    assert (board.role, board.outline.corners[2].x, board.outline.corners[2].y) == ("companion", 300.0, 200.0)
    assert loads(kept(edit.design)) == edit.design


def test_a_second_one_has_a_board_ids_and_parts_of_its_own() -> None:
    once = make_board(plain(), "grille", {}, catalogue())
    twice = make_board(once.design, "grille", {"hole": 8.0}, catalogue())
    assert [b.id for b in twice.design.boards] == ["deck", "grille", "grille-2"]
    assert [b.name for b in twice.design.boards[1:]] == ["Loudspeaker grille", "Loudspeaker grille 2"]
    assert {p.id: p.hole for p in twice.design.patterns} == {"grille-holes": 10.0, "grille-2-holes": 8.0}
    gone = plain().model_copy(update={"gone": ("grille",)})
    assert make_board(gone, "grille", {}, catalogue()).board == "grille-2", "an id is never given again"


def test_on_a_board_pieces_are_turned_about_the_place_and_take_the_next_letters() -> None:
    first = make_on_board(plain(), Where(), "grille", {}, 150.0, 150.0, 0.0, catalogue())
    edit = make_on_board(first.design, Where(), "fan", {"holes": "square"}, 400.0, 120.0, 30.0, catalogue())
    placements = edit.design.boards[0].arrangements[0].placements
    assert [(p.id, p.label) for p in placements] == [
        ("grille-magnet", "A"), ("grille-holes", "B"), ("fan-fan", "C"), ("fan-holes", "D"),
    ]  # fmt: skip
    assert {(p.x, p.y, p.angle) for p in placements[2:]} == {(400.0, 120.0, 30.0)}
    assert edit.several == ("fan-fan", "fan-holes")
    (_, entry) = edit.design.boards[0].arrangements[0].makers
    assert not entry.outline and edit.design.boards[0].outline == plain().boards[0].outline


@pytest.mark.parametrize(
    ("name", "measures", "field", "words"),
    [
        ("grille", {"cone": 130.0}, "cone", "narrower than the rim, 125 mm, got 130 mm"),
        ("grille", {"bolt-circle": 90.0}, "bolt-circle", "from 92.5 mm to 120.5 mm, got 90 mm"),
        ("grille", {"bolt-circle": 121.0}, "bolt-circle", "from 92.5 mm to 120.5 mm, got 121 mm"),
        ("grille", {"holes": "opening", "ring": 20.0}, "ring", "up to 11.2 mm wide"),
        ("grille", {"pitch": 10.5}, "pitch", "a pitch of 11 mm or more, got 10.5 mm"),
        ("grille", {"open-area": 85.0}, "open-area", "Ask for less open area"),
        ("grille", {"hole": 60.0, "field": 50.0, "pitch": 61.0}, "hole", "No hole fits"),
        ("grille", {"holes": "slots", "slot": 5.0}, "slot", "at least as long as wide, 10 mm"),
        ("fan", {"holes": "rings", "hole": 1.0}, "hole", "from 2 mm to 60 mm; got 1 mm"),
        ("fan", {"frame": "100"}, "frame", "40, 60, 80, 92, 120, 140; got “100”"),
        ("fan", {"guard": "perhaps"}, "guard", "yes or no; got “perhaps”"),
        ("fan", {"guard": 1.0}, "guard", "yes or no; got 1"),
        ("fan", {"colour": 3.0}, "colour", "no measure “colour”"),
        ("grille", {"screws": 4.5}, "screws", "a whole number from 2 to 12; got 4.5"),
        ("grille", {"outer": math.nan}, "outer", "from 20 mm to 500 mm; got nan"),
        ("grille", {"outer": math.inf}, "outer", "got inf"),
        ("grille", {"outer": True}, "outer", "got yes"),
        ("grille", {"open-area": 91.0}, "open-area", "from 0 to 90 %; got 91"),
    ],
)  # fmt: skip
def test_measures_that_cannot_be_are_refused_beside_their_field(
    name: str, measures: dict[str, Value], field: str, words: str
) -> None:
    design = plain()
    before = dumps(design)
    with pytest.raises(EditError) as caught:
        make_board(design, name, measures, catalogue())
    assert field in caught.value.problems and words in caught.value.problems[field]
    assert dumps(design) == before


def test_every_measure_that_is_wrong_is_said_at_once() -> None:
    with pytest.raises(EditError) as caught:
        make_board(plain(), "grille", {"outer": 1.0, "cone": 1.0, "fixing": "tape"}, catalogue())
    assert set(caught.value.problems) == {"outer", "cone", "fixing"}


def test_lengths_in_refusals_are_in_the_design_s_own_unit() -> None:
    inch = plain().model_copy(update={"units": "inch"})
    with pytest.raises(EditError, match=r'19 11/16"; got 39 3/8"'):
        make_board(inch, "grille", {"outer": 1000.125}, catalogue())


def test_what_is_not_there_is_said_with_what_is() -> None:
    with pytest.raises(NotFoundError, match="Use one of: grille, fan"):
        make_board(plain(), "lamp", {}, catalogue())
    with pytest.raises(NotFoundError, match="no board"):
        make_on_board(plain(), Where("lid"), "fan", {}, 0.0, 0.0, 0.0, catalogue())


@pytest.mark.parametrize(("x", "y", "angle", "field"), [(math.nan, 0, 0, "x"), (0, 1e9, 0, "y"), (0, 0, 361, "angle")])
def test_a_place_no_part_can_have_is_refused(x: float, y: float, angle: float, field: str) -> None:
    with pytest.raises(EditError) as caught:
        make_on_board(plain(), Where(), "fan", {}, x, y, angle, catalogue())
    assert caught.value.field == field


def test_a_design_full_of_boards_takes_no_more() -> None:
    design = plain()
    boards = [design.boards[0].model_copy(update={"id": f"b{k}", "name": f"B{k}"}) for k in range(BOARDS.most)]
    with pytest.raises(EditError, match="up to 20 boards"):
        make_board(design.model_copy(update={"boards": tuple(boards)}), "fan", {}, catalogue())
