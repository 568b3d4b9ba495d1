"""A design's own hardware: what a copy keeps, what a correction changes, what is refused and beside which field.

Expected values follow from the geometry written beside them; there is no published figure for plastic hardware.
"""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.change import Edit
from app.arrange.hardware.consistency import NonsenseError, check_part
from app.arrange.hardware.measures import MAY_BE_ZERO, ORDER, caliper, measures_of, with_measures
from app.arrange.hardware.own_hardware import (
    PartCorrection,
    copy_part,
    correct,
    measure_part,
    own_part,
    part_entry,
    remove_part,
    rename_part,
    set_basis,
    users_of,
)
from app.arrange.hardware.part_rows import entry_of
from app.arrange.hardware.provenance import Provenance, provenance_of
from app.catalogue.hardware import PartEntry
from app.catalogue.load import catalogue
from app.catalogue.records import part_from_row
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import design_parts, resolve
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.fit.report.report import check
from app.units import INCH, Unit
from app.values import replace
from tests.folding import each
from tests.unit.document.designs import small_design

BUTTON = "button-28-nut-long"
PARTS = list(catalogue().parts.values())


def own(part_id: str = BUTTON, **values: float) -> tuple[Design, str]:
    """A design with a copy of a part, and its id."""
    design = copy_part(small_design(), part_id, catalogue()).design
    part = design.hardware[-1].id
    return (measure_part(design, part, values).design if values else design), part


def sizes(part: PartEntry) -> dict[str, float]:
    return {m.name: m.value for m in measures_of(part)}


def correction(design: Design, placement: str = "b", **more: object) -> Edit:
    typed = replace(PartCorrection({"thread_length": 31.5}), **more)  # type: ignore[arg-type]
    return correct(design, None, None, placement, typed, catalogue())


def unreached(design: Design) -> set[str]:
    """Parts whose nut cannot go fully on."""
    found = check(resolve(design, None, None, catalogue()), catalogue()).findings
    return {s for f in found if f.rule == "thread-reach" for s in f.subjects}


@each("part", PARTS)
def test_a_row_of_a_part_is_the_same_part(part: object) -> None:
    entry = entry_of(part)  # type: ignore[arg-type]
    back = part_from_row(entry.model_dump(exclude_none=True), "row")
    assert replace(back, source=part.source) == part  # type: ignore[attr-defined]


@each("part", PARTS)
def test_every_part_of_the_catalogue_makes_sense(part: object) -> None:
    entry = entry_of(part)  # type: ignore[arg-type]
    measures = measures_of(entry)
    check_part(entry, measures, frozenset(m.name for m in measures), Unit.MM)
    assert [m.name for m in measures] == [name for name in ORDER if name in sizes(entry)]
    assert {m.how[-1] for m in measures} == {"."}, "one plain sentence each"


@each("part", PARTS)
def test_each_measure_changes_itself_and_nothing_else(part: object) -> None:
    entry = entry_of(part)  # type: ignore[arg-type]
    for measure in measures_of(entry):
        value = measure.value + 0.25
        after = sizes(with_measures(entry, {measure.name: value}))
        assert after.pop(measure.name) == pytest.approx(value, abs=1e-9)
        before = sizes(entry)
        del before[measure.name]
        assert after == before


def test_a_copy_is_a_part_of_its_own() -> None:
    design, part = own()
    assert part not in catalogue().parts
    assert sizes(design.hardware[0]) == sizes(part_entry(design, BUTTON, catalogue()))
    assert design.hardware[0].basis == catalogue().parts[BUTTON].source.basis
    again = copy_part(design, part, catalogue()).design
    assert len({p.id for p in again.hardware} | set(catalogue().parts)) == 2 + len(catalogue().parts)
    assert loads(dumps(again)) == again


def test_a_copy_has_no_id_of_a_pattern() -> None:
    raw = json.loads(dumps(small_design()))
    part = raw["boards"][0]["arrangements"][0]["placements"][0]["part"]
    boundary = {"shape": "rectangle", "width": 40, "height": 40}
    raw["patterns"] = [{"id": f"{part}-own", "name": "Grille", "hole": 5, "pitch": 9, "boundary": boundary}]
    done = copy_part(loads(json.dumps(raw).encode()), part, catalogue()).design
    assert done.hardware[-1].id not in {p.id for p in done.patterns}
    assert loads(dumps(done)) == done


