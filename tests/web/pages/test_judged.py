"""The page of what was checked: figures by hand, both units, arrangements, bare boards, whatever the address says."""

from __future__ import annotations

import json
import re
from html import unescape
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.fit.limits.pair_table import rows_of_tables
from app.service.edits import changes
from app.service.workshop import Workshop
from tests.reading.pages import Page

EDGE = 12.0
"""What MDF asks for between a hole and the edge [mm]: its row in the catalogue."""


def page(client: TestClient, deck: str, **query: str) -> str:
    answer = client.get(f"/designs/{deck}/judged?{urlencode(query)}")
    assert answer.status_code == 200
    return unescape(answer.text)


def rows(text: str, what: str, other: str) -> list[str]:
    """The rows of two kinds as read: letters, what there is, what is needed, what is to spare."""
    bodies = re.findall(r"<tbody>(.*?)</tbody>", text, re.DOTALL)
    for body in bodies:
        if re.search(rf'class="what"[^>]*>{what} <span>– {other}</span>', body):
            return [Page(row).words for row in re.findall(r"<tr.*?</tr>", body, re.DOTALL)]
    raise AssertionError(f"no {what} – {other}")


def at_front(client: TestClient, workshop: Workshop, deck: str, left: float) -> None:
    """Bring button B so near the front that ``left`` mm stay, the hole 1 mm and the edge 0.5 mm off."""
    b = workshop.look(deck, Where()).checked.resolved.placed("b")
    assert b is not None
    y = left + 1.5 + b.holes[0].diameter / 2
    client.post(f"/designs/{deck}/edit/place", data={"unit": "mm", "select": "b", "y": f"{y}"})


def test_figures_letters_and_the_way_to_them(client: TestClient, workshop: Workshop, deck: str) -> None:
    at_front(client, workshop, deck, 15.0)
    text = page(client, deck)
    parts = len(workshop.look(deck, Where()).checked.resolved.placements)
    first = rows(text, "Holes", "the edge")[0]
    assert first == f"Holes – the edge {parts} pairs B 15 mm needs 12 mm {15 - EDGE:g} mm to spare"
    assert f'href="/designs/{deck}?select=b"' in text
    assert rows(text, "Holes", "holes")[0].startswith(f"Holes – holes {parts * (parts - 1) // 2} pairs ")
    assert "“Fits” rests on that" in text
    assert "each hole up to 1 mm out of place" in text


def test_what_is_short_is_said_in_words_and_is_first(client: TestClient, workshop: Workshop, deck: str) -> None:
    at_front(client, workshop, deck, 9.5)
    text = page(client, deck)
    said = rows(text, "Holes", "the edge")[0]
    assert said.endswith(f"B 9.5 mm needs 12 mm {EDGE - 9.5:g} mm short")
    assert "rests on that" not in text
    first = re.search(r'class="what"[^>]*>([^<]+)<span>– ([^<]+)', text)
    assert first and (first[1], first[2]) == ("Holes ", "the edge")
    assert re.search(r"\b\d+ of the lines (is|are) short", text)


def test_it_speaks_in_the_units_of_the_screen(client: TestClient, workshop: Workshop, deck: str) -> None:
    at_front(client, workshop, deck, 0.75 * 25.4)
    said = rows(page(client, deck, units="inch"), "Holes", "the edge")[0]
    # 12 mm are 30.2 sixty-fourths of an inch, what is left of 3/4 in 17.8.
    assert said.endswith('B 3/4" needs 15/32" 9/32" to spare')
    assert not re.search(r"\d mm", Page(page(client, deck, units="inch")).words)


def test_each_arrangement_is_judged_by_itself(client: TestClient, workshop: Workshop, deck: str) -> None:
    design = workshop.design(deck)[1].boards[0]
    for arrangement in design.arrangements:
        many = len(arrangement.placements)
        text = page(client, deck, arrangement=arrangement.id)
        assert rows(text, "Holes", "the edge")[0].startswith(f"Holes – the edge {many} pairs ")
        assert f"arrangement={arrangement.id}" in text
    assert len({len(a.placements) for a in design.arrangements}) == 2


def test_a_bare_board_has_nothing_to_judge_and_says_so(client: TestClient, workshop: Workshop) -> None:
    bare = workshop.create(NewDeck(title="Bare", players=0)).design.id
    text = page(client, bare)
    assert "The board is empty" in text
    assert '<table class="judged">' not in text


