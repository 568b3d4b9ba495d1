"""Every page, sheet, drawing and change of boards that are round somewhere, bare and with parts on them.

Places are told from the tangents: a part in the middle of a circle of radius r, wherever a file counts from, is r from
the left edge and r from the front.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.resolve import find_board
from app.document.where import Where
from app.geometry.outline import EDGE_NAMES, Outline
from app.service import new_design
from app.service.workshop import Workshop, open_workshop
from app.web.app import create_app
from app.web.guards import Address
from app.web.pages.board_edit.context import GROUPS
from tests.boards.round_boards import ROUND, STRAIGHT
from tests.long_run import in_gate, rows_in_gate
from tests.reading.pages import Page
from tests.web.board.test_board_edit import post, shown
from tests.web.conftest import BASE
from tests.web.routes import routes_of as routes

PLAIN = json.loads(dumps(new_design(NewDeck(title="Round one"))))
OFF = (37.5, -12.25)
"""Where the datum corner is in a file that counts from elsewhere [mm]."""

ELSEWHERE = {
    "/scenarios/{name}.svg": "of no design on the shelf",
    "/parts.svg": "of no design on the shelf",
    "/shelf.zip": "of all designs",
    "/health": "of the program",
    "/ready": "of the program",
}

SKIPPED = re.compile("|".join(map(re.escape, ("/openapi", "/docs", "/redoc", "/static"))))


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    opened = open_workshop(tmp_path_factory.mktemp("round"))
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def application(workshop: Workshop) -> FastAPI:
    return create_app(workshop, Address("127.0.0.1", 8123))


@pytest.fixture(scope="module")
def client(application: FastAPI) -> Iterator[TestClient]:
    # An unforeseen error is raised here and fails the test, instead of becoming a polite page.
    with TestClient(application, base_url=BASE, follow_redirects=True) as opened:
        yield opened


def middle_of(name: str) -> tuple[float, float]:
    x0, y0, x1, y1 = Outline(ROUND[name]).bounds
    return round((x0 + x1) / 2, 6), round((y0 + y1) / 2, 6)


def opened(client: TestClient, name: str, parts: int, off: tuple[float, float] = (0.0, 0.0)) -> str:
    """Id of a round board on the shelf, its parts in a row through its middle, opened from a file."""
    raw: dict[str, Any] = json.loads(json.dumps(PLAIN))
    board = raw["boards"][0]
    corners = [
        {"x": c.x + off[0], "y": c.y + off[1], **({"setback": c.setback} if c.setback else {})} for c in ROUND[name]
    ]
    board["outline"], board["edges"], board["keep_clear"] = {"corners": corners, "openings": []}, {}, []
    arrangement = board["arrangements"][0]
    board["arrangements"] = [arrangement]
    arrangement["stations"] = []
    buttons = [p for p in arrangement["placements"] if p["part"].startswith("button")][:parts]
    x, y = middle_of(name)
    for k, placed in enumerate(buttons):
        across = (k - (parts - 1) / 2) * 45.0
        placed.update(id=f"p{k}", label="ABC"[k], station="", x=x + off[0] + across, y=y + off[1])
    arrangement["placements"] = buttons
    answer = client.post(
        "/designs/open",
        files={"file": ("round.json", json.dumps(raw).encode(), "application/json")},
        follow_redirects=False,
    )
    assert answer.status_code == 303, Page(answer.text).words
    return str(answer.headers["location"].removeprefix("/designs/").partition("?")[0])


LISTED = ("marking", "drilling", "parts", "wiring", "legends", "steps", "coupon")


def addresses(design: str, revision: str, parts: int) -> dict[str, list[str]]:
    """By route of a design, what to ask it for."""
    each = ["", "?face=under"] if parts else ["?units=inch"]
    # The board itself is the same with parts and without: its panels are asked for once.
    panels = [f"?group={group}" for group in GROUPS] if not parts else ["?hold=corner-0-0", "?hold=before-0-2"]
    arrangement = PLAIN["boards"][0]["arrangements"][0]["id"]
    found = {
        "": [*each, "?layers=hands,elevation,grid", "?section=1"],
        "/now": [""],
        "/states": ["", "?on=/stations"],
        "/at-board": ["", "?at=end"],
        "/bench": [""],
        "/built": ["", "?show=left&units=inch"],
        "/photo-cards.pdf": each,
        "/coupon": [""],
        "/bench/{kind}": ["/marking", "/drilling", "/parts?units=inch"],
        **{f"/{kind}.{ending}": [""] for kind in LISTED for ending in ("pdf", "csv", "json")},
        "/boards": [""],
        "/report": [""],
        "/make": [""],
        "/make/{maker}.svg": ["/fan.svg"],
        "/make/{maker}": ["/fan", "/grille?on=deck"],
        "/made/{maker_id}": [],
        "/boards/{board_id}.svg": ["/deck.svg"],
        "/outline-marking.csv": [""],
        "/outline-marking.json": [""],
        "/ways": [f"?of={revision}", f"?of={revision}&face=under"],
        "/thumbnail.svg": ["", f"?revision={revision}"],
        "/stored.json": [""],
        "/arrangement.svg": [""],
        "/drawing.{fmt}": [f".{fmt}{face}" for fmt in ("svg", "dxf") for face in ("?face=under", "?kerf=3 mm")],
        "/view.{fmt}": [f".{fmt}?of={of}" for fmt in ("svg", "pdf") for of in ("board", "underside")],
        "/design.json": [""],
        "/judged": [""],
        "/paper": each,
        "/sheet.svg": ["", "?leaf=2&face=under"],
        "/template.pdf": each,
        "/all-templates.pdf": [""],
        "/proof": [f"?of={of}" for of in ("template", "svg", "dxf")],
        "/check-sheet.pdf": [""],
        "/outline-marking.pdf": [""],
        "/marking": [""],
        "/printer": [""],
        "/timeline": [""],
        "/compare": [""],
        "/compare.pdf": ["?before=now&after=now"],
        "/bring": [""],
        "/retrofit": [""],
        **{f"/retrofit.{ending}": ["?from=now"] for ending in ("pdf", "csv", "json")},
        "/pack": [""],
        "/pack.zip": [f"?chosen=1&boards=deck&papers=a4&units=mm&only=lists&only=design&arrangements={arrangement}"],
        "/pack/progress": [],
        "/pack/kept/{key}": [],
        "/revisions": ["", "?code=7K-42"],
        "/revision.json": [],
        "/legends": [""],
        "/legends.svg": [],
        "/steps": [""],
        "/step.svg": ["?key=cut/deck"],
        "/wiring": ["", "?wire=1"],
        "/room": [""],
        "/outline": [""],
        "/pattern": ["", "?shape=board&inset=10", "?by=many&many=30"],
        "/pattern/{pattern_id}": [],
        "/stations": [""],
        "/shop": [""],
        "/board": panels,
        "/part/{placement}": [],
        "/parts/{part_id}.svg": ["/button-28-nut-long.svg"],
    }
    if parts:
        found[""] += ["?select=p1", "?select=p1&section=1", "?select=p1&face=under", "?select=p0,p2"]
        found["/view.{fmt}"] += [f".{fmt}?of=section:p1" for fmt in ("svg", "pdf")]
        found["/part/{placement}"] = ["/p1"]
        found["/at-board"] += ["?at=p1/hole-1/through", "?at=p1/hole-1/pilot&say=off&units=inch"]
    base = f"/designs/{design}"
    return {
        route: [f"{base}{route.partition('{')[0].rstrip('/.')}{end}" for end in ends] for route, ends in found.items()
    }


def test_every_address_of_a_design_is_walked_here(application: FastAPI) -> None:
    """So that a page added later is asked for a round board as well."""
    listed = [path.removeprefix("/designs/{design_id}") for path in routes(application, "GET")]
    own = {path for path in listed if not path.startswith(tuple(ELSEWHERE)) and path != "/" and not SKIPPED.match(path)}
    assert own - set(ELSEWHERE) == set(addresses("x", "y", 1)) - set(ELSEWHERE)


# In the gate straight pieces, and arcs of which no two are alike; without parts the roundest.
SORTS = {"D, straight left", "egg"}
BARE = {"circle"}


@pytest.mark.parametrize(
    ("name", "parts"), rows_in_gate(product(ROUND, (0, 3)), lambda row: row[0] in (SORTS if row[1] else BARE))
)
def test_every_page_and_file_of_a_round_board_is_there(
    client: TestClient, workshop: Workshop, name: str, parts: int
) -> None:
    design = opened(client, name, parts)
    head, _ = workshop.design(design)
    for asked in (address for many in addresses(design, head.revision.id, parts).values() for address in many):
        answer = client.get(asked)
        assert answer.status_code == 200, (asked, Page(answer.text).words[-300:])
        assert answer.content, asked
    x, y = middle_of(name)
    proof = client.get(f"/designs/{design}/template.pdf").headers["x-proof"]
    assert f"{parts} holes" in proof if parts else proof
    assert f"/designs/{design}" in client.get("/").text
    if parts:
        page = client.get(f"/designs/{design}?select=p1").text
        assert f"{x:g} mm from the left edge, {y:g} mm from the front edge" in page
    client.post(f"/designs/{design}/remove")


@pytest.mark.parametrize("name", ROUND)
def test_places_are_told_from_the_tangents_wherever_the_file_counts_from(client: TestClient, name: str) -> None:
    design = opened(client, name, 3, OFF)
    x, y = middle_of(name)
    page = client.get(f"/designs/{design}?select=p1").text
    assert f"{x:g} mm from the left edge, {y:g} mm from the front edge" in page
    assert re.search(rf'name="x"[^>]*value="{x:g} mm"', page)
    section = client.get(f"/designs/{design}/view.svg?of=section:p1").text
    assert f"{x:g} mm from the left edge, {y:g} mm from the front edge" in section
    saved = client.get(f"/designs/{design}/design.json").json()["boards"][0]
    placed = {p["id"]: (p["x"], p["y"]) for p in saved["arrangements"][0]["placements"]}
    assert placed["p1"] == pytest.approx((x, y), abs=1e-6)
    client.post(f"/designs/{design}/remove")


@pytest.mark.parametrize("name", in_gate(ROUND, {"egg"}.__contains__))
def test_a_round_board_can_be_changed_in_every_way(client: TestClient, workshop: Workshop, name: str) -> None:
    design = opened(client, name, 3)
    base = f"/designs/{design}"
    bare = {"unit": "mm"}

    def sent(address: str, **fields: str) -> str:
        answer = client.post(f"{base}/{address}", data={**bare, **fields})
        assert answer.status_code == 200, (address, Page(answer.text).words[-300:])
        return answer.text

    sent("preview", select="p1", dx="10", dy="5")
    sent("edit/move", select="p1", dx="10", dy="5")
    x, y = middle_of(name)
    assert workshop.look(design, Where()).checked.resolved.placed("p1") is not None
    sent("undo")
    sent("redo")
    for handle in ("corner-0-1", "edge-0-0", "edge-0-3", "before-0-2"):
        # Set-backs that meet do not always leave room for a corner to go there; that is said, with what to do.
        answer = client.post(f"{base}/board/preview", data={**bare, "handle": handle, "dx": "-8", "dy": "-6"})
        assert answer.status_code == 200 or "That shape cannot exist" in Page(answer.text).words
    sent("board/drag", handle="edge-0-1", dx="-10", dy="0")
    board = workshop.look(design, Where()).checked.resolved
    wide, deep = round(board.width) - 15, round(board.depth_front_to_back) - 10
    post(client, design, "size", {**shown(client, design, "size-form"), "width": f"{wide}", "depth": f"{deep}"})
    board = workshop.look(design, Where()).checked.resolved
    assert board.outline.bounds == pytest.approx((0, 0, wide, deep), abs=1e-6)
    edges = {**shown(client, design, "edges-form", group="edges"), "slot-front": "4", "slot-left": "4"}
    post(client, design, "edges", edges)
    assert {"front", "left"} <= {s.edge for s in workshop.look(design, Where()).checked.resolved.slots}
    for edge in EDGE_NAMES:
        fields = {**shown(client, design, "edges-form", group="edges"), f"rail-{edge}": "12"}
        said = post(client, design, "edges", fields, status=200 if edge in STRAIGHT[name] else 422)
        assert (f"The {edge} edge has nothing straight: too little to glue a rail" in said) is (
            edge not in STRAIGHT[name]
        )
    post(client, design, "free-depth", {**shown(client, design, "below-form", group="below"), "front": "60"})
    box = {"x": f"{x - 60:g}", "y": f"{y + 40:g}", "width": "30", "height": "20"}
    sent("board/area-add", face="under", label="battery", **box)
    sent("board/opening-add", setback="5", **box)
    corner = shown(client, design, "corner-form", group="corners", hold="corner-0-2")
    post(client, design, "corner", {**corner, "before": "40", "after": "40"})
    answer = client.post(f"{base}/stations/station-add", data={**bare, "sit": "alike"})
    assert answer.status_code == 200 or f"got {wide} mm" in Page(answer.text).words  # too narrow for one more player
    for address in (f"{base}?section=1", f"{base}/paper", f"{base}/template.pdf", f"{base}/drawing.dxf"):
        assert client.get(address).status_code == 200, address
    for shape in ("oval", "round-ends", "rectangle"):
        # An opening that the new rim would cut stays, and the shape is refused; without it every shape can be taken.
        if find_board(workshop.design(design)[1], None).outline.openings:
            sent("board/opening-remove", thing="1")
        sent("board/shape", shape=shape, across="20", along="20")
    client.post(f"{base}/remove")
