"""The outline page: look at a file, say its unit, take it as one step; hostile files and forms refused."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.scenarios import load_scenario
from app.service import export_file
from app.service.workshop import Workshop

PLAIN = (
    b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 30 12"><path d="M0,0 H30 V12 H0 Z"/>'
    b'<circle cx="5" cy="5" r="1"/><rect x="10" y="4" width="4" height="2"/></svg>'
)


def look(client: TestClient, deck: str, data: bytes, name: str = "deck.svg", status: int = 200) -> str:
    files = {"file": (name, data, "application/octet-stream")}
    answer = client.post(f"/designs/{deck}/outline/look", data={"unit": "mm"}, files=files)
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def ways(page: str) -> dict[str, str]:
    """The outline packed for the form, by what is said of its unit."""
    label = r'name="outline" value="([^"]*)"[^>]*>\s*<span><strong>[^<]*</strong> <span class="muted">([^<]*)<'
    found = re.findall(label, page)
    return {words: value for value, words in found}


def outline(workshop: Workshop, deck: str) -> dict[str, object]:
    return workshop.design(deck)[1].boards[0].outline.model_dump()


def test_a_file_without_units_is_asked_and_taken_in_the_one_that_is_chosen(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """30 × 12: inches 762 × 304.8 mm; as mm it would be no board, and is not offered."""
    page = look(client, deck, PLAIN)
    assert "does not say what unit" in page
    assert "if it is in inches" in ways(page)
    assert "if it is in millimetres" not in ways(page)
    assert "762 mm × 304.8 mm" in page
    before = outline(workshop, deck)
    chosen = ways(page)["if it is in inches"]
    placed = workshop.design(deck)[1].boards[0].arrangements
    client.post(
        f"/designs/{deck}/outline/take",
        data={"unit": "mm", "outline": chosen, "name": "deck.svg", "opening-0": "on"},
    )
    after = workshop.design(deck)[1].boards[0]
    assert {(round(c.x, 6), round(c.y, 6)) for c in after.outline.corners} == {
        (0, 0),
        (762, 0),
        (762, 304.8),
        (0, 304.8),
    }
    (opening,) = after.outline.openings
    assert {round(c.x, 6) for c in opening} == {254.0, 355.6}
    assert after.arrangements == placed, "every part keeps its place"
    assert "from deck.svg: 762 mm × 304.8 mm" in workshop.moments(deck)[-1].summary
    client.post(f"/designs/{deck}/undo")
    assert outline(workshop, deck) == before


def test_our_own_dxf_comes_back_with_its_size_and_without_its_holes(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    design = load_scenario("lantern-hill-solo")
    page = look(client, deck, export_file(design, fmt="dxf").data, "lantern.dxf")
    assert "600 mm × 250 mm" in page
    assert "as the file says" in page
    client.post(f"/designs/{deck}/outline/take", data={"unit": "mm", "outline": ways(page)["as the file says"]})
    taken = workshop.design(deck)[1].boards[0].outline
    was = design.boards[0].outline
    assert len(taken.corners) == len(was.corners)
    assert not taken.openings


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "No file was chosen"),
        (b"nonsense", "not sound XML"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no line"),
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_changes(
    client: TestClient, workshop: Workshop, deck: str, data: bytes, said: str
) -> None:
    before = outline(workshop, deck)
    assert said in look(client, deck, data, status=422)
    assert outline(workshop, deck) == before


@pytest.mark.parametrize(
    "packed",
    [
        "",
        "[]",
        "[[]]",
        "nonsense",
        "[[[0,0,0,0],[1,0,0,0]]]",
        '[[["a",0,0,0]]]',
        "[[[0,0,0,0],[100,0,0,0],[0,1e999,0,0]]]",
        "[" * 5000,
        "[[[0,0,0,0],[100,100,0,0],[100,0,0,0],[0,100,0,0]]]",
        "[[[0,0,900,900],[100,0,0,0],[0,100,0,0]]]",
    ],
)
def test_a_forged_outline_is_refused(client: TestClient, workshop: Workshop, deck: str, packed: str) -> None:
    before = outline(workshop, deck)
    answer = client.post(f"/designs/{deck}/outline/take", data={"unit": "mm", "outline": packed})
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert outline(workshop, deck) == before


def test_a_nasty_name_is_shown_as_text(client: TestClient, deck: str) -> None:
    page = client.post(
        f"/designs/{deck}/outline/look",
        data={"unit": "mm"},
        files={"file": ("<script>alert(1)</script>.svg", PLAIN, "image/svg+xml")},
    ).text
    assert "<script>alert" not in page


def opened(client: TestClient, data: bytes, name: str, status: int = 200) -> str:
    """The page that a file opened on the shelf leads to."""
    answer = client.post("/designs/open", files={"file": (name, data, "application/octet-stream")})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


@pytest.mark.parametrize("name", ["side panel.svg", "side panel.txt"])
def test_a_drawing_opened_on_the_shelf_is_a_new_board_with_its_outline_to_be_taken(
    client: TestClient, workshop: Workshop, name: str
) -> None:
    """30 × 12 without a unit: inches are the first in which it is a board, so the empty board is 762 × 304.8 mm."""
    page = opened(client, PLAIN, name)
    (item,) = workshop.shelf.look().items
    design = item.row.id
    assert item.row.title == "side panel" and f'action="/designs/{design}/outline/take"' in page
    board = workshop.design(design)[1].boards[0]
    assert not any(a.placements for a in board.arrangements)
    assert {(round(c.x, 6), round(c.y, 6)) for c in board.outline.corners} >= {(762.0, 304.8)}
    chosen = {"unit": "mm", "outline": ways(page)["if it is in inches"], "name": name, "opening-0": "on"}
    client.post(f"/designs/{design}/outline/take", data=chosen)
    assert len(workshop.design(design)[1].boards[0].outline.openings) == 1


def lines(sides: tuple[float, float], unit: int) -> bytes:
    """A DXF file of four lines round a board, its unit by number as in the DXF reference, $INSUNITS: 1 in, 4 mm."""
    (w, d), rows = sides, ["0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", str(unit), "0", "ENDSEC"]
    rows += ["0", "SECTION", "2", "ENTITIES"]
    for x0, y0, x1, y1 in ((0, 0, w, 0), (w, 0, w, d), (w, d, 0, d), (0, d, 0, 0)):
        rows += ["0", "LINE", "8", "0", "10", f"{x0}", "20", f"{y0}", "11", f"{x1}", "21", f"{y1}"]
    return "\n".join([*rows, "0", "ENDSEC", "0", "EOF", ""]).encode()


def test_a_drawing_in_inches_makes_a_board_in_inches_and_one_too_long_an_ordinary_one(
    client: TestClient, workshop: Workshop
) -> None:
    dxf = export_file(load_scenario("lantern-hill-solo"), fmt="dxf").data
    assert "as the file says" in opened(client, dxf, "no ending")
    assert '30" × 12"' in opened(client, lines((30, 12), 1), "inches.dxf")
    assert "4900 mm × 300 mm" in opened(client, lines((4900, 300), 4), "long.dxf")
    found = {i.row.title: workshop.design(i.row.id)[1] for i in workshop.shelf.look().items}
    assert {title: design.units for title, design in found.items()} == {
        "no ending": "mm",
        "inches": "inch",
        "long": "mm",
    }
    corners = found["inches"].boards[0].outline.corners
    assert (max(c.x for c in corners), max(c.y for c in corners)) == pytest.approx((762.0, 304.8))


@pytest.mark.parametrize(
    ("data", "name", "said"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "empty.svg", "no line"),
        (b"nonsense", "bad.dxf", "“bad.dxf” cannot be opened"),
        (b"<?xml version='1.0'?><svg", "cut.xml", "not sound XML"),
        (b'{"format": "holewise-des', "design.json", "cut short"),
    ],
)
def test_a_drawing_that_cannot_be_read_is_told_on_the_shelf_and_makes_no_board(
    client: TestClient, workshop: Workshop, data: bytes, name: str, said: str
) -> None:
    page = opened(client, data, name, 422)
    wrong = re.search(r'id="wrong-file" role="alert">([^<]*)<', page)
    assert wrong and said in wrong[1]
    assert not workshop.shelf.look().items


def test_a_design_chosen_as_an_outline_is_sent_to_the_shelf(client: TestClient, deck: str) -> None:
    page = look(client, deck, client.get(f"/designs/{deck}/design.json").content, "deck.json", 422)
    assert "Open designs on the shelf" in page
