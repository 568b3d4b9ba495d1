"""The bench: cards of lists, each list as tables, and the same as files; for every board, in both units."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.dump import dumps
from app.paper.kinds import FILES
from app.paper.lists.bench_list import bench_list
from app.scene.table import Column, Table
from app.service.screens.bench.list_seen import lists
from app.units import Unit
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
        rows = page.count('<tr role="row">') - page.count("<thead")
        counted = re.findall(r"\d[\d,]*", card[2])
        assert rows >= int(counted[0].replace(",", ""))


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("kind", LISTS)
def test_every_file_of_a_list_is_there(client: TestClient, several: str, kind: str, units: str) -> None:
    text = client.get(f"{several}/bench/{kind}?units={units}").text
    links = [unescape(link) for link in re.findall(r'href="([^"]*)" download', text)]
    types = {client.get(link).headers["content-type"].partition(";")[0] for link in links}
    assert len(links) == (3 if kind != "marking" else 3 + page_tables(text))
    assert types == {"application/pdf", "text/csv", "application/json"}
    assert client.get(f"{several}/sheet.svg?of={kind}&units={units}").status_code == 200


def page_tables(text: str) -> int:
    """Tables of a page, each of which is a file of its own."""
    return text.count('<section class="card pad" aria-labelledby="table-')


def post(
    client: TestClient, design: str, verb: str, status: int = 200, cells: Mapping[str, str] | None = None, **fields: str
) -> str:
    named = {f"cell-{name}": text for name, text in (cells or {}).items()}
    answer = client.post(f"{design}/bench/{verb}", data={"unit": "mm", **fields, **named})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def test_columns_are_added_filled_renamed_deleted_and_every_step_is_undone(client: TestClient, several: str) -> None:
    page = post(client, several, "parts/column-add", name="Price")
    line = re.search(r'name="cell-(part\.[^".]*)"', page)
    assert line is not None
    page = post(client, several, "parts/cells", column="price", cells={line[1]: "3.20", f"{line[1]}.was": ""})
    assert '<td role="cell" data-head="Price">3.20</td>' in page
    page = post(client, several, "parts/column-rename", column="price", name="Cost")
    assert '<td role="cell" data-head="Cost">3.20</td>' in page
    assert "Cost" in client.get(f"{several}/parts.csv").text
    assert '"own.price": "3.20"' in client.get(f"{several}/parts.json").text
    page = post(client, several, "parts/column-remove", column="price")
    assert "3.20" not in page
    for _ in ("the deleting", "the renaming"):
        page = unescape(client.post(f"{several}/undo", data={"page": "bench/parts"}).text)
        assert "Parts list" in page
    assert '<td role="cell" data-head="Price">3.20</td>' in page


def test_what_cannot_be_taken_is_said_beside_its_field_and_what_was_typed_stays(
    client: TestClient, several: str
) -> None:
    post(client, several, "parts/column-add", name="Price")
    page = post(client, several, "parts/column-add", 422, name="price")
    assert "already" in page and 'value="price"' in page
    long = "x" * 80
    page = post(client, several, "parts/cells", 422, column="price", cells={"part.a": long, "part.a.was": ""})
    assert "0 to 60 characters" in page
    page = post(client, several, "parts/spares", 422, spares="many")
    assert "ordinary number" in page and 'value="many"' in page
    assert "from 0 to 100" in post(client, several, "parts/spares", 422, spares="101")
    page = post(client, several, "drilling/rates", 422, hole="soon", turning="1 min")
    assert "is no time" in page and 'value="1 min"' in page
    assert post(client, several, "parts/poems", 404)


def test_an_entry_that_another_window_wrote_meanwhile_stays(client: TestClient, several: str) -> None:
    post(client, several, "parts/column-add", name="Price")
    post(client, several, "parts/cells", column="price", cells={"moulding": "2", "moulding.was": ""})
    stale = {"moulding": "", "moulding.was": "", "part.a": "1", "part.a.was": ""}
    page = post(client, several, "parts/cells", column="price", cells=stale)
    fields = dict(re.findall(r'name="cell-([^"]*)" type="text" value="([^"]*)"', page))
    assert (fields["moulding"], fields["part.a"]) == ("2", "1"), "both stand under what is not on this list now"


def test_rates_are_used_on_the_run_on_the_page_of_a_pattern_and_by_a_maker(client: TestClient, several: str) -> None:
    def minutes(page: str) -> float:
        found = re.search(r"about ([\d,]+) min in all", page)
        assert found is not None
        return float(found[1].replace(",", ""))

    before = minutes(client.get(f"{several}/bench/drilling?board=grille").text)
    page = post(client, several, "drilling/rates", board="grille", hole="2 min")
    holes = re.findall(r'data-head="Holes" class="figure">([\d,]+)<', page)
    added = sum(int(each.replace(",", "")) for each in holes) * (120 - 10) / 60
    assert minutes(page) == pytest.approx(before + added, abs=1.01)
    assert "2 min a hole" in page
    pattern = client.get(f"{several}/pattern?board=grille&pitch=10&hole=5&width=30&shape=circle&order=staggered-60")
    assert "at 2 min a hole" in unescape(pattern.text)
    page = post(client, several, "drilling/rates", board="grille", hole="")
    assert minutes(page) == before


def test_spares_are_bought_by_the_share_that_is_set(client: TestClient, several: str) -> None:
    page = post(client, several, "parts/spares", spares="100 %")
    rows = re.findall(r'data-head="Needed" class="figure">(\d+)<.*?data-head="Spare" class="figure">(\d+)<', page)
    assert {int(spare) - int(count) for count, spare in rows} <= {0, *(-int(count) for count, _ in rows)}
    assert any(count == spare for count, spare in rows)
    assert "Spare: 100 % of" in page


def test_a_list_is_counted_for_all_arrangements_or_every_board(client: TestClient, several: str) -> None:
    page = unescape(client.get(f"{several}/bench/parts").text)
    ways = re.findall(r'<option value="(one|arrangements|boards)"', page)
    assert "boards" in ways
    every = unescape(client.get(f"{several}/bench/parts?counted=boards").text)
    assert "Counted for every board" in every and "counted=boards" in every
    wrong = client.get(f"{several}/bench/parts?counted=poems")
    assert wrong.status_code == 200 and "counted for one, arrangements, boards" in unescape(wrong.text)


def test_a_code_is_looked_up_in_every_way_the_list_may_have_been_printed(client: TestClient, several: str) -> None:
    page = client.get(f"{several}/bench").text
    codes = re.findall(r'<span class="list-code">([^<]*)</span>', page)
    assert len(codes) >= 3 and len(set(codes)) == len(codes)
    inch = re.search(r"Code (\S{5}):", client.get(f"{several}/bench/marking?units=inch&reading=1/16 in").text)
    assert inch is not None
    for code, words in ((codes[0], "mark out the centres"), (inch[1].lower(), "mark out the centres in inches")):
        assert f"still holds: {words}" in unescape(client.get(f"{several}/bench?code={code}").text)
    assert "print it again" in client.get(f"{several}/bench?code=22-22").text
    assert "is no code" in unescape(client.get(f"{several}/bench?code=hello world").text)
    client.post(f"{several}/edit/move", data={"select": "c", "dx": "3", "dy": "0", "unit": "mm"})
    assert "print it again" in client.get(f"{several}/bench?code={codes[0]}").text


def test_the_bench_takes_any_kind_with_tables(
    client: TestClient, several: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A list that another module declares, of which nothing on the bench knows the name."""
    columns = (Column("verse", "Verse"), Column("feet", "Feet", "count"))
    table = Table("poems", "All of them", columns, (("Roses are red", 4), ("Violets are blue", 4)), Unit.MM)
    poems = bench_list("poems", "Poems", lambda _: (table,), purpose="To read aloud.")
    monkeypatch.setitem(FILES, "poems", poems)
    lists.cache_clear()
    try:
        text = unescape(client.get(f"{several}/bench").text)
        assert "Poems" in text and "To read aloud." in text and "2 in “All of them”" in text
        page = unescape(client.get(f"{several}/bench/poems").text)
        assert "Violets are blue" in page
    finally:
        monkeypatch.undo()
        lists.cache_clear()


def test_marks_are_read_as_asked(client: TestClient, several: str) -> None:
    page = unescape(client.get(f"{several}/bench/marking?units=inch&reading=1/16 in").text)
    assert "Read to 1/16 in" in page
    assert "reading=1%2F16+in" in page
    assert not re.findall(r"\d+/32\"", re.sub(r"<nav.*?</nav>", "", page, flags=re.DOTALL))
    other = re.findall(r'href="([^"]*units=mm[^"]*)"', page)
    assert other and not any("reading" in link for link in other), "a rule in inches reads no millimetres"
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