def test_everything_against_everything_leaves_no_pair_out(client: TestClient, deck: str) -> None:
    """Every cell of the four tables is in a line: as many as there are, none twice."""
    text = page(client, deck)
    cells = list(rows_of_tables())
    listed = [
        other
        for body in re.findall(r'<table class="meetings">.*?<tbody>(.*?)</tbody>', text, re.DOTALL)
        for others in re.findall(r'scope="row">[^<]+</th><td>([^<]+)</td>', body)
        for other in others.split(", ")
    ]
    assert len(listed) == len(cells)
    judged = sum(bool(cell.rules) for *_, cell in cells)
    assert f"{len(cells)} kinds of pair: {judged} are checked by a rule, {len(cells) - judged} do no harm" in text
    assert all(cell.because in text for *_, cell in cells if not cell.rules)


def test_under_the_report_only_the_list_is_sent_and_the_title_stays(client: TestClient, deck: str) -> None:
    asked = {"hx-request": "true", "hx-target": "judged"}
    answer = client.get(f"/designs/{deck}/judged", headers=asked)
    assert answer.headers["vary"] == "HX-Request, HX-Target"
    assert '<table class="judged">' in answer.text
    assert [word for word in ("<title", "<html", 'class="meetings"') if word in answer.text] == []
    whole = client.get(f"/designs/{deck}/judged", headers={**asked, "hx-history-restore-request": "true"})
    assert "<html" in whole.text


def test_the_board_page_says_where_and_no_more(client: TestClient, deck: str) -> None:
    text = client.get(f"/designs/{deck}?units=inch&arrangement=one").text
    assert f'href="/designs/{deck}/judged?arrangement=one&amp;units=inch"' in text
    assert 'class="judged"' not in text


def test_looking_changes_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)
    page(client, deck)
    assert workshop.design(deck) == before


NASTY = "<script>alert(1)</script>\"'&"


@pytest.mark.parametrize("query", [{"units": "cubits"}, {"face": NASTY}], ids=str)
def test_what_no_page_of_ours_asks_is_refused_before_any_work(
    client: TestClient, deck: str, query: dict[str, str]
) -> None:
    answer = client.get(f"/designs/{deck}/judged?{urlencode(query)}")
    assert answer.status_code == 422
    assert NASTY not in answer.text


@pytest.mark.parametrize(
    "query",
    [{"select": f"{NASTY},b,,b"}, {"since": NASTY}, {"layers": NASTY, "to": "%"}],
    ids=str,
)
def test_whatever_the_address_says_it_is_the_same_list(client: TestClient, deck: str, query: dict[str, str]) -> None:
    answer = client.get(f"/designs/{deck}/judged?{urlencode(query)}")
    assert answer.status_code == 200
    assert NASTY not in answer.text
    assert Page(answer.text).inline == []
    assert rows(unescape(answer.text), "Holes", "the edge") == rows(page(client, deck), "Holes", "the edge")


@pytest.mark.parametrize(
    "query", [{"board": "none"}, {"arrangement": NASTY}, {"board": "%00", "arrangement": "one"}], ids=str
)
def test_a_board_that_is_not_there_is_a_plain_sentence(client: TestClient, deck: str, query: dict[str, str]) -> None:
    answer = client.get(f"/designs/{deck}/judged?{urlencode(query)}")
    assert answer.status_code == 404
    assert NASTY not in answer.text


def test_letters_that_are_markup_are_shown_as_they_are(client: TestClient, workshop: Workshop, deck: str) -> None:
    raw = json.loads(dumps(workshop.design(deck)[1]))
    raw["title"] = NASTY
    for arrangement in raw["boards"][0]["arrangements"]:
        for n, placement in enumerate(arrangement["placements"]):
            placement["label"] = f"<b>&{n}"
    there = workshop.open_file(json.dumps(raw).encode()).design.id
    text = client.get(f"/designs/{there}/judged").text
    assert "&lt;b&gt;&amp;0" in text and "<b>&" not in text and NASTY not in text
    assert Page(text).inline == []


def test_a_part_that_is_not_drilled_is_not_in_the_list(client: TestClient, workshop: Workshop, deck: str) -> None:
    at_front(client, workshop, deck, 9.5)
    workshop.edit(deck, Where(), changes.drilled(Where(), ("b",), drill=False))
    assert not re.search(r">B( and [A-Z]+)?</a>", page(client, deck))
