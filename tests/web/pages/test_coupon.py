"""Coupon, without scripts: what came of trial cuts is kept, used by rules and sheets, and told where it matters."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.document.coupon_schema import TrialEntry
from app.document.where import Where
from app.model.resolved import ResolvedBoard
from app.service.edits.coupon import code_of
from app.service.workshop import Workshop
from app.shop.coupon import Sample, samples_of
from tests.reading.pages import Page
from tests.web.pages.test_at_board import text_of

WHERE = Where(None, None)
BUTTON = "button-28-nut-long"


def board_of(workshop: Workshop, design: str) -> ResolvedBoard:
    return workshop.look(design, WHERE).checked.resolved


def rows_of(workshop: Workshop, design: str) -> tuple[TrialEntry, ...]:
    return workshop.design(design)[1].coupon or ()


def sample(workshop: Workshop, design: str, part: str = BUTTON, sort: str = "hole") -> Sample:
    return next(s for s in samples_of(board_of(workshop, design)) if (s.part, s.sort) == (part, sort))


def sent(client: TestClient, design: str, typed: dict[str, str], query: str = "") -> Any:
    form = next(
        f for f in Page(client.get(f"/designs/{design}/coupon{query}").text).forms if f.action.endswith("/coupon")
    )
    return client.post(form.action, data={**form.fields, **typed})


def test_every_trial_cut_is_a_row_and_the_sheet_is_at_hand(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = client.get(f"/designs/{deck}/coupon")
    samples = samples_of(board_of(workshop, deck))
    assert [f"fit.{code_of(s)}" in page.text for s in samples] == [True] * len(samples)
    assert f"0 of {len(samples)} trial cuts tried" in text_of(page)
    for address in re.findall(r'href="(/designs/[^"]+/coupon\.[a-z]+[^"]*)"', page.text):
        answer = client.get(address.replace("&amp;", "&"))
        assert answer.status_code == 200 and answer.content
    assert 'href="' + f"/designs/{deck}/coupon" in client.get(f"/designs/{deck}/bench").text


def test_a_measured_hole_is_what_rules_and_sheets_take(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = code_of(sample(workshop, deck))
    before = len(workshop.moments(deck))
    answer = sent(client, deck, {f"m.{code}": "28.4", f"fit.{code}": "right"})
    assert answer.status_code == 200
    assert len(workshop.moments(deck)) == before + 1
    assert "Holes of this bit count as wide as that" in text_of(answer)
    board = board_of(workshop, deck)
    holes = [hole for placed in board.drilled for hole in placed.holes if hole.bit and hole.bit.diameter == 28.0]
    assert holes and all(hole.diameter == 28.4 for hole in holes)
    notes = [f for f in workshop.look(deck, WHERE).checked.report.findings if f.rule == "bit-match"]
    assert notes and all(f.severity == "note" for f in notes)
    said = text_of(client.get(f"/designs/{deck}"))
    assert "28 mm bit, whose trial hole came out 28.4 mm wide, 0.4 mm over" in said
    at_board = text_of(client.get(f"/designs/{deck}/at-board?at=b/hole-1/through"))
    assert "In scrap it went in right and came out 28.4 mm wide, on " in at_board
    assert client.get(f"/designs/{deck}/template.pdf").status_code == 200, "the template is proved against it"
    workshop.undo(deck)
    assert all(
        hole.diameter == 28.0 for p in board_of(workshop, deck).drilled for hole in p.holes if p.part.id == BUTTON
    )


def test_a_bit_whose_hole_came_out_too_narrow_is_not_taken(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = code_of(sample(workshop, deck))
    sent(client, deck, {f"m.{code}": "26"})
    for placed in board_of(workshop, deck).drilled:
        for hole in placed.holes:
            if placed.part.id == BUTTON and hole.bit is not None:
                assert hole.bit.diameter != 28.0
                assert hole.cutout.smallest <= hole.diameter <= hole.cutout.largest


@pytest.mark.parametrize("fit", ["tight", "loose"])
def test_tight_and_loose_are_told_where_the_part_is_used(
    client: TestClient, workshop: Workshop, deck: str, fit: str
) -> None:
    code = code_of(sample(workshop, deck))
    sent(client, deck, {f"fit.{code}": fit})
    board = board_of(workshop, deck)
    used = {p.id for p in board.drilled if p.part.id == BUTTON}
    found = [f for f in workshop.look(deck, WHERE).checked.report.cautions if f.rule == "bit-match"]
    assert [set(f.subjects) for f in found] == [used]
    said = text_of(client.get(f"/designs/{deck}"))
    assert re.search(rf"went in {fit} in scrap on \d+ \w+ \d{{4}}, in a hole of the 28 mm Forstner bit", said)
    sent(client, deck, {f"fit.{code}": "right"})
    assert not [f for f in workshop.look(deck, WHERE).checked.report.cautions if f.rule == "bit-match"]


def test_what_is_left_as_it_was_keeps_its_date_and_what_is_emptied_goes(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    first, second = (code_of(s) for s in samples_of(board_of(workshop, deck))[:2])
    sent(client, deck, {f"m.{first}": "28.1", f"fit.{first}": "right"})
    then = rows_of(workshop, deck)[0]
    sent(client, deck, {f"fit.{second}": "loose"})
    rows = rows_of(workshop, deck)
    assert rows[0] == then and len(rows) == 2
    sent(client, deck, {f"m.{first}": "", f"fit.{first}": "untried"})
    assert [row.fit for row in rows_of(workshop, deck)] == ["loose"]


def test_inches_are_read_as_inches_and_shown_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = code_of(sample(workshop, deck))
    answer = sent(client, deck, {f"m.{code}": "1 7/64"}, "?units=inch")
    assert rows_of(workshop, deck)[0].measured == pytest.approx((1 + 7 / 64) * 25.4)
    again = sent(client, deck, {}, "?units=inch")
    assert answer.status_code == 200 and again.status_code == 422, "what stands there unchanged says nothing new"


@pytest.mark.parametrize(
    ("value", "words"),
    [("wide", "wide"), ("-3", "0.1 mm to 300 mm"), ("1.1", "far from 28 mm"), ("1e999", "1e999"), ("900", "300 mm")],
)
def test_what_cannot_be_is_said_beside_its_field_and_stays(
    client: TestClient, workshop: Workshop, deck: str, value: str, words: str
) -> None:
    code = code_of(sample(workshop, deck))
    answer = sent(client, deck, {f"m.{code}": value, f"fit.{code}": "tight"})
    assert answer.status_code == 422
    assert words in " ".join(re.findall(r'class="wrong"[^>]*>([^<]+)', answer.text))
    assert f'value="{value}"' in answer.text
    assert workshop.design(deck)[1].coupon is None


@pytest.mark.parametrize(
    "fields",
    [
        {}, {"m.nowhere": "3"}, {"fit.x~y~z~3": "tight"}, {"fit." + "a" * 3000: "tight"}, {"m.\x00": "3"},
        {"leaf": "-4"}, {"fit.hole~~~0.was": "tight"},
    ],
)  # fmt: skip
def test_hostile_forms_change_nothing(
    client: TestClient, workshop: Workshop, deck: str, fields: dict[str, str]
) -> None:
    before = len(workshop.moments(deck))
    answer = client.post(f"/designs/{deck}/coupon", data=fields)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert len(workshop.moments(deck)) == before
    for query in ("?leaf=0", "?leaf=99999999999", "?leaf=x"):
        assert client.get(f"/designs/{deck}/coupon{query}").status_code == 200


def test_a_fit_that_is_none_is_refused(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = code_of(sample(workshop, deck))
    answer = sent(client, deck, {f"fit.{code}": "perfect"})
    assert answer.status_code == 422
    assert workshop.design(deck)[1].coupon is None
