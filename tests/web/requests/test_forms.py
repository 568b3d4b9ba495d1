"""How a form is read: numbers of any length, fields that did not come, odd character sets, forms cut short."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from app.web.forms import Form, FormError
from tests.reading.pages import Page

FIELD = b'--edge\r\nContent-Disposition: form-data; name="title"\r\n\r\nAnother title'
WHOLE = FIELD + b"\r\n--edge--\r\n"


def sent(client: TestClient, deck: str, body: bytes, kind: str) -> int:
    headers = {b"content-type": kind.encode("latin-1")}
    answer = client.post(f"/designs/{deck}/edit/title", content=body, headers=headers, follow_redirects=False)
    return answer.status_code


def title(workshop: Workshop, deck: str) -> str:
    return workshop.design(deck)[1].title


@pytest.mark.parametrize("charset", ["", "; charset=utf-8", "; charset=UTF-8", '; charset="utf-8"'])
def test_a_form_in_utf_8_is_taken(client: TestClient, workshop: Workshop, deck: str, charset: str) -> None:
    assert sent(client, deck, WHOLE, f"multipart/form-data; boundary=edge{charset}") == 303
    assert title(workshop, deck) == "Another title"


@pytest.mark.parametrize(
    "charset", ["utf-7", "utf-16", "undefined", "idna", "unicode_escape", "base64", "latin-1", "nonsense", "\x00", '""']
)
@pytest.mark.parametrize("kind", ["multipart/form-data; boundary=edge", "application/x-www-form-urlencoded"])
def test_a_form_in_another_character_set_is_refused_with_a_page(
    client: TestClient, workshop: Workshop, deck: str, charset: str, kind: str
) -> None:
    before = title(workshop, deck)
    body = WHOLE if kind.startswith("multipart") else b"title=Another"
    headers = {b"content-type": f"{kind}; charset={charset}".encode("latin-1")}
    answer = client.post(f"/designs/{deck}/edit/title", content=body, headers=headers)
    assert answer.status_code == 415
    assert "sent as UTF-8 text" in Page(answer.text).words
    assert title(workshop, deck) == before


@pytest.mark.parametrize(
    "body",
    [
        b"", b"x", b"--edge", b"--edge\r\nnonsense\r\n--edge--", FIELD, FIELD + b"\r\n--edge", FIELD + b"--edge--\r\n",
        FIELD + b"\r\n--other--\r\n", WHOLE[10:], b'--edge\r\nContent-Disposition: form-data\r\n\r\nx\r\n--edge--\r\n',
    ],
)  # fmt: skip
def test_a_form_in_parts_that_breaks_off_is_refused_whole(
    client: TestClient, workshop: Workshop, deck: str, body: bytes
) -> None:
    before = title(workshop, deck)
    assert sent(client, deck, body, "multipart/form-data; boundary=edge") == 400
    assert title(workshop, deck) == before


@pytest.mark.parametrize("boundary", ["", "; boundary=", "; boundary=other"])
def test_parts_without_their_own_edge_are_refused(client: TestClient, deck: str, boundary: str) -> None:
    assert sent(client, deck, WHOLE, f"multipart/form-data{boundary}") == 400


def test_turning_without_an_angle_is_told_beside_the_field(client: TestClient, workshop: Workshop, deck: str) -> None:
    placed = workshop.design(deck)[1].boards[0].arrangements[0].placements
    both = {"select": f"{placed[0].id},{placed[1].id}"}
    for fields in (both, both | {"by": ""}, both | {"by": "9" * 5000}):
        answer = client.post(f"/designs/{deck}/edit/turn", data=fields)
        assert answer.status_code == 422
        assert "The angle must be an ordinary number" in Page(answer.text).words


@pytest.mark.parametrize(
    ("typed", "good"), [("6", True), ("0" * 5000 + "6", True), ("000006" + "9" * 5000, False), ("²", False)]
)
def test_the_number_of_buttons_is_read_however_long_it_is(client: TestClient, typed: str, good: bool) -> None:
    fields = {"title": "x", "players": "1", "buttons": typed, "shape": "straight", "stick": "left", "drilling": "hand"}
    fields |= {"width": "600", "depth": "250", "thickness": "18", "material": "mdf"}
    answer = client.post("/designs", data=fields, follow_redirects=False)
    assert answer.status_code == (303 if good else 422)
    assert good or "must be a whole number from 1 to 20" in Page(answer.text).words


@pytest.mark.parametrize("number", ["9" * 400, "9" * 5000, "NaN", "Infinity", "1e999", '"1"', "null", "[]"])
def test_an_outline_of_no_numbers_did_not_arrive(
    client: TestClient, workshop: Workshop, deck: str, number: str
) -> None:
    before = workshop.design(deck)
    packed = f"[[[0,0,0,0],[{number},0,0,0],[700,300,0,0],[0,300,0,0]]]"
    answer = client.post(f"/designs/{deck}/outline/take", data={"outline": packed})
    assert answer.status_code == 422
    assert "did not arrive complete" in Page(answer.text).words
    assert workshop.design(deck) == before


def test_every_wrong_field_is_told_and_shown_as_it_was_typed_or_empty() -> None:
    form = Form({"width": "wide", "count": "many"})
    assert form.number("angle", "The angle") == 0.0
    assert form.length("width", "The width") == 0.0
    assert form.whole("count", "The count", 1, 9) == 1
    with pytest.raises(FormError) as caught:
        form.done()
    assert set(caught.value.problems) == {"angle", "width", "count"}
    assert form.values == {"angle": "", "width": "wide", "count": "many"}
