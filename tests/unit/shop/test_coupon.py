"""Coupon: one of each cut; its sheet measured by another library; what came of it, in rules and in the file."""

from __future__ import annotations

from functools import cache
from typing import Literal

import pymupdf
import pytest

from app import service
from app.arrange.coupon.trials import keep_trials
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.coupon import trial_entry, trials_of
from app.document.dump import dumps
from app.document.load import loads
from app.document.published import plan_digest
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import BitEntry, Design
from app.errors import EditError, ProofError
from app.fit.report.report import check
from app.fit.words.messages import message
from app.model.coupon import CouponTrial, measured_bits
from app.model.printing import PrintCorrection, Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.coupon.coupon_pages import CouponPages
from app.paper.kinds.coupon import COUPON
from app.paper.sheet_kind import SheetJob, bound_pages
from app.proof.coupon import prove_coupon
from app.shop.coupon import samples_of
from app.units import Unit
from app.values import replace
from app.writers import pdf

POINT = 25.4 / 72  # mm; PDF 32000-1, 8.3.2.3
WITHIN = 0.01  # mm
BIT = Bit("forstner", 28.0, 50.0)


@cache
def deck(units: Literal["mm", "inch"] = "mm") -> Design:
    return service.new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0, units=units))


@cache
def board(scenario: str = "", units: Literal["mm", "inch"] = "mm") -> ResolvedBoard:
    return resolve(load_scenario(scenario) if scenario else deck(units), None, None, catalogue())


def job_of(made: ResolvedBoard, paper: str = "a4", correction: PrintCorrection | None = None) -> SheetJob:
    sheet = catalogue().papers[paper]
    return SheetJob(made, Printing(sheet, correction=correction) if correction else Printing(sheet), accepted=[])


def circles(page: pymupdf.Page) -> list[tuple[float, float, float]]:
    """Centre and width of every line on a page that is as wide as high and made of curves alone [mm]."""
    found = []
    for path in page.get_drawings():
        if path["type"] == "s" and path["items"] and all(item[0] == "c" for item in path["items"]):
            box = path["rect"]
            if abs(box.width - box.height) < 1e-3:
                at = ((box.x0 + box.x1) / 2 * POINT, (page.rect.height - (box.y0 + box.y1) / 2) * POINT)
                found.append((*at, box.width * POINT))
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(("scenario", "units"), [("", "mm"), ("", "inch"), ("leaky-raft", "mm")])
def test_every_round_cut_is_printed_at_its_place_and_width(
    scenario: str, units: Literal["mm", "inch"], paper: str
) -> None:
    job = job_of(board(scenario, units), paper)
    file = pymupdf.open(stream=pdf.write(tuple(bound_pages(COUPON, job))), filetype="pdf")
    laid = CouponPages(job).laid
    assert [one.sample for one in laid] == list(samples_of(job.board))
    for number in range(len(file)):
        drawn = circles(file[number])
        wanted = [
            (*shape.centre, width)
            for one in laid
            if one.page == number and one.sample.sort not in ("recess", "rail joint")
            for shape, width in zip(one.shapes, (one.sample.width, one.sample.hole), strict=False)
        ]
        assert len(drawn) == len(wanted)
        for x, y, wide in wanted:
            assert any(max(abs(x - a), abs(y - b), abs(wide - c)) <= WITHIN for a, b, c in drawn), (x, y, wide)


def test_there_is_one_of_each_bit_and_part() -> None:
    made = board("leaky-raft")
    holes = {(p.part.id, h.bit.kind, h.bit.diameter) for p in made.drilled for h in p.holes if h.is_circle and h.bit}
    samples = samples_of(made)
    assert {(s.part, s.bit.kind, s.bit.diameter) for s in samples if s.sort == "hole" and s.bit} == holes
    assert len({(*s.key, s.depth, s.corner) for s in samples}) == len(samples)
    assert [s.number for s in samples] == list(range(1, len(samples) + 1))
    for sort in ("counterbore", "recess", "screw pilot", "rail joint"):
        there = {
            "counterbore": any(p.counterbore for p in made.drilled),
            "recess": any(p.recess for p in made.drilled),
            "screw pilot": any(s.sort == "screw pilot" for s in samples),
            "rail joint": any(edge.rail > 0 for edge in made.edges),
        }[sort]
        assert any(s.sort == sort for s in samples) is there


