"""Every page as a browser without scripts sees it: forms, links, what is typed wrong, what is not there."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from urllib.parse import parse_qsl, urlsplit

import pytest
from starlette.testclient import TestClient

from app.document.load import loads
from app.document.where import Where
from app.service.workshop import Workshop
from tests.long_run import long
from tests.reading.pages import Page

FIX = re.compile(r'name="finding" value="([^"]+)">\s*<input type="hidden" name="said" value="([^"]+)"')
NEW = {
    "title": "Kitchen deck", "players": "1", "buttons": "4", "shape": "straight", "stick": "centre",
    "width": "500", "depth": "220 mm", "thickness": "3/4in", "material": "mdf", "units": "mm", "drilling": "hand",
}  # fmt: skip


def place(workshop: Workshop, design: str, part: str, arrangement: str | None = None) -> tuple[float, float]:
    placed = workshop.look(design, Where(None, arrangement)).checked.resolved.placed(part)
    assert placed is not None
    return placed.x, placed.y


def links(html: str) -> set[str]:
    return {unescape(url) for url in re.findall(r'(?:href|src)="([^"#]+)"', html)}


def test_an_empty_shelf_invites(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert "Nothing on the shelf yet" in page.text
    assert "Make the deck" in page.text


def test_a_new_deck_is_made_and_stands_on_the_shelf(client: TestClient, workshop: Workshop) -> None:
    page = client.post("/designs", data=NEW)
    assert page.status_code == 200
    assert [answer.status_code for answer in page.history] == [303]
    assert "Kitchen deck" in page.text
    shelf = client.get("/")
    assert "500 × 220 × 19.05 mm MDF" in shelf.text
    assert "Fits" in shelf.text
    board = workshop.look(workshop.shelf.look().items[0].row.id, Where()).checked.resolved
    # Dead centre: the stick stands on the middle of the board.
    sticks = [p for p in board.placements if p.part.kind == "stick"]
    assert [p.x for p in sticks] == [250.0]
    assert len([p for p in board.drilled if p.part.kind == "button" and p.station == sticks[0].station]) == 4


def test_a_field_typed_wrong_is_named_and_nothing_typed_is_lost(client: TestClient, workshop: Workshop) -> None:
    page = client.post("/designs", data={**NEW, "width": "wide", "depth": "0", "title": "Still <here>"})
    assert page.status_code == 422
    assert 'id="wrong-width"' in page.text
    assert "“wide” is not a length" in page.text
    assert "Still &lt;here&gt;" in page.text
    assert workshop.shelf.look().items == ()


def test_every_wrong_answer_is_told_at_once(client: TestClient, workshop: Workshop) -> None:
    wrong = {
        "title": "x" * 201,
        "width": "-5",
        "depth": "wide",
        "thickness": "400",
        "buttons": "0",
        "material": "cheese",
    }
    page = client.post("/designs", data={**NEW, **wrong})
    assert page.status_code == 422
    assert set(re.findall(r'id="wrong-([a-z]+)"', page.text)) == set(wrong)
    assert workshop.shelf.look().items == ()


def test_an_empty_board_says_nothing_of_holes_on_seams(client: TestClient) -> None:
    page = client.post("/designs", data={**NEW, "players": "0", "width": "900", "depth": "500"})
    assert re.search(r"\d+ sheets of A4", page.text)
    assert "hole on a seam" not in page.text
    assert "centre on a seam" not in page.text
    paper = client.get(f"{page.url.path}/paper").text
    assert "No holes to drill yet" in paper
    assert "No seam touches a hole" not in paper


def test_a_copy_lands_where_it_clears(client: TestClient, workshop: Workshop, deck: str) -> None:
    for select in ("d", "a", "q", "l"):
        client.post(f"/designs/{deck}/edit/duplicate", data={"unit": "mm", "select": select})
        seen = workshop.look(deck, Where()).checked
        assert [f for f in seen.report.findings if f.severity != "note"] == []
    assert len(seen.resolved.placements) == 20


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("width", "0"), ("width", "-5"), ("thickness", "-18"), ("thickness", "nan"), ("depth", "1e999"),
        ("buttons", "0"), ("buttons", "21"), ("buttons", "six"), ("players", "3"), ("material", "cheese"),
        ("shape", "spiral"), ("stick", "up"), ("width", "120"), ("depth", ""),
    ],
)  # fmt: skip
def test_an_impossible_deck_is_refused_beside_its_field(
    client: TestClient, workshop: Workshop, field: str, value: str
) -> None:
    page = client.post("/designs", data={**NEW, field: value})
    assert page.status_code == 422
    assert f'id="wrong-{field}"' in page.text or (field == "players" and 'class="wrong"' in page.text)
    assert workshop.shelf.look().items == ()


def test_a_sheet_too_thin_to_lean_on_is_refused_beside_its_thickness(client: TestClient, workshop: Workshop) -> None:
    page = client.post("/designs", data={**NEW, "thickness": "6"})
    assert page.status_code == 422
    assert 'id="wrong-thickness"' in page.text
    assert "A deck of 6 mm MDF bears only" in page.text
    assert "Enter at least" in page.text
    assert workshop.shelf.look().items == ()


def test_the_board_page_shows_board_report_and_facts(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}")
    assert page.status_code == 200
    assert 'id="board-svg"' in page.text
    assert "760 × 260 × 18 mm" in page.text
    assert "16 holes" in page.text
    assert "No stops" in page.text
    assert 'data-placement="a"' in page.text


def kind(url: str) -> tuple[object, ...]:
    """What an address shows, whichever part, sheet or moment it is about."""
    split = urlsplit(url)
    about = {"select", "to", "seen", "hold", "leaf", "page", "window", "revision", "since", "of", "layers"}
    query = sorted((name, "" if name in about else value) for name, value in parse_qsl(split.query))
    return re.sub(r"/part/[^/]+", "/part/", split.path), *query


@pytest.mark.parametrize("each", [kind, pytest.param(str, marks=long)], ids=["kind", "address"])
def test_every_link_and_picture_of_every_page_leads_somewhere(
    client: TestClient, deck: str, each: Callable[[str], object]
) -> None:
    """Each kind of page once; in the long run each address, up to a limit."""
    seen: set[str] = set()
    kinds: set[object] = set()
    wanted = {"/", f"/designs/{deck}?select=b"}
    while wanted:
        url = min(wanted)  # the same way every time
        wanted.remove(url)
        seen.add(url)
        if each(url) in kinds:
            continue
        kinds.add(each(url))
        answer = client.get(url)
        assert answer.status_code == 200, url
        assert not url.startswith("http"), "nothing is loaded from elsewhere"
        if answer.headers["content-type"].startswith("text/html") and len(kinds) < 60:
            wanted |= {link for link in links(answer.text) if not link.startswith("data:")} - seen


def test_nothing_inline_is_on_any_page(client: TestClient, deck: str) -> None:
    for url in ("/", f"/designs/{deck}?select=a", f"/designs/{deck}/paper", "/nowhere"):
        html = client.get(url).text
        assert " style=" not in html, url
        assert "<style" not in html, url
        assert not re.search(r"\son[a-z]+=", html), url
        assert re.search(r"<script(?![^>]*\ssrc=)", html) is None, url


@pytest.mark.parametrize(
    ("typed", "left"),
    [("300", 300.0), ("300mm", 300.0), ("12in", 304.8), ('1-1/2"', 38.1), ("1 1/2", 38.1), ("10,5", 10.5)],
)
def test_a_place_can_be_typed_in_either_unit(
    client: TestClient, workshop: Workshop, deck: str, typed: str, left: float
) -> None:
    page = client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": typed})
    assert page.status_code == 200
    assert place(workshop, deck, "d")[0] == pytest.approx(left, abs=1e-9)


def test_fields_that_were_not_touched_leave_the_part_exactly_where_it_is(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": "300.123456", "y": "100"})
    before = place(workshop, deck, "d")
    shown = {"x": '11 13/16"', "y": '3 15/16"', "label": "D", "angle": "0°"}
    untouched = {**shown, **{f"{name}.was": value for name, value in shown.items()}}
    client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "inch", "units": "inch", **untouched})
    assert place(workshop, deck, "d") == before == (300.123456, 100.0)


def test_a_wrong_place_is_shown_again_beside_its_field(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = place(workshop, deck, "d")
    page = client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": "over there", "y": "99"})
    assert page.status_code == 422
    assert 'id="wrong-x"' in page.text
    assert 'value="over there"' in page.text
    assert 'value="99"' in page.text
    assert place(workshop, deck, "d") == before


def test_a_label_that_stands_elsewhere_is_refused_beside_its_field(client: TestClient, deck: str) -> None:
    page = client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "label": "E"})
    assert page.status_code == 422
    assert 'id="wrong-label"' in page.text


def test_a_drag_lands_on_the_grid_and_names_its_step(client: TestClient, workshop: Workshop, deck: str) -> None:
    x, y = place(workshop, deck, "d")
    page = client.post(f"/designs/{deck}/edit/move", data={"select": "d", "unit": "mm", "dx": "10.2", "dy": "-3.4"})
    assert page.status_code == 200
    moved = place(workshop, deck, "d")
    assert moved == (round(x + 10.2), round(y - 3.4))
    assert "Undo: Moved D" in page.text
    client.post(f"/designs/{deck}/edit/move", data={"select": "d", "unit": "inch", "dx": "0.3", "dy": "0"})
    sixteenths = place(workshop, deck, "d")[0] / (25.4 / 16)
    assert sixteenths == pytest.approx(round(sixteenths), abs=1e-6)


def test_on_the_underside_right_is_left(client: TestClient, workshop: Workshop, deck: str) -> None:
    x, y = place(workshop, deck, "d")
    client.post(
        f"/designs/{deck}/edit/move",
        data={"select": "d", "unit": "mm", "face": "under", "dx": "10", "dy": "2", "free": "on"},
    )
    assert place(workshop, deck, "d") == (x - 10, y + 2)


def test_undo_and_redo_are_forms(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = place(workshop, deck, "d")
    client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": "310"})
    page = client.post(f"/designs/{deck}/undo", data={"select": "d"})
    assert place(workshop, deck, "d") == before
    assert "Redo: Moved D" in page.text
    client.post(f"/designs/{deck}/redo")
    assert place(workshop, deck, "d")[0] == 310.0


def test_add_duplicate_switch_off_exchange_lock_and_remove(client: TestClient, workshop: Workshop, deck: str) -> None:
    def post(verb: str, **values: str) -> str:
        answer = client.post(f"/designs/{deck}/edit/{verb}", data={"unit": "mm", **values})
        assert answer.status_code == 200, answer.text
        return str(answer.url)

    def board() -> dict[str, str]:
        return {p.id: p.part.id for p in workshop.look(deck, Where()).checked.resolved.placements}

    count = len(board())
    assert post("add", part="button-24-snap").endswith("select=s")
    assert post("add", part="button-30-snap", x="400.4", y="40").endswith("select=t")
    assert place(workshop, deck, "t") == (400.0, 40.0)
    assert post("duplicate", select="t").endswith("select=u")
    assert len(board()) == count + 3
    post("drill", select="u", drill="off")
    seen = workshop.look(deck, Where()).checked.resolved
    assert [p.id for p in seen.placements if not p.drill] == ["u"]
    assert "1 not drilled" in client.get(f"/designs/{deck}").text
    post("part", select="s", part="button-28-snap")
    assert board()["s"] == "button-28-snap"
    post("lock", select="s", lock="on")
    refused = client.post(f"/designs/{deck}/edit/move", data={"select": "s", "dx": "5", "dy": "0"})
    assert refused.status_code == 422
    assert "locked" in refused.text
    post("remove", select="t,u")
    assert "t" not in board()
    assert "u" not in board()
    client.post(f"/designs/{deck}/undo")
    assert {"t", "u"} <= set(board())


def test_a_stop_is_reported_with_its_figures_and_its_fix_clears_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = client.post(f"/designs/{deck}/edit/place", data={"select": "l", "unit": "mm", "x": "728"})
    assert "Stop ·" in page.text
    report = workshop.look(deck, Where()).checked.report
    assert report.stops
    for _ in range(5):
        offered = FIX.search(client.get(f"/designs/{deck}").text)
        if not offered:
            break
        name, said = map(unescape, offered.groups())
        client.post(f"/designs/{deck}/edit/fix-apply", data={"unit": "mm", "finding": name, "said": said})
    assert workshop.look(deck, Where()).checked.report.stops == ()
    late = client.post(f"/designs/{deck}/edit/fix-apply", data={"unit": "mm", "finding": "web:a,b:0", "said": ""})
    assert late.status_code == 422
    assert "already been cleared" in late.text


def test_switching_units_never_changes_the_design(client: TestClient, workshop: Workshop, deck: str) -> None:
    client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": "300.5"})
    head = workshop.design(deck)[0]
    for _ in range(3):
        inch = client.get(f"/designs/{deck}?units=inch&select=d")
        assert '11 53/64"' in unescape(inch.text)  # 300.5 mm to the nearest 64th: 300.5 / 25.4 × 64 = 757.2
        assert "300.5 mm" in client.get(f"/designs/{deck}?units=mm&select=d").text
    assert workshop.design(deck)[0] == head


def test_one_player_and_two_players_share_their_holes(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = client.get(f"/designs/{deck}?arrangement=one")
    assert "9 holes" in page.text
    client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "arrangement": "one", "x": "311"})
    assert place(workshop, deck, "d", "one")[0] == 311.0
    assert place(workshop, deck, "d", "two")[0] == 311.0
    client.post(f"/designs/{deck}/edit/drill", data={"select": "d", "arrangement": "one", "drill": "off"})
    one = workshop.look(deck, Where(None, "one")).checked.resolved.placed("d")
    two = workshop.look(deck, Where(None, "two")).checked.resolved.placed("d")
    assert one is not None
    assert two is not None
    assert (one.drill, two.drill) == (False, True)


def test_the_workshop_can_be_changed(client: TestClient, workshop: Workshop, deck: str) -> None:
    answer = client.post(
        f"/designs/{deck}/edit/settings",
        data={"unit": "mm", "thickness": "15", "drilling": "press", "paper": "letter", "bits": ""},
    )
    assert answer.status_code == 200
    _, design = workshop.design(deck)
    assert design.boards[0].layers[0].thickness == 15.0
    assert (design.shop.drilling, design.shop.paper) == ("press", "letter")
    wrong = client.post(
        f"/designs/{deck}/edit/settings", data={"unit": "mm", "thickness": "-3", "drilling": "press", "paper": "letter"}
    )
    assert wrong.status_code == 422
    assert 'id="wrong-thickness"' in wrong.text


def test_putting_away_is_undone_by_putting_back(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = client.post(f"/designs/{deck}/remove")
    assert "Put away · 1" in page.text
    assert workshop.shelf.look().items == ()
    client.post(f"/designs/{deck}/put-back")
    assert [item.row.id for item in workshop.shelf.look().items] == [deck]


def test_the_paper_page_counts_sheets_and_offers_the_files(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}/paper")
    assert page.status_code == 200
    assert re.search(r"\d+ sheets of A4", page.text)
    assert "Check code" in page.text
    other = client.get(f"/designs/{deck}/paper?paper=900x1200")
    assert "1 sheet of 900 × 1200 mm" in other.text
    small = client.get(f"/designs/{deck}/paper?paper=50x50")
    assert small.status_code == 200
    assert "sides are from" in small.text or "larger paper" in small.text
    assert "template.pdf" not in small.text


@pytest.mark.parametrize(
    ("path", "kind", "magic", "name"),
    [
        ("template.pdf?paper=a4", "application/pdf", b"%PDF-", "two-seater-two-top-template.pdf"),
        ("template.pdf?face=under", "application/pdf", b"%PDF-", "two-seater-two-underside-template.pdf"),
        ("drawing.svg", "image/svg+xml", b"<?xml", "two-seater-two-top-760x260mm.svg"),
        ("drawing.dxf?face=under", "image/vnd.dxf", b"  0\n", "two-seater-two-underside-760x260mm.dxf"),
        ("design.json", "application/json", b"{", "two-seater.json"),
    ],
)
def test_downloads(client: TestClient, deck: str, path: str, kind: str, magic: bytes, name: str) -> None:
    answer = client.get(f"/designs/{deck}/{path}")
    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith(kind)
    assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
    assert answer.content.replace(b"\r\n", b"\n").startswith(magic)


def test_a_saved_design_opens_as_the_same_design(client: TestClient, workshop: Workshop, deck: str) -> None:
    links = [link for link in Page(client.get(f"/designs/{deck}").text).links if link.endswith(".json")]
    assert links == [f"/designs/{deck}/design.json"], "one click on the board page"
    saved = client.get(links[0]).content
    page = client.post("/designs/open", files={"file": ("deck.json", saved, "application/json")})
    assert page.status_code == 200
    other = page.url.path.rsplit("/", 1)[-1]
    assert other != deck
    assert workshop.design(other)[1] == workshop.design(deck)[1] == loads(saved)


def test_what_is_not_there_is_said_in_the_look_of_the_product(client: TestClient, deck: str) -> None:
    for url in (
        "/nowhere", "/designs/ffffffffffff", f"/designs/{deck}?board=lid", f"/designs/{deck}?arrangement=nine",
        f"/designs/{deck}/template.pdf?arrangement=nine", "/parts/nothing.svg", "/scenarios/nothing.svg",
        f"/designs/{deck}/drawing.exe", "/docs", "/openapi.json",
    ):  # fmt: skip
        answer = client.get(url)
        assert answer.status_code in {404, 422}, url
        assert "To the shelf" in answer.text, url
        assert "Traceback" not in answer.text
    assert client.post(f"/designs/{deck}/edit/explode", data={}).status_code == 404
    assert client.post(f"/designs/{deck}/edit/remove", data={}).status_code == 422
    assert client.post(f"/designs/{deck}/edit/remove", data={"select": "zz"}).status_code == 404
    assert client.delete(f"/designs/{deck}").status_code == 405


def test_a_selection_that_is_gone_is_forgotten(client: TestClient, deck: str) -> None:
    assert client.get(f"/designs/{deck}?select=zz,<b>").status_code == 200


def test_the_parts_are_listed_by_letter_with_their_middles(client: TestClient, workshop: Workshop) -> None:
    page = client.post("/designs", data={**NEW, "buttons": "8", "width": "700"})
    listed = re.findall(r'<li><a href="[^"]*"[^>]*>([^<:]+): ([\d.]+) from left, ([\d.]+) from front <span', page.text)
    board = workshop.look(workshop.shelf.look().items[0].row.id, Where()).checked.resolved
    assert len(listed) == len(board.placements) > 9
    assert [letter for letter, _, _ in listed] == sorted(p.label for p in board.placements)
    for letter, x, y in listed:
        placed = next(p for p in board.placements if p.label == letter)
        assert [float(x), float(y)] == pytest.approx([placed.x, placed.y], abs=0.05)
