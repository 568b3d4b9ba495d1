"""As built by a photograph, through the real application: sent, looked at, chosen, kept as one step, undone."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from starlette.testclient import TestClient

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.model.resolved import ResolvedBoard
from app.service.photo import photo_asked
from app.service.workshop import Workshop
from tests.photographs.of_board import photograph
from tests.reading.pages import Page

OFF = {"a/hole-1/through": (2.0, -1.2), "d/hole-1/through": (-1.5, 0.0)}
MISSING = "f/hole-1/through"


def board_of(workshop: Workshop, design: str) -> ResolvedBoard:
    return resolve(workshop.design(design)[1], None, None, catalogue())


def sent(client: TestClient, design: str, data: bytes, **typed: str) -> str:
    page = Page(client.get(f"/designs/{design}/built").text)
    form = next(form for form in page.forms if form.action.endswith("/built/photo"))
    fields = {**form.sent(), **typed}
    fields.pop("photo", None)
    answer = client.post(f"/designs/{design}/built/photo", data=fields, files={"photo": ("board.jpg", data)})
    assert answer.status_code in (200, 422)
    return answer.text


def shown_form(text: str) -> dict[str, str]:
    form = next(form for form in Page(text).forms if form.action.endswith("/photo-take"))
    return dict(form.sent())


def marks_of(workshop: Workshop, design: str) -> Mapping[str, tuple[float, float]]:
    rows = workshop.design(design)[1].boards[0].arrangements[0].as_built or ()
    return {f"{row.placement}/{row.cut}": row.off or (0.0, 0.0) for row in rows if row.work == "through"}


def test_a_photograph_is_looked_at_then_kept_as_one_step_and_undone(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    board = board_of(workshop, deck)
    asked = photo_asked(board)
    known = {one.code for one in asked.wanted["top"]}
    assert {*OFF, MISSING} <= known
    text = sent(client, deck, photograph(board, off=OFF, undrilled=frozenset({MISSING})))
    assert "drawn over" not in text and "Keep what is ticked" in text
    assert workshop.design(deck)[1].boards[0].arrangements[0].as_built is None, "nothing is kept before it is chosen"
    fields = shown_form(text)
    ticked = {name.removeprefix("take.") for name in fields if name.startswith("take.")}
    assert MISSING not in ticked and set(OFF) <= ticked and len(ticked) > 0.8 * len(known)
    assert "data:image/jpeg;base64," in text and text.count('class="spot found"') == len(ticked)
    assert re.search(r"<strong>F</strong>: No hole is seen there", text), "a hole that was not measured says why"
    left_out = sorted(ticked - set(OFF))[0]
    del fields[f"take.{left_out}"]
    kept = client.post(f"/designs/{deck}/built/photo-take", data=fields)
    assert kept.status_code == 200 and "from a photograph, ±" in kept.text
    marks = marks_of(workshop, deck)
    assert len(marks) == len(ticked) - 1 and left_out.rsplit("/", 1)[0] not in marks
    for code, (dx, dy) in OFF.items():
        x, y = marks[code.rsplit("/", 1)[0]]
        assert (x, y) == pytest.approx((dx, dy), abs=0.3)
    head = workshop.design(deck)[0]
    assert head.undo is not None and re.fullmatch(r"Measured \d+ holes in a photograph, ±[\d.]+ mm", head.undo)
    row = next(
        r
        for r in workshop.design(deck)[1].boards[0].arrangements[0].as_built or ()
        if (r.placement, r.work) == ("a", "through")
    )
    assert row.by == "photograph" and row.within is not None and 0.1 < row.within < 1
    workshop.undo(deck)
    assert workshop.design(deck)[1].boards[0].arrangements[0].as_built is None


def test_with_nothing_ticked_what_it_told_is_still_there(client: TestClient, workshop: Workshop, deck: str) -> None:
    fields = shown_form(sent(client, deck, photograph(board_of(workshop, deck))))
    none = {name: value for name, value in fields.items() if not name.startswith("take.")}
    again = client.post(f"/designs/{deck}/built/photo-take", data=none)
    assert again.status_code == 422 and "No hole is ticked" in again.text
    assert not [name for name in shown_form(again.text) if name.startswith("take.")], "as it was sent"
    assert shown_form(again.text)["told"] == fields["told"]
    for name, value in (("told", "{"), ("told", '{"holes":[]}'), ("picture", "é"), ("told", "[" * 100_000)):
        lost = client.post(f"/designs/{deck}/built/photo-take", data={**fields, name: value})
        assert lost.status_code == 422 and "did not arrive complete" in lost.text
    assert workshop.design(deck)[1].boards[0].arrangements[0].as_built is None


def test_what_cannot_be_measured_by_is_said_beside_the_file(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = sent(client, deck, b"no picture")
    assert "This file is no photograph that can be read here." in text and "Measure in this photograph" in text
    wide = sent(client, deck, b"no picture", width="700")
    assert "The board is drawn 760 mm wide" in wide and 'value="700"' in wide
    assert "The depth of the board" in sent(client, deck, b"no picture", depth="wide")
    monkeypatch.setattr("app.web.pages.built.photo.is_there", lambda: False)
    page = client.get(f"/designs/{deck}/built").text
    assert "pip install" in page and 'type="file"' not in page
    assert workshop.design(deck)[1].boards[0].arrangements[0].as_built is None
