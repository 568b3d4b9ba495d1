"""What a template names is what its context has: no more, and nothing that is never shown."""

from __future__ import annotations

import re
from dataclasses import fields

import pytest
from jinja2 import meta, nodes

from app.paths import data_dir
from app.web.contexts.board import BoardPage
from app.web.contexts.board_edit import BoardEditPage, DraggedBlock
from app.web.contexts.judged import JudgedPage
from app.web.contexts.moving import MovingBlock
from app.web.contexts.outline import OutlinePage
from app.web.contexts.paper import PaperPage
from app.web.contexts.part import PartPage
from app.web.contexts.printer import PrinterPage
from app.web.contexts.proof import ProofPage
from app.web.contexts.room import RoomPage
from app.web.contexts.shelf import ShelfPage
from app.web.contexts.shop import ShopPage
from app.web.contexts.states import StatesBlock
from app.web.contexts.stations import StationsPage
from app.web.contexts.timeline import TimelinePage
from app.web.contexts.ways import WaysBlock
from app.web.problems import ProblemPage
from app.web.render import environment

PAGES = {
    "pages/board.html": BoardPage,
    "pages/board_edit.html": BoardEditPage,
    "partials/board_edit_dragged.html": DraggedBlock,
    "pages/judged.html": JudgedPage,
    "pages/outline.html": OutlinePage,
    "pages/paper.html": PaperPage,
    "pages/part.html": PartPage,
    "pages/room.html": RoomPage,
    "pages/shelf.html": ShelfPage,
    "pages/shop.html": ShopPage,
    "pages/stations.html": StationsPage,
    "pages/timeline.html": TimelinePage,
    "pages/printer.html": PrinterPage,
    "pages/problem.html": ProblemPage,
    "pages/proof.html": ProofPage,
    "partials/_moving.html": MovingBlock,
    "partials/_states.html": StatesBlock,
    "partials/_ways.html": WaysBlock,
}


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
    return found - set(jinja.globals) - own


@pytest.mark.parametrize("template", PAGES)
def test_a_page_uses_exactly_its_context(template: str) -> None:
    declared = {field.name for field in fields(PAGES[template])}
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
    assert there - used == {"partials/_icons.html", "partials/_macros.html"}


@pytest.mark.parametrize("page", list(PAGES.values()))
def test_every_field_of_a_context_says_what_it_is(page: type) -> None:
    text = page.__doc__ or ""
    said = set(re.findall(r"\b(\w+)\b(?=[\w, ]*:)", text))
    assert {field.name for field in fields(page)} <= said
