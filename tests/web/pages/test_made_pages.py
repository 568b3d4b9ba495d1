"""Pages of a board that a maker made: what is glued has no hole, and is shown all the same."""

from __future__ import annotations

import io
import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.maker.make import make_board
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.document.schema import Design
from tests.long_run import in_gate
from tests.reading.pages import Page
from tests.unit.arrange.maker.designs import plain

CABINET = dumps(load_scenario("foundry-yard-cabinet")).encode("utf-8")


@pytest.fixture(scope="module")
def made() -> Design:
    glued = make_board(plain(), "grille", {"fixing": "glue"}, catalogue()).design
    return make_board(glued, "fan", {"holes": "rings"}, catalogue()).design


def test_every_page_of_it_is_there(client: TestClient, made: Design) -> None:
    file = io.BytesIO(dumps(made).encode("utf-8"))
    opened = client.post("/designs/open", files={"file": ("made.json", file, "application/json")})
    place = opened.url.path
    for page in (
        "?board=grille",
        "?board=grille&part=grille-magnet",
        "?board=fan&face=under",
        "/part/grille-magnet?board=grille",
        "/part/fan-fan?board=fan",
        "/paper?board=grille",
        "/judged?board=fan",
        "/board?board=grille",
    ):
        answer = client.get(place + page)
        assert answer.status_code == 200, page
    shown = client.get(f"{place}?board=grille").text
    assert "Driver, 125 mm" in shown
    # Nobody has to know that a part is pressed first: what made the board is in the list beside it.
    (address,) = re.findall(r'href="([^"]*)"[^>]*><span>Change the loudspeaker grille<', shown)
    assert "Loudspeaker grille" in client.get(unescape(address)).text


def test_every_page_of_a_whole_cabinet_is_there(client: TestClient) -> None:
    opened = client.post("/designs/open", files={"file": ("cabinet.json", io.BytesIO(CABINET), "application/json")})
    place = opened.url.path
    for board in ("door", "display", "header", "sockets"):
        for page in ("", "&face=under"):
            assert client.get(f"{place}?board={board}{page}").status_code == 200, (board, page)
        for page in ("paper", "judged", "board"):
            assert client.get(f"{place}/{page}?board={board}").status_code == 200, (board, page)
    for part in ("door/part/door-hinge-1", "display/part/display-mount", "header/part/header-diffuser"):
        board, _, ident = part.partition("/part/")
        assert client.get(f"{place}/part/{ident}?board={board}").status_code == 200, part


@pytest.mark.parametrize("unit", in_gate(["mm", "inch"], lambda unit: unit == "inch"))
def test_the_report_offers_other_measures_of_a_maker_and_makes_them(client: TestClient, unit: str) -> None:
    """The button says what it does, in the unit on screen; pressed, the finding is gone until Undo."""
    broken = make_board(plain(), "door", {"room": 250.0}, catalogue()).design
    file = io.BytesIO(dumps(broken).encode("utf-8"))
    opened = client.post("/designs/open", files={"file": ("made.json", file, "application/json")})
    place, view = opened.url.path, {"board": "door", "units": unit, "unit": unit}
    assert "needs" in Page(client.get(place, params=view).text).words
    sheets = [s for s in Page(client.get(place, params=view).text).forms if s.action.endswith("/edit/fix-apply")]
    (sheet,) = (s for s in sheets if s.fields["finding"].startswith("door-swing"))
    assert sheet.fields["said"] == "Hinge the door at its front edge"
    text = client.post(sheet.action, data=sheet.sent()).text
    assert "to swing open" not in Page(text).words
    client.post(f"{place}/undo", data=view)
    assert "to swing open" in Page(client.get(place, params=view).text).words
