"""Pages of makers: every maker shown, made, put on a board, changed, refused and undone, whatever it asks."""

from __future__ import annotations

import re
from html import unescape
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from app.arrange.maker.made import Maker
from app.arrange.maker.registry import MAKERS
from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.model.maker.measure import Measure
from app.service.workshop import Workshop
from tests.long_run import by_turns, in_gate
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


@pytest.mark.parametrize(("name", "units"), by_turns(NAMES, ["mm", "inch"]))
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


@pytest.mark.parametrize("name", in_gate(NAMES, {"fan", "sockets", "display"}.__contains__))
def test_it_is_put_on_a_board_where_it_is_typed(client: TestClient, workshop: Workshop, design: str, name: str) -> None:
    ident = design.rsplit("/", 1)[1]
    form = fields(client, f"{design}/make/{name}?on=deck&units=mm") | {"x": "150 mm", "y": "90 mm", "angle": "90"}
    form |= {"m-opening-width": "100 mm"} if name == "header" else {}  # its vents stay on the deck
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


@pytest.mark.parametrize("name", in_gate(NAMES, {"grille", "display", "door"}.__contains__))
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


@pytest.mark.parametrize(
    ("name", "typed", "field", "said"),
    [
        ("grille", {"m-hole": "10", "m-pitch": "9"}, "m-pitch", "need a pitch of 11 mm or more, got 9 mm"),
        (
            "grille",
            {"m-hole": "1.5", "m-pitch": "2.6", "m-outer": "300", "m-cone": "250", "m-fixing": "glue"},
            "m-pitch",
            "A pattern has up to 5,000 holes, got ",
        ),
        ("grille", {"m-width": "60", "m-height": "60"}, "m-width", "Its holes reach 10 mm"),
        ("grille", {"on": "deck", "units": "mm", "x": "10", "y": "100"}, "x", "Its holes reach 30 mm over the edge of"),
        ("door", {"m-vents": "on", "m-vent-height": "400"}, "m-vent-height", "over the edge of"),
        ("display", {"m-outer-width": "500"}, "m-outer-width", "The display is wider than the cabinet"),
        ("door", {"m-sized": "both", "m-width": "301"}, "m-width", "The door is wider than an opening of 300 mm"),
        ("door", {"m-sized": "both", "m-height": "221"}, "m-height", "The door is wider than an opening of 220 mm"),
    ],
)
def test_what_nobody_can_build_is_said_beside_its_field_and_changes_nothing(
    client: TestClient, workshop: Workshop, design: str, name: str, typed: dict[str, str], field: str, said: str
) -> None:
    before = workshop.design(design.rsplit("/", 1)[1])[1]
    on = "?on=deck&units=mm" if "on" in typed else "?units=mm"
    asked = fields(client, f"{design}/make/{name}{on}") | typed
    shown = client.get(f"{design}/make/{name}", params=asked)
    answer = client.post(f"{design}/make/{name}", data=asked)
    assert (shown.status_code, answer.status_code) == (200, 422)
    for page in (unescape(shown.text), unescape(answer.text)):
        words = re.search(rf'id="wrong-{field}">(.*?)</p>', page, re.DOTALL)
        assert words and said in words[1]
        assert f'value="{typed[field]}"' in page
    assert workshop.design(design.rsplit("/", 1)[1])[1] == before


def test_made_anew_no_hole_goes_over_the_edge_that_was_not_over_it(
    client: TestClient, workshop: Workshop, design: str
) -> None:
    client.post(f"{design}/make/grille", data=fields(client, f"{design}/make/grille?units=mm"))
    ident = design.rsplit("/", 1)[1]
    before = workshop.design(ident)[1]
    path = f"{design}/made/grille?board=grille&units=mm"
    asked = fields(client, path) | {"m-width": "60 mm", "m-height": "60 mm"}
    answer = client.post(f"{design}/made/grille", data=asked)
    assert answer.status_code == 422 and 'id="wrong-m-width"' in answer.text
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


def test_what_cannot_be_read_and_what_is_too_much_are_said_at_once(client: TestClient, design: str) -> None:
    wrong = {"on": "deck", "m-cone": "x", "m-depth": "900 mm", "x": "y", "angle": "999"}
    form = fields(client, f"{design}/make/grille?on=deck") | wrong
    for text in (
        client.get(f"{design}/make/grille", params=form).text,
        client.post(f"{design}/make/grille", data=form).text,
    ):
        for name in ("m-cone", "m-depth", "x", "angle"):
            assert f'id="wrong-{name}"' in text, name


