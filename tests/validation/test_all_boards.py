"""Is every hole of every board where its numbers put it, once boards share sheets?

Four plates with staggered holes, invented here, are printed together; PyMuPDF, which had no part in writing the file,
measures every circle against the rim it lies in. Where the holes are follows from the definition of such rows
(tests/boards/scenario_cuts.py); which rim is which board, from its sides, which are all different.
"""

from __future__ import annotations

import json
from collections import Counter
from functools import cache
from itertools import combinations

import numpy as np
import numpy.typing as npt
import pymupdf
import pytest
from shapely.geometry import box

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.errors import ProofError
from app.model.part import Face
from app.model.resolved import Placed
from app.paper.kinds import ALL_TEMPLATES
from app.paper.sheet_kind import SheetJob
from app.proof import prove_sheets
from app.service.checks.checking import judged
from app.service.drawings.made_file import ProvedFile
from app.service.drawings.sheet_files import printing_on, sheet_file
from app.service.drawings.sheet_jobs import sheet_job
from app.values import replace
from tests.boards.scenario_cuts import Case, through_cuts
from tests.long_run import rows_in_gate
from tests.reading.measure import POINT, fit_circle, pdf_curves
from tests.validation.test_pattern_files import assert_each_once

Floats = npt.NDArray[np.float64]

WITHIN = 0.01  # mm
HOLE = 5.0
SIDES = {"low": (225.0, 50.0), "tall": (52.0, 200.0), "small": (70.0, 58.0), "wide": (150.0, 110.0)}
CASES = rows_in_gate(
    [(paper, units, face) for paper in ("a4", "letter") for units in ("mm", "inch") for face in ("top", "under")],
    lambda row: row in {("a4", "mm", "top"), ("letter", "inch", "under")},
)


def board(name: str) -> dict[str, object]:
    """A plate with a turned pattern off its middle, so that neither a turn nor a mirror leaves it as it was."""
    width, depth = SIDES[name]
    corners = [{"x": x, "y": y} for x, y in ((0, 0), (width, 0), (width, depth), (0, depth))]
    place = {"id": "s1", "part": "grille", "x": 27.5, "y": 26.25, "angle": 7.0, "label": "S1"}
    catch = {"id": "c1", "part": "catch", "x": width - 13, "y": depth - 13, "label": "C1"}
    return {
        "id": name, "name": f"Plate, {name}", "role": "companion", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": 9.0}],
        "arrangements": [{"id": "one", "placements": [place, catch]}],
    }  # fmt: skip


def text_in(units: str) -> str:
    """The design file."""
    pattern = {
        "id": "grille", "order": "staggered-60", "hole": HOLE, "pitch": 12.0,
        "boundary": {"shape": "circle", "width": 38.0, "inset": 0.0},
    }  # fmt: skip
    catch = {  # screwed on from below, so that the undersides are printed too
        "id": "catch", "name": "Catch", "kind": "bracket", "mount": "under", "source": "Made up.", "basis": "typical",
        "cutouts": [], "body": {"shape": "circle", "diameter": 3, "depth": 1},
        "fixing": {
            "type": "screws", "holes": [[0, 0]], "screw_diameter": 2, "screw_length": 6, "side": "under",
        },
    }  # fmt: skip
    whole = {
        "format": "holewise-design",
        "version": 3,
        "title": "Four plates",
        "units": units,
        "patterns": [pattern],
        "hardware": [catch],
    }
    return json.dumps({**whole, "boards": [board(name) for name in SIDES]})


@cache
def printed(paper: str, units: str, face: Face) -> ProvedFile:
    made = sheet_file("all-templates", loads(text_in(units)), face=face, paper=paper)
    assert isinstance(made, ProvedFile)
    return made


def job_of(paper: str, units: str, face: Face) -> SheetJob:
    design = loads(text_in(units))
    seen = judged(resolve(design, None, None, catalogue(), ""))
    return sheet_job(design, seen, face, printing_on(seen.resolved, paper))


def circles(data: bytes, number: int) -> Floats:
    """Centre and diameter of every circle on a page that is as wide as a hole, shape (n, 3) [mm]."""
    fits = [fit_circle(run) for run in pdf_curves(data, number) if len(run) >= 9]
    found = np.array([(fit.x, fit.y, fit.diameter) for fit in fits if fit.spread < WITHIN]).reshape(-1, 3)
    return found[np.abs(found[:, 2] - HOLE) < 0.5]  # screws are marked narrower


def rims(page: pymupdf.Page) -> dict[tuple[str, bool], Floats]:
    """Rectangles that are as large as a board, lying or turned by a quarter: x0, y0, x1, y1 [mm]."""
    found: dict[tuple[str, bool], Floats] = {}
    high = page.rect.height
    for path in page.get_drawings():
        points = [p for item in path["items"] if item[0] == "l" for p in item[1:3]]
        points += [p for item in path["items"] if item[0] == "re" for p in (item[1].tl, item[1].br)]
        if not points or path["dashes"] not in {None, "", "[] 0"}:
            continue
        at = np.array([(p.x, high - p.y) for p in points]) * POINT
        size = np.ptp(at, axis=0)
        for name, sides in SIDES.items():
            for turned in (False, True):
                if np.abs(size - (sides[::-1] if turned else sides)).max() < WITHIN:
                    assert (name, turned) not in found
                    found[name, turned] = np.concatenate([at.min(axis=0), at.max(axis=0)])
    return found


