"""New decks: nothing to mend on any of them, symmetric where asked, refused with what would do."""

from __future__ import annotations

import re
from itertools import product
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.arrange.new_deck.new_deck import ADMIN_BUTTONS
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.station.stations import SHAPES
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.schema import ArrangementEntry, Design, PlacementEntry
from app.errors import EditError
from app.fit.report.report import check
from app.service import new_design
from app.units import INCH, Unit, parse_length
from app.values import replace
from tests.long_run import MANY, by_turns, examples

THICKNESSES = (12.0, 15.0, 18.0, 19.05)
PARTS = [part.id for part in catalogue().parts.values()]
BUTTONS = ["", *[part for part in PARTS if catalogue().parts[part].kind == "button"]]
STICKS = ["", *[part for part in PARTS if catalogue().parts[part].kind == "stick"]]


def troubles(design: Design) -> list[tuple[str, str, str, tuple[str, ...]]]:
    """Stops and cautions of every arrangement."""
    found: list[tuple[str, str, str, tuple[str, ...]]] = []
    for board in design.boards:
        for arrangement in board.arrangements:
            report = check(resolve(design, board.id, arrangement.id, catalogue()), catalogue())
            bad = (*report.stops, *report.cautions)
            found.extend((arrangement.id, f.rule, f.severity, f.subjects) for f in bad)
    return found


def refusal(spec: NewDeck) -> EditError | None:
    """Why a new deck is refused; None if it is made."""
    try:
        new_design(spec)
    except EditError as error:
        return error
    return None


def sized(spec: NewDeck, field: str, size: float) -> NewDeck:
    """The same answers with another width or depth."""
    return replace(spec, width=size) if field == "width" else replace(spec, depth=size)


def first(design: Design) -> ArrangementEntry:
    return design.boards[0].arrangements[0]


def made(**answers: Any) -> Design:
    return new_design(NewDeck(**answers))


MATERIALS = sorted(catalogue().materials)


