"""The section as third face of the board page, and drawings to read as files."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from html import unescape

import pytest
from starlette.testclient import TestClient

from tests.reading.measure import page_sizes


def test_the_section_goes_through_the_part_in_hand(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}?face=section&select=d").text
    assert 'id="section-svg"' in page
    assert 'id="board-svg"' not in page
    assert "Section through D" in page
    assert re.search(r'aria-current="true"[^>]*>Section<', page)
    # Every form carries the view on, so that an edit comes back to it.
    client.post(
        f"/designs/{deck}/edit/counterbore",
        data={"unit": "mm", "face": "section", "select": "d", "bore-diameter": "45", "bore-depth": "5"},
    )
    changed = client.get(f"/designs/{deck}?face=section&select=d").text
    assert changed != page
    assert "45 mm" in changed.partition('id="section-svg"')[2].partition("</svg>")[0]


def test_without_a_part_in_hand_it_asks_for_one(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}?face=section").text
    assert "Section through which part?" in page
    links = {unescape(link) for link in re.findall(r'<a href="([^"]+)"', page) if "face=section" in link}
    assert f"/designs/{deck}?face=section&select=d" in links
    assert not re.search(r"/view\.(svg|pdf)", page), "nothing is offered as a file that is not there"
    empty = client.post("/designs", data={"players": "0", "buttons": "6", "shape": "row", "stick": "left",
                        "width": "500", "depth": "200", "thickness": "18", "material": "mdf", "units": "mm",
                        "drilling": "hand", "title": ""})  # fmt: skip
    assert "Nothing to cut through yet" in client.get(f"{empty.url.path}?face=section").text


@pytest.mark.parametrize("of", ["board", "underside", "section:d"])
def test_drawings_to_read_are_files(client: TestClient, deck: str, of: str) -> None:
    svg = client.get(f"/designs/{deck}/view.svg", params={"of": of})
    assert svg.status_code == 200
    assert svg.headers["content-type"].startswith("image/svg+xml")
    assert ET.fromstring(svg.content).tag.endswith("svg")  # noqa: S314 - our own writer's
    pdf = client.get(f"/designs/{deck}/view.pdf", params={"of": of, "paper": "a4"})
    assert pdf.headers["content-type"] == "application/pdf"
    assert [tuple(sorted(size)) for size in page_sizes(pdf.content)] == [pytest.approx((210.0, 297.0), abs=0.01)]
    name = of.replace(":", "-")
    assert pdf.headers["content-disposition"] == f'attachment; filename="two-seater-two-{name}.pdf"'


@pytest.mark.parametrize(
    ("query", "status"),
    [("view.svg?of=lid", 422), ("view.svg?of=section:", 422), ("view.svg?of=section:zz", 404), ("view.exe", 422),
     ("view.pdf?of=board&paper=2x2", 422), ("view.svg?arrangement=nine", 404)],
)  # fmt: skip
def test_what_cannot_be_drawn_is_said(client: TestClient, deck: str, query: str, status: int) -> None:
    answer = client.get(f"/designs/{deck}/{query}")
    assert answer.status_code == status
    assert "To the shelf" in answer.text


def test_paper_knows_no_section_and_offers_one_to_read(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}/paper?face=section&select=d").text
    assert ">Section<" not in page
    assert re.search(r'<option value="section:d" selected>', page)
    assert "Section, PDF" in page
    assert "face=section" not in page.partition('class="head"')[2].partition("</header>")[0].replace("‹ Board", "")
