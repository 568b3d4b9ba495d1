"""A little of what ``python -m tests.endure`` does for longer: no promise is broken on either database.

In the gate what a database takes part in is tried on both, and memory on one. The long run tries everything on both for
a minute each: also the largest designs, and every page and hostile inputs by the hundred, which the gate tries in
tests/web/requests/ and tests/unit/document/.
"""

from __future__ import annotations

import json
import logging
import os
import random
import sqlite3
import sys
import threading
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from app.document.load import loads, recalled
from app.document.schema import Design
from app.errors import DocumentError
from app.service import export_file
from tests.endure.asking import Asker
from tests.endure.calling import Caller
from tests.endure.figures import Figures
from tests.endure.inputs import Deck
from tests.endure.inside import Inside
from tests.endure.ledger import Ledger
from tests.endure.nursery import Nursery
from tests.endure.program import forked
from tests.endure.rich import rich_design
from tests.endure.run import Task, run
from tests.long_run import long
from tests.tools import NO_POSTGRES, find_postgres

MINUTES, IN_GATE = 1.0, 0.1
"""For each database, in the long run and in the gate."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork") or sys.platform == "darwin", reason="needs /proc and fork")


@pytest.mark.parametrize(
    ("database", "minutes", "whole"),
    [
        ("sqlite", IN_GATE, False),
        pytest.param("postgres", IN_GATE, False, marks=long),
        pytest.param("sqlite", MINUTES, True, marks=long),
        pytest.param("postgres", MINUTES, True, marks=long),
    ],
)
def test_nothing_promised_is_broken(database: str, minutes: float, whole: bool) -> None:
    if database == "postgres" and find_postgres() is None:
        assert os.environ.get("CI") != "true", NO_POSTGRES
        pytest.skip(NO_POSTGRES)
    figures = run(Task(database, minutes, seed=0, whole=whole))
    assert not figures.broken, "\n".join(figures.lines())
    assert figures.counts["kills with edits under way"] > 0
    assert figures.counts["kills of workers"] > 0
    if not whole:
        return
    missed = {name for name, success in figures.routes.items() if not success}
    # A search for room is ended by its hard limit where the machine has very much else to do. News of a pack come as it
    # is made, and photographs have to be taken: both are asked for elsewhere (tests/web/pages/).
    room = {f"{method} /designs/{{design_id}}/room" for method in ("GET", "POST")}
    pack = {f"GET /designs/{{design_id}}/pack/{what}" for what in ("progress", "kept/{key}")}
    assert missed <= room | pack | {f"POST /designs/{{design_id}}/built/{what}" for what in ("photo", "photo-take")}
    assert figures.counts["hostile inputs"] >= 500
    assert {200, 303, 422} <= figures.answers.keys()


def test_a_lost_edit_is_noticed(tmp_path: Path) -> None:
    figures, where = Figures(), tmp_path / "designs"
    nursery = Nursery(tmp_path / "log")
    try:
        program = forked(nursery, where, figures)
        asker = program.asker(figures)
        ledger = Ledger(figures)
        design = ledger.open(asker, "pine-shelf-compact")
        for words in ("first", "second", "third"):
            assert ledger.edit(asker, design, words) == 303
        with closing(sqlite3.connect(where / "holewise.db")) as raw:
            raw.execute("UPDATE revisions SET summary = 'Renamed' WHERE summary LIKE '%second%'")
            raw.commit()
        ledger.check(asker, "one taken out")
        asker.close()
    finally:
        nursery.close()
    assert figures.counts["edits acknowledged"] == 3
    assert figures.counts["edits lost"] == 1
    assert len(figures.broken) == 1 and "second" in figures.broken[0]


def test_an_answer_of_500_is_noticed_and_one_of_503_is_not(tmp_path: Path) -> None:
    from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

    class Broken(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(int(self.path[1:]))
            self.send_header("Content-Length", "0")
            self.end_headers()

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    figures = Figures()
    with ThreadingHTTPServer(("127.0.0.1", 0), Broken) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        asker = Asker(server.server_address[1], figures)
        for status in (200, 404, 503, 500, 502):
            assert asker.get(f"/{status}").status == status
        asker.close()
        server.shutdown()
    assert [words.split(":")[0].split()[1] for words in figures.broken] == ["/500", "/502"]
    assert figures.answers == {200: 1, 404: 1, 503: 1, 500: 1, 502: 1}


def test_inside_faults_are_noticed_and_a_budget_that_ends_is_counted() -> None:
    from fastapi import FastAPI
    from fastapi.responses import PlainTextResponse

    app = FastAPI()

    @app.get("/fault")
    def fault() -> None:
        raise ValueError("told nobody")

    @app.get("/logged")
    def logged() -> PlainTextResponse:
        logging.getLogger("app").error("went on after a fault")
        return PlainTextResponse("well")

    @app.get("/{status}")
    def other(status: int, words: str) -> PlainTextResponse:
        return PlainTextResponse(words, status)

    figures, caller = Figures(), Caller(app)
    window = Inside(app, caller, figures)
    try:
        for address in ("/200?words=%C3%A4", "/503?words=That+took+too+long", "/503?words=x", "/fault", "/logged"):
            window.get(address)
    finally:
        window.close()
        caller.close()
    assert figures.answers == {200: 2, 503: 2, 500: 1}
    assert figures.counts["answers stopped by their budget"] == 1
    assert [words.split()[1] for words in figures.broken] == ["/503?words=x", "/fault", "/logged"]
    assert "told nobody" in figures.broken[1]


def test_a_deck_has_each_in_every_round_and_the_cheap_oftener() -> None:
    deck = Deck([("cheap", 0.001), ("dear", 0.1), ("dearest", 5.0)], random.Random(1))
    for _ in range(3):
        drawn = Counter(deck.draw() for _ in range(12 + 3 + 1))
        assert drawn == {"cheap": 12, "dear": 3, "dearest": 1}


def _drawn(change: Callable[[dict[str, Any]], object], read: Callable[[str], Design] = loads) -> None:
    """A design is refused as it is read, or its drawings are what it asks for: never withheld."""
    raw = json.loads(rich_design())
    change(raw["boards"][0])
    try:
        design = read(json.dumps(raw))
    except DocumentError:
        return
    for fmt in ("svg", "dxf"):
        assert export_file(design, fmt=fmt).proof.largest < 0.001


def test_an_opening_that_stands_twice_is_refused_or_drawn() -> None:
    _drawn(lambda board: board["outline"]["openings"].append(board["outline"]["openings"][0]))


@pytest.mark.parametrize("read", [loads, recalled])
def test_a_part_as_far_away_as_may_be_is_refused_or_drawn(read: Callable[[str], Design]) -> None:
    """And what is stored farther out than may be is drawn too."""
    for field in ("x", "y"):
        for away in (100_000.0, -100_000.0, 10_000.0):
            _drawn(lambda board, at={field: away}: board["arrangements"][0]["placements"][1].update(at), read)  # type: ignore[misc]