def test_a_design_carries_its_parts_to_another_computer() -> None:
    done = correction(small_design()).design
    elsewhere = loads(json.dumps(json.loads(dumps(done))).encode())
    for found in (done, elsewhere):
        part = resolve(found, None, None, catalogue()).placements[1].part
        assert part.id not in catalogue().parts
        assert part.fixing.thread_length == 31.5  # type: ignore[union-attr]
    assert resolve(done, None, None, catalogue()) == resolve(elsewhere, None, None, catalogue())


def test_a_measured_thread_changes_what_the_report_says() -> None:
    # 18 mm of MDF, nut 6 mm, spare thread 1 mm: a thread of 25 mm just reaches, one of 20 mm lacks 5 mm.
    design = small_design()
    short = correction(design, measures={"thread_length": 20.0}).design
    long = correction(short, measures={"thread_length": 34.0}).design
    assert (unreached(design), unreached(short), unreached(long)) == (set(), {"b", "c"}, set())


def test_everywhere_or_only_here() -> None:
    everywhere = correction(small_design()).design
    (part,) = {p.part for p in everywhere.boards[0].arrangements[0].placements if p.id in "bc"}
    assert own_part(everywhere, part) is not None
    here = correction(small_design(), everywhere=False).design
    parts = {p.id: p.part for p in here.boards[0].arrangements[0].placements}
    assert parts["c"] == BUTTON and parts["b"] == here.hardware[0].id
    # A part of the design's own that others use keeps its measures there, and is copied for this one.
    third = correction(everywhere, placement="c", everywhere=False, measures={"nut_height": 5.0}).design
    parts = {p.id: p.part for p in third.boards[0].arrangements[0].placements}
    assert parts["b"] == part != parts["c"]
    assert sizes(own_part(third, part))["nut_height"] == 6.0  # type: ignore[arg-type]
    # Alone in its part, it is corrected in place.
    fourth = correction(here, everywhere=False, measures={"nut_height": 5.0}).design
    assert len(fourth.hardware) == 1


def test_every_board_and_arrangement_uses_the_correction() -> None:
    design = small_design()
    board = design.boards[0]
    second = board.arrangements[0].model_copy(update={"id": "two"})
    wide = board.model_copy(update={"arrangements": (*board.arrangements, second)})
    other = board.model_copy(update={"id": "other"})
    design = design.model_copy(update={"boards": (wide, other)})
    done = correction(design).design
    assert not users_of(done, BUTTON)
    assert len(users_of(done, done.hardware[0].id)) == 4, "b and c on two boards"
    alone = correction(design, everywhere=False).design
    assert [(b.id, p.id) for b, p in users_of(alone, alone.hardware[0].id)] == [("deck", "b")]


def test_counterbore_place_and_letter_stay() -> None:
    before = small_design().boards[0].arrangements[0].placements
    after = correction(small_design()).design.boards[0].arrangements[0].placements
    assert [p.model_copy(update={"part": ""}) for p in before] == [p.model_copy(update={"part": ""}) for p in after]


def test_nothing_typed_is_nothing_done() -> None:
    design = small_design()
    for typed in (PartCorrection({}), PartCorrection({"thread_length": 34.0}), PartCorrection({}, everywhere=False)):
        assert correct(design, None, None, "b", typed, catalogue()).design == design


def test_the_summary_says_what_was_measured() -> None:
    assert correction(small_design(), name="Blue button").summary == "Measured Blue button: thread 31.5 mm"
    inch = correction(small_design(), measures={"nut_width": 1.5 * INCH}, unit=Unit.INCH)
    assert inch.summary.endswith('nut across corners 1.500"')


# -- how far to trust it -------------------------------------------------------------------------------------


def test_what_is_measured_counts_as_measured_and_the_rest_as_before() -> None:
    design, part = own(thread_length=31.5, nut_height=5.5)
    entry = own_part(design, part)
    assert entry is not None and entry.basis == "measured"
    found = provenance_of(entry, measures_of(entry))
    assert found.hands == {"thread_length", "nut_height"}
    assert (found.of("thread_length"), found.of("nut_width")) == ("measured", "typical")
    assert "thread length" in entry.source and "others typical: Typical of buttons" in entry.source


@given(st.sets(st.sampled_from([m.name for m in measures_of(entry_of(catalogue().parts["stick-plate-95x53"]))])))
def test_each_measure_keeps_its_own_trust(names: set[str]) -> None:
    """Whatever was measured one by one is known again from the file, and nothing else."""
    design, part = own("stick-plate-95x53")
    before = sizes(design.hardware[0])
    for name in names:
        # A hair more or less, so that nothing contradicts: 0.01 mm is what callipers tell.
        step = -0.01 if name in {"body_width", "hole_smallest", "height_min"} else 0.01
        step = 16.0 if name == "screw_length" else step  # not known before
        design = measure_part(design, part, {name: before[name] + step}).design
    entry = own_part(loads(dumps(design)), part)
    assert entry is not None
    assert provenance_of(entry, measures_of(entry)).hands == names
    assert len(entry.source) <= 200
    assert entry.basis == ("measured" if names else "typical")


