"""The page of a part: every measure a field, in either unit; nonsense beside its field and kept; saved as one step."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.arrange.hardware.measures import measures_of
from app.arrange.hardware.part_rows import entry_of
from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.changes import part_set
from app.service.workshop import Workshop
from app.units import INCH
from tests.reading.pages import Page, Sheet


def kept(workshop: Workshop, design: str) -> Design:
    return workshop.design(design)[1]


def path(deck: str, placement: str = "b", **query: str) -> str:
    return f"/designs/{deck}/part/{placement}" + ("?" + "&".join(f"{k}={v}" for k, v in query.items()) if query else "")


def form(client: TestClient, deck: str, placement: str = "b", **query: str) -> Sheet:
    return Page(client.get(path(deck, placement, **query)).text).form(f"/part/{placement}")


def parts(design: Design) -> dict[str, str]:
    return {p.id: p.part for p in design.boards[0].arrangements[0].placements}


def send(client: TestClient, deck: str, placement: str = "b", query: dict[str, str] | None = None, **typed: str) -> Any:
    sheet = form(client, deck, placement, **(query or {}))
    return client.post(sheet.action, data=sheet.sent(**typed), follow_redirects=False)


def test_every_built_in_part_has_a_page(client: TestClient, workshop: Workshop, deck: str) -> None:
    for part in catalogue().parts.values():
        workshop.edit(deck, Where(), part_set(Where(), "b", part.id))
        page = Page(client.get(path(deck)).text)
        assert not page.inline
        names = {m.name for m in measures_of(entry_of(part))}
        assert names <= set(page.form("/part/b").fields)
        drawn = {a["data-measure"] for tag, a in page.tags if tag == "g" and "data-measure" in a}
        asked = {a["data-measure"] for tag, a in page.tags if tag == "input" and "data-measure" in a}
        assert drawn == asked == names
        for m in measures_of(entry_of(part)):
            assert m.how in page.words, "the field says what to measure"


def test_saved_as_shown_changes_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = kept(workshop, deck)
    for query in ({}, {"units": "inch"}):
        answer = send(client, deck, query=query)
        assert answer.status_code == 303
    assert kept(workshop, deck) == before


@pytest.mark.parametrize(
    ("typed", "query", "mm"),
    [
        ("31.5", {}, 31.5),
        ("31,5 mm", {}, 31.5),
        ("1 1/4", {}, 1.25 * INCH),
        ('1.24"', {}, 1.24 * INCH),
        ("1.24", {"units": "inch"}, 1.24 * INCH),
        ("31.5 mm", {"units": "inch"}, 31.5),
    ],
)
def test_a_measure_in_either_unit(
    client: TestClient, workshop: Workshop, deck: str, typed: str, query: dict[str, str], mm: float
) -> None:
    answer = send(client, deck, query=query, thread_length=typed)
    assert answer.status_code == 303
    (part,) = kept(workshop, deck).hardware
    assert part.fixing.thread_length == pytest.approx(mm, abs=1e-9)  # type: ignore[union-attr]
    # What was not typed is what it was, to the last digit, whatever the screen rounded it to.
    old = entry_of(catalogue().parts[part.id.removesuffix("-own")])
    assert part.body == old.body and part.cutouts == old.cutouts


def test_one_step_for_all_or_for_one(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = kept(workshop, deck)
    same = {i for i, part in parts(before).items() if part == parts(before)["b"]}
    assert len(same) > 2
    send(client, deck, thread_length="31.5")
    after = kept(workshop, deck)
    assert {i for i, part in parts(after).items() if part == after.hardware[0].id} == same
    head = workshop.undo(deck)
    assert kept(workshop, deck) == before
    assert head.redo and "thread 31.5 mm" in head.redo
    send(client, deck, thread_length="31.5", scope="here")
    after = kept(workshop, deck)
    assert {i for i, part in parts(after).items() if part == after.hardware[0].id} == {"b"}


def test_the_answer_leads_to_the_part_on_the_board(client: TestClient, deck: str) -> None:
    answer = send(client, deck, query={"units": "inch", "face": "under"}, thread_length="1.25")
    location = answer.headers["location"]
    assert location.startswith(f"/designs/{deck}?") and "select=b" in location
    assert "face=under" in location and "units=inch" in location


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("thread_length", "long", "is not a length"),
        ("thread_length", "", "is empty"),
        ("thread_length", "-4", "more than 0"),
        ("nut_width", "12", "wider than its thread"),
        ("body", "29 mm", "wider than the smallest hole"),
        ("hole", "31", "larger than the largest that works"),
        ("flange", "20", "does not cover"),
        ("name", "  ", "1 to 120 characters"),
        ("basis", "guessed", "one of measured, data sheet, typical"),
        ("source", "", "1 to 200 characters"),
    ],
)
def test_nonsense_is_told_beside_its_field_and_stays_typed(
    client: TestClient, workshop: Workshop, deck: str, field: str, typed: str, words: str
) -> None:
    before = kept(workshop, deck)
    sheet = form(client, deck)
    answer = client.post(sheet.action, data=sheet.sent(**{field: typed, "flange_rise": "5.5"}), follow_redirects=False)
    assert answer.status_code == 422
    page = Page(answer.text)
    assert kept(workshop, deck) == before
    said = {a.get("id", "") for tag, a in page.tags if tag == "p"}
    assert f"wrong-{field}" in said
    assert words in page.words
    sheet = page.form("/part/b")
    assert sheet.fields["flange_rise"] == "5.5", "what else was typed is kept"
    if field != "basis":
        assert sheet.fields[field] == typed
    field_tag = next(a for tag, a in page.tags if a.get("id") == f"field-{field}")
    assert field_tag["aria-invalid"] == "true"
    assert f"wrong-{field}" in field_tag["aria-describedby"]


def test_a_corrected_form_can_be_sent_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = Page(send(client, deck, nut_width="12", thread_length="31.5").text)
    refused = page.form("/part/b")
    assert sum(a.get("data-basis") == "measured" for _, a in page.tags) == 2, "the two that were typed"
    client.post(refused.action, data=refused.sent(nut_width="38"))
    (part,) = kept(workshop, deck).hardware
    assert (part.fixing.nut_width, part.fixing.thread_length) == (38.0, 31.5)  # type: ignore[union-attr]


def test_how_far_to_trust_it_is_shown(client: TestClient, deck: str) -> None:
    def marks() -> dict[str, str]:
        page = Page(client.get(path(deck)).text)
        names = [a["data-measure"] for tag, a in page.tags if tag == "input" and "data-measure" in a]
        return dict(zip(names, [a["data-basis"] for _, a in page.tags if "data-basis" in a], strict=True))

    assert set(marks().values()) == {"typical"}
    send(client, deck, thread_length="31.5")
    found = marks()
    assert found.pop("thread_length") == "measured"
    assert set(found.values()) == {"typical"}
    send(client, deck, basis="data sheet", source="Sheet in the box")
    found = marks()
    assert found.pop("thread_length") == "measured"
    assert set(found.values()) == {"data sheet"}


def test_a_design_takes_its_parts_along(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, thread_length="31.5", name="Buttons from the old drawer")
    file = client.get(f"/designs/{deck}/design.json").content
    answer = client.post("/designs/open", files={"file": ("d.json", file, "application/json")}, follow_redirects=False)
    other = answer.headers["location"].removeprefix("/designs/").partition("?")[0]
    assert other != deck
    assert resolve(kept(workshop, other), None, None, catalogue()) == resolve(loads(file), None, None, catalogue())
    assert json.loads(file)["hardware"][0]["name"] == "Buttons from the old drawer"


def test_parts_placed_nowhere_can_be_taken_out(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, thread_length="31.5", scope="here")
    (own,) = kept(workshop, deck).hardware
    client.post(f"/designs/{deck}/edit/part", data={"select": "b", "part": own.id.removesuffix("-own")})
    page = Page(client.get(path(deck)).text)
    assert own.name in page.words
    refused = client.post(path(deck), data={"remove": parts(kept(workshop, deck))["b"]})
    assert refused.status_code == 422 and len(kept(workshop, deck).hardware) == 1
    client.post(path(deck), data={"remove": own.id})
    assert kept(workshop, deck).hardware == ()
    workshop.undo(deck)
    assert kept(workshop, deck).hardware == (own,)


def test_what_is_not_there(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = kept(workshop, deck)
    assert client.get(path(deck, "nobody")).status_code == 404
    assert client.post(path(deck, "nobody"), data={"thread_length": "30"}).status_code == 404
    # A measure this part does not have is not taken, and nothing is saved.
    client.post(path(deck), data={"grip_min": "3", "scope": "here"})
    assert kept(workshop, deck) == before


def test_markup_in_a_name_is_shown_as_text(client: TestClient, deck: str) -> None:
    send(client, deck, name="<img src=x onerror=alert(1)>")
    text = client.get(path(deck)).text
    assert "<img" not in text and "&lt;img" in text
