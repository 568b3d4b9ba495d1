"""Pages of makers: every maker shown, made, put on a board, changed, refused and undone, whatever it asks."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.maker.made import Maker
from app.arrange.maker.registry import MAKERS
from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.model.maker.measure import Measure
from app.service.workshop import Workshop
from tests.reading.pages import Page

NAMES = [maker.name for maker in MAKERS]


@pytest.fixture
def design(client: TestClient) -> str:
    """Path of a design with one board."""
    file = ("a.json", dumps(load_scenario("pine-shelf-compact")).encode(), "application/json")
    return client.post("/designs/open", files={"file": file}).url.path


def fields(client: TestClient, address: str) -> dict[str, str]:
    """What the form of measures holds."""
    sheet = next(s for s in Page(client.get(address).text).forms if any(n.startswith("m-") for n in s.fields))
    return dict(sheet.fields)


def drawn(text: str) -> str:
    return "".join(re.findall(r'<svg[^>]*id="make-svg".*?</svg>', text, re.DOTALL))


def test_every_maker_is_offered_with_its_picture(client: TestClient, design: str) -> None:
    text = client.get(f"{design}/make").text
    for maker in MAKERS:
        assert f'href="{design}/make/{maker.name}"' in text
        assert client.get(f"{design}/make/{maker.name}.svg").headers["content-type"] == "image/svg+xml"
    assert f'href="{design}/make"' in client.get(f"{design}/boards").text


@pytest.mark.parametrize("name", NAMES)
def test_a_board_is_made_of_the_defaults_and_undone(
    client: TestClient, workshop: Workshop, design: str, name: str
) -> None:
    form = fields(client, f"{design}/make/{name}")
    assert drawn(client.get(f"{design}/make/{name}").text)
    answer = client.post(f"{design}/make/{name}", data=form)
    assert answer.status_code == 200, answer.text
    ident = design.rsplit("/", 1)[1]
    boards = workshop.design(ident)[1].boards
    assert f"board={boards[1].id}" in str(answer.url)
    assert boards[1].arrangements[0].makers[0].maker == name
    assert "Fits" in answer.text
    client.post(f"{design}/undo", data={"board": boards[1].id})
    assert len(workshop.design(ident)[1].boards) == 1


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("name", NAMES)
def test_what_was_made_opens_again_as_it_is_and_nothing_moves_unless_typed(
    client: TestClient, workshop: Workshop, design: str, name: str, units: str
) -> None:
    """The screen rounds; a form sent back as it was shown changes no measure and no hole."""
    ident = design.rsplit("/", 1)[1]
    client.post(f"{design}/make/{name}", data=fields(client, f"{design}/make/{name}?units={units}"))
    board = workshop.design(ident)[1].boards[1]
    maker = board.arrangements[0].makers[0]
    address = f"{design}/made/{maker.id}?board={board.id}&units={units}"
    assert "Delete it with what it made" in client.get(address).text
    client.post(address, data=fields(client, address))
    assert workshop.design(ident)[1].boards[1] == board
    gone = client.post(address, data={"board": board.id, "remove": "on"})
    assert gone.status_code == 200
    assert not workshop.design(ident)[1].boards[1].arrangements[0].makers


@pytest.mark.parametrize("name", NAMES)
def test_it_is_put_on_a_board_where_it_is_typed(client: TestClient, workshop: Workshop, design: str, name: str) -> None:
    ident = design.rsplit("/", 1)[1]
    form = fields(client, f"{design}/make/{name}?on=deck&units=mm") | {"x": "150 mm", "y": "90 mm", "angle": "90"}
    answer = client.post(f"{design}/make/{name}", data=form)
    assert answer.status_code == 200
    (board,) = workshop.design(ident)[1].boards
    (maker,) = board.arrangements[0].makers
    assert (maker.x, maker.y, maker.angle) == (150.0, 90.0, 90.0)
    held = next(p for p in board.arrangements[0].placements if p.maker == maker.id)
    card = client.get(f"{design}?select={held.id}").text
    assert f'href="{design}/made/{maker.id}' in card
    moved = fields(client, f"{design}/made/{maker.id}?units=mm") | {"x": "160 mm"}
    client.post(f"{design}/made/{maker.id}", data=moved)
    assert workshop.design(ident)[1].boards[0].arrangements[0].makers[0].x == 160.0


def wrong_values(maker: Maker) -> list[tuple[Measure, str]]:
    found: list[tuple[Measure, str]] = []
    for measure in maker.measures:
        if measure.kind in ("length", "count", "share"):
            unit = " mm" if measure.kind == "length" else ""
            found += [(measure, f"{measure.most + 1:g}{unit}"), (measure, "x")]
        else:
            found.append((measure, "no such"))
    return found


@pytest.mark.parametrize("name", NAMES)
def test_every_wrong_measure_is_said_beside_its_field_and_nothing_is_lost(
    client: TestClient, workshop: Workshop, design: str, name: str
) -> None:
    ident, maker = design.rsplit("/", 1)[1], next(m for m in MAKERS if m.name == name)
    before = workshop.design(ident)[1]
    for measure, text in wrong_values(maker):
        only = {} if measure.only is None else {f"m-{measure.only[0]}": str(measure.only[1][0])}
        form = fields(client, f"{design}/make/{name}") | only | {f"m-{measure.name}": text}
        shown = client.get(f"{design}/make/{name}", params=form)
        answer = client.post(f"{design}/make/{name}", data=form)
        assert (shown.status_code, answer.status_code) == (200, 422), measure.name
        for page in (shown.text, answer.text):
            if 'id="field-m-' + measure.name in page:
                assert f'id="wrong-m-{measure.name}"' in page or "<select" in page, measure.name
            if measure.kind not in ("choice", "yes-no"):
                assert f'value="{text}"' in unescape(page)
            assert not drawn(page)
    assert workshop.design(ident)[1] == before


def test_two_wrong_measures_are_said_at_once(client: TestClient, design: str) -> None:
    text = client.get(f"{design}/make/grille", params={"m-cone": "x", "m-depth": "y"}).text
    assert 'id="wrong-m-cone"' in text
    assert 'id="wrong-m-depth"' in text


@pytest.mark.parametrize(("units", "said"), [("mm", "125 mm"), ("inch", '4 59/64"')])
def test_what_is_refused_is_said_in_the_unit_shown(client: TestClient, design: str, units: str, said: str) -> None:
    text = client.get(f"{design}/make/grille", params={"units": units, "unit": units, "m-cone": "200 mm"}).text
    assert f"narrower than the rim, {said}" in unescape(text)


@pytest.mark.parametrize("path", ["make/nothing", "made/nothing", "make/nothing.svg"])
def test_a_maker_that_is_not_there_is_named(client: TestClient, design: str, path: str) -> None:
    assert client.get(f"{design}/{path}").status_code == 404
