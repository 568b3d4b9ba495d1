"""A row is read whole or refused with its place; nothing in it is guessed, dropped or let through."""

from __future__ import annotations

import copy
import math
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.hardware.part_rows import entry_of
from app.catalogue.load import catalogue
from app.catalogue.records import part_from_row
from app.catalogue.stock import (
    allowance_from_row,
    bits_from_row,
    default_from_row,
    material_from_row,
    paper_from_row,
)
from app.errors import CatalogueError
from app.geometry.shapes import circle, rectangle, slot
from app.model.part import NutFixing, Part, ScrewFixing, SnapFixing
from app.values import replace
from tests.folding import each


def part_row(part: Part) -> dict[str, Any]:
    return entry_of(part).model_dump(exclude_none=True)


NUT: dict[str, Any] = {
    "id": "mine-28",
    "name": "Button of mine",
    "kind": "button",
    "mount": "top",
    "source": "Measured with a caliper.",
    "basis": "measured",
    "cutouts": [{"shape": "circle", "x": 0, "y": 0, "diameter": 28, "smallest": 27.8, "largest": 29}],
    "flange": {"shape": "circle", "diameter": 33, "rise": 4},
    "fixing": {
        "type": "nut",
        "thread_length": 30,
        "nut_height": 5,
        "nut_width": 36,
        "washer": 1,
        "spare_thread": 1,
    },
    "body": {"shape": "circle", "diameter": 27, "depth": 50},
    "wiring": {"signal_tabs": 1, "ground_tabs": 1, "tab_width": 4.8, "light_current": 20},
}
SNAP = NUT | {"fixing": {"type": "snap", "grip_min": 2, "grip_max": 4}}
STICK = NUT | {
    "kind": "stick",
    "mount": "under",
    "fixing": {
        "type": "screws",
        "holes": [[-40, -20], [40, 20]],
        "screw_diameter": 4,
        "side": "under",
        "plate": {"shape": "rectangle", "width": 95, "height": 53, "corner": 3},
        "plate_thickness": 2,
    },
    "lever": {"length": 70, "height_min": 45, "height_max": 60, "knob": 35},
}
ROWS = {"nut": NUT, "snap": SNAP, "stick": STICK}


def test_every_field_of_a_row_reaches_the_part() -> None:
    part = part_from_row(NUT, "hardware[0]")
    assert (part.id, part.name, part.kind, part.mount) == ("mine-28", "Button of mine", "button", "top")
    assert (part.source.text, part.source.basis) == ("Measured with a caliper.", "measured")
    assert (part.cutouts[0].shape, part.cutouts[0].smallest, part.cutouts[0].largest) == (circle(28), 27.8, 29)
    assert part.flange is not None
    assert (part.flange.shape, part.flange.height) == (circle(33), 4)
    assert part.fixing == NutFixing(30, 5, 36, 1, 1)
    assert part.fixing.grip == 30 - 5 - 1 - 1
    assert (part.body.shape, part.body.depth, part.lever) == (circle(27), 50, None)
    assert part.wiring is not None
    assert (part.wiring.signal_tabs, part.wiring.light_current) == (1, 20)


def test_clips_screws_and_levers_are_read() -> None:
    assert part_from_row(SNAP, "x").fixing == SnapFixing(2, 4)
    stick = part_from_row(STICK, "x")
    plate = rectangle(95, 53, corner=3)
    assert stick.fixing == ScrewFixing(((-40, -20), (40, 20)), 4, "under", plate, 2)
    assert stick.lever is not None
    assert (stick.lever.length, stick.lever.height_min, stick.lever.height_max, stick.lever.knob) == (70, 45, 60, 35)


def test_slots_and_turned_rectangles_are_read_where_they_lie() -> None:
    row = NUT | {
        "cutouts": [
            {"shape": "slot", "x": 3, "y": -2, "length": 12, "width": 5, "angle": 30, "smallest": 5, "largest": 6},
            {"shape": "rectangle", "width": 20, "height": 9, "angle": 90, "smallest": 9, "largest": 9},
        ]
    }
    cutouts = part_from_row(row, "x").cutouts
    assert cutouts[0].shape == slot(12, 5, 3, -2, 30)
    assert cutouts[1].shape == rectangle(20, 9, angle=90)


