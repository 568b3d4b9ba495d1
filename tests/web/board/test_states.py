"""How each arrangement stands, wherever it is named: after a step, on every page, on the shelf, and what it costs."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.design.arrangements import add_arrangement
from app.document.dump import dumps
from app.document.where import Where
from app.service.checks import elsewhere, states
from app.service.checks.checking import Revised
from app.service.edits import changes
from app.service.workshop import Workshop
from tests.reading.pages import Page

PAGES = ("", "/stations", "/shop", "/paper", "/judged")


def switch_words(page: str) -> str:
    """What the switch of arrangements says."""
    found = re.search(r'<nav class="switch" aria-label="Arrangement".*?</nav>', page, re.DOTALL)
    assert found
    return Page(found[0]).words


def spoilt(workshop: Workshop, deck: str, arrangement: str) -> int:
    """One more part on top of the first of an arrangement; how many stops that makes."""
    where = Where(None, arrangement)
    on = workshop.look(deck, where).checked.resolved.placements[0]
    workshop.edit(deck, where, changes.added(where, "button-24-nut-long", (on.x + 1, on.y), "top", 0.0))
    return len(workshop.look(deck, where).checked.report.stops)


@pytest.mark.parametrize("path", PAGES)
def test_the_switch_says_how_each_arrangement_stands(
    client: TestClient, workshop: Workshop, deck: str, path: str
) -> None:
    assert switch_words(client.get(f"/designs/{deck}{path}").text) == "Two players · fits One player · fits"
    stops = spoilt(workshop, deck, "one")
    assert stops > 0
    said = f"Two players · fits One player · {stops} stop{'' if stops == 1 else 's'}"
    assert switch_words(client.get(f"/designs/{deck}{path}").text) == said


def test_what_is_changed_in_every_arrangement_says_so_beside_what_offers_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    stops = spoilt(workshop, deck, "one")
    how = f"One player · {stops} stop{'' if stops == 1 else 's'}"
    head, _, below = client.get(f"/designs/{deck}/stations").text.partition("</header>")
    assert how in switch_words(head)
    words = unescape(Page(below).words).replace(" .", ".")
    assert f"Every arrangement with this station This also changes {how}." in words
    assert words.count(how) == 2, "beside what is changed, and under its picture"
    for path in ("/board", "/room"):
        text = client.get(f"/designs/{deck}{path}").text
        if path == "/board" or "moves in all of them" in text:
            assert f"The other arrangement: {how}" in unescape(Page(text).words)


def test_a_step_elsewhere_is_said_with_stops_and_else_with_cautions(workshop: Workshop, deck: str) -> None:
    step = states.State
    assert elsewhere._made(step(1, 0, 0), step(3, 9, 0)) == "makes 2 stops"
    assert elsewhere._made(step(1, 0, 0), step(1, 1, 0)) == "makes 1 caution"
    assert elsewhere._made(step(3, 1, 0), step(1, 1, 5)) == ""


def test_a_step_in_one_arrangement_judges_no_other(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.get(f"/designs/{deck}")
    judged: list[states.Key] = []

    def judge(design: object, key: states.Key) -> states.State:
        judged.append(key)
        return states.State(0, 0, 0)

    monkeypatch.setattr(elsewhere, "judged_state", judge)
    where = Where(None, "two")
    only = {p.id for p in workshop.look(deck, where).checked.resolved.placements}
    only -= {p.id for p in workshop.look(deck, Where(None, "one")).checked.resolved.placements}
    workshop.edit(deck, where, changes.removed(where, [min(only)]))
    workshop.edit(deck, Where(), changes.title_set("Another title"))
    assert judged == []
    shared = workshop.look(deck, Where(None, "one")).checked.resolved.placements[0]
    workshop.edit(deck, where, changes.moved(where, [shared.id], 0.0, 1.0, 0.0))
    assert judged == [("deck", "one")], "the design before was judged for the page"


def test_what_a_step_leaves_alone_is_known_after_it_and_what_stands_on_it_is_not(workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)[1]
    known = {key: states.State(7, 7, 7) for key in states.keys_of(before)}
    where = Where(None, "one")
    after = changes.removed(where, ["a"])(before).design
    assert states.carried(before, after, known) == {("deck", "two"): states.State(7, 7, 7)}
    assert states.carried(before, changes.title_set("X")(before).design, known) == known
    thinner = before.boards[0].layers[0].model_copy(update={"thickness": 12.0})
    board = before.boards[0].model_copy(update={"layers": (thinner,)})
    assert states.carried(before, before.model_copy(update={"boards": (board,)}), known) == {}


def many(workshop: Workshop, deck: str, count: int) -> str:
    """Id of a copy of a design with so many arrangements, the last of them with a stop."""
    design = workshop.design(deck)[1]
    while len(design.boards[0].arrangements) < count:
        design = add_arrangement(design, None, "one").design
    opened = workshop.open_file(dumps(design).encode()).design.id
    spoilt(workshop, opened, design.boards[0].arrangements[-1].id)
    return opened


def test_what_there_is_no_time_to_judge_says_so_and_is_asked_for_by_itself(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.service.sight.PATIENCE_S", 0.0)
    monkeypatch.setattr(elsewhere, "PATIENCE_S", 0.0)
    design = many(workshop, deck, 2)
    page = client.get(f"/designs/{design}").text
    assert switch_words(page) == "Two players · fits One player · not checked yet"
    (asked,) = re.findall(r'hx-get="(/designs/[^"]*/states[^"]*)"', page)
    block = client.get(unescape(asked)).text
    assert re.fullmatch(r"Two players · fits One player · \d+ stops?", switch_words(block))
    assert "hx-get" not in block
    again = client.get(f"/designs/{design}").text
    assert switch_words(again) == switch_words(block) and f"/designs/{design}/states" not in again
    assert f"/designs/{design}/stations" in unescape(client.get(f"/designs/{design}/states?on=/stations").text)
    assert "/evil" not in client.get(f"/designs/{design}/states?on=/evil").text


def test_a_closed_list_of_arrangements_does_not_hide_a_stop(client: TestClient, workshop: Workshop, deck: str) -> None:
    design = many(workshop, deck, 5)
    text = client.get(f"/designs/{design}").text
    summary = re.search(r'<details class="switch-list" id="arrangement-list".*?</summary>', text, re.DOTALL)
    assert summary and "1 other with stops" in Page(summary[0]).words


def test_the_shelf_names_the_worst_of_many_arrangements(client: TestClient, workshop: Workshop, deck: str) -> None:
    design = many(workshop, deck, 6)
    name = workshop.design(design)[1].boards[0].arrangements[-1].name
    (item,) = [item for item in workshop.shelf.look().items if item.row.id == design]
    assert item.verdict is not None and len(item.verdict.arrangements) == 6
    words = Page(client.get("/").text).words
    assert re.search(rf"{re.escape(name)} · \d+ stops?", words)
    assert "and 3 more: all fit" in words


def test_what_the_shelf_has_judged_no_page_judges_again(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    design = many(workshop, deck, 3)
    client.get("/")
    head = workshop.head(design)
    states._KNOWN.put(states._name(workshop_document(workshop, design)), {}, 1)  # as after a start anew
    monkeypatch.setattr("app.service.sight.PATIENCE_S", 0.0)
    assert set(workshop.shelf.states(head, workshop.bench.bits())) == set(states.keys_of(workshop.design(design)[1]))


def workshop_document(workshop: Workshop, design: str) -> Revised:
    """The document of a design as it is looked at."""
    found = workshop.look(design, Where()).checked.document
    assert found is not None
    return found
