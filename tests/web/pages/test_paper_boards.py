"""The paper page of several boards: this board or all, what that saves, where each lies, the file and its proof."""

from __future__ import annotations

import json
import re
from html import unescape

import pymupdf
import pytest
from starlette.testclient import TestClient

CLOSE, FAR = 20.0, 60.0
"""How far two holes of 28 mm are apart that run into each other, and two that do not [mm]."""


def plate(name: str, width: float, depth: float, apart: float) -> dict[str, object]:
    corners = [{"x": x, "y": y} for x, y in ((0, 0), (width, 0), (width, depth), (0, depth))]
    parts = [{"id": f"p{k}", "part": "button-28-nut-long", "x": 40 + k * apart, "y": 38} for k in range(2)]
    return {
        "id": name, "name": f"Plate {name}", "role": "companion", "outline": {"corners": corners},
        "layers": [{"material": "mdf", "thickness": 12.0}],
        "arrangements": [{"id": "one", "placements": parts}],
    }  # fmt: skip


def put(client: TestClient, *boards: dict[str, object]) -> str:
    """The address of a design of such plates."""
    raw = {"format": "holewise-design", "version": 3, "title": "Plates of a bench", "boards": boards}
    file = ("plates.json", json.dumps(raw).encode(), "application/json")
    answer = client.post("/designs/open", files={"file": file}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"].partition("?")[0])


@pytest.fixture
def plates(client: TestClient) -> str:
    """A sound plate and one whose holes run into each other; both fit on one sheet."""
    return put(client, plate("sound", 150, 76, FAR), plate("spoilt", 140, 76, CLOSE))


def shown(client: TestClient, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return unescape(answer.text)


def test_all_boards_are_offered_only_where_there_are_several(client: TestClient, plates: str) -> None:
    alone = put(client, plate("sound", 150, 76, FAR))
    assert "All boards" not in shown(client, f"{alone}/paper?of=all-templates")
    page = shown(client, f"{plates}/paper?only=28")
    way = re.search(r'href="([^"]*of=all-templates[^"]*)"[^>]*>All boards', page)
    assert way is not None
    assert "only=28" not in way[1], "the sheets of all boards are for every bit"


def test_the_page_says_what_is_saved_and_where_each_board_lies(client: TestClient, plates: str) -> None:
    page = shown(client, f"{plates}/paper?of=all-templates&units=mm")
    assert "2 boards on 1 sheet instead of 2" in page
    assert "page 2, beside Plate spoilt" in page
    assert "page 2, beside Plate sound" in page
    assert re.search(r"not every board can be built as drawn", page)
    pictures = re.findall(r'<img src="([^"]*sheet\.svg[^"]*)"', page)
    assert len(pictures) == 2
    for picture in pictures:
        assert "<svg" in client.get(picture).text
    assert re.search(r'<a [^>]*href="[^"]*of=all-templates[^"]*face=under|face=under[^"]*of=all-templates', page)


def test_a_smaller_paper_field_or_unit_keeps_all_boards(client: TestClient, plates: str) -> None:
    page = shown(client, f"{plates}/paper?of=all-templates")
    forms = re.findall(r'<form method="get" action="[^"]*/paper".*?</form>', page, re.DOTALL)
    assert len(forms) == 2
    assert all('name="of" value="all-templates"' in form for form in forms)
    refused = shown(client, f"{plates}/paper?of=all-templates&margin=zzz")
    assert "all-templates.pdf" not in refused, "no file until the field is mended"
    assert "2 boards on" in refused
    assert "is too narrow" in shown(client, f"{plates}/paper?of=all-templates&paper=roll+100")


def test_the_file_is_proved_and_names_the_board_that_cannot_be_built(client: TestClient, plates: str) -> None:
    answer = client.get(f"{plates}/all-templates.pdf")
    assert answer.status_code == 200
    assert answer.headers["X-Proof"].startswith("4 holes")
    with pymupdf.open(stream=answer.content, filetype="pdf") as file:
        words = [" ".join(page.get_text().split()) for page in file]
    assert len(words) == 2
    assert "NOT BUILDABLE AS DRAWN: 1 of 2 boards" in words[0]
    assert "NOT BUILDABLE AS DRAWN: Plate spoilt, 3 stops" in words[1]
    proof = shown(client, f"{plates}/proof?of=all-templates")
    assert "Cannot be built as drawn: 3 stops." in proof
    assert "of=all-templates" in re.findall(r'href="([^"]*/paper[^"]*)"', proof)[-1]