def test_tuples_are_as_good_as_lists_and_null_is_no_flange() -> None:
    """A document hands over tuples, and null for what a part does not have."""
    row = STICK | {"cutouts": tuple(STICK["cutouts"]), "flange": None, "wiring": None}
    part = part_from_row(row, "x")
    assert part.flange is None and part.wiring is None


def _paths(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every path to a value inside a row, tables and lists included."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return ([path] if path else []) + [p for key, entry in inner for p in _paths(entry, (*path, key))]


def _place(path: tuple[Any, ...]) -> str:
    return "hardware[3]" + "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in path)


def _changed(row: dict[str, Any], path: tuple[Any, ...], value: object) -> dict[str, Any]:
    row = copy.deepcopy(row)
    at: Any = row
    for key in path[:-1]:
        at = at[key]
    at[path[-1]] = value
    return row


def _without(row: dict[str, Any], path: tuple[Any, ...]) -> dict[str, Any]:
    row = copy.deepcopy(row)
    del _leaf(row, path[:-1])[path[-1]]
    return row


ALL = [(name, path) for name, row in ROWS.items() for path in _paths(row)]


def _leaf(row: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        row = row[key]
    return row


LEAVES = [(n, p) for n, p in ALL if not isinstance(_leaf(ROWS[n], p), dict | list)]
FIGURES = [(n, p) for n, p in LEAVES if isinstance(_leaf(ROWS[n], p), int | float)]


@each("name, path", ALL)
@each("junk", [True, [], [[]], {"a": 1}, "", "  ", "x\ny"])
def test_the_wrong_sort_of_value_is_refused_with_its_place(name: str, path: tuple[Any, ...], junk: object) -> None:
    if (name, path, junk) == ("stick", ("cutouts",), []):
        return  # screws hold without a cut-out
    with pytest.raises(CatalogueError) as caught:
        part_from_row(_changed(ROWS[name], path, junk), "hardware[3]")
    assert str(caught.value).startswith("hardware[3]")
    inner = _place(path[: len(path) - 1 if isinstance(path[-1], int) else len(path)])
    assert inner in str(caught.value), "the place is the field itself, or something inside it"


@each("name, path", FIGURES)
@each("number", [math.nan, math.inf, -math.inf, 10**400, 1e9, -1e9])
def test_a_number_no_part_can_have_is_refused_with_its_place(name: str, path: tuple[Any, ...], number: float) -> None:
    inner = _place(path[:-1] if isinstance(path[-1], int) else path)
    with pytest.raises(CatalogueError, match=re.escape(inner)):
        part_from_row(_changed(ROWS[name], path, number), "hardware[3]")


SIGNED = {"x", "y", "angle"}


@pytest.mark.parametrize(
    ("name", "path"), [(n, p) for n, p in FIGURES if p[-1] not in SIGNED and isinstance(p[-1], str)]
)
def test_a_negative_size_is_refused_with_its_place(name: str, path: tuple[Any, ...]) -> None:
    with pytest.raises(CatalogueError, match=re.escape(_place(path)) + r": .*greater than.*got -1"):
        part_from_row(_changed(ROWS[name], path, -1), "hardware[3]")


OPTIONAL = {
    *("x", "y", "corner", "rise", "flange", "lever", "wiring", "plate", "plate_thickness"),
    *("mount", "basis", "washer", "spare_thread", "side"),
}
REQUIRED = [(n, p) for n, p in ALL if isinstance(p[-1], str) and p[-1] not in OPTIONAL and p[0] != "wiring"]


@each("name, path", REQUIRED)
def test_a_missing_field_is_named(name: str, path: tuple[Any, ...]) -> None:
    with pytest.raises(CatalogueError, match=re.escape(_place(path)) + ".*the field is missing"):
        part_from_row(_without(ROWS[name], path), "hardware[3]")


TABLES = [(n, ()) for n in ROWS] + [(n, p) for n, p in ALL if isinstance(_leaf(ROWS[n], p), dict)]


@each("name, path", TABLES)
def test_an_unknown_field_is_refused_at_any_depth(name: str, path: tuple[Any, ...]) -> None:
    row = _changed(ROWS[name], (*path, "colour"), "red")
    with pytest.raises(CatalogueError, match=re.escape(_place(path)) + ": the field 'colour' is not known"):
        part_from_row(row, "hardware[3]")


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        (("kind",), "lamp", "'button', 'stick', 'rotary'"),
        (("mount",), "left", "'top' or 'under'"),
        (("basis",), "guessed", "'measured', 'data sheet' or 'typical'"),
        (("fixing", "type"), "tape", "'nut', 'snap', 'screws', 'glue'"),
        (("body", "shape"), "star", "'circle', 'rectangle', 'slot'"),
        (("id",), "Mine 28", "match pattern"),
        (("id",), "a" * 65, "match pattern"),
        (("name",), "n" * 121, "at most 120 characters"),
        (("cutouts",), NUT["cutouts"] * 65, "a list of 1 to 64 entries"),
    ],
)
def test_a_word_that_is_not_known_is_answered_with_those_that_are(
    path: tuple[str, ...], value: object, words: str
) -> None:
    with pytest.raises(CatalogueError, match=re.escape(_place(path)) + ".*" + re.escape(words)):
        part_from_row(_changed(NUT, path, value), "hardware[3]")


