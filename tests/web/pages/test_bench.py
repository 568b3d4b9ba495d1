"""The bench: cards of lists, each list as tables, and the same as files; for every board, in both units."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.dump import dumps
from tests.companions import with_companions

LISTS = ("marking", "drilling", "parts")


@pytest.fixture
def several(client: TestClient) -> str:
    file = ("a.json", dumps(with_companions()).encode(), "application/json")
    return client.post("/designs/open", files={"file": file}).url.path


@pytest.mark.parametrize("board", ["deck", "grille", "fan", "sockets"])
def test_every_card_leads_to_its_list_and_says_what_it_holds(client: TestClient, several: str, board: str) -> None:
    text = client.get(f"{several}/bench?board={board}").text
    for kind in LISTS:
        card = re.search(rf'<h3><a href="([^"]*/bench/{kind}[^"]*)">.*?<strong>([^<]*)</strong>', text, re.DOTALL)
        assert card is not None
        page = client.get(unescape(card[1])).text
        rows = page.count("<tr>") - page.count("<thead>")
        counted = re.findall(r"\d[\d,]*", card[2])
        assert rows >= int(counted[0].replace(",", ""))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("kind", LISTS)
def test_every_file_of_a_list_is_there(client: TestClient, several: str, kind: str, units: str) -> None:
    text = client.get(f"{several}/bench/{kind}?units={units}").text
    links = [unescape(link) for link in re.findall(r'href="([^"]*)" download', text)]
    types = {client.get(link).headers["content-type"].partition(";")[0] for link in links}
    assert types == {"application/pdf", "text/csv", "application/json"}
    assert client.get(f"{several}/sheet.svg?of={kind}&units={units}").status_code == 200


def test_marks_are_read_as_asked(client: TestClient, several: str) -> None:
    page = unescape(client.get(f"{several}/bench/marking?units=inch&reading=1/16 in").text)
    assert "Read to 1/16 in" in page
    assert "reading=1%2F16+in" in page
    assert not re.findall(r"\d+/32\"", re.sub(r"<nav.*?</nav>", "", page, flags=re.DOTALL))
    wrong = client.get(f"{several}/bench/marking?reading=0.3")
    assert wrong.status_code == 200
    assert "No rule is read to" in unescape(wrong.text)
    assert "download" not in wrong.text


def test_a_list_that_is_not_there_is_named(client: TestClient, several: str) -> None:
    answer = client.get(f"{several}/bench/poems")
    assert answer.status_code == 404
    assert "marking, drilling, parts" in unescape(answer.text)


def test_a_board_that_cannot_be_built_says_so_on_the_bench(client: TestClient, several: str) -> None:
    client.post(f"{several}/edit/place", data={"select": "c", "unit": "mm", "x": "5", "x.was": ""})
    assert "cannot be built as drawn" in client.get(f"{several}/bench").text
