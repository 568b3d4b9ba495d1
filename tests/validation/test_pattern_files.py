"""Are the holes of a grille in every file where its numbers put them?

A grille of some 500 holes, invented here, is printed and exported; the PDF is read by PyMuPDF, the DXF by ezdxf and by
KLayout, none of which had a part in writing it. Where the holes are follows from the definition of rows staggered at
60° (tests/boards/scenario_cuts.py): columns a pitch apart, rows √3/2 of it, every other row half a pitch aside.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest
from scipy.spatial import cKDTree

from tests.boards.scenario_cuts import Case, through_cuts
from tests.validation.test_scenario_exchange import dxf, exported, klayout_polygons
from tests.validation.test_scenario_paper import circles_of, sheets_of

HOLE, SIDE, WITHIN = 5.0, 260.0, 0.01
CORNERS = [{"x": x, "y": y} for x, y in ((0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE))]
TEXT = json.dumps(
    {
        "format": "holewise-design", "version": 3, "title": "Pages of a grille",
        "patterns": [
            {
                "id": "grille", "order": "staggered-60", "hole": HOLE, "pitch": 9.0,
                "boundary": {"shape": "circle", "width": 215.0, "inset": 0.0},
            }
        ],
        "boards": [
            {
                "id": "grille", "name": "Grille, left", "role": "companion", "outline": {"corners": CORNERS},
                "layers": [{"material": "mdf", "thickness": 9.0}],
                "arrangements": [
                    {
                        "id": "one",
                        "placements": [
                            {"id": "s1", "part": "grille", "x": 131.25, "y": 128.5, "angle": 7.0, "label": "S1"}
                        ],
                    }
                ],
            }
        ],
    }
)  # fmt: skip
TOP, UNDER = (Case("grille", TEXT, "grille", "one", face) for face in ("top", "under"))


def wanted(case: Case) -> npt.NDArray[np.float64]:
    """Centres on the face, shape (n, 2) [mm]."""
    return np.array([(cut.x, cut.y) for cut in through_cuts(case)])


def assert_each_once(centres: npt.NDArray[np.float64], want: npt.NDArray[np.float64], within: float) -> None:
    far, which = cKDTree(want).query(centres)
    assert sorted(which.tolist()) == list(range(len(want)))
    assert far.max() <= within


@pytest.mark.parametrize("case", [TOP, UNDER], ids=str)
def test_every_hole_is_a_circle_of_the_dxf_for_ezdxf_and_for_klayout(case: Case, tmp_path: Path) -> None:
    want = wanted(case)
    assert 450 <= len(want) <= 550
    circles = [c for c in dxf(case).modelspace().query("CIRCLE") if "THROUGH" in c.dxf.layer]
    assert {round(2 * c.dxf.radius, 6) for c in circles} == {HOLE}
    assert_each_once(np.array([(c.dxf.center.x, c.dxf.center.y) for c in circles]), want, 1e-6)
    shapes = klayout_polygons(exported(case, "dxf"), tmp_path)
    boxes = np.array([box for name, found in shapes.items() if "THROUGH" in name for box, _ in found])
    assert_each_once((boxes[:, :2] + boxes[:, 2:]) / 2, want, WITHIN)


@pytest.mark.parametrize("paper", ["a4", pytest.param("letter", marks=pytest.mark.long)])
def test_every_hole_is_printed_where_it_belongs(paper: str) -> None:
    """On each sheet that shows its centre; nothing else of that size is on any sheet."""
    want, shown = wanted(TOP), set()
    for page, sheet in zip(circles_of(TOP, paper), sheets_of(TOP, paper), strict=True):
        x0, y0, x1, y1 = sheet.window
        inside = (want >= (x0, y0)).all(axis=1) & (want <= (x1, y1)).all(axis=1)
        shown |= set(np.flatnonzero(inside).tolist())
        found = np.array([(c.x, c.y, c.diameter) for c in page if abs(c.diameter - HOLE) < 0.5])
        far, which = cKDTree(want).query(found[:, :2])
        assert far.max() <= WITHIN
        assert np.abs(found[:, 2] - HOLE).max() <= WITHIN
        assert set(np.flatnonzero(inside).tolist()) <= set(which.tolist())
    assert shown == set(range(len(want)))