def test_the_rest_can_be_from_a_data_sheet() -> None:
    design, part = own(thread_length=31.5)
    entry = own_part(set_basis(design, part, "data sheet", "Sheet that came with it").design, part)
    assert entry is not None
    found = provenance_of(entry, measures_of(entry))
    assert found == Provenance(frozenset({"thread_length"}), "data sheet", "Sheet that came with it")
    entry = own_part(set_basis(design, part, "measured").design, part)
    assert entry is not None
    assert provenance_of(entry, measures_of(entry)).hands == set(sizes(entry))
    with pytest.raises(EditError, match="measured, data sheet, typical"):
        set_basis(design, part, "guessed")  # type: ignore[arg-type]


# -- nonsense ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "values", "field", "words"),
    [
        (BUTTON, {"nut_width": 30.0}, "nut_width", "falls through a hole of 30 mm"),
        (BUTTON, {"nut_width": 12.0}, "nut_width", "wider than its thread"),
        (BUTTON, {"hole_largest": 37.0}, "hole_largest", "falls through"),
        (BUTTON, {"body": 28.0}, "body", "wider than the smallest hole given, 27.9 mm"),
        (BUTTON, {"hole_smallest": 27.6}, "hole_smallest", "must go through it from above"),
        (BUTTON, {"hole_smallest": 28.1}, "hole_smallest", "smaller than the smallest that works"),
        (BUTTON, {"hole_smallest": 31.0}, "hole_smallest", "larger than the largest"),
        (BUTTON, {"hole": 30.5}, "hole", "larger than the largest that works, 30 mm"),
        (BUTTON, {"hole": 27.0}, "hole", "smaller than the smallest that works, 27.9 mm"),
        (BUTTON, {"flange": 29.9}, "flange", "does not cover a hole of 30 mm"),
        (BUTTON, {"thread_length": 7.0}, "thread_length", "nothing is left for a board"),
        (BUTTON, {"nut_height": 33.0}, "nut_height", "nothing is left for a board"),
        (BUTTON, {"thread_length": 58.5}, "thread_length", "further down than the whole part"),
        (BUTTON, {"body_depth": 33.0}, "body_depth", "further down than the whole part"),
        (BUTTON, {"thread_length": -3.0}, "thread_length", "more than 0"),
        (BUTTON, {"thread_length": 0.0}, "thread_length", "more than 0"),
        (BUTTON, {"washer": -0.1}, "washer", "is 0 and up to"),
        (BUTTON, {"body": 1e9}, "body", "up to 5000 mm"),
        (BUTTON, {"body": float("nan")}, "body", "not a finite number"),
        ("button-30-snap", {"grip_min": 5.0}, "grip_min", "the thickest must be more than the thinnest"),
        ("stick-plate-95x53", {"height_min": 66.0}, "height_min", "more than the greatest"),
        ("stick-plate-95x53", {"screw_across": 92.0}, "screw_across", "A screw misses the plate"),
        ("stick-plate-95x53", {"plate_height": 43.0}, "plate_height", "A screw misses the plate"),
        ("toggle-face-50x32", {"body_height": 13.3}, "body_height", "wider than the smallest hole"),
        ("rocker-19x13-snap", {"body_width": 19.3}, "body_width", "wider than the smallest hole"),
        ("rocker-19x13-snap", {"hole_height": 12.8}, "hole_height", "smaller than the smallest"),
        ("speaker-100", {"screw_along": 90.0, "screw_across": 90.0}, "screw_across", "A screw misses the rim"),
        ("stick-plate-95x53", {"screw_length": 2.0}, "screw_length", "ends inside the plate, 2 mm thick"),
        ("fan-80", {"screw_diameter": 4.5}, "screw_diameter", "cannot go through a hole of 4.3 mm"),
    ],
)  # fmt: skip
def test_nonsense_is_refused_beside_its_field(part: str, values: dict[str, float], field: str, words: str) -> None:
    design, own_id = own(part)
    with pytest.raises(EditError) as caught:
        measure_part(design, own_id, values)
    assert caught.value.field == field
    assert words in str(caught.value)


