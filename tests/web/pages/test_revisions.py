"""The page of revisions: published, never changed, undone and yet kept; codes of sheets looked up."""

from __future__ import annotations

import re
from html import unescape

import pymupdf
from starlette.testclient import TestClient

from app.arrange.placement.edit import move_by
from app.document.load import loads
from app.document.where import Where
from app.service.workshop import Workshop


def publish(client: TestClient, deck: str, changes: str = "First revision", note: str = "") -> None:
    answer = client.post(f"/designs/{deck}/revisions/publish", data={"note": note, "changes": changes})
    assert answer.status_code in (200, 303), answer.text


def move(workshop: Workshop, deck: str, dx: float) -> None:
    first = workshop.design(deck)[1].boards[0].arrangements[0].placements[0].id
    workshop.edit(deck, Where(), lambda design: move_by(design, None, None, first, dx, 0))


def page(client: TestClient, deck: str, query: str = "") -> str:
    return unescape(client.get(f"/designs/{deck}/revisions{query}").text)


def test_a_design_is_published_and_says_what_changed_since(client: TestClient, workshop: Workshop, deck: str) -> None:
    assert "Nothing has been published yet." in page(client, deck)
    assert ">First revision</textarea>" in page(client, deck)
    publish(client, deck, note="For the spring fair")
    assert "This is revision A" in page(client, deck)
    assert "For the spring fair" in page(client, deck)
    move(workshop, deck, 7.0)
    shown = page(client, deck)
    assert "Publish revision B" in shown
    letter = workshop.design(deck)[1].boards[0].arrangements[0].placements[0].label
    proposed = shown.split('name="changes"')[1].split("</textarea>")[0]
    assert f"{letter} moved 7 mm to the right." in proposed
    publish(client, deck, "Moved the first button")
    assert "This is revision B" in page(client, deck)
    assert "Revision B" in client.get(f"/designs/{deck}/timeline").text


def test_a_revision_never_changes_and_its_letter_is_never_given_again(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    publish(client, deck)
    kept = client.get(f"/designs/{deck}/revision.json?letter=A").content
    for _ in range(2):
        move(workshop, deck, 5.0)
    assert client.get(f"/designs/{deck}/revision.json?letter=A").content == kept
    publish(client, deck, "Second")
    for _ in range(4):  # back to before anything was published
        client.post(f"/designs/{deck}/undo")
    assert workshop.written(deck).published is None
    shown = page(client, deck)
    assert "Publish revision C" in shown
    assert 'id="revision-A"' in shown and 'id="revision-B"' in shown
    assert client.get(f"/designs/{deck}/revision.json?letter=A").content == kept
    publish(client, deck, "Anew")
    assert [each.letter for each in workshop.revisions.of(deck)] == ["A", "B", "C"]
    latest = loads(client.get(f"/designs/{deck}/revision.json?letter=C").content).published
    assert latest is not None and latest[-1].letter == "C"
    assert client.get(f"/designs/{deck}/revision.json?letter=Q").status_code == 404


def test_a_form_that_cannot_be_taken_loses_nothing(client: TestClient, deck: str) -> None:
    answer = client.post(f"/designs/{deck}/revisions/publish", data={"note": "kept", "changes": "fine\n" + "x" * 400})
    assert answer.status_code == 422
    assert "Line 2" in answer.text and "kept" in answer.text and "x" * 400 in answer.text


def test_a_sheet_is_found_by_its_code(client: TestClient, workshop: Workshop, deck: str) -> None:
    publish(client, deck)
    data = client.get(f"/designs/{deck}/template.pdf").content
    with pymupdf.open(stream=data) as file:
        words = " ".join(p.get_text() for p in file)
    code = re.search(r"\b([2-9A-Z]{2}-[2-9A-Z]{2})\b", words)
    assert code is not None
    for typed in (code[1], code[1].lower(), code[1].replace("-", " "), f" {code[1].replace('-', '')} "):
        found = page(client, deck, f"?code={typed.replace(' ', '+')}")
        assert "revision A, template, top face" in found, typed
    move(workshop, deck, 3.0)  # found though the design has changed, and compared with how it is now
    found = page(client, deck, f"?code={code[1]}")
    link = re.search(r'href="(/designs/[^"]*/compare[^"]*)"', found.split("Find a sheet")[1])
    assert link is not None
    assert "moved 3 mm to the right" in client.get(link[1]).text
    for unknown in ("QQ-QQ", "x", "%00", "🙂" * 9, "'; DROP"):
        assert "No sheet with the code" in page(client, deck, f"?code={unknown}"), unknown