def test_a_measure_that_nobody_sees_stops_nothing(client: TestClient, workshop: Workshop, design: str) -> None:
    """Glue takes no screws: what was typed wrong about them is kept for when they come back, and does no harm."""
    form = fields(client, f"{design}/make/grille") | {"m-screws": "x", "m-bolt-circle": "9000 mm"}
    assert 'id="wrong-m-screws"' in client.get(f"{design}/make/grille", params=form).text
    glued = client.get(f"{design}/make/grille", params=form | {"m-fixing": "glue"}).text
    assert drawn(glued)
    assert '<input type="hidden" name="m-screws" value="x">' in glued
    assert client.post(f"{design}/make/grille", data=form | {"m-fixing": "glue"}).status_code == 200
    assert len(workshop.design(design.rsplit("/", 1)[1])[1].boards) == 2


@pytest.mark.parametrize(
    ("units", "other", "typed", "meant"), [("mm", "inch", "100", 100.0), ("inch", "mm", "4", 101.6)]
)
@pytest.mark.parametrize("name", NAMES)
def test_the_other_unit_loses_nothing_and_moves_nothing(
    client: TestClient, workshop: Workshop, design: str, name: str, units: str, other: str, typed: str, meant: float
) -> None:
    """4 in are 101.6 mm (the inch of 1959 is 25.4 mm); what nobody typed keeps its default to the last digit."""
    form = fields(client, f"{design}/make/{name}?units={units}") | {"m-free-depth": typed, "units": units}
    text = client.get(f"{design}/make/{name}", params=form).text
    switch = re.search(r'aria-label="Units">(.*?)</nav>', text, re.DOTALL)
    assert switch
    way = next(unescape(url) for url, word in re.findall(r'href="([^"]*)"[^>]*>(\w+)', switch[1]) if word == other)
    turned = fields(client, way)
    client.post(f"{design}/make/{name}", data=turned)
    board = workshop.design(design.rsplit("/", 1)[1])[1].boards[1]
    asked = {one.name: one.value for one in board.arrangements[0].makers[0].measures}
    maker = next(m for m in MAKERS if m.name == name)
    assert asked == {m.name: m.default for m in maker.measures} | {"free-depth": pytest.approx(meant, abs=1e-9)}


def test_on_another_board_it_begins_in_the_middle_unless_a_place_was_typed(client: TestClient, design: str) -> None:
    client.post(f"{design}/make/sockets", data=fields(client, f"{design}/make/sockets"))
    form = fields(client, f"{design}/make/fan?on=deck&units=mm") | {"units": "mm", "on": "sockets"}
    there = fields(client, f"{design}/make/fan?{urlencode(form)}")
    assert (there["x"], there["y"]) == ("120 mm", "50 mm")  # half of 240 and 100 mm, the defaults of that board
    kept = fields(client, f"{design}/make/fan?{urlencode(form | {'x': '77'})}")
    assert (kept["x"], kept["y"]) == ("77", "50 mm")


def test_what_was_moved_or_deleted_by_hand_is_said_and_put_back_if_asked(
    client: TestClient, workshop: Workshop, design: str
) -> None:
    ident = design.rsplit("/", 1)[1]
    client.post(f"{design}/make/sockets", data=fields(client, f"{design}/make/sockets"))
    address = f"{design}/made/sockets?board=sockets"
    assert 'id="by-hand"' not in client.get(address).text
    made = workshop.design(ident)[1].boards[1].arrangements[0].placements
    on = {"board": "sockets", "unit": "mm"}
    client.post(f"{design}/edit/move", data=on | {"select": made[0].id, "dx": "5", "dy": "0"})
    client.post(f"{design}/edit/remove", data=on | {"select": made[2].id})
    assert f"Changed by hand: {made[0].label} moved; 1 deleted." in client.get(address).text
    ticked = client.get(f"{address}&reset=on").text
    assert re.search(r'name="reset"[^>]* checked', ticked)
    client.post(address, data=fields(client, address) | {"reset": "on"})
    again = workshop.design(ident)[1].boards[1].arrangements[0].placements
    assert {(p.id, p.x, p.y) for p in again} == {(p.id, p.x, p.y) for p in made}
    assert 'id="by-hand"' not in client.get(address).text


