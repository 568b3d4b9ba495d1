"""Rules about displays, each on both sides of its limit.

Thread, room, lap, and how far a plate may bend are common practice, no source; the beam's formula is any handbook's.
The plate is of 9 mm plywood, the washer 1 mm, the thread 10 mm deep; sawn edges are up to 0.5 mm off.
"""

from __future__ import annotations

from typing import Any

import pytest

from app.catalogue.load import catalogue
from app.fit.words.messages import remedy
from app.model.maker.beam import bend, stiffness
from app.units import Unit
from tests.unit.fit.boards import found
from tests.unit.fit.made_boards import made_board, made_report

CATALOGUE = catalogue()
HAIR = 0.01
EDGE = CATALOGUE.allowances["hand"].edge


def graves(rule: str, **measures: Any) -> list[str]:
    return [f.severity for f in found(made_board("display", **measures), rule, CATALOGUE)]


@pytest.mark.parametrize(
    ("length", "want"),
    [
        (9 + 1 + 4.0, []), (9 + 1 + 4.0 - HAIR, ["caution"]), (9 + 1 + HAIR, ["caution"]), (9 + 1.0, ["stop"]),
        (9 + 1 + 9.0, []), (9 + 1 + 9.0 + HAIR, ["caution"]), (9 + 1 + 10.0, ["caution"]),
        (9 + 1 + 10.0 + HAIR, ["stop"]),
    ],
)  # fmt: skip
def test_screws_go_a_diameter_into_the_thread_and_end_a_millimetre_short_of_its_bottom(
    length: float, want: list[str]
) -> None:
    assert graves("mount-screw", screw_length=length) == want


def test_a_thread_too_shallow_for_any_screw_says_so_both_ways_in_turn() -> None:
    """4 mm of thread, of which 1 mm is kept free, hold no screw of 4 mm."""
    assert graves("mount-screw", thread_depth=4.0, screw_length=9 + 1 + 3.5) == ["caution", "caution"]


@pytest.mark.parametrize(("length", "said"), [(30.0, "Use 19 mm screws for"), (11.0, "Use 14 mm screws for")])
def test_the_remedy_names_screws_that_were_tried(length: float, said: str) -> None:
    report = made_report("display", screw_length=length)
    (finding,) = (f for f in report.findings if f.rule == "mount-screw")
    assert remedy(finding, report, Unit.MM).startswith(said)
    assert graves("mount-screw", screw_length=float(said.split()[1])) == []


def heaviest(span: float = 450.0) -> float:
    """Grams under which the default plate bends by its span over 300."""
    board = made_board("display")
    stiff = stiffness(board.layers, 290 - 25)
    assert stiff is not None
    return span / 300 / bend(1, span, stiff)


@pytest.mark.parametrize(("more", "want"), [(-20, []), (150, ["caution"])])
def test_a_plate_bends_by_its_span_over_300_at_most(more: float, want: list[str]) -> None:
    assert graves("plate-bending", mass=float(int(heaviest()) + more)) == want


def test_the_thickness_that_is_said_to_be_needed_is_enough() -> None:
    (finding,) = found(made_board("display", mass=15_000.0), "plate-bending", CATALOGUE)
    assert finding.required is not None and finding.required > 9
    assert graves("plate-bending", mass=15_000.0, plate=finding.required + HAIR, screw_length=20.0) == []
    assert graves("plate-bending", mass=15_000.0, plate=finding.required - 0.1, screw_length=20.0) == ["caution"]


@pytest.mark.parametrize(
    ("room", "fit", "want"),
    [
        (440 + 4 + EDGE, "loose", []), (440 + 4 + EDGE - HAIR * 2, "loose", ["caution"]), (440.0, "loose", ["caution"]),
        (440 + EDGE, "press", []), (440 + EDGE - HAIR, "press", ["caution"]),
        (441.0, "press", []), (441.0 + HAIR, "press", ["caution"]),
    ],
)  # fmt: skip
def test_a_display_has_room_between_the_sides_or_is_pressed(room: float, fit: str, want: list[str]) -> None:
    """2 mm on each side, of what is left between sides that are off; pressed, 1 mm in all."""
    assert graves("display-fit", room=room, fit=fit) == want


@pytest.mark.parametrize(
    ("cut", "want"),
    [
        (440.0, ["stop"]), (440 - HAIR, ["caution"]), (440 - 2 * (3 + EDGE) + 2 * HAIR, ["caution"]),
        (440 - 2 * (3 + EDGE), ["note"]), (409.6 - 2 * EDGE + 2 * HAIR, ["note"]), (409.6 - 2 * EDGE, []),
        (409.6 - 10, []), (409.6 - 10 - 2 * HAIR, ["caution"]), (0.0, []),
    ],
)  # fmt: skip
def test_an_opening_laps_over_the_case_and_hides_little_of_the_picture(cut: float, want: list[str]) -> None:
    """3 mm of lap and 5 mm of picture on each side; between the picture and the case, the bezel shows."""
    assert graves("display-fit", opening_width=cut) == want
