"""What a template names is what its context has: no more, and nothing that is never shown."""

from __future__ import annotations

import re

import pytest
from jinja2 import meta, nodes
from msgspec import Struct

from app.paths import data_dir
from app.web.pages.at_board.context import AtBoardPage
from app.web.pages.bench.context import BenchPage, ListPage
from app.web.pages.board.context import BoardPage
from app.web.pages.board.moving import MovingBlock
from app.web.pages.board.states import StatesBlock
from app.web.pages.board.ways import WaysBlock
from app.web.pages.board_edit.context import BoardEditPage, DraggedBlock
from app.web.pages.boards.context import BoardsPage
from app.web.pages.bring.context import BringPage
from app.web.pages.built.context import BuiltPage
from app.web.pages.built.photo import PhotoPage
from app.web.pages.compare.context import ComparePage
from app.web.pages.coupon.context import CouponPage
from app.web.pages.judged.context import JudgedPage
from app.web.pages.legends.context import LegendsPage
from app.web.pages.make.context import MakePage, MakersPage
from app.web.pages.marking.context import MarkingPage
from app.web.pages.outline.context import OutlinePage
from app.web.pages.pack.context import PackPage
from app.web.pages.paper.context import PaperPage
from app.web.pages.paper.proof import ProofPage
from app.web.pages.part.context import PartPage
from app.web.pages.pattern.context import PatternPage
from app.web.pages.printer.context import PrinterPage
from app.web.pages.report.context import ReportPage
from app.web.pages.retrofit.context import RetrofitPage
from app.web.pages.revisions.context import RevisionsPage
from app.web.pages.room.context import RoomPage
from app.web.pages.shelf.context import ShelfPage
from app.web.pages.shelf.taken import TakenPage
from app.web.pages.shop.context import ShopPage
from app.web.pages.stations.context import StationsPage
from app.web.pages.steps.context import StepsPage
from app.web.pages.timeline.context import TimelinePage
from app.web.pages.wiring.context import WiringPage
from app.web.problems import ProblemPage
from app.web.render import environment

PAGES = {
    "at_board/page.html": AtBoardPage,
    "bench/page.html": BenchPage,
    "bench/list.html": ListPage,
    "board/page.html": BoardPage,
    "board_edit/page.html": BoardEditPage,
    "board_edit/_dragged.html": DraggedBlock,
    "boards/page.html": BoardsPage,
    "built/page.html": BuiltPage,
    "built/photo.html": PhotoPage,
    "coupon/page.html": CouponPage,
    "judged/page.html": JudgedPage,
    "make/makers.html": MakersPage,
    "make/page.html": MakePage,
    "marking/page.html": MarkingPage,
    "outline/page.html": OutlinePage,
    "paper/page.html": PaperPage,
    "part/page.html": PartPage,
    "pattern/page.html": PatternPage,
    "report/page.html": ReportPage,
    "room/page.html": RoomPage,
    "shelf/page.html": ShelfPage,
    "shelf/taken.html": TakenPage,
    "shop/page.html": ShopPage,
    "stations/page.html": StationsPage,
    "steps/page.html": StepsPage,
    "timeline/page.html": TimelinePage,
    "bring/page.html": BringPage,
    "compare/page.html": ComparePage,
    "legends/page.html": LegendsPage,
    "pack/page.html": PackPage,
    "retrofit/page.html": RetrofitPage,
    "revisions/page.html": RevisionsPage,
    "wiring/page.html": WiringPage,
    "printer/page.html": PrinterPage,
    "shared/problem.html": ProblemPage,
    "paper/proof.html": ProofPage,
    "board/_moving.html": MovingBlock,
    "board/_states.html": StatesBlock,
    "board/_ways.html": WaysBlock,
}


SAID_BY_PAGES = {"scripts", "styles", "with_htmx"}
"""What ``base.html`` takes from the template of a page, or does without."""


def names_in(template: str) -> set[str]:
    """Every name a template and what it includes or extends take from outside."""
    jinja = environment()
    source = (data_dir("templates") / template).read_text("utf-8")
    tree = jinja.parse(source)
    found = meta.find_undeclared_variables(tree)
    for other in meta.find_referenced_templates(tree):
        assert other is not None, f"{template} chooses a template at run time"
        found |= names_in(other)
    # What a page sets, the pieces it includes may use.
    own = {node.target.name for node in tree.find_all(nodes.Assign) if isinstance(node.target, nodes.Name)}
    return found - set(jinja.globals) - own - SAID_BY_PAGES


@pytest.mark.parametrize("template", PAGES)
def test_a_page_uses_exactly_its_context(template: str) -> None:
    declared = set(PAGES[template].__struct_fields__)
    assert names_in(template) == declared


def test_every_template_belongs_to_a_page() -> None:
    used: set[str] = set()

    def follow(template: str) -> None:
        used.add(template)
        tree = environment().parse((data_dir("templates") / template).read_text("utf-8"))
        for other in meta.find_referenced_templates(tree):
            if other is not None and other not in used:
                follow(other)

    for page in PAGES:
        follow(page)
    there = {str(path.relative_to(data_dir("templates"))) for path in data_dir("templates").rglob("*.html")}
    # Loaded once for all pages, as globals.
    assert there - used == {"shared/_icons.html", "shared/_macros.html"}


@pytest.mark.parametrize("page", list(PAGES.values()))
def test_every_field_of_a_context_says_what_it_is(page: type[Struct]) -> None:
    text = page.__doc__ or ""
    said = set(re.findall(r"\b(\w+)\b(?=[\w, ]*:)", text))
    assert set(page.__struct_fields__) <= said
