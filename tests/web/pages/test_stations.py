"""The stations page: a station's parameters typed, its parts follow at once, arrangements side by side."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.schema import ArrangementEntry, PlacementEntry
from app.document.where import Where
from app.service.edits import changes
from app.service.workshop import Workshop


def arrangement(workshop: Workshop, deck: str, index: int = 0) -> ArrangementEntry:
    return workshop.design(deck)[1].boards[0].arrangements[index]


def parts(workshop: Workshop, deck: str, station: str = "s1", index: int = 0) -> dict[str, PlacementEntry]:
    return {p.id: p for p in arrangement(workshop, deck, index).placements if p.station == station}


def shown(client: TestClient, deck: str, **query: str) -> dict[str, str]:
    """Every field of the form as it is shown, its ``.was`` twins included, as a browser would send it."""
    page = client.get(f"/designs/{deck}/stations", params=query).text
    form = re.search(r'<form id="lay-out".*?</form>', page, re.S)
    assert form
    fields = dict(re.findall(r'<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"', form[0]))
    fields.pop("scope", None)
    fields.pop("mirrored", None)
    for name, options in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', form[0], re.S):
        chosen = re.search(r'value="([^"]*)" selected', options)
        assert chosen
        fields[name] = chosen[1]
    return {k: unescape(v) for k, v in fields.items()}


def send(client: TestClient, deck: str, verb: str = "station-lay-out", status: int = 200, **values: str) -> str:
    fields = shown(
        client, deck, station=values.get("station", "s1"), **{k: values[k] for k in ("units",) if k in values}
    )
    answer = client.post(f"/designs/{deck}/stations/{verb}", data={**fields, **values})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def test_sent_as_shown_nothing_changes(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)
    send(client, deck)
    assert workshop.design(deck) == before


def test_a_wider_pitch_in_inches_moves_the_columns(client: TestClient, workshop: Workshop, deck: str) -> None:
    """1 3/4 in is 44.45 mm, exactly."""
    before = parts(workshop, deck)
    page = send(client, deck, pitch='1 3/4"')
    xs = sorted({round(p.x, 6) for p in parts(workshop, deck).values() if p.part.startswith("button")})
    assert xs[1] - xs[0] == pytest.approx(44.45, abs=1e-9)
    assert before.keys() == parts(workshop, deck).keys()
    assert parts(workshop, deck) == parts(workshop, deck, index=1), "the shared holes moved in both arrangements"
    assert "Player 1: column to column 44.5 mm" in page or "Player 1: column to column 44.4 mm" in page
    client.post(f"/designs/{deck}/undo", data={"page": "stations"})
    assert parts(workshop, deck) == before, "one step"


def test_more_buttons_and_the_mirror(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, buttons="8")
    assert len(parts(workshop, deck)) == 9
    before = parts(workshop, deck)
    send(client, deck, mirrored="on")
    stick = next(p for p in before.values() if p.part.startswith("stick"))
    centre = next(s for s in arrangement(workshop, deck).stations if s.id == "s1").centre
    assert parts(workshop, deck)[stick.id].x == pytest.approx(2 * centre - stick.x, abs=1e-5)


def test_only_here_leaves_the_other_arrangement_alone(client: TestClient, workshop: Workshop, deck: str) -> None:
    other = arrangement(workshop, deck, 1)
    page = send(client, deck, front="70", scope="here")
    assert arrangement(workshop, deck, 1) == other
    assert "only" in page
    letters = {p.label for p in parts(workshop, deck).values()}
    assert not letters & {p.label for p in other.placements if p.station == "s1"}


def test_wrong_entries_are_told_beside_their_fields_and_kept(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)
    for name, value, said in (
        ("pitch", "wide", "wide"),
        ("pitch", "0", "from 5 to 500"),
        ("buttons", "99", "from 0 to 40"),
        ("rows", "0", "from 1 to 40"),
        ("tilt", "120", "from -90 to 90"),
        ("front", "-5", "above 0"),
    ):
        page = send(client, deck, status=422, **{name: value})
        wrong = re.search(rf'id="wrong-{name}">([^<]*)<', page)
        assert wrong, (name, value)
        assert said in wrong[1]
        assert f'value="{value}"' in page
    assert workshop.design(deck) == before


def test_parts_moved_by_hand_are_told_and_called_back(client: TestClient, workshop: Workshop, deck: str) -> None:
    one = next(p for p in parts(workshop, deck).values() if p.part.startswith("button"))
    workshop.edit(deck, Where(), changes.moved(Where(), (one.id,), 5.0, 0.0, 0.0))
    page = unescape(client.get(f"/designs/{deck}/stations?station=s1").text)
    assert f"{one.label} was moved or locked by hand" in page
    send(client, deck, front="75")
    assert parts(workshop, deck)[one.id].y == one.y
    send(client, deck, "station-reset")
    assert parts(workshop, deck)[one.id].x == pytest.approx(one.x, abs=1e-6)
    assert "reset to station positions" in str(workshop.moments(deck)[-1].summary)


def test_removing_a_player_and_looking_at_both(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = unescape(client.get(f"/designs/{deck}/stations").text)
    shared = {p.label for p in arrangement(workshop, deck, 1).placements}
    assert f"{len(shared)} holes in common" in page
    svg = client.get(f"/designs/{deck}/arrangement.svg?arrangement={arrangement(workshop, deck, 1).id}")
    assert svg.headers["content-type"].startswith("image/svg+xml")
    assert all(f">{letter}</" in svg.text for letter in shared)
    send(client, deck, "station-remove", station="s2")
    assert not parts(workshop, deck, "s2")
    bare = client.post(f"/designs/{deck}/stations/shake", data={"station": "s1"})
    assert bare.status_code == 404


def test_an_empty_board_says_so(client: TestClient, workshop: Workshop) -> None:
    from app.arrange.new_deck.new_deck_spec import NewDeck

    empty = workshop.create(NewDeck(players=0)).design.id
    assert "has no station" in client.get(f"/designs/{empty}/stations").text


def test_one_column_is_offered_no_shape_it_cannot_have(client: TestClient, workshop: Workshop, deck: str) -> None:
    def offered() -> list[str]:
        page = client.get(f"/designs/{deck}/stations", params={"station": "s1"}).text
        select = re.search(r'<select id="field-shape".*?</select>', page, re.S)
        assert select
        return re.findall(r'<option value="(\w+)"', select[0])

    assert offered() == ["straight", "stepped", "arc"]
    send(client, deck, buttons="2", rows="2", shape="straight")
    assert arrangement(workshop, deck).stations[0].columns == 1
    assert offered() == ["straight"]
    # As a page from before would send it.
    assert "One column can be straight, not arc" in send(client, deck, status=422, shape="arc")
    send(client, deck, buttons="4", rows="2", shape="arc")
    assert offered() == ["straight", "stepped", "arc"]


def test_an_arc_is_as_deep_as_was_typed_in_either_unit(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, shape="arc")
    fields = shown(client, deck, station="s1")
    assert "step" not in fields and float(fields["arc"].removesuffix(" mm")) > 0
    page = send(client, deck, arc="20")
    station = arrangement(workshop, deck).stations[0]
    assert station.columns == 3 and station.steps == (0.0, 20.0, 0.0)
    assert "depth of the arc 20 mm" in page
    send(client, deck, arc='3/4"', units="inch")
    assert arrangement(workshop, deck).stations[0].steps == (0.0, 19.05, 0.0)
    assert arrangement(workshop, deck, 1).stations[0].steps == (0.0, 19.05, 0.0), "the same station elsewhere"


def test_a_depth_that_was_chosen_stays_while_other_fields_change(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    send(client, deck, shape="arc")
    usual = arrangement(workshop, deck).stations[0]
    send(client, deck, pitch="48")
    assert arrangement(workshop, deck).stations[0].steps != usual.steps, "about the wrist it follows the pitch"
    send(client, deck, arc="12")
    send(client, deck, pitch="50")
    assert max(arrangement(workshop, deck).stations[0].steps) == 12
    send(client, deck, front="70")
    assert max(arrangement(workshop, deck).stations[0].steps) == 12


@pytest.mark.parametrize(("typed", "said"), [("0", "above 0"), ("-5", "above 0"), ("150", "half a circle"), ("x", "x")])
def test_a_depth_no_arc_can_have_is_refused_beside_its_field(
    client: TestClient, workshop: Workshop, deck: str, typed: str, said: str
) -> None:
    send(client, deck, shape="arc")
    before = workshop.design(deck)[1]
    page = send(client, deck, status=422, arc=typed)
    wrong = re.search(r'id="wrong-arc">([^<]*)<', page)
    assert wrong and said in wrong[1]
    assert workshop.design(deck)[1] == before


def test_fields_that_mean_nothing_for_a_shape_are_not_there(client: TestClient, deck: str) -> None:
    assert "arc" not in shown(client, deck, station="s1") and "step" in shown(client, deck, station="s1")
    send(client, deck, shape="arc", buttons="2", rows="1")
    assert "arc" not in shown(client, deck, station="s1"), "two columns are both outer ones"
