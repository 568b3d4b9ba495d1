"""The retrofit template measured by PyMuPDF, which had no part in writing it: pieces and guide blocks at true size.

Source: ISO 32000-1, 8.3.2.3 (72 points to the inch).
"""

from __future__ import annotations

import math
import re

import pymupdf
import pytest

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.errors import ProofError
from app.model.printing import Printing
from app.paper.kinds.retrofit import RETROFIT, retrofit_pages
from app.paper.sheet_kind import SheetJob, bound_pages
from app.proof import prove_sheets
from app.retrofit.retrofit import retrofit
from app.service.drawings.formats import sheet_format
from app.service.drawings.retrofit_files import retrofit_file
from app.service.screens.plans.retrofit_seen import RetrofitAsked
from tests.boards.drilled_boards import NUT_24, NUT_28, NUT_30, Button, drilled_design
from tests.reading.measure import pdf_circles

STICK = "stick-plate-95x53"
OLD: list[Button] = [
    ("p0", 60, 60, NUT_28), ("p1", 150, 60, NUT_28), ("p2", 240, 60, NUT_28), ("p3", 60, 150, NUT_24),
    ("p4", 150, 150, STICK), ("p5", 240, 150, NUT_24),
    ("p6", 195, 105, NUT_24),
]  # fmt: skip
NEW: list[Button] = [
    OLD[0], ("p1", 150, 60, NUT_30), ("p2", 243, 66, NUT_28), OLD[3], ("p4", 158, 153, STICK), OLD[5], OLD[6],
]  # fmt: skip


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_piece_lies_on_two_old_holes_and_shows_each_new_one_where_it_belongs(paper: str, units: str) -> None:
    old, new = drilled_design(OLD), drilled_design(NEW)
    made = retrofit_file(RetrofitAsked(old, new), ".pdf", units, paper)
    after = {p.id: p for p in resolve(new, "deck", "all", catalogue()).placements}
    document = pymupdf.open(stream=made.data)
    seen = [(n, c.x, c.y, c.diameter) for n in range(len(document)) for c in pdf_circles(made.data, n)]
    # The hole of C, 28 mm, and two old holes that stay, 24 or 28 mm: as far from each other as on the board.
    stay = [(after[i].x, after[i].y, d) for i, d in (("p0", 28.0), ("p3", 24.0), ("p5", 24.0), ("p6", 24.0))]
    for target in ("p2", "p4"):
        at = (after[target].x, after[target].y)
        assert any(_on_one(seen, (*at, 28.0), one, other) for k, one in enumerate(stay) for other in stay[k + 1 :]), (
            target
        )
    words = " ".join("\n".join(str(page.get_text()) for page in document.pages()).split())
    assert "lay this on the old holes of" in words
    # The guide block of B: circles of 28 and 30 mm about one centre.
    assert any(
        p == q and math.dist((x, y), (u, v)) < 0.01 and abs(d - 28) < 0.01 and abs(e - 30) < 0.01
        for p, x, y, d in seen
        for q, u, v, e in seen
    )
    assert re.search(r"Old B to (30 mm|1 3/16″|1 3/16\"|1\.1811\") for B", words), words[-900:]


Seen = list[tuple[int, float, float, float]]
Hole = tuple[float, float, float]


def _on_one(seen: Seen, new: Hole, one: Hole, other: Hole) -> bool:
    """Whether three circles of their widths lie on one page just as they do on the board."""
    for page, x, y, wide in seen:
        if abs(wide - new[2]) > 0.01:
            continue
        by = (x - new[0], y - new[1])
        if all(
            any(
                page == p and math.dist((u, v), (h[0] + by[0], h[1] + by[1])) < 0.01 and abs(d - h[2]) < 0.01
                for p, u, v, d in seen
            )
            for h in (one, other)
        ):
            return True
    return False


def job(paper: str = "a4") -> SheetJob:
    old, new = (resolve(drilled_design(some), "deck", "all", catalogue()) for some in (OLD, NEW))
    return SheetJob(new, Printing(paper_by_text(paper)), retrofit=retrofit(old, new, catalogue()))


def test_pieces_from_below_are_mirrored() -> None:
    pages = retrofit_pages(job())
    below = [p for p in pages.pieces if p.face == "under"]
    assert below
    after = resolve(drilled_design(NEW), "deck", "all", catalogue())
    screws = {(round(300 - x, 6), round(y, 6)) for x, y in after.placements[4].screws}
    shown = {(round(s.centre[0], 6), round(s.centre[1], 6)) for p in below for s in p.marks}
    assert shown <= screws and shown


def test_a_file_that_shows_something_else_is_withheld() -> None:
    right = job()
    data = sheet_format()[1](bound_pages(RETROFIT, right), "x", "")
    proof = prove_sheets(RETROFIT, data, right)
    assert proof is not None and proof.largest < 0.01 and proof.holes > 0
    moved: list[Button] = [*NEW[:2], ("p2", 243.05, 66, NUT_28), *NEW[3:]]
    old, new = (resolve(drilled_design(some), "deck", "all", catalogue()) for some in (OLD, moved))
    other = SheetJob(new, Printing(paper_by_text("a4")), retrofit=retrofit(old, new, catalogue()))
    with pytest.raises(ProofError, match="is on no page as it should be"):
        prove_sheets(RETROFIT, data, other)
    fewer = SheetJob(new, Printing(paper_by_text("a4")), retrofit=retrofit(old, old, catalogue()))
    with pytest.raises(ProofError):
        prove_sheets(RETROFIT, data, fewer)
