"""Ways out of findings come after a change, by an address of their own, and are the same as on the whole page."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from html import unescape
from itertools import combinations

import pytest
from starlette.testclient import TestClient

from app.document.where import Where
from app.fit.changes import proposals
from app.fit.changes.advice import Advice
from app.fit.changes.trial import Trial
from app.fit.finding import Finding
from app.service.background import budget
from app.service.background.workers import JobWorkers
from app.service.edits import changes
from app.service.workshop import Workshop
from tests.long_run import long

BENCH = {"HX-Request": "true", "HX-Boosted": "true", "HX-Target": "bench"}
ASKED = re.compile(r'<section id="report"[^>]* hx-get="([^"]+)"')
BUTTON = re.compile(r'<input type="hidden" name="said" value="([^"]+)"')


def report_of(page: str) -> str:
    """The report of a page or of a block, without its tag, its lines trimmed."""
    found = re.search(r'<section id="report"[^>]*>(.*?)</section>', page, re.DOTALL)
    assert found
    return "\n".join(line.strip() for line in found[1].splitlines() if line.strip())


@pytest.fixture
def raft(workshop: Workshop) -> str:
    """Id of a copy of the scenario that breaks every rule."""
    return workshop.open_scenario("leaky-raft").design.id


def asked_for(client: TestClient, design: str) -> tuple[str, str]:
    """The bench as htmx gets it, and where it asks for the ways out; empty if it does not."""
    bench = client.get(f"/designs/{design}", headers=BENCH).text
    found = ASKED.search(bench)
    return bench, unescape(found[1]) if found else ""


def test_a_change_is_answered_before_ways_out_are_tried_and_asks_for_them(client: TestClient, raft: str) -> None:
    bench, address = asked_for(client, raft)
    assert address and not BUTTON.search(bench)
    assert "Make room" in bench  # what stands above the findings does not come later, and move them
    block = client.get(address, headers={"HX-Request": "true"})
    assert block.headers["cache-control"] == "no-store"
    assert BUTTON.search(block.text) and "hx-get" not in block.text
    whole = client.get(f"/designs/{raft}").text
    assert report_of(block.text) == report_of(whole)
    # By now they are known, so that they come at once.
    bench, address = asked_for(client, raft)
    assert not address and report_of(bench) == report_of(whole)


def test_a_browser_without_scripts_and_a_deck_that_fits_ask_for_nothing(
    client: TestClient, workshop: Workshop, raft: str
) -> None:
    whole = client.get(f"/designs/{raft}").text
    assert BUTTON.search(whole) and not ASKED.search(whole)
    assert asked_for(client, workshop.open_scenario("harbour-lane-two-seater").design.id)[1] == ""


def test_what_ails_one_part_by_its_place_is_not_tried_for_the_fields_of_a_cut(
    client: TestClient, workshop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    deck = workshop.open_scenario("harbour-lane-two-seater").design.id
    placed = workshop.look(deck, Where()).checked.resolved.placements
    first, other = min(
        combinations(placed, 2), key=lambda pair: math.hypot(pair[0].x - pair[1].x, pair[0].y - pair[1].y)
    )
    part = first.id
    nearer = ((other.x - first.x) / 3, (other.y - first.y) / 3)
    workshop.edit(deck, Where(), changes.moved(Where(), [part], *nearer, 0.0))
    tried: list[str] = []

    def advise(trial: Trial, finding: Finding) -> Advice:
        tried.append(finding.rule)
        return Advice(trial.board, trial.catalogue)

    monkeypatch.setattr(proposals, "advise", advise)
    bench = client.get(f"/designs/{deck}?select={part}", headers=BENCH).text
    assert "stop-card" in bench and ASKED.search(bench)
    assert not tried


def test_ways_out_of_another_revision_than_the_newest_are_not_given(client: TestClient, raft: str) -> None:
    _, address = asked_for(client, raft)
    client.post(f"/designs/{raft}/edit/title", data={"unit": "mm", "title": "Another raft"})
    late = client.get(address, headers={"HX-Request": "true"})
    assert (late.status_code, late.content) == (204, b"")


@pytest.fixture
def beside(monkeypatch: pytest.MonkeyPatch) -> Iterator[JobWorkers]:
    """A process that stands back, as a program for many people has one."""
    budget.stand_aside()
    made = budget._aside
    assert made is not None
    yield made
    monkeypatch.setattr(budget, "_aside", None)
    made.close()


@long  # two processes export the same bytes, and what one makes is compared, in the gate as well
def test_another_process_gives_the_same_ways_pages_and_files(
    client: TestClient, workshop: Workshop, beside: JobWorkers
) -> None:
    deck = workshop.open_scenario("leaky-raft").design.id
    addresses = [
        asked_for(client, deck)[1],
        f"/designs/{deck}/sheet.svg?leaf=1&units=inch",
        f"/designs/{deck}/sheet.svg?leaf=2",
        f"/designs/{deck}/template.pdf?units=inch",
    ]
    there = [client.get(address, headers={"HX-Request": "true"}) for address in addresses]
    assert [answer.status_code for answer in there] == [200] * 4
    assert len(beside.pids) == 1
    budget._aside = None
    here = [client.get(address, headers={"HX-Request": "true"}) for address in addresses]
    assert [answer.content for answer in there] == [answer.content for answer in here]