@pytest.mark.parametrize(
    ("path", "value", "place"),
    [
        (("cutouts", 0, "smallest"), 28.5, "hardware[3].cutouts[0]: "),
        (("cutouts", 0, "largest"), 27.9, "hardware[3].cutouts[0]: "),
        (("fixing", "thread_length"), 7, "hardware[3].fixing.thread_length: "),
        (("body",), {"shape": "slot", "length": 5, "width": 6, "depth": 9}, "hardware[3].body: "),
        (("body",), {"shape": "rectangle", "width": 5, "height": 6, "corner": 2.6, "depth": 9}, "hardware[3].body: "),
    ],
)
def test_numbers_that_contradict_each_other_are_refused(path: tuple[Any, ...], value: object, place: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(place)):
        part_from_row(_changed(NUT, path, value), "hardware[3]")


def test_clips_and_levers_have_their_least_first() -> None:
    with pytest.raises(CatalogueError, match=r"fixing\.grip_max: a number above 2"):
        part_from_row(_changed(SNAP, ("fixing", "grip_max"), 2), "x")
    with pytest.raises(CatalogueError, match=r"lever\.height_max: a number from 45"):
        part_from_row(_changed(STICK, ("lever", "height_max"), 44.9), "x")


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@given(data=st.data())
def test_whatever_is_put_anywhere_gives_a_part_or_a_catalogue_error(data: st.DataObject) -> None:
    name, path = data.draw(st.sampled_from(ALL))
    row = _changed(ROWS[name], path, data.draw(json_values))
    said = ""
    try:
        part_from_row(row, "hardware[3]")
    except CatalogueError as error:
        said = str(error)
    assert said == "" or (said.startswith("hardware[3]") and "\n" not in said and len(said) < 600)


@given(json_values)
def test_a_row_that_is_no_part_at_all_is_refused(row: object) -> None:
    with pytest.raises(CatalogueError, match=r"^hardware"):
        part_from_row(row, "hardware[0]")


@each("part", list(catalogue().parts.values()))
def test_a_part_written_as_a_row_is_read_back_the_same(part: Part) -> None:
    assert part_from_row(part_row(part), "again") == part


sides = st.floats(1, 400).map(lambda v: round(v, 2))


@given(a=sides, b=sides, x=st.floats(-50, 50), angle=st.floats(-180, 180))
def test_a_shape_written_as_a_row_lies_where_it_lay(a: float, b: float, x: float, angle: float) -> None:
    long, short = max(a, b), min(a, b)
    for shape in (
        slot(long, short, x, -x, angle),
        rectangle(a, b, x, 3, angle),
        rectangle(a, b, x, 3, angle, short / 4),
    ):
        part = part_from_row(NUT, "x")
        row = part_row(replace(part, body=replace(part.body, shape=shape)))
        again = part_from_row(row, "x").body.shape
        assert again.radius == pytest.approx(shape.radius, abs=1e-6)
        for p, q in zip(again.core, shape.core, strict=True):
            assert math.dist(p, q) < 1e-5


