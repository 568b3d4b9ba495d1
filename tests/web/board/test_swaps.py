"""What htmx asks for and gets: blocks instead of pages, pieces while dragging, notices for errors."""

from __future__ import annotations

import json
import re
import threading
import xml.etree.ElementTree as ET
from html import unescape

import pytest
from starlette.datastructures import Headers
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.where import Where
from app.model.printing import Printing
from app.paper.sheet.layout import layouts
from app.paper.sheet.tiling import BLEED
from app.service.workshop import Workshop
from app.web.htmx import Htmx, config, script

BENCH = {"HX-Request": "true", "HX-Boosted": "true", "HX-Target": "bench"}


def test_headers_are_read() -> None:
    assert Htmx.of(Headers(BENCH)) == Htmx(is_htmx=True, boosted=True, target="bench")
    assert Htmx.of(Headers({})) == Htmx()
    assert Htmx.of(Headers({"HX-Request": "true", "HX-History-Restore-Request": "true"})).wants_block is False


def test_the_script_is_the_installed_one() -> None:
    assert script().read_text("utf-8").startswith("var htmx=")
    assert '"allowEval": false' in config()
    assert '"includeIndicatorStyles": false' in config()


def test_the_bench_alone_is_what_stands_on_the_whole_page(client: TestClient, deck: str) -> None:
    whole = client.get(f"/designs/{deck}?select=d").text
    alone = client.get(f"/designs/{deck}?select=d", headers=BENCH).text
    assert alone.startswith("<title>Two-seater · Holewise</title>")
    bench = alone.partition("</title>")[2].strip()
    assert bench.startswith('<div id="bench"')
    assert bench in whole
    assert "<html" not in alone


def test_an_edit_leads_to_the_bench(client: TestClient, deck: str) -> None:
    answer = client.post(f"/designs/{deck}/edit/duplicate", data={"select": "d"}, headers=BENCH)
    assert answer.status_code == 200
    assert "<html" not in answer.text
    assert 'data-select="s"' in answer.text


def test_htmx_is_given_what_a_form_leads_to_and_a_browser_is_told_where_it_is(client: TestClient, deck: str) -> None:
    sent = {"select": "d", "unit": "mm", "angle": "15"}
    plain = client.post(f"/designs/{deck}/edit/place", data=sent, follow_redirects=False)
    assert plain.status_code == 303
    there = plain.headers["location"]
    sent["angle"] = "30"
    followed = client.post(f"/designs/{deck}/edit/place", data=sent, headers=BENCH, follow_redirects=False)
    assert (followed.status_code, followed.headers["hx-replace-url"]) == (200, there)
    assert followed.text == client.get(there, headers=BENCH).text
    restoring = {**BENCH, "HX-History-Restore-Request": "true"}
    told = client.post(f"/designs/{deck}/undo", data={"select": "d"}, headers=restoring, follow_redirects=False)
    assert told.status_code == 303, "a page that is wanted whole is asked for"


def test_a_form_that_leads_nowhere_says_so_and_names_no_address(client: TestClient, deck: str) -> None:
    where = {"select": "d", "board": "nowhere"}
    answer = client.post(f"/designs/{deck}/edit/lock", data=where, headers=BENCH, follow_redirects=False)
    assert answer.status_code == 404
    assert "hx-replace-url" not in answer.headers


def test_a_wrong_field_comes_back_in_the_bench(client: TestClient, deck: str) -> None:
    answer = client.post(f"/designs/{deck}/edit/place", data={"select": "d", "unit": "mm", "x": "far"}, headers=BENCH)
    assert answer.status_code == 422
    assert "<html" not in answer.text
    assert 'id="wrong-x"' in answer.text


def test_an_error_is_a_notice_and_leaves_the_page(client: TestClient, deck: str) -> None:
    answer = client.post(f"/designs/{deck}/edit/remove", data={"select": "zz"}, headers=BENCH)
    assert answer.status_code == 404
    assert answer.headers["hx-retarget"] == "#notice"
    assert answer.headers["hx-push-url"] == "false"
    assert 'class="notice"' in answer.text
    assert "<html" not in answer.text


