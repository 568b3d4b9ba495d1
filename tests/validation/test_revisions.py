"""Does every sheet and drawing say which revision of the design it is, as the timeline counts them?

The PDF is read by PyMuPDF, which had no part in writing it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pymupdf
import pytest
from starlette.testclient import TestClient

from app import cli
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.service.workshop import Workshop, open_workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.tools import ROOT

BASE = "http://127.0.0.1:8123"
SHEETS = (
    *("template.pdf", "template.pdf?face=under", "template.pdf?paper=letter&units=inch", "check-sheet.pdf"),
    *("view.pdf?of=board", "view.pdf?of=underside&paper=a3", "view.pdf?of=section:A"),
)
DRAWINGS = ("drawing.svg", "drawing.dxf", "drawing.dxf?face=under&kerf=0.2")


@pytest.fixture
def workshop(tmp_path: Path) -> Iterator[Workshop]:
    opened = open_workshop(tmp_path)
    yield opened
    opened.close()


def texts(data: bytes) -> list[str]:
    """The words of each page."""
    with pymupdf.open(stream=data) as file:
        return [" ".join(page.get_text().split()) for page in file]


def said(client: TestClient, deck: str, of: str) -> list[str]:
    answer = client.get(f"/designs/{deck}/{of}")
    assert answer.status_code == 200, answer.text
    return texts(answer.content) if answer.content.startswith(b"%PDF") else [answer.content.decode()]


def test_every_sheet_names_the_revision_the_timeline_names(workshop: Workshop) -> None:
    deck = workshop.create(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)).design.id
    with TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url=BASE, follow_redirects=True) as client:
        for number, title in ((1, ""), (2, "Two-seater of the attic")):
            if title:
                client.post(f"/designs/{deck}/title", data={"title": title, "unit": "mm"})
            now = re.search(r'aria-current="step".*?Step (\d+)', client.get(f"/designs/{deck}/timeline").text, re.S)
            assert now is not None and now[1] == str(number)
            for of in (*SHEETS, *DRAWINGS):
                pages = said(client, deck, of)
                assert all(re.search(rf"\bstep {number}\b", words) for words in pages), (of, pages)
        published = client.post(f"/designs/{deck}/revisions/publish", data={"note": "", "changes": "First revision"})
        assert published.status_code == 200
        for of in (*SHEETS, *DRAWINGS):
            pages = said(client, deck, of)
            assert all(re.search(r"\brevision A\b", words) for words in pages), (of, pages)
        client.post(f"/designs/{deck}/title", data={"title": "Another", "unit": "mm"})
        assert all("step 4 after revision A" in words for words in said(client, deck, "template.pdf"))
        for _ in range(3):
            client.post(f"/designs/{deck}/undo", data={"unit": "mm"})
        assert all("step 1" in words for words in said(client, deck, "template.pdf"))


@pytest.mark.parametrize(
    "command",
    [
        ["template", "--paper", "letter"],
        ["template", "--paper", "a4", "--face", "under"],
        ["export", "--view", "underside", "--format", "pdf"],
        ["export", "--format", "svg"],
        ["export", "--format", "dxf"],
    ],
    ids=" ".join,
)
def test_a_file_on_its_own_has_no_revision_and_every_sheet_says_so(command: list[str], tmp_path: Path) -> None:
    file, out = ROOT / "scenarios" / "pine-shelf-compact.json", tmp_path / "out"
    assert cli.main([command[0], str(file), *command[1:], "--out", str(out)]) == 0
    data = out.read_bytes()
    pages = texts(data) if data.startswith(b"%PDF") else [data.decode()]
    assert all("no revision" in words for words in pages), pages