LIMIT = {"fixed": 6}
MATERIAL: dict[str, Any] = {
    "id": "board",
    "name": "Board",
    "family": "mdf",
    "density": 700,
    "thicknesses": [18, "3/4 in"],
    "source": "A test.",
    "basis": "typical",
    "limits": {
        "edge_stop": LIMIT,
        "edge_caution": {"per_thickness": 2},
        "edge_caution_backed": {"per_diameter": 1},
        "web_stop": LIMIT,
        "web_caution": LIMIT,
        "ledge_floor": 5,
        "source": "A test.",
        "basis": "typical",
    },
}


def test_a_material_keeps_its_limits_and_inch_sizes() -> None:
    material = material_from_row(MATERIAL, "x")
    assert material.thicknesses == (18, 19.05)
    assert material.limits.edge_stop.required(18, 30) == 6
    assert material.limits.edge_caution.required(18, 30) == 2 * 18
    assert material.limits.edge_caution_backed.required(18, 30) == 30


@pytest.mark.parametrize(
    ("path", "value", "place"),
    [
        (("family",), "cheese", "x.family"),
        (("density",), 0, "x.density"),
        (("thicknesses",), [18, -1], "x.thicknesses[1]"),
        (("thicknesses",), ["thick"], "x.thicknesses[0]"),
        (("thicknesses",), [True], "x.thicknesses[0]"),
        (("limits", "web_stop"), {"fixd": 3}, "x.limits.web_stop"),
        (("limits", "ledge_floor"), math.nan, "x.limits.ledge_floor"),
        (("limits", "source"), None, "x.limits.source"),
    ],
)
def test_a_bad_material_is_refused_with_its_place(path: tuple[str, ...], value: object, place: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(place)):
        material_from_row(_changed(MATERIAL, path, value), "x")


ORIGIN = {"source": "A test.", "basis": "typical"}
STRENGTH = {"up_to": 12, "bending": 22, "shear": 6, "modulus": 2500, "poisson": 0.3, **ORIGIN}


def test_strengths_may_be_left_out_and_go_by_thickness() -> None:
    assert material_from_row(MATERIAL, "x").strength(18) is None
    thick = {**STRENGTH, "up_to": 30, "bending": 18}
    material = material_from_row({**MATERIAL, "strengths": [STRENGTH, thick]}, "x")
    bending = [strength.bending for t in (1, 12, 12.001, 30, 99) if (strength := material.strength(t))]
    assert bending == [22, 22, 18, 18, 18]


@pytest.mark.parametrize(
    ("rows", "place"),
    [
        ([STRENGTH, STRENGTH], "x.strengths[1].up_to: a number above 12"),
        ([{**STRENGTH, "bending": 0}], "x.strengths[0].bending"),
        ([{**STRENGTH, "poisson": 0.6}], "x.strengths[0].poisson"),
        ([{**STRENGTH, "hardness": 1}], "x.strengths[0]: the field 'hardness'"),
    ],
)
def test_a_bad_strength_is_refused_with_its_place(rows: list[dict[str, Any]], place: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(place)):
        material_from_row({**MATERIAL, "strengths": rows}, "x")


def test_other_rows_are_refused_with_their_place() -> None:
    paper = {"id": "p", "name": "P", "width": 300, "height": 200, **ORIGIN}
    with pytest.raises(CatalogueError, match=r"x\.height: a number from 300"):
        paper_from_row(paper, "x")  # papers stand upright
    allowance = {"id": "hand", "name": "Hand", "position": -1, "edge": 0.5, **ORIGIN}
    with pytest.raises(CatalogueError, match=r"x\.position"):
        allowance_from_row(allowance, "x")
    bits = {"set": "metric", "kind": "forstner", "diameters": [20, 500], "reach": 50, **ORIGIN}
    with pytest.raises(CatalogueError, match=r"x\.diameters\[1\]: A bit is above 0 and up to 200 mm"):
        bits_from_row(bits, "x")
    with pytest.raises(CatalogueError, match=r"x\.unit: one of mm, N"):
        default_from_row({"id": "gap", "value": 1, "unit": "furlong", **ORIGIN}, "x")
