"""Templates kept at hand: a page, its pictures and the file draw the sheets once, and hand out the same."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from app import service
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.cover.cover import cover_page
from app.paper.kinds import TEMPLATE
from app.paper.sheet import sheets
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.service.checks.checking import CheckResult, judged
from app.service.drawings.sheet_files import remembered_sheets
from app.service.drawings.sheet_map import leaf_svg, sheet_map
from app.service.drawings.templates import template_of
from app.values import replace

FACES: tuple[Face, Face] = ("top", "under")
A4 = Printing(catalogue().papers["a4"])


@pytest.fixture
def design() -> Design:
    return service.new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0))


@pytest.fixture
def seen(design: Design) -> CheckResult:
    return judged(resolve(design, None, None, catalogue()))


def counted(monkeypatch: pytest.MonkeyPatch, name: str) -> list[object]:
    """What a function of the sheets gave, each time it was asked."""
    given: list[object] = []
    made: Callable[..., object] = getattr(sheets, name)

    def asked(*args: object, **kwargs: object) -> object:
        given.append(made(*args, **kwargs))
        return given[-1]

    monkeypatch.setattr(sheets, name, asked)
    return given


@pytest.mark.parametrize("face", ["top", "under"])
def test_pages_pictures_and_the_file_draw_each_sheet_once(
    design: Design, seen: CheckResult, face: Face, monkeypatch: pytest.MonkeyPatch
) -> None:
    printing = replace(A4, stops=len(seen.report.stops))
    laid, drawn = counted(monkeypatch, "_tiling"), counted(monkeypatch, "page_ink")
    shown, _ = sheet_map(design, seen, face, printing)
    many = len(shown.plan.tiling.tiles)
    for leaf in range(1, many + 2):
        leaf_svg(design, seen, face, printing, "", leaf)
    made = remembered_sheets(TEMPLATE, design, seen, face, printing)
    assert (len(laid), len(drawn)) == (2, many)  # the cover shows both faces
    assert made.data == service.template_file(design, face=face, paper=A4).data


def test_another_board_or_way_to_print_has_sheets_of_its_own(seen: CheckResult) -> None:
    board = seen.resolved
    alike: ResolvedBoard = replace(board)
    assert template_of(board, "top", A4) is template_of(board, "top", A4)
    others = [
        template_of(alike, "top", A4),
        template_of(board, "under", A4),
        template_of(board, "top", replace(A4, stops=1)),
        template_of(board, "top", replace(A4, margin=14.0)),
    ]
    assert all(template_of(board, "top", A4) is not other for other in others)
    assert tuple(template_of(board, "top", A4)) == template_pages(board, "top", A4)


def test_what_is_laid_already_changes_nothing(seen: CheckResult) -> None:
    board = seen.resolved
    top, under = (template_of(board, face, A4).plan for face in FACES)
    assert top.ruled == plan_sheets(board, "top", A4).ruled
    assert under.ruled == plan_sheets(board, "under", A4).ruled
    assert cover_page(board, A4, plans=(top, under)) == cover_page(board, A4)
    assert template_pages(board, "under", A4, plan=under) == template_pages(board, "under", A4)