def preview(client: TestClient, deck: str, **values: str) -> str:
    answer = client.post(f"/designs/{deck}/preview", data={"select": "d", "unit": "mm", "dx": "0", "dy": "0", **values})
    assert answer.status_code == 200, answer.text
    return answer.text


def pieces(text: str) -> set[str]:
    return set(re.findall(r'hx-swap-oob="([^"]+)"', text))


def test_a_preview_brings_every_piece_that_moves_and_keeps_nothing(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before = workshop.design(deck)[0]
    text = preview(client, deck, dx="12.2", dy="-3")
    assert pieces(text) == {"innerHTML:#dims", "innerHTML:#elevation-row", "innerHTML:#halos", "innerHTML", "outerHTML"}
    first = preview(client, deck, dx="12.2", dy="-3", first="on")
    assert pieces(first) - pieces(text) == {"innerHTML:#elevation"}
    row = re.search(r'data-row="([^"]+)"', text)
    assert row
    again = preview(client, deck, dx="12.2", dy="-3", row=row[1])
    assert pieces(again) == (pieces(text) - {"innerHTML:#elevation-row"}) | {"innerHTML:#elevation-hand"}
    elsewhere = preview(client, deck, dx="12.2", dy="-40", row=row[1])
    assert "innerHTML:#elevation-row" in pieces(elsewhere), "another row is another picture"
    page = client.get(f"/designs/{deck}?select=d").text
    for ident in ("dims", "elevation", "elevation-hand", "elevation-row", "halos", "report", "tally", "moving"):
        assert f'id="{ident}"' in page, "a piece must find its place on the page"
    # Out-of-band pieces of a drawing must stay in the SVG namespace, so each has an <svg> of its own around it.
    for piece in re.findall(r"<svg hx-swap-oob.*?</svg>", text, re.DOTALL):
        assert ET.fromstring(re.sub(r"hx-swap-oob", "data-oob", piece)).tag == "svg"  # noqa: S314 - our own writer's
    assert workshop.design(deck)[0] == before


def test_a_preview_says_where_the_part_would_land(client: TestClient, workshop: Workshop, deck: str) -> None:
    placed = workshop.look(deck, Where()).checked.resolved.placed("d")
    assert placed is not None
    text = preview(client, deck, dx="12.2", dy="0")
    assert f'data-x="{round(placed.x + 12.2)} mm"' in text
    client.post(f"/designs/{deck}/edit/move", data={"select": "d", "unit": "mm", "dx": "12.2", "dy": "0"})
    moved = workshop.look(deck, Where()).checked.resolved.placed("d")
    assert moved is not None
    assert moved.x == round(placed.x + 12.2)


def test_a_preview_finds_what_the_board_itself_would_find(client: TestClient, workshop: Workshop, deck: str) -> None:
    text = preview(client, deck, dx="20", dy="0")
    shown = [t.strip() for t in re.findall(r"Stop · ([a-z ]+)</h3>", text)]
    _, seen = workshop.preview(deck, Where(), "mm", ["d"], 20.0, 0.0, 1.0)
    assert shown == [f.rule.replace("-", " ") for f in seen.report.stops]
    client.post(f"/designs/{deck}/edit/move", data={"select": "d", "unit": "mm", "dx": "20", "dy": "0"})
    assert workshop.look(deck, Where(), "mm").checked.report.findings == seen.report.findings


def foot(text: str) -> str:
    """Of the line at the foot of a page or a preview, what can change while a part moves: sheets, stops, cautions."""
    sheets = re.search(r'id="sheets"[^>]*>([^<]*)<', text)
    tally = re.findall(r'class="tally [a-z]+">.*?</svg>\s*([^<]*)<', text[text.rindex('id="tally"') :], re.DOTALL)
    return f"{sheets[1] if sheets else ''}; {', '.join(tally)}"


def test_the_line_at_the_foot_follows_and_says_what_it_will_say_when_let_go(
    client: TestClient, workshop: Workshop
) -> None:
    """Sheets included: on a board that two of them just cover, the seam has one place, and a hole can be put on it."""
    printing = Printing.of(catalogue().papers["a4"])
    room = max(way.room[0] for way in layouts(printing, (500.0, 150.0)))
    width = 2 * room - catalogue().rule("tile-overlap") - 2 * BLEED - 0.5
    spec = NewDeck(players=1, buttons=2, shape="row", admin=0, width=width, depth=150.0, stick="none")
    deck = workshop.create(spec).design.id
    board = workshop.look(deck, Where()).checked.resolved
    held = board.placements[0]
    assert "2 sheets of A4, no hole on a seam" in foot(preview(client, deck, select=held.id, still="on"))
    onto = {"select": held.id, "dx": str(width / 2 - held.x), "free": "on", "still": "on"}
    assert "2 sheets of A4, a seam through 1 centre" in foot(preview(client, deck, **onto))
    beside = {**onto, "dx": str(width / 2 - held.x + 12.0)}
    moved = foot(preview(client, deck, **beside))
    assert "2 sheets of A4, 1 hole on a seam" in moved
    assert foot(preview(client, deck, **{**onto, "still": ""})).startswith(";"), "it takes long: not while it moves"
    client.post(f"/designs/{deck}/edit/move", data={"unit": "mm", "dy": "0", **beside})
    assert foot(client.get(f"/designs/{deck}").text) == moved


@pytest.mark.parametrize("values", [{"dx": "left"}, {"dx": "nan"}, {"dx": "1e9"}, {"select": ""}, {"select": "zz"}])
def test_an_impossible_preview_is_refused(client: TestClient, deck: str, values: dict[str, str]) -> None:
    data = {"select": "d", "unit": "mm", "dx": "0", "dy": "0", **values}
    assert client.post(f"/designs/{deck}/preview", data=data).status_code in {404, 422}


def test_two_tabs_at_once_both_keep_their_work(client: TestClient, workshop: Workshop, deck: str) -> None:
    codes: list[int] = []

    def nudge(part: str) -> None:
        for _ in range(6):
            data = {"select": part, "unit": "mm", "dx": "0", "dy": "1", "free": "on"}
            codes.append(client.post(f"/designs/{deck}/edit/move", data=data, follow_redirects=False).status_code)

    board = workshop.look(deck, Where()).checked.resolved
    before = {p.id: p.y for p in board.placements}
    tabs = [threading.Thread(target=nudge, args=(part,)) for part in ("d", "l")]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert codes == [303] * 12
    after = {p.id: p.y for p in workshop.look(deck, Where()).checked.resolved.placements}
    assert after["d"] == before["d"] + 6
    assert after["l"] == before["l"] + 6


def test_a_preview_names_the_places_near_by_and_what_has_taken_hold(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    placed = {p.id: p for p in workshop.look(deck, Where()).checked.resolved.placements}
    d, e = placed["d"], placed["e"]
    dx, dy = e.x - d.x, 9.0
    text = preview(client, deck, dx=f"{dx:.6f}", dy=f"{dy}")
    told = re.search(r'data-snaps="([^"]*)"', text)
    assert told
    named = json.loads(unescape(told[1]))
    assert any(abs(shift - dx) < 1e-5 for shift in named["x"])
    assert named["grid"][0] == 1.0
    assert re.search(r"in line with [BE]", text), "B stands in the same column"
    free = preview(client, deck, dx=f"{dx:.6f}", dy=f"{dy}", free="on")
    assert 'data-snaps=""' in free and "in line with" not in free
    under = preview(client, deck, dx=f"{-dx:.6f}", dy=f"{dy}", face="under")
    mirrored = re.search(r'data-snaps="([^"]*)"', under)
    assert mirrored
    assert any(abs(shift + dx) < 1e-5 for shift in json.loads(unescape(mirrored[1]))["x"]), "the underside is mirrored"