def test_cells_lie_beside_and_below_each_other_and_inside_the_page() -> None:
    """Nothing drawn at true size runs into another cut, or out of the window of the sheet."""
    pages = CouponPages(job_of(board("leaky-raft")))
    x0, y0, x1, y1 = pages.layout.window
    boxes: list[tuple[int, tuple[float, float, float, float]]] = []
    for one in pages.laid:
        for shape in one.shapes[:1]:
            box = shape.bounds
            assert x0 <= box[0] and y0 <= box[1] and box[2] <= x1 and box[3] <= y1
            for page, other in boxes:
                apart = (
                    page != one.page
                    or box[2] <= other[0]
                    or other[2] <= box[0]
                    or box[3] <= other[1]
                    or other[3] <= box[1]
                )
                assert apart, one.sample
            boxes.append((one.page, box))


@pytest.mark.parametrize("correction", [None, PrintCorrection(1.002, 0.996, "Attic")])
def test_the_coupon_is_read_back_and_a_wrong_one_is_withheld(correction: PrintCorrection | None) -> None:
    job = job_of(board(), correction=correction)
    data = pdf.write(tuple(bound_pages(COUPON, job)))
    proof = prove_coupon(data, CouponPages(job), job.printing, 0)
    assert proof.holes >= 4 and proof.largest <= WITHIN
    pages = CouponPages(job)
    first = pages.samples[0]
    for wrong in (replace(first, width=first.width + 0.1), replace(first, width=first.width - 0.1)):
        spoilt = CouponPages(job)
        spoilt.samples = (wrong, *spoilt.samples[1:])
        spoilt._list = spoilt._list.__class__(  # laid out of samples that are not the board's
            job.board, job.printing, "Coupon: try it in scrap", "coupon", spoilt._set
        )
        other = pdf.write(tuple(spoilt[k] for k in range(len(spoilt))))
        with pytest.raises(ProofError):
            prove_coupon(other, pages, job.printing, 0)


def tried(fit: str = "", measured: float | None = None, **more: object) -> CouponTrial:
    base = CouponTrial("hole", "button-28-nut-long", "forstner", 28.0, when="2026-02-01T10:30:00Z")
    return replace(base, fit=fit, measured=measured, **more)  # type: ignore[arg-type]


def test_of_two_measurements_of_a_bit_the_latest_counts() -> None:
    early, late = tried(measured=28.2), tried(measured=28.4, part="other", when="2026-02-02T10:30:00Z")
    for order in ((early, late), (late, early)):
        assert measured_bits([BIT], order)[0].makes == 28.4
    for other in (tried(measured=28.2, diameter=27.0), tried(measured=28.2, kind="twist"), tried("tight")):
        assert measured_bits([BIT], [other]) == (BIT,)
    assert measured_bits([BIT], [tried(measured=40.0, sort="counterbore")]) == (BIT,)


def only_bit(design: Design) -> Design:
    bits = (BitEntry(kind="forstner", diameter=28.0, reach=50.0), BitEntry(kind="twist", diameter=2.0, reach=40.0))
    return design.model_copy(update={"shop": design.shop.model_copy(update={"bits": bits, "owned": True})})


def test_a_bit_that_cuts_too_narrow_is_a_stop_that_says_what_was_measured() -> None:
    design = only_bit(deck())
    fine = resolve(design, None, None, catalogue())
    assert not [f for f in check(fine, catalogue()).stops if f.rule == "bit-match" and "b" in f.subjects]
    noted = keep_trials(design, [tried(measured=26.0)]).design
    narrow = resolve(noted, None, None, catalogue())
    stops = [f for f in check(narrow, catalogue()).stops if f.rule == "bit-match" and "b" in f.subjects]
    assert len(stops) == 1
    said = message(stops[0], narrow, Unit.MM)
    assert "the 28 mm Forstner bit (its trial hole came out 26 mm wide), is" in said


def test_trials_are_kept_read_back_and_are_no_part_of_the_plan() -> None:
    rows = [
        tried("tight", 27.9, material="18 mm MDF"), tried("right", part="other"),
        CouponTrial("rail joint", "", "", 18.0, "loose", None, "", "2026-02-01T10:30:00Z"),
    ]  # fmt: skip
    done = keep_trials(deck(), rows)
    again = loads(dumps(done.design))
    assert trials_of(again.coupon or ()) == tuple(rows)
    assert [trial_entry(t) for t in rows] == list(again.coupon or ())
    assert plan_digest(done.design) == plan_digest(deck())
    assert keep_trials(done.design, rows).design is done.design
    cleared = keep_trials(done.design, [replace(row, fit="", measured=None) for row in rows])
    assert cleared.design == deck()


@pytest.mark.parametrize("measured", [0.0, -1.0, 301.0, float("nan"), float("inf")])
def test_a_width_that_cannot_be_is_refused(measured: float) -> None:
    with pytest.raises(EditError, match="The width measured"):
        keep_trials(deck(), [tried(measured=measured)])
