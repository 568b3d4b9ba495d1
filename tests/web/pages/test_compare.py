"""The page of a comparison: steps, another design, a file; what differs, drawn and in words; bad choices."""

from __future__ import annotations

from html import unescape

import pymupdf
import pytest
from starlette.testclient import TestClient

from app.arrange.placement.edit import move_by
from app.document.dump import dumps
from app.document.where import Where
from app.service.workshop import Workshop


def moved(workshop: Workshop, deck: str) -> str:
    """Id of the step before a part was moved by 30 and 40 mm."""
    before = workshop.moments(deck)[-1].id
    first = workshop.design(deck)[1].boards[0].arrangements[0].placements[0]
    workshop.edit(deck, Where(), lambda design: move_by(design, None, None, first.id, 30.0, 40.0))
    return before


def test_two_steps_are_compared_in_words_and_drawn(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = moved(workshop, deck)
    page = unescape(client.get(f"/designs/{deck}/compare").text)  # the step before, and now
    assert page == unescape(client.get(f"/designs/{deck}/compare?before=step:{before}&after=now").text)
    assert "moved 30 mm to the right and 40 mm to the back" in page
    assert ">50 mm<" in page  # 3, 4, 5: in the table and at the arrow
    assert 'class="was"' in page
    back = unescape(client.get(f"/designs/{deck}/compare?before=now&after=step:{before}").text)
    assert "moved 30 mm to the left and 40 mm to the front" in back
    assert "Nothing is different." in client.get(f"/designs/{deck}/compare?before=now").text
    inch = unescape(client.get(f"/designs/{deck}/compare?units=inch").text)
    assert 'moved 1.1811" to the right' in inch


@pytest.mark.parametrize("page", ["compare", "retrofit"])
def test_it_begins_with_the_newest_revision(client: TestClient, workshop: Workshop, deck: str, page: str) -> None:
    """What was drilled was drilled to a published plan, not to the step before this one."""
    client.post(f"/designs/{deck}/revisions/publish", data={"changes": "First revision"})
    published = moved(workshop, deck)
    moved(workshop, deck)
    words = unescape(client.get(f"/designs/{deck}/{page}").text)
    assert f'<option value="step:{published}" selected>Revision A, step 2 (' in words
    assert (">100 mm<" if page == "compare" else "About ") in words  # both moves


def test_a_copy_and_a_file_are_compared(client: TestClient, workshop: Workshop, deck: str) -> None:
    file = dumps(workshop.written(deck)).encode()
    copy = workshop.duplicate(deck).design.id
    moved(workshop, deck)
    page = unescape(client.get(f"/designs/{deck}/compare?before=design:{copy}").text)
    assert "moved 30 mm to the right" in page
    sent = client.post(f"/designs/{deck}/compare", files={"file": ("older.json", file, "application/json")})
    assert sent.status_code == 200
    assert "From the file “older.json” to how it is now, step 2 (Moved A " in unescape(sent.text)
    assert "moved 30 mm to the right" in sent.text
    assert len(workshop.moments(deck)) == 2  # nothing was kept


def test_what_changed_is_a_sheet_to_print(client: TestClient, workshop: Workshop, deck: str) -> None:
    file = dumps(workshop.written(deck)).encode()
    before = moved(workshop, deck)
    page = unescape(client.get(f"/designs/{deck}/compare").text)
    assert [paper for paper in ("a4", "letter") if f"paper={paper}" in page] == ["a4", "letter"]
    address = f"/designs/{deck}/compare.pdf"
    for answer, was in (
        (client.get(f"{address}?before=step:{before}&after=now&paper=letter"), "From step 1"),
        (client.post(address, files={"file": ("older.json", file, "application/json")}), "From the file “older.json”"),
    ):
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "application/pdf"
        with pymupdf.open(stream=answer.content, filetype="pdf") as read:
            said = " ".join(" ".join(page.get_text() for page in read).split())
        assert was in said
        assert "to step 2" in said
        assert "moved 30 mm to the right and 40 mm to the back." in said
    for query in ("before=step:none", "paper=a99", "before=design:none"):
        assert client.get(f"{address}?{query}").status_code in (404, 422)
    assert "compare.pdf?" not in client.get(f"/designs/{deck}/compare?before=now").text  # nothing to print


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("before=step:none", "no step"),
        ("before=design:none", "There is no design"),
        ("before=nonsense", "Choose what to compare from the lists"),
        ("after=step:" + "x" * 500, "no step"),
    ],
)
def test_what_is_not_there_is_said_and_the_lists_stay(client: TestClient, deck: str, query: str, said: str) -> None:
    answer = client.get(f"/designs/{deck}/compare?{query}")
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert "As it is now" in answer.text


@pytest.mark.parametrize("data", [b"", b"{}", b"\x00\xff", b"[]", b'{"format": "holewise-design", "version": 99}'])
def test_a_file_that_is_no_design_is_refused(client: TestClient, deck: str, data: bytes) -> None:
    answer = client.post(f"/designs/{deck}/compare", files={"file": ("x.json", data, "application/json")})
    assert answer.status_code == 422
    assert "cannot be compared" in answer.text


def test_designs_that_share_no_board_say_so(client: TestClient, workshop: Workshop, deck: str) -> None:
    text = dumps(workshop.written(deck)).replace('"id": "deck"', '"id": "plate"')
    answer = client.post(f"/designs/{deck}/compare", files={"file": ("x.json", text.encode(), "application/json")})
    assert answer.status_code == 422
    assert "have no board in common" in answer.text