@pytest.mark.parametrize(("paper", "units", "face"), CASES)
def test_every_hole_of_every_board_is_in_its_place_once(paper: str, units: str, face: Face) -> None:
    made, seen = printed(paper, units, face), Counter[str]()
    with pymupdf.open(stream=made.data, filetype="pdf") as file:
        for page in list(file)[1:]:
            holes = circles(made.data, page.number)
            left = len(holes)
            here = rims(page)
            assert here
            for a, b in combinations(here.values(), 2):
                assert not box(*a).intersects(box(*b))
            for (name, turned), (x0, y0, x1, y1) in here.items():
                x, y, _ = holes.T
                inside = holes[(x > x0) & (x < x1) & (y > y0) & (y < y1)]
                there = inside[:, :2] - (x0, y0)
                if turned:  # by a quarter, anticlockwise: what was up points to the left
                    there = np.column_stack([there[:, 1], SIDES[name][1] - there[:, 0]])
                want = [(c.x, c.y) for c in through_cuts(Case(name, text_in(units), name, "one", face))]
                assert_each_once(there, np.array(want), WITHIN)
                seen[name] += 1
                left -= len(inside)
            assert left == 0, "no circle is outside every board"
    assert seen == Counter(list(SIDES))


def test_boards_share_sheets_and_some_lie_turned() -> None:
    """Or nothing above would be tried: unturned, the low plate would lie with none of the others."""
    with pymupdf.open(stream=printed("a4", "mm", "top").data, filetype="pdf") as file:
        assert 2 <= len(file) < 1 + len(SIDES)
        assert any(turned for page in file for _, turned in rims(page))
        assert "instead of 4" in file[0].get_text()


@pytest.mark.parametrize(("paper", "units", "face"), CASES)
def test_every_page_has_its_bars_and_says_which_boards_it_has(paper: str, units: str, face: Face) -> None:
    with pymupdf.open(stream=printed(paper, units, face).data, filetype="pdf") as file:
        for page in file:
            filled = [d["rect"] for d in page.get_drawings() if d["fill"]]
            for length in (100.0, 4 * 25.4):
                for sides in ((r.width for r in filled), (r.height for r in filled)):
                    assert any(abs(side * POINT - length) < WITHIN for side in sides)
            words = " ".join(page.get_text().split())
            for name, _ in rims(page):
                assert words.count(f"Plate, {name}") == 2, "below its drawing and in the strip"
            if page.number:
                assert ("UNDERSIDE" if face == "under" else "TOP FACE") in words


@pytest.mark.parametrize(("paper", "units", "face"), CASES)
def test_no_words_lie_over_others_and_all_stand_on_the_paper(paper: str, units: str, face: Face) -> None:
    with pymupdf.open(stream=printed(paper, units, face).data, filetype="pdf") as file:
        for page in file:
            boxes = []
            for block in page.get_text("dict")["blocks"]:
                for line in block.get("lines", ()):
                    cy, level = line["dir"][1], abs(line["dir"][0]) > 0.5
                    for span in line["spans"]:
                        if not span["text"].strip():
                            continue
                        (x, y), size = span["origin"], span["size"]
                        up, down = 0.78 * size, 0.23 * size  # as the letters of this face stand off their line
                        x0, y0, x1, y1 = span["bbox"]
                        assert level or cy < 0, "read from the right"
                        boxes.append(box(x0, y - up, x1, y + down) if level else box(x - up, y0, x + down, y1))
            paper_box = box(0, 0, page.rect.width, page.rect.height)
            assert all(paper_box.contains(one) for one in boxes)
            assert not [(a.bounds, b.bounds) for a, b in combinations(boxes, 2) if a.buffer(-0.05).intersects(b)]


def aside(placed: Placed) -> Placed:
    """Every hole two hundredths of a millimetre to the right of its place."""
    holes = tuple(replace(hole, shape=hole.shape.shifted(0.02, 0.0)) for hole in placed.holes)
    return replace(placed, holes=holes)


def test_a_board_in_another_place_or_off_its_sheet_is_refused() -> None:
    """A file of other boards, and one that lacks a page, are not handed out."""
    job, data = job_of("a4", "mm", "top"), printed("a4", "mm", "top").data
    assert prove_sheets(ALL_TEMPLATES, data, job) is not None
    with pytest.raises(ProofError):
        prove_sheets(ALL_TEMPLATES, data, job_of("a4", "mm", "under"))
    with pytest.raises(ProofError):
        prove_sheets(ALL_TEMPLATES, printed("letter", "inch", "under").data, job)
    first, *others = job.every
    moved = first.board.populated(tuple(map(aside, first.board.placements)))
    spoilt = (replace(first, board=moved), *others)
    with pytest.raises(ProofError, match="Plate, low"):
        prove_sheets(ALL_TEMPLATES, data, replace(spoilt[0], all_boards=lambda: spoilt))
