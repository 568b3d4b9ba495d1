"""The page of legends: set, seen, refused beside the field, undone; its files, mirrored too; its card on the bench."""

from __future__ import annotations

import json
import re
from html import unescape

from starlette.testclient import TestClient

from app.service.workshop import Workshop


def post(client: TestClient, deck: str, verb: str, **values: str) -> str:
    status = int(values.pop("status", "200"))
    answer = client.post(f"/designs/{deck}/legends/{verb}", data={"unit": "mm", **values})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def legends(workshop: Workshop, deck: str) -> dict[str, str]:
    rows = workshop.design(deck)[1].boards[0].arrangements[0].placements
    return {p.id: p.legend.text or f"sign {p.legend.sign}" for p in rows if p.legend}


def test_a_legend_is_set_seen_on_the_board_and_deleted(client: TestClient, workshop: Workshop, deck: str) -> None:
    assert "0 parts of" in client.get(f"/designs/{deck}/legends").text
    page = post(client, deck, "legend", select="b", placement="b", text="START", place="front", height="6")
    assert legends(workshop, deck) == {"b": "START"}
    assert 'id="legends-svg"' in page and 'class="legend legend-black"' in page
    board = client.get(f"/designs/{deck}").text
    assert '<g id="legends"' in board and 'class="legend legend-black"' in board
    assert 'id="legends"' not in client.get(f"/designs/{deck}?face=under").text.partition("<form")[0]
    assert "Delete this legend" in page
    post(client, deck, "legend-delete", select="b", placement="b")
    assert not legends(workshop, deck)
    client.post(f"/designs/{deck}/undo", data={"page": "legends"})
    assert legends(workshop, deck) == {"b": "START"}


def test_what_cannot_be_lettered_is_told_beside_its_field_and_nothing_typed_is_lost(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = post(client, deck, "legend", select="b", placement="b", text="安全", height="a lot", status="422")
    assert 'id="wrong-height"' in page and 'value="a lot"' in page and 'value="安全"' in page
    page = post(client, deck, "legend", select="b", placement="b", text="安全", status="422")
    assert "and not “安” “全”. Leave those out." in page and 'id="wrong-text"' in page
    page = post(client, deck, "lettering", height="900", distance="700", status="422", **{"height.was": "5 mm"})
    assert 'id="wrong-board-height"' in page and 'value="900"' in page
    assert not legends(workshop, deck)


def test_all_parts_are_lettered_by_name_and_all_legends_deleted(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = post(client, deck, "legends-letter")
    rows = workshop.design(deck)[1].boards[0].arrangements[0].placements
    assert legends(workshop, deck) == {p.id: p.label for p in rows}
    assert f"{len(rows)} parts of {len(rows)} have a legend." in page
    assert "already" in post(client, deck, "legends-letter", status="422")
    post(client, deck, "legends-delete")
    assert not legends(workshop, deck)


def test_what_ails_a_legend_is_told_on_the_page(client: TestClient, deck: str) -> None:
    page = post(client, deck, "legend", select="b", placement="b", text="GO", place="free", x="0", y="0", height="2")
    assert "of B lies" in page and "over the hole of B" in page and "is 2 mm high" in page


def test_files_are_had_from_the_page_each_by_its_name_and_proof(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    assert "legends.svg" not in client.get(f"/designs/{deck}/legends").text
    page = post(client, deck, "legends-letter")
    many = len(legends(workshop, deck))
    for address in re.findall(r'href="([^"]*/legends\.[a-z]+[^"]*)"', page):
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert "attachment" in answer.headers["content-disposition"]
        if ".svg" in address or ".pdf" in address:
            assert answer.headers["X-Proof"] == f"{many} legends, largest difference 0.00 mm"
    plain, turned = (client.get(f"/designs/{deck}/legends.svg?face={face}") for face in ("top", "under"))
    assert plain.headers["content-type"].startswith("image/svg+xml") and plain.text != turned.text
    assert "underside" in turned.headers["content-disposition"]
    told = json.loads(client.get(f"/designs/{deck}/legends.json").text)
    assert len(json.dumps(told)) > 500


def test_the_bench_has_a_card_that_says_what_there_is(client: TestClient, workshop: Workshop, deck: str) -> None:
    bench = client.get(f"/designs/{deck}/bench").text
    assert "no part has one yet" in bench and f"/designs/{deck}/legends" in bench
    post(client, deck, "legends-letter")
    assert f"{len(legends(workshop, deck))} legends" in client.get(f"/designs/{deck}/bench").text
    assert "Where they go" in client.get(f"/designs/{deck}/bench/legends").text


def test_a_layer_of_legends_is_offered_where_there_are_some(client: TestClient, deck: str) -> None:
    assert ">Legends<" not in client.get(f"/designs/{deck}").text
    post(client, deck, "legends-letter")
    assert "Legends" in client.get(f"/designs/{deck}").text