@pytest.mark.parametrize("material", MATERIALS)
@pytest.mark.parametrize("shape", SHAPES)
def test_no_new_deck_has_a_stop_or_a_caution(shape: str, material: str) -> None:
    """In the gate every number of buttons and players in every shape and material, with thickness and units by turns.

    The turn goes on from shape to shape and from material to material, so any two of the six answers meet somewhere.
    """
    cases = list(product((1, 2), range(1, 9), THICKNESSES, ("mm", "inch")))
    turn = SHAPES.index(shape) + MATERIALS.index(material)
    for k, (players, buttons, thickness, units) in enumerate(cases):
        if not MANY and (k + k // 8 + turn) % 8:
            continue
        design = made(
            shape=shape, material=material, players=players, buttons=buttons, thickness=thickness, units=units,
            width=1500, depth=500,
        )  # fmt: skip
        assert troubles(design) == [], (players, buttons, thickness, units)


@st.composite
def answers(draw: st.DrawFn, widest: float = 1500.0, deepest: float = 600.0) -> NewDeck:
    """Answers within what a form allows, sensible or not; on boards of up to that size [mm]."""
    buttons = draw(st.integers(1, 12))
    return NewDeck(
        players=draw(st.sampled_from([0, 1, 2])),
        buttons=buttons,
        positions=draw(st.sampled_from([0, buttons + 2])),
        width=draw(st.floats(50, widest)),
        depth=draw(st.floats(50, deepest)),
        thickness=draw(st.sampled_from([1.0, 1.5, 3.0, 6.0, 12.0, 18.0, 19.05, 25.0, 36.0])),
        material=draw(st.sampled_from(sorted(catalogue().materials))),
        cover=draw(st.sampled_from([0.0, 3.0, 5.0])),
        shape=draw(st.sampled_from(SHAPES)),
        tilt=draw(st.sampled_from([0.0, 10.0, -15.0, 45.0])),
        units=draw(st.sampled_from(["mm", "inch"])),
        stick=draw(st.sampled_from(["left", "right", "centre", "none"])),
        mirrored=draw(st.booleans()),
        admin=draw(st.sampled_from([None, 0, 2, 4])),
        admin_at=draw(st.sampled_from(["back-left", "back-centre", "back-right"])),
        finger_gap=draw(st.sampled_from([0.0, 25.0])),
        button=draw(st.sampled_from(BUTTONS)),
        stick_part=draw(st.sampled_from(STICKS)),
        admin_part=draw(st.sampled_from(BUTTONS)),
        drilling=draw(st.sampled_from(["hand", "press", "cnc"])),
    )


@examples(60)
@given(answers())
def test_whatever_is_asked_for_is_made_without_trouble_or_refused(spec: NewDeck) -> None:
    refused = refusal(spec)
    if refused:
        assert refused.field in {"width", "depth", "thickness", "button", "admin_part", "stick_part"}
        assert re.search(r"(Choose|Enter)", str(refused))
        return
    design = new_design(spec)
    assert troubles(design) == []
    assert loads(dumps(design)) == design


@examples(30)
@given(answers(widest=600.0, deepest=150.0))
def test_the_least_size_a_refusal_names_will_do_and_less_will_not(spec: NewDeck) -> None:
    refused = refusal(spec)
    found = re.search(r"at least (.*?) (wide|deep)", str(refused))
    assume(refused and found)
    assert refused and found
    least = parse_length(found[1], Unit.MM)
    less = sized(spec, refused.field, least - 4)  # it is rounded up by 1 mm or 1/8 in at most
    assert refusal(less) is not None
    enough = refusal(sized(spec, refused.field, least))
    assert enough is None or enough.field != refused.field, "the other side may be too small as well, not this one"


SHEETS = [(m.id, t) for m in catalogue().materials.values() for t in m.thicknesses]


@pytest.mark.parametrize(("sheet", "players"), by_turns(SHEETS, (1, 2)))
def test_a_sheet_too_thin_to_lean_on_or_screw_into_is_refused_with_the_thinnest_sold_that_is_not(
    sheet: tuple[str, float], players: int
) -> None:
    material, thickness = sheet
    spec = NewDeck(material=material, thickness=thickness, players=players, width=500.0 * players + 50, depth=300)
    refused = refusal(spec)
    if refused is None:
        return
    assert refused.field == "thickness"
    leans = r"a leaning hand of 250 N; (3|1\.5) times is wanted \(an estimate\)"
    assert re.search(rf"{leans}|hold in .* of board; .* is needed", str(refused)), refused
    found = re.search(r"Enter at least (.*?), or choose another material\.", str(refused))
    assert found, refused
    least = next(t for t in catalogue().materials[material].thicknesses if t == pytest.approx(mm(found[1]), abs=0.01))
    assert least > thickness
    thinner = [t for t in catalogue().materials[material].thicknesses if thickness <= t < least]
    assert all(refusal(replace(spec, thickness=t)) for t in thinner)
    assert troubles(new_design(replace(spec, thickness=least))) == []


def test_parts_for_thin_sheet_in_a_material_too_weak_for_it_are_refused_without_a_thickness() -> None:
    # Clips that hold 1.5 to 5 mm, and of the MDF sold only 3 mm is as thin: no thickness can be named.
    refused = refusal(NewDeck(material="mdf", thickness=3, button="button-30-snap", admin=0))
    assert refused and refused.field == "thickness"
    assert "No MDF sold is thick enough for these parts. Choose another material, or other parts." in str(refused)


def mm(text: str) -> float:
    return parse_length(text, Unit.MM)


@pytest.mark.parametrize("buttons", range(1, 9))
@pytest.mark.parametrize("shape", SHAPES)
def test_every_player_gets_a_stick_and_as_many_buttons_as_asked_for(shape: str, buttons: int) -> None:
    design = made(shape=shape, buttons=buttons, players=2, width=1200, depth=300)
    for station in ("s1", "s2"):
        held = [p for p in first(design).placements if p.station == station]
        assert sum(p.part.startswith("stick") for p in held) == 1
        assert sum(p.part.startswith("button") for p in held) == buttons
    assert sum(p.station == "admin" for p in first(design).placements) == ADMIN_BUTTONS


def test_a_mirrored_two_player_deck_is_symmetric_about_its_centre_line() -> None:
    design = made(players=2, mirrored=True, width=730, shape="arc", buttons=8, tilt=5)
    here = [(p.part, round(p.x, 6), round(p.y, 6)) for p in first(design).placements]
    image = [(part, round(730 - x, 6), y) for part, x, y in here]
    assert sorted(image) == sorted(here)


def test_a_repeated_two_player_deck_has_the_same_station_twice() -> None:
    placements = first(made(players=2, width=700)).placements
    one, two = ([p for p in placements if p.station == s] for s in ("s1", "s2"))
    assert {(b.x - a.x, b.y - a.y, b.part == a.part) for a, b in zip(one, two, strict=True)} == {
        (two[0].x - one[0].x, 0.0, True)
    }


@pytest.mark.parametrize("width", [520.0, 601.5, 24 * INCH])
def test_one_player_can_have_the_stick_dead_centre(width: float) -> None:
    assert first(made(stick="centre", width=width)).placements[0].x == width / 2


def test_one_player_can_have_the_stick_on_either_side() -> None:
    for side, sign in (("left", 1), ("right", -1)):
        stick, *rest = (p for p in first(made(stick=side)).placements if p.station == "s1")
        assert all(sign * (p.x - stick.x) > 0 for p in rest)


def test_both_arrangements_of_a_two_player_deck_share_holes_and_letters() -> None:
    two, one = made(players=2, width=700).boards[0].arrangements
    assert (two.id, one.id) == ("two", "one")
    both = {p.label: p for p in two.placements}
    assert [both[p.label] for p in one.placements] == list(one.placements)
    assert {p.station for p in one.placements} == {"s1", "admin"}


def test_letters_follow_the_reading_order_without_i_and_o() -> None:
    labels = [p.label for p in first(made(players=2, width=700)).placements]
    assert labels == list("ABCDEFGHJKLMNPQR")
    many = [p.label for p in first(made(players=2, buttons=12, width=1400, depth=300)).placements]
    assert many[22:26] == ["Y", "Z", "AA", "AB"]


def test_positions_beyond_the_buttons_are_on_the_plan_and_switched_off() -> None:
    held = [p for p in first(made(buttons=4, positions=8, shape="straight", width=700)).placements if p.station == "s1"]
    places = [p for p in held if p.part.startswith("button")]
    assert (len(places), sum(p.drill for p in places)) == (8, 4)
    drilled = {(p.x, p.y) for p in places if p.drill}
    assert {y for _, y in drilled} == {max(p.y for p in places)}, "the back row is kept"


def test_a_narrow_board_brings_stick_and_buttons_nearer_together() -> None:
    def gap(width: float) -> float:
        stick, button = first(made(width=width)).placements[:2]
        return button.x - stick.x

    assert gap(280) < gap(600) == catalogue().rule("station-hand-gap")


def test_admin_buttons_are_left_out_where_nobody_asked_for_them_and_there_is_no_room() -> None:
    assert not [p for p in first(made(depth=130)).placements if p.station == "admin"]
    with pytest.raises(EditError, match=r"2 admin buttons.* mm deep, got 130 mm"):
        made(depth=130, admin=2)


@pytest.mark.parametrize(("units", "paper"), [("mm", "a4"), ("inch", "letter")])
def test_units_choose_bits_and_paper(units: str, paper: str) -> None:
    design = made(units=units)
    assert (design.units, design.shop.paper) == (units, paper)
    assert all(bit.inch == (units == "inch") for bit in design.shop.bits)


def thread(placement: PlacementEntry) -> str:
    return catalogue().parts[placement.part].name


def test_thick_boards_get_long_threads_and_thin_sheet_gets_clips() -> None:
    assert "long thread" in thread(first(made(thickness=18)).placements[1])
    assert "snap-in" in thread(first(made(thickness=3, material="aluminium")).placements[1])


def test_a_short_thread_that_was_asked_for_gets_its_counterbore() -> None:
    design = made(button="button-28-nut-short", thickness=18)
    button = first(design).placements[1]
    # thread 20, nut 5, spare 1: grip 14 mm; 18 − 14 = 4 mm deep; nut 37 + 2 · 3 mm for a spanner: the 45 mm bit
    assert button.counterbore is not None
    assert (button.counterbore.depth, button.counterbore.diameter) == (4.0, 45.0)
    assert troubles(design) == []


def test_an_empty_board_can_be_had() -> None:
    design = made(players=0, width=300, depth=150)
    assert first(design).placements == ()
    assert troubles(design) == []


REFUSED: list[tuple[dict[str, Any], str, str]] = [
    ({"width": 0}, "width", "board's width in mm is a number from 20 to 5,000, got 0"),
    ({"width": float("nan")}, "width", "not a finite number"),
    ({"depth": -5}, "depth", "from 20"),
    ({"thickness": 0}, "thickness", "from 0.05 to 100, got 0"),
    ({"thickness": 90}, "thickness", "No button can be held in a board 90 mm thick"),
    ({"players": 3}, "players", "from 0 to 2, got 3"),
    ({"buttons": 0}, "buttons", "from 1 to 20, got 0"),
    ({"buttons": 21}, "buttons", "from 1 to 20, got 21"),
    ({"positions": 3}, "positions", "from 6 to 20, got 3"),
    ({"admin": 13}, "admin", "from 0 to 12, got 13"),
    ({"shape": "spiral"}, "shape", 'no shape "spiral". Choose one of: row'),
    ({"material": "cheese"}, "material", 'no material "cheese". Choose one of: .*mdf'),
    ({"units": "cubit"}, "units", 'no unit "cubit"'),
    ({"stick": "up"}, "stick", "side of the stick"),
    ({"button": "trackball-57"}, "button", "Choose one of: button-"),
    ({"button": "button-30-snap"}, "button", "grips boards from 1.5 to 5 mm, and this one is 18 mm thick"),
    ({"stick_part": "button-24-snap"}, "stick_part", "Choose one of: stick-"),
    ({"paper": "parchment"}, "paper", "parchment"),
    ({"title": "x" * 201}, "title", "0 to 200 characters"),
    ({"tilt": 60}, "tilt", "from -45 to 45, got 60"),
    (
        {"players": 2, "width": 400},
        "width",
        r"Two players \(2 × 3 stepped\) need a board at least \d+ mm wide, got 400 mm",
    ),
    ({"width": 200}, "width", r"One player \(2 × 3 stepped\) needs a board at least \d+ mm wide, got 200 mm"),
    ({"depth": 80}, "depth", r"at least \d+ mm deep, got 80 mm"),
]


@pytest.mark.parametrize("case", range(len(REFUSED)))
def test_an_answer_that_cannot_be_is_refused_beside_its_field(case: int) -> None:
    given_answers, field, said = REFUSED[case]
    with pytest.raises(EditError, match=said) as caught:
        made(**given_answers)
    assert caught.value.field == field
