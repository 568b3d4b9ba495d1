"""Kinds of sheets: what each depends on, its pages told and drawn, and what one more takes."""

from __future__ import annotations

import io
from collections.abc import Callable

import pikepdf
import pytest

from app import service
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.drafting.template.template_bits import template_bits
from app.errors import NotFoundError, PaperError
from app.fit.report.acceptance import AcceptedFinding, accepted_as
from app.fit.report.report import check
from app.model.printing import PrintCorrection, Printing
from app.paper import kinds
from app.paper.kinds import CHECK_SHEET, COVER, FILES, KINDS, TEMPLATE
from app.paper.kinds.retrofit import RETROFIT
from app.paper.sheet_kind import Leaf, Need, SheetJob, SheetKind, bound_leaves, bound_page, bound_pages
from app.proof import PROVERS
from app.scene.primitives import Scene
from app.service.drawings.made_file import ProvedFile
from app.values import replace
from tests.unit.drafting.boards import A4

BOARD = resolve(load_scenario("leaky-raft"), None, None, catalogue())
CAUTION = next(found for found in check(BOARD, catalogue()).findings if found.severity == "caution")
OTHERS: dict[Need, Callable[[SheetJob], SheetJob]] = {
    "board": lambda job: replace(job, board=replace(job.board, name="Another board")),
    "face": lambda job: replace(job, face="under"),
    "bit": lambda job: replace(job, only=template_bits(job.board, "top")[0]),
    "report": lambda job: replace(job, accepted=[AcceptedFinding(CAUTION, accepted_as(CAUTION, "It will do."), False)]),
}
"""The same job with something else in it."""

job = SheetJob(BOARD, Printing(A4), accepted=[])
each_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS.keys())


def drawn(kind: SheetKind[object], asked: SheetJob) -> tuple[Scene, ...]:
    pages = kind.pages(asked)
    return tuple(pages[index] for index in range(len(pages)))


@each_kind
@pytest.mark.parametrize("need", OTHERS)
def test_a_sheet_depends_on_what_it_says_it_needs_and_on_nothing_else(kind: SheetKind[object], need: Need) -> None:
    same = drawn(kind, OTHERS[need](job)) == drawn(kind, job)
    assert same is (need not in kind.needs)


@each_kind
def test_pages_are_those_that_were_told_and_each_is_had_by_its_number(kind: SheetKind[object]) -> None:
    pages = tuple(bound_pages(kind, job))
    assert len(pages) == len(bound_leaves(kind, job)) == sum(len(part.pages(job)) for part in kind.bound)
    assert [bound_page(kind, job, number + 1) for number in range(len(pages))] == list(pages)
    for leaf, page in zip(bound_leaves(kind, job), pages, strict=True):
        assert leaf.words and leaf.lying is (page.width > page.height)
    for number in (0, -1, len(pages) + 1):
        with pytest.raises(NotFoundError, match=f"has pages 1 to {len(pages)}"):
            bound_page(kind, job, number)


@each_kind
def test_a_paper_too_small_is_refused(kind: SheetKind[object]) -> None:
    with pytest.raises(PaperError):
        drawn(kind, replace(job, printing=Printing(replace(A4, width=100.0, height=90.0))))


def test_rows_say_what_stands_on_the_sheets() -> None:
    marks, bars = job.template.plan.template.marks, CHECK_SHEET.rows(job)
    assert TEMPLATE.rows(job) == marks
    assert {mark.letter for mark in marks if mark.letter} == {p.label for p in job.board.drilled if p.label and p.holes}
    assert [bar.name for bar in bars] == ["A", "B", "C", "D", "E", "F"]
    assert ("Width, left to right", f"{job.board.width:g} mm") in [row[:2] for row in COVER.rows(job)]


def test_each_kind_is_read_back_or_says_why_not() -> None:
    every = {**KINDS, RETROFIT.name: RETROFIT}
    assert set(PROVERS) == {name for name, kind in every.items() if not kind.unproved}


def test_a_file_is_named_by_what_its_sheets_need() -> None:
    design = service.new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0))
    printing = Printing(catalogue().papers["a4"], correction=PrintCorrection(1.0, 0.996, "Attic Printer"))
    names = {kind: service.sheet_file(kind, design, face="under", paper=printing).name for kind in FILES}
    assert names == {
        "template": "two-seater-two-underside-template.pdf",
        "all-templates": "two-seater-underside-all-templates.pdf",
        "check-sheet": "check-sheet-a4-corrected-attic-printer.pdf",
        "coupon": "two-seater-two-coupon.pdf",
        "outline-marking": "two-seater-two-outline-marking.pdf",
        "marking": "two-seater-two-marking.pdf",
        "drilling": "two-seater-two-drilling.pdf",
        "parts": "two-seater-two-parts.pdf",
        "steps": "two-seater-steps.pdf",
        "legends": "two-seater-two-underside-legends.pdf",
        "photo-cards": "two-seater-two-underside-photo-cards.pdf",
        "wiring": "two-seater-two-wiring.pdf",
    }
    with pytest.raises(NotFoundError, match="no sheets “napkin”"):
        service.sheet_file("napkin", design)


def test_a_new_kind_takes_one_declaration_and_its_composer(monkeypatch: pytest.MonkeyPatch) -> None:
    """From the declaration alone come file, name, cover, stops and pictures."""
    design = service.new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0))
    board = resolve(design, None, None, catalogue())

    def letters(asked: SheetJob) -> tuple[str, ...]:
        return tuple(p.label for p in asked.board.drilled)

    def pages(asked: SheetJob) -> tuple[Scene]:
        return (Scene(0.0, 0.0, 210.0, 297.0, (), title=" ".join(letters(asked))),)

    made = SheetKind(
        "letters", "list of letters", frozenset({"board"}), letters, lambda _: (Leaf("letters"),), pages,
        front=COVER, unproved="It is made for this test.",
    )  # fmt: skip
    monkeypatch.setitem(kinds.FILES, made.name, made)
    file = service.sheet_file("letters", design, paper="a4")
    assert file.name == "two-seater-two-letters.pdf"
    assert not isinstance(file, ProvedFile)
    with pikepdf.open(io.BytesIO(file.data)) as pdf:
        assert len(pdf.pages) == 2
        assert str(pdf.docinfo["/Title"]) == " ".join(p.label for p in board.drilled)