def test_it_is_put_into_the_arrangement_in_view(client: TestClient, workshop: Workshop, design: str) -> None:
    ident = design.rsplit("/", 1)[1]
    client.post(f"{design}/edit/arrangement-add", data={"kind": "copy"})
    first, second = workshop.design(ident)[1].boards[0].arrangements
    form = fields(client, f"{design}/make/fan?on=deck&arrangement={second.id}")
    assert form["arrangement"] == second.id
    answer = client.post(f"{design}/make/fan", data=form)
    assert f"arrangement={second.id}" in str(answer.url)
    first, second = workshop.design(ident)[1].boards[0].arrangements
    assert (len(first.makers), len(second.makers)) == (0, 1)


@pytest.mark.parametrize("name", in_gate(NAMES, {"grille", "door"}.__contains__))
def test_a_copy_of_what_was_made_is_the_hand_s_own_and_stays(
    client: TestClient, workshop: Workshop, design: str, name: str
) -> None:
    ident = design.rsplit("/", 1)[1]
    client.post(f"{design}/make/{name}", data=fields(client, f"{design}/make/{name}"))
    board = workshop.design(ident)[1].boards[1]
    (maker,), first = board.arrangements[0].makers, board.arrangements[0].placements[0]
    on, address = {"board": board.id, "unit": "mm"}, f"{design}/made/{maker.id}?board={board.id}"
    copied = client.post(f"{design}/edit/duplicate", data=on | {"select": first.id})
    assert copied.status_code == 200
    (copy,) = (p for p in workshop.design(ident)[1].boards[1].arrangements[0].placements if not p.maker)
    card = client.get(f"{design}?board={board.id}&select={copy.id}").text
    assert 'id="to-made"' not in card
    changed = fields(client, address) | {"m-free-depth": "300 mm"}
    assert client.post(address, data=changed).status_code == 200
    assert client.post(address, data=on | {"remove": "on"}).status_code == 200
    after = workshop.design(ident)[1]
    assert [p.id for p in after.boards[1].arrangements[0].placements] == [copy.id]
    for _ in range(4):
        client.post(f"{design}/undo", data=on)
    assert len(workshop.design(ident)[1].boards) == 1


@pytest.mark.parametrize("name", in_gate(NAMES, {"fan", "sockets", "header"}.__contains__))
def test_each_measure_changes_what_was_made_and_one_undo_takes_it_back(
    client: TestClient, workshop: Workshop, design: str, name: str
) -> None:
    """Of every measure that counts, another value that is allowed: it is kept as it was typed, or refused in words."""
    ident, maker = design.rsplit("/", 1)[1], next(m for m in MAKERS if m.name == name)
    client.post(f"{design}/make/{name}", data=fields(client, f"{design}/make/{name}"))
    before = workshop.design(ident)[1].boards[1]
    address = f"{design}/made/{before.arrangements[0].makers[0].id}?board={before.id}&units=mm"
    form, kept = fields(client, address), 0
    for measure in maker.measures:
        if measure.only and form.get(f"m-{measure.only[0]}") not in [str(value) for value in measure.only[1]]:
            continue
        answer = client.post(address, data=form | {f"m-{measure.name}": another(measure)})
        if answer.status_code == 422:
            assert 'class="wrong"' in answer.text or 'class="notice"' in answer.text, measure.name
            continue
        now = workshop.design(ident)[1].boards[1].arrangements[0].makers[0]
        assert {m.name for m in now.measures if m not in before.arrangements[0].makers[0].measures} == {measure.name}
        kept += 1
        client.post(f"{design}/undo", data={"board": before.id})
        assert workshop.design(ident)[1].boards[1] == before
    assert kept > len(maker.measures) / 3


def another(measure: Measure) -> str:
    """A value near the default that is allowed, as it is typed."""
    if measure.kind == "choice":
        return next(key for key, _ in measure.choices if key != measure.default)
    if measure.kind == "yes-no":
        return "no" if measure.default else "yes"
    step = 1 if float(measure.default) + 1 <= measure.most else -1
    return f"{float(measure.default) + step:g}"


@pytest.mark.parametrize("maker", MAKERS, ids=lambda maker: maker.name)
def test_what_to_look_for_before_buying_is_said(client: TestClient, design: str, maker: Maker) -> None:
    text = unescape(client.get(f"{design}/make/{maker.name}").text)
    assert all(line in text for line in maker.look_for)
    assert ("Before you buy" in text) == bool(maker.look_for)