def test_just_possible_is_let_pass() -> None:
    """The other side of each limit: a hair more room, and it is a part."""
    for part, values in (
        (BUTTON, {"nut_width": 30.01}),
        (BUTTON, {"body": 27.9}),
        (BUTTON, {"flange": 30.0}),
        (BUTTON, {"thread_length": 7.01}),
        # Corner to corner of 17 × 13.15 mm is 21.492 mm, and the smallest hole 21.5 mm.
        ("toggle-face-50x32", {"body_height": 13.15}),
        # Screws 4 mm thick reach 2 mm beyond 42 mm, half of 84; the plate ends at 47.5 mm: 91 mm apart just lie on it.
        ("stick-plate-95x53", {"screw_across": 91.0}),
        ("stick-plate-95x53", {"body_width": 90.0}),
    ):
        assert own(part, **values)


def test_several_contradictions_are_told_at_once() -> None:
    design, part = own()
    with pytest.raises(NonsenseError) as caught:
        measure_part(design, part, {"nut_width": 20.0, "hole": 31.0, "thread_length": 80.0})
    assert set(caught.value.problems) == {"nut_width", "hole", "thread_length"}
    assert caught.value.field in caught.value.problems


def test_what_is_corrected_together_is_judged_together() -> None:
    design, part = own(hole=30.0, hole_smallest=29.9, hole_largest=31.5, body=29.7, flange=36.0, nut_width=40.0)
    assert own_part(design, part) is not None


def test_old_nonsense_does_not_stop_a_correction_of_something_else() -> None:
    design, part = own()
    wrong = with_measures(design.hardware[0], {"nut_width": 20.0})
    design = design.model_copy(update={"hardware": (wrong,)})
    assert measure_part(design, part, {"flange_rise": 6.0}).design != design


def test_moving_the_screws_moves_the_holes_cut_for_them() -> None:
    design, part = own("fan-80", screw_across=71.0)
    entry = own_part(design, part)
    assert entry is not None
    assert {abs(x) for x, _ in entry.fixing.holes} == {35.5}  # type: ignore[union-attr]
    assert {abs(c.x) for c in entry.cutouts[1:]} == {35.5}
    assert entry.cutouts[0].x == 0.0


def test_a_screw_length_is_known_or_not() -> None:
    design, part = own("stick-plate-95x53", screw_length=16.0)
    fixing = design_parts(design, catalogue())[part].fixing
    assert fixing.screw_length == 16.0  # type: ignore[union-attr]
    design = measure_part(design, part, {"screw_length": 0.0}).design
    assert design_parts(loads(dumps(design)), catalogue())[part].fixing.screw_length is None  # type: ignore[union-attr]


def test_a_corner_never_outgrows_its_sides() -> None:
    design, part = own("socket-face-50x25", body_height=3.0)
    assert design_parts(design, catalogue())[part].body.shape.size[1] == pytest.approx(3.0)


# -- names, and taking out -----------------------------------------------------------------------------------


def test_renaming() -> None:
    design, part = own()
    done = rename_part(design, part, "  Buttons from the old drawer ").design
    assert own_part(done, part).name == "Buttons from the old drawer"  # type: ignore[union-attr]
    for bad in ("", "   ", "x" * 121, "two\nlines"):
        with pytest.raises(EditError) as caught:
            rename_part(design, part, bad)
        assert caught.value.field == "name"
    assert correction(small_design(), name="Mine").design.hardware[0].name == "Mine"


def test_only_what_is_not_used_is_taken_out() -> None:
    used = correction(small_design()).design
    with pytest.raises(EditError, match=r"in use \(B, C\)"):
        remove_part(used, used.hardware[0].id)
    design, part = own()
    assert remove_part(design, part).design == small_design()
    with pytest.raises(EditError, match="not one of this design’s own parts"):
        remove_part(design, BUTTON)


def test_what_is_not_there() -> None:
    with pytest.raises(NotFoundError):
        copy_part(small_design(), "button-of-no-size", catalogue())
    with pytest.raises(NotFoundError):
        correction(small_design(), placement="nobody")
    design, part = own()
    with pytest.raises(EditError, match="no size"):
        measure_part(design, part, {"grip_min": 2.0})


@pytest.mark.parametrize(
    ("mm", "unit", "words"), [(27.9, Unit.MM, "27.9 mm"), (0.0, Unit.MM, "0 mm"), (1.5 * INCH, Unit.INCH, '1.500"')]
)
def test_lengths_as_callipers_show_them(mm: float, unit: Unit, words: str) -> None:
    assert caliper(mm, unit) == words


def test_what_may_be_zero() -> None:
    for name in MAY_BE_ZERO:
        assert name in ORDER
    assert own("lock-19-nut", washer=0.0)
    assert own("stick-plate-95x53", flange_rise=0.0)
