"""What a button does for a finding about what a maker made: it clears it and adds none, in either unit.

And its words are what it does: a builder who types the figure that is said into the maker's page gets the same.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from app.arrange.design.apply_fix import apply_fix
from app.arrange.maker.make import make_board, make_on_board
from app.arrange.maker.make_anew import make_anew
from app.arrange.placement import edit as placing
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.document.where import Where
from app.fit.changes.changed_board import with_fix
from app.fit.changes.trial import is_fresh, known_of, still
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.fit.words.messages import fix_label, remedy
from app.model.fix import MoveBy, Remake
from app.units import Unit, parse_length
from app.values import replace
from tests.reading.remedy_words import LENGTH
from tests.unit.arrange.maker.designs import plain
from tests.unit.fit.made_boards import made_board, made_design, report_of

FINGERS = catalogue().rule("plug-fingers")

# By rule: a maker, measures that break it, and what the button says in millimetres.
BROKEN: tuple[tuple[str, str, dict[str, Any], str], ...] = (
    ("cone-area", "grille", {"hole": 8.0, "pitch": 18.0}, r"Bring the holes of B to a pitch of .+"),
    ("cone-area", "grille", {"field": 50.0}, "Let the holes of B fill the circle of the cone"),
    ("cone-area", "grille", {"hole": 2.0, "pitch": 30.0, "fixing": "glue"}, "Make one opening with a ring before A"),
    ("cone-cover", "grille", {"field": 110.0}, r"Keep the holes of B within a circle of 96 mm"),
    ("finger-guard", "fan", {"holes": "square", "hole": 8.0, "pitch": 16.0}, r"Make the holes of B 6 mm wide"),
    ("finger-guard", "fan", {"guard": False}, "Put a wire guard over A"),
    ("plug-room", "sockets", {"spacing": 52.0, "plug": 45.0}, r"Space A, B and C .+ from middle to middle"),
    ("door-clearance", "door", {"gap": 0.0}, r"Make the gap of the door .+ a side"),
    ("door-clearance", "door", {"gap": 0.2, "paint": 0.3}, r"Make the gap of the door .+ a side"),
    (
        "door-clearance",
        "door",
        {"sized": "both", "width": 299.5, "height": 219.5, "opening_width": 300.0, "opening_height": 220.0},
        r"Make the door .+ from left to right and make the door .+ from front to back",
    ),
    ("door-swing", "door", {"room": 250.0}, "Hinge the door at its front edge"),
    (
        "door-swing",
        "door",
        {"opening_width": 120.0, "gap": 1.0, "lock_in": 60.0},
        r"Make the gap of the door .+ a side",
    ),
    ("hinge-screw", "door", {"screw_length": 20.0, "frame": 12.0}, r"Use .+ screws for the hinges of the door"),
    ("hinge-screw", "door", {"screw_length": 5.0}, r"Use .+ screws for the hinges of the door"),
    ("hinge-screw", "door", {"screw": 6.0, "frame": 12.0}, r"Use screws .+ thick for the hinges of the door"),
    ("display-fit", "display", {"opening_width": 438.0}, r"Make the opening before the display .+ from left to right"),
    ("display-fit", "display", {"opening_height": 200.0}, r"Make the opening before the display .+ from front to back"),
    (
        "display-fit",
        "display",
        {"fit": "press", "room": 460.0},
        "Screw the display to the plate and leave it loose between the sides",
    ),
    ("mount-screw", "display", {"screw_length": 30.0}, "Use 19 mm screws for A"),
    ("mount-screw", "display", {"screw_length": 11.0}, "Use 14 mm screws for A"),
    ("plate-bending", "display", {"mass": 30_000}, r"Bring the supports of the plate to .+ from each other"),
    ("plate-bending", "display", {"height": 270.0, "cable_length": 400.0, "cable_width": 200.0, "mass": 15000}, r".+"),
)


def harm(before: Report, after: Report) -> list[tuple[str, str]]:
    was = known_of(before.findings)
    return [(f.rule, f.severity) for f in after.findings if is_fresh(f, was)]


def one(report: Report, rule: str) -> Finding:
    return next(f for f in report.findings if f.rule == rule and f.severity != "note")


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize(("rule", "maker", "measures", "said"), BROKEN)
def test_the_button_clears_what_it_is_for_and_adds_nothing(
    rule: str, maker: str, measures: dict[str, Any], said: str, unit: Unit
) -> None:
    made = made_design(maker, 33, **measures)
    report = report_of(made.design, made.board, unit)
    finding = one(report, rule)
    fix = report.fix_for(finding)
    assert isinstance(fix, Remake)
    label = fix_label(fix, report.board, unit, catalogue())
    if unit is Unit.MM:
        assert re.fullmatch(said, label), label
    assert remedy(finding, report, unit).startswith(label), "the remedy begins with what the button does"
    done = apply_fix(made.design, made.board, None, fix, catalogue()).design
    after = report_of(done, made.board, unit)
    assert not still(finding, after.findings)
    assert harm(report, after) == []
    _typed_as_it_is_said(made.design, made.board, fix, label, unit, done)


def _typed_as_it_is_said(design: Design, board: str, fix: Remake, label: str, unit: Unit, done: Design) -> None:
    """Figures read from the words give what the button gave."""
    figures = [parse_length(said, unit) for said in re.findall(LENGTH, label)]
    lengths = [v for _, v in fix.measures if isinstance(v, float) and not isinstance(v, bool) and v != 0.0]
    assert figures == pytest.approx(lengths, abs=1e-9)
    typed = iter(figures)
    by_hand = {n: next(typed) if isinstance(v, float) and v != 0.0 else v for n, v in fix.measures}
    hand = make_anew(design, Where(board, None), fix.maker, by_hand, catalogue()).design
    assert report_of(hand, board).findings == report_of(done, board).findings


@pytest.mark.parametrize(("rule", "maker", "measures"), [case[:3] for case in BROKEN])
def test_there_is_the_same_way_out_in_both_units(rule: str, maker: str, measures: dict[str, Any]) -> None:
    made = made_design(maker, 33, **measures)
    fixes = []
    for unit in Unit:
        report = report_of(made.design, made.board, unit)
        fix = report.fix_for(one(report, rule))
        assert isinstance(fix, Remake)
        fixes.append([(name, value if isinstance(value, str) else None) for name, value in fix.measures])
    assert fixes[0] == fixes[1]


def test_without_a_design_no_other_measure_is_promised() -> None:
    for rule, maker, measures, _ in BROKEN:
        made = made_design(maker, 33, **measures)
        board = report_of(made.design, made.board).board
        report = check(board, catalogue())
        finding = one(report, rule)
        assert not any(isinstance(way.in_mm, Remake) for way in report.advice_for(finding).ways)
        assert not isinstance(report.fix_for(finding), Remake)
        assert all(remedy(finding, report, unit) for unit in Unit)


def test_one_of_two_fans_blows_the_other_way() -> None:
    """Together they want twice a bore of air; one in and one out want none."""
    design = make_board(plain(), "fan", {"width": 400.0}, catalogue())
    where = Where(design.board, None)
    moved = make_anew(design.design, where, "fan", {}, catalogue(), x=100.0).design
    both = make_on_board(moved, where, "fan", {}, 300.0, 90.0, 0.0, catalogue()).design
    vent = made_design("fan", 1).design.patterns
    both = both.model_copy(update={"patterns": vent})
    both = placing.add(both, None, None, vent[0].id, 300, 150, catalogue()).design
    report = report_of(both, design.board)
    finding = one(report, "air-flow")
    fix = report.fix_for(finding)
    assert isinstance(fix, Remake) and fix.measures == (("air", "in"),)
    assert re.fullmatch(r"Let \w+ blow in", fix_label(fix, report.board, Unit.MM))
    after = report_of(apply_fix(both, design.board, None, fix, catalogue()).design, design.board)
    assert (still(finding, after.findings), harm(report, after)) == ([], [])


def test_a_socket_that_was_moved_too_near_is_moved_back() -> None:
    made = made_design("sockets", plug=50.0, spacing=50 + 2 + FINGERS, width=400.0)
    first = report_of(made.design, made.board).board.placements[0]
    near = placing.move_by(made.design, made.board, None, first.id, 5.0, 0.0).design
    report = report_of(near, made.board)
    finding = one(report, "plug-room")
    fix = report.fix_for(finding)
    assert isinstance(fix, MoveBy)
    after = report_of(apply_fix(near, made.board, None, fix, catalogue()).design, made.board)
    assert (still(finding, after.findings), harm(report, after)) == ([], [])


@pytest.mark.parametrize("hinged", ["left", "right", "front", "back"])
def test_what_is_too_deep_near_the_free_edge_of_a_door_moves_to_the_hinges(hinged: str) -> None:
    """A lock 60 mm deep, 20 mm from the free edge, swings into the opening; nearer to the pins it is clear."""
    upright = hinged in ("left", "right")
    sides: dict[str, Any] = {"width": 100.0, "height": 210.0} if upright else {"width": 210.0, "height": 100.0}
    board = made_board("door", sized="door", gap=2.0, lock_in=20.0, hinged=hinged, **sides)
    lock = next(p for p in board.placements if p.id == "door-lock")
    deep = replace(lock, part=replace(lock.part, body=replace(lock.part.body, depth=60.0)))
    board = board.populated(tuple(deep if p.id == lock.id else p for p in board.placements))
    report = check(board, catalogue())
    finding = next(f for f in report.findings if f.rule == "door-swing" and f.subjects)
    fix = report.fix_for(finding)
    assert isinstance(fix, MoveBy)
    way = {"left": (-1, 0), "right": (1, 0), "front": (0, -1), "back": (0, 1)}[hinged]
    assert fix.dx * way[0] + fix.dy * way[1] > 0
    after = check(with_fix(board, fix, catalogue()), catalogue())
    assert (still(finding, after.findings), harm(report, after)) == ([], [])
    assert remedy(finding, report, Unit.MM).startswith("Move DOOR-LOCK ")


def test_behind_sockets_the_words_say_how_much_deeper_and_there_is_no_button() -> None:
    made = made_design("sockets", free_depth=50.0)
    report = report_of(made.design, made.board)
    finding = one(report, "plug-room")
    assert report.fix_for(finding) is None
    words = remedy(finding, report, Unit.MM)
    found = re.match(r"Make the box (.+ mm) deeper under \w+, or", words)
    assert found, words
    by = parse_length(found[1], Unit.MM)
    board = made.design.boards[-1]
    below = board.depth_below
    assert below is not None
    deeper = board.model_copy(
        update={"depth_below": below.model_copy(update={"front": below.front + by, "back": below.back + by})}
    )
    design = made.design.model_copy(update={"boards": (*made.design.boards[:-1], deeper)})
    assert not still(finding, report_of(design, made.board).findings)
