"""The page of wiring: proposed, chosen, placed, measured, pinned, left out, undone, and wrong input told beside it."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from app.document.schema import Design
from app.service.workshop import Workshop


def wired(workshop: Workshop, deck: str) -> Design:
    return workshop.design(deck)[1]


def plan(workshop: Workshop, deck: str) -> dict[str, object]:
    entry = wired(workshop, deck).boards[0].arrangements[0].wiring
    return entry.model_dump(exclude_defaults=True) if entry else {}


def encoders(workshop: Workshop, deck: str) -> list[tuple[str, str, float, float]]:
    design = wired(workshop, deck)
    return [
        (p.id, p.part, p.x, p.y) for p in design.boards[0].arrangements[0].placements if p.part.startswith("encoder")
    ]


def sent(client: TestClient, deck: str, verb: str, **fields: str) -> str:
    answer = client.post(f"/designs/{deck}/wiring/{verb}", data=fields)
    assert answer.status_code == 200, answer.text[:400]
    return answer.text


def inputs(text: str) -> int:
    """Cells of a table that name an input of an encoder board."""
    return len(re.findall("<td[^>]*>input ", text))


def test_without_an_encoder_board_the_page_says_what_would_do_and_adds_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    text = client.get(f"/designs/{deck}/wiring").text
    assert "no encoder board is chosen yet" in text
    parts = re.findall(r'name="parts" value="([\w,-]+)"', text)
    assert parts and "wiring-svg" not in text
    assert client.get(f"/designs/{deck}").text.count("Fits") > 0
    shown = sent(client, deck, "encoder-add", parts=parts[0])
    assert [part for _, part, _, _ in encoders(workshop, deck)] == parts[0].split(",")
    assert 'id="wiring-svg"' in shown and "Every wire" in shown
    assert "Fits" in shown, "where there is room it is in nobody's way"
    client.post(f"/designs/{deck}/undo", data={"page": "wiring"})
    assert encoders(workshop, deck) == []


def test_each_wire_is_lit_up_by_a_link_and_named(client: TestClient, deck: str) -> None:
    text = sent(client, deck, "encoder-add", parts="encoder-32-screw")
    links = re.findall(r'href="([^"]+wire=(\d+)[^"]*)"', text)
    assert [int(number) for _, number in links] == list(range(1, len(links) + 1))
    lit = client.get(links[4][0].replace("&amp;", "&").partition("#")[0]).text
    assert re.findall(r'<tr role="row" data-wire="(\d+)"[^>]* class="lit"', lit) == ["5"]
    assert len(re.findall(r'class="wire net-\w+ lit"', lit)) == 1
    assert re.search(r'id="lit-words">Wire 5, \w+', lit)
    for odd in ("0", "-1", "x", "99999", "１"):
        assert "lit-words" in client.get(f"/designs/{deck}/wiring?wire={odd}").text


def test_the_bench_has_a_card_that_leads_there_and_the_generic_page_has_the_same_wires(
    client: TestClient, deck: str
) -> None:
    sent(client, deck, "encoder-add", parts="encoder-32-screw")
    bench = client.get(f"/designs/{deck}/bench").text
    assert re.search(rf'href="/designs/{deck}/wiring">Wiring</a>', bench)
    assert re.search(r"\d+ wires, [\d.]+ m in all", bench)
    listed, page = client.get(f"/designs/{deck}/bench/wiring").text, client.get(f"/designs/{deck}/wiring").text
    assert listed.count("input ") == inputs(page)
    for ending in ("pdf", "csv", "json"):
        assert client.get(f"/designs/{deck}/wiring.{ending}").status_code == 200


def test_supply_wire_grounds_colours_and_lengths_are_chosen_in_one_step(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    sent(client, deck, "encoder-add", parts="encoder-32-screw")
    text = sent(
        client, deck, "wiring", supply="usb-3", conductor="awg-24", grounds="tree", slack="20", service="4in",
        step="25", ground_colour="blue", signal_colour="white",
    )  # fmt: skip
    assert plan(workshop, deck) == {
        "supply": "usb-3", "conductor": "awg-24", "grounds": "tree", "slack": 20.0, "service": 101.6, "step": 25.0,
        "ground_colour": "blue", "signal_colour": "white",
    }  # fmt: skip
    assert "24 AWG" in text and "900 mA" in text and "Grounds are a tree" in text
    assert set(re.findall(r"<td[^>]*>(\w+ \(\w\w\))</td>", text)) == {"white (WH)", "blue (BU)"}


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("slack", "101", "from 0 to 100"), ("slack", "much", "ordinary number"), ("service", "-1", "from 0 to 2,000"),
        ("step", "0", "from 0.5 to 500"), ("supply", "mains", "usb-2"), ("conductor", "string", "awg-22"),
        ("ground_colour", "plaid", "black"), ("grounds", "star", "ring"),
    ],
)  # fmt: skip
def test_what_cannot_be_taken_is_told_beside_its_field_and_changes_nothing(
    client: TestClient, workshop: Workshop, deck: str, field: str, typed: str, said: str
) -> None:
    answer = client.post(f"/designs/{deck}/wiring/wiring", data={field: typed})
    assert answer.status_code == 422
    wrong = re.search(rf'id="wrong-{field}">([^<]+)<', answer.text)
    assert wrong and said in wrong[1]
    assert plan(workshop, deck) == {}


def test_an_encoder_board_is_placed_by_two_measures_and_deleted(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    sent(client, deck, "encoder-add", parts="encoder-20-pin", left="380", back="8in")
    ((ident, _, x, y),) = encoders(workshop, deck)
    assert (x, y) == (380.0, 203.2), "just as typed"
    sent(client, deck, "place", placement=ident, **{f"x-{ident}": "383.5", f"y-{ident}": "200"})
    assert encoders(workshop, deck)[0][2:] == (383.5, 200.0)
    answer = client.post(f"/designs/{deck}/wiring/place", data={"placement": ident, f"x-{ident}": "far"})
    assert answer.status_code == 422 and f"wrong-x-{ident}" in answer.text
    sent(client, deck, "remove", placement=ident)
    assert encoders(workshop, deck) == []


def test_one_of_the_builder_s_own_is_added_as_measured(client: TestClient, workshop: Workshop, deck: str) -> None:
    own = {
        "name": "Encoder board, 30 inputs, 66 × 34 mm", "inputs": "30", "turnings": "1", "ground-pins": "3",
        "supplies": "1", "width": "66", "height": "34", "depth": "15", "connection": "tab", "current": "35",
    }  # fmt: skip
    text = sent(client, deck, "encoder-measure", **own)
    (entry,) = (part for part in wired(workshop, deck).hardware if part.encoder)
    assert entry.encoder is not None
    assert entry.encoder.model_dump() == {
        "inputs": 30, "turnings": 1, "grounds": 3, "supplies": 1, "connection": "tab", "current": 35.0,
    }  # fmt: skip
    assert (entry.basis, entry.body.depth) == ("measured", 15.0)
    assert len(encoders(workshop, deck)) == 1 and "Fits" in text
    for field, typed in (("inputs", "201"), ("width", "0"), ("depth", "deep"), ("name", ""), ("current", "-1")):
        answer = client.post(f"/designs/{deck}/wiring/encoder-measure", data={**own, field: typed})
        assert answer.status_code == 422 and f"wrong-{field}" in answer.text, field
    nothing = {**own, "inputs": "0", "turnings": "0"}
    assert "at least 1 input" in client.post(f"/designs/{deck}/wiring/encoder-measure", data=nothing).text


def test_a_pin_is_chosen_taken_by_another_and_freed(client: TestClient, workshop: Workshop, deck: str) -> None:
    sent(client, deck, "encoder-add", parts="encoder-32-screw")
    ((encoder, *_),) = encoders(workshop, deck)
    buttons = [p.id for p in wired(workshop, deck).boards[0].arrangements[0].placements if p.part.startswith("button")]
    one, two = buttons[:2]
    text = sent(client, deck, "pin-fix", tab=f"{one}:1", encoder=encoder, pin="30")
    assert re.search("<td[^>]*>input 30</td>", text)
    sent(client, deck, "pin-fix", tab=f"{two}:1", encoder=encoder, pin="30")
    assert [p["placement"] for p in plan(workshop, deck)["pins"]] == [two]  # type: ignore[attr-defined]
    text = sent(client, deck, "pin-fix", tab=f"{one}:1", encoder=encoder, pin="40")
    assert "1 stop" in text, "it has 32 inputs"
    sent(client, deck, "pins-free", placement=one)
    sent(client, deck, "pins-free", placement=two)
    assert plan(workshop, deck) == {}
    for fields in ({"tab": "", "pin": "3"}, {"tab": f"{one}:1", "pin": "0"}, {"tab": f"{one}:x", "pin": "3"}):
        answer = client.post(f"/designs/{deck}/wiring/pin-fix", data={**fields, "encoder": encoder})
        assert answer.status_code == 422


def test_a_part_is_left_out_and_wired_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    text = sent(client, deck, "encoder-add", parts="encoder-32-screw")
    placed = wired(workshop, deck).boards[0].arrangements[0].placements
    part = next(p for p in placed if p.part.startswith("button"))
    count = inputs(text)
    assert inputs(sent(client, deck, "apart", placement=part.id, apart="yes")) == count - 1
    assert plan(workshop, deck) == {"apart": (part.id,)}
    assert inputs(sent(client, deck, "apart", placement=part.id)) == count
    assert plan(workshop, deck) == {}


def test_a_stop_of_wiring_is_on_the_page_and_mended_in_the_report(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    text = sent(client, deck, "encoder-add", parts="encoder-12-screw")
    assert "without a pin: see the fit report" in text and "1 stop" in text
    board = client.get(f"/designs/{deck}").text
    assert "pins for switches" in board and "another encoder board" in board


@pytest.mark.parametrize("count", ["", "nothing", ",".join(["encoder-12-screw"] * 21), "button-28-nut-long"])
def test_what_is_no_encoder_board_is_refused(client: TestClient, workshop: Workshop, deck: str, count: str) -> None:
    answer = client.post(f"/designs/{deck}/wiring/encoder-add", data={"parts": count})
    assert answer.status_code in (404, 422)
    assert encoders(workshop, deck) == []
