"""The page of marking out an outline: its words and figures by hand, in both units, and what an address may ask."""

from __future__ import annotations

import csv
import io
import json
import re
from html import unescape
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.service import new_design


@pytest.fixture
def rounded(client: TestClient) -> str:
    """Id of an empty board of 600 × 220 mm, its back corners set back 50.8 mm, which is 2 in."""
    raw = json.loads(dumps(new_design(NewDeck(title="Rounded", players=0, width=600.0, depth=220.0))))
    raw["boards"][0]["outline"]["corners"] = [
        {"x": 0, "y": 0}, {"x": 600, "y": 0},
        {"x": 600, "y": 220, "setback": [50.8, 50.8]}, {"x": 0, "y": 220, "setback": [50.8, 50.8]},
    ]  # fmt: skip
    answer = client.post("/designs/open", files={"file": ("a.json", json.dumps(raw).encode(), "application/json")})
    return answer.url.path.rsplit("/", 1)[1]


def page(client: TestClient, design: str, **query: str) -> str:
    answer = client.get(f"/designs/{design}/marking?{urlencode(query)}")
    assert answer.status_code == 200
    return " ".join(unescape(answer.text).split())


def test_a_corner_is_told_in_either_unit(client: TestClient, rounded: str) -> None:
    """At 560 mm, 10.8 mm past its end: 220 - (50.8 - sqrt(50.8² - 10.8²)) = 218.839 mm, read as 219."""
    text = page(client, rounded)
    assert "Curve 1, back right corner" in text
    assert "measure 50.8 mm along the back edge, 50.8 mm down the right edge" in text
    assert '<td>560</td><td>219</td><td class="off">+0.16</td>' in text
    assert 'measure 2" along the back edge, 2" down the right edge' in page(client, rounded, units="inch")


def test_spacing_and_rule_are_as_asked_and_the_file_is_made_so(client: TestClient, rounded: str) -> None:
    text = page(client, rounded, spacing="5 mm", reading="1 mm")
    assert 'value="5 mm"' in text
    assert "<td>555</td>" in text
    assert "spacing=5+mm&reading=1+mm" in text
    file = client.get(f"/designs/{rounded}/outline-marking.pdf?spacing=5+mm&reading=1+mm")
    assert file.status_code == 200
    assert file.headers["X-Proof"]
    assert client.get(f"/designs/{rounded}/sheet.svg?of=outline-marking&leaf=1").status_code == 200


@pytest.mark.parametrize(("name", "value"), [("spacing", "7.3"), ("reading", "0.3"), ("spacing", "wide")])
def test_what_cannot_be_read_is_said_beside_the_field(client: TestClient, rounded: str, name: str, value: str) -> None:
    text = page(client, rounded, **{name: value})
    assert 'id="wrong-spacing"' in text
    assert "Curve 1, back right corner" in text, "plotted as usual meanwhile"
    assert "outline-marking.pdf" not in text
    assert client.get(f"/designs/{rounded}/outline-marking.pdf", params={name: value}).status_code == 422


def test_the_page_is_found_from_the_corners_and_from_the_paper(client: TestClient, rounded: str) -> None:
    for where in ("/board?group=corners", "/paper"):
        assert f"/designs/{rounded}/marking" in client.get(f"/designs/{rounded}{where}").text


@pytest.mark.parametrize(("units", "each"), [("mm", 1.0), ("inch", 25.4)])
def test_the_lists_for_other_programs_say_what_the_page_says(
    client: TestClient, rounded: str, units: str, each: float
) -> None:
    text = page(client, rounded, units=units, reading="1 mm" if units == "mm" else "1/16 in")
    links = re.findall(r'href="([^"]*outline-marking\.(?:csv|json)[^"]*)"', text)
    assert len(links) == 2
    by_ending = {link.split("?")[0].rsplit(".", 1)[1]: client.get(link) for link in links}
    rows = list(csv.reader(io.StringIO(by_ending["csv"].content.decode("utf-8-sig"), newline="")))
    objects = by_ending["json"].json()["offsets"]
    assert len(rows) - 1 == len(objects) == text.count('<th scope="row">')
    for row, one in zip(rows[1:], objects, strict=True):
        assert row[0] == one["curve"]
        assert float(row[2]) * each == pytest.approx(one["left"], abs=1e-4)
        assert float(row[3]) * each == pytest.approx(one["front"], abs=1e-4)
        readings = one["left"] / (0.5 if units == "mm" else 25.4 / 64)  # the finest that a rule is divided in
        assert readings == pytest.approx(round(readings), abs=1e-6)
