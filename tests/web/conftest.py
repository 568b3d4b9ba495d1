"""A workshop in an empty folder, and the app over it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.schema import Design
from app.service import new_design
from app.service.workshop import Workshop, open_workshop
from app.web.app import create_app
from app.web.guards import Address

BASE = "http://127.0.0.1:8123"


@pytest.fixture(scope="session")
def empty_shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with a store that nothing is in, to be copied: making its tables costs more."""
    made = tmp_path_factory.mktemp("empty") / "data"
    open_workshop(made).close()
    return made


@cache
def made_once(spec: NewDeck) -> Design:
    """A new design; the same answers give the same, and it never changes."""
    return new_design(spec)


@pytest.fixture
def workshop(tmp_path: Path, empty_shelf: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Workshop]:
    monkeypatch.setattr("app.service.shelf.arrivals.new_design", made_once)
    shutil.copytree(empty_shelf, tmp_path / "data")
    opened = open_workshop(tmp_path / "data")
    yield opened
    opened.close()


@pytest.fixture
def client(workshop: Workshop) -> Iterator[TestClient]:
    app = create_app(workshop, Address("127.0.0.1", 8123))
    with TestClient(app, base_url=BASE, follow_redirects=True) as opened:
        yield opened


@pytest.fixture
def deck(workshop: Workshop) -> str:
    """Id of a two-player deck of 760 × 260 mm on the shelf."""
    return workshop.create(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)).design.id
