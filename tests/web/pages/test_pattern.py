"""The page of a pattern of holes: looked at while it is typed, put on the board, changed; refusals beside fields."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.patterns import pattern_of
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.board_changes import size_set
from app.service.edits.changes import DesignChange, moved, removed
from app.service.edits.makers import made_on_board
from app.service.workshop import Workshop
from tests.folding import each
from tests.reading.pages import Page, Sheet

NEW = {"name": "Grille", "order": "staggered-60", "hole": "5", "pitch": "8", "shape": "circle", "width": "40 mm"}


def kept(workshop: Workshop, design: str) -> Design:
    return workshop.design(design)[1]


def form(client: TestClient, deck: str, path: str = "/pattern", query: str = "") -> Sheet:
    return Page(client.get(f"/designs/{deck}{path}{query}").text).form(path)


def put(client: TestClient, deck: str, **typed: str) -> Any:
    sheet = form(client, deck)
    return client.post(sheet.action, data=sheet.sent(**{**NEW, **typed}), follow_redirects=False)


def wrong(answer: Any) -> dict[str, str]:
    """What the page says is wrong, by field."""
    tags = Page(answer.text).tags
    return {a["name"]: a["value"] for tag, a in tags if tag == "input" and a.get("aria-invalid") == "true"}


def test_what_the_page_begins_with_can_be_put_on_the_board(client: TestClient, workshop: Workshop, deck: str) -> None:
    sheet = form(client, deck)
    answer = client.post(sheet.action, data=sheet.sent(), follow_redirects=False)
    assert answer.status_code == 303
    design = kept(workshop, deck)
    placement = design.boards[0].arrangements[0].placements[-1]
    assert answer.headers["location"].endswith(f"select={placement.id}")
    assert placement.part == design.patterns[0].id


def test_the_figures_are_those_of_the_holes_and_need_no_scripts(client: TestClient, deck: str) -> None:
    """Seven holes of 5 mm, 10 mm apart, in a circle of 30 mm; areas of circles, and 10 s for each hole."""
    asked = "?order=staggered-60&hole=5&pitch=10&shape=circle&width=30&middle=hole&by=pitch"
    text = client.get(f"/designs/{deck}/pattern{asked}").text
    words = Page(text).words
    open_area = 7 * math.pi / 4 * 5**2
    for said in ("Holes 7", "Pitch 10 mm", "Web, as drawn 5 mm", f"Open area {open_area / 100:.1f} cm²"):
        assert said in words
    assert f"Open {100 * 7 * 5**2 / 30**2:.1f} %" in words
    assert "Drilling takes about 1 min, at 10 s a hole" in words
    assert ', 7 holes of 5 mm"' in text, "the picture says what it shows"


def test_a_long_time_is_said_in_hours(client: TestClient, deck: str) -> None:
    """A square of 40 × 40 holes, 2 mm apart, is 1,600 holes: at 10 s each 266.7 min."""
    square = {"order": "square", "middle": "gap", "hole": "1", "pitch": "2", "shape": "rectangle", "corner": ""}
    asked = {**square, "width": "80", "height": "80"}
    words = Page(client.get(f"/designs/{deck}/pattern", params=asked).text).words
    assert "Holes 1,600" in words and "Drilling takes about 4 h 27 min, at 10 s a hole" in words


def test_looking_keeps_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)[0].revision.id
    client.get(f"/designs/{deck}/pattern?hole=6&pitch=12")
    assert workshop.design(deck)[0].revision.id == before


def test_a_pitch_that_was_worked_out_stands_in_its_field(client: TestClient, deck: str) -> None:
    """19 holes of a lattice with a hole in its middle lie within twice the pitch: the widest is (40 − 5) / 4."""
    sheet = form(client, deck, query="?by=many&many=19&hole=5&width=40&middle=hole&order=staggered-60")
    assert sheet.fields["pitch"] == "8.75 mm"


@each(
    "typed, field, said",
    [
        ({"pitch": "4"}, "pitch", "run into each other"),
        ({"pitch": "x"}, "pitch", "The pitch"),
        ({"hole": "0"}, "hole", "above 0 to 200"),
        ({"hole": "45", "pitch": "60"}, "hole", "No hole fits in"),
        ({"hole": "1", "pitch": "1.1", "width": "200"}, "pitch", "up to 5,000 holes"),
        ({"by": "many", "many": "6000"}, "many", "from 1 to 5000"),
        ({"by": "share", "share": "79"}, "share", "Ask for less"),
        ({"order": "slots", "length": "3", "pitch": "9"}, "length", "at least as long as wide"),
        ({"angle": "400"}, "angle", "-360 to 360"),
        ({"width": "-1"}, "width", "above 0"),
        ({"width": "400", "pitch": "20"}, "width", "over the edge of"),
        ({"shape": "rectangle", "width": "60", "height": "300", "pitch": "20"}, "height", "over the edge of"),
    ],
)
def test_bad_input_is_told_beside_its_field_and_changes_nothing(
    client: TestClient, workshop: Workshop, deck: str, typed: dict[str, str], field: str, said: str
) -> None:
    before = workshop.design(deck)[0].revision.id
    answer = put(client, deck, **typed)
    assert (answer.status_code, wrong(answer)) == (422, {field: typed[field]}), Page(answer.text).words
    assert said in Page(answer.text).words
    looked = client.get(f"/designs/{deck}/pattern", params={**NEW, **typed})
    assert (looked.status_code, wrong(looked)) == (200, {field: typed[field]}), "looked at, it says the same"
    assert workshop.design(deck)[0].revision.id == before


def test_holes_dragged_off_the_board_are_a_finding_and_its_measures_stay_open(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """What is typed may reach no farther over the edge than it does; a drag may go where it likes."""
    put(client, deck, width="60", pitch="20")
    pattern, where = kept(workshop, deck).patterns[0], Where()
    placement = kept(workshop, deck).boards[0].arrangements[0].placements[-1]
    workshop.edit(deck, where, moved(where, [placement.id], -placement.x, 0.0, 0.0))
    assert "over the edge of the board" in Page(client.get(f"/designs/{deck}/pattern/{pattern.id}").text).words
    sheet = form(client, deck, f"/pattern/{pattern.id}")
    wider = client.post(sheet.action, data=sheet.sent(width="120 mm"), follow_redirects=False)
    assert (wider.status_code, wrong(wider)) == (422, {"width": "120 mm"})
    assert client.post(sheet.action, data=sheet.sent(hole="4 mm"), follow_redirects=False).status_code == 303


def test_a_changed_pattern_keeps_the_numbers_of_holes_that_stay(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    put(client, deck)
    before = kept(workshop, deck).patterns[0]
    path = f"/pattern/{before.id}"
    sheet = form(client, deck, path)
    answer = client.post(sheet.action, data=sheet.sent(width="60"), follow_redirects=False)
    assert answer.status_code == 303
    old, new = (pattern_of(entry).holes.by_number for entry in (before, kept(workshop, deck).patterns[0]))
    assert len(new) > len(old)
    assert {number: new[number] for number in old} == old


def test_saved_as_shown_changes_nothing_in_inches_either(client: TestClient, workshop: Workshop, deck: str) -> None:
    put(client, deck, width="41.37", pitch="7.77")
    before = kept(workshop, deck)
    for units in ("mm", "inch"):
        sheet = form(client, deck, f"/pattern/{before.patterns[0].id}", f"?units={units}")
        assert client.post(sheet.action, data=sheet.sent(), follow_redirects=False).status_code == 303
    assert kept(workshop, deck) == before


def test_deleted_and_undone_with_its_measures(client: TestClient, workshop: Workshop, deck: str) -> None:
    put(client, deck)
    before = kept(workshop, deck)
    placement = before.boards[0].arrangements[0].placements[-1].id
    workshop.edit(deck, Where(), removed(Where(), [placement]))
    assert kept(workshop, deck).patterns == ()
    client.post(f"/designs/{deck}/undo", data={})
    assert kept(workshop, deck) == before


def test_the_board_says_what_is_in_hand_and_leads_to_its_page(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    location = put(client, deck).headers["location"]
    page = Page(client.get(location).text)
    entry = kept(workshop, deck).patterns[0]
    label = kept(workshop, deck).boards[0].arrangements[0].placements[-1].label
    many = len(pattern_of(entry).holes)
    assert f"Grille {label}, {many} holes of 5 mm" in client.get(location).text
    assert f"{many} holes of 5 mm, 8 mm apart" in page.words
    assert any(f"/pattern/{entry.id}" in link for link in page.links)
    assert any(link.partition("?")[0].endswith("/pattern") for link in page.links), "from the list of hardware"


def test_what_a_maker_made_is_read_and_not_changed(client: TestClient, workshop: Workshop, deck: str) -> None:
    workshop.edit(deck, Where(), made_on_board(Where(), "grille", {}, (300.0, 100.0)))
    design = kept(workshop, deck)
    entry = design.patterns[0]
    maker = next(p.maker for p in design.boards[0].arrangements[0].placements if p.part == entry.id)
    answer = client.get(f"/designs/{deck}/pattern/{entry.id}")
    page = Page(answer.text)
    assert not [sheet for sheet in page.forms if sheet.method == "post"]
    assert any(f"/made/{maker}" in link for link in page.links)
    assert f"Hole {entry.hole:g} mm" in page.words
    refused = client.post(f"/designs/{deck}/pattern/{entry.id}", data={"hole": "3"}, follow_redirects=False)
    assert refused.status_code == 422 and "A maker made" in Page(refused.text).words
    assert json.loads(dumps(kept(workshop, deck))) == json.loads(dumps(design))


def test_what_is_not_there_is_not_found(client: TestClient, deck: str) -> None:
    assert client.get(f"/designs/{deck}/pattern/none").status_code == 404
    assert client.post(f"/designs/{deck}/pattern/none", data={}).status_code == 404


def test_in_the_outline_of_its_board_it_follows_the_board_and_undo_brings_both_back(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    assert put(client, deck, shape="board", inset="20 mm", pitch="30").status_code == 303
    where, before = Where(), kept(workshop, deck)
    pattern = before.patterns[0]
    assert (pattern.boundary.shape, pattern.boundary.inset) == ("board", 20)
    sheet = form(client, deck, f"/pattern/{pattern.id}")
    assert sheet.fields["shape"] == "board"
    assert client.post(sheet.action, data=sheet.sent(), follow_redirects=False).status_code == 303
    assert kept(workshop, deck) == before, "saved as it was shown"

    def many() -> int:
        return len(resolve(kept(workshop, deck), None, None, catalogue()).placements[-1].holes)

    was = many()
    workshop.edit(deck, where, _wide(where, 900.0))
    assert many() > was
    workshop.undo(deck)
    assert (many(), kept(workshop, deck)) == (was, before)
    placement = before.boards[0].arrangements[0].placements[-1]
    there = workshop.preview(deck, where, "mm", [placement.id], 7.0, 0.0, 0.0)[1].resolved.placed(placement.id)
    assert there is not None
    workshop.edit(deck, where, moved(where, [placement.id], 7.0, 0.0, 0.0))
    landed = resolve(kept(workshop, deck), None, None, catalogue()).placements[-1]
    assert [h.centre for h in there.holes] == [pytest.approx(h.centre) for h in landed.holes], "as the drag showed it"
    refused = client.post(sheet.action, data=sheet.sent(inset="130 mm"), follow_redirects=False)
    assert (refused.status_code, "No hole fits in" in Page(refused.text).words) == (422, True)


def _wide(where: Where, width: float) -> DesignChange:
    return size_set(where, None, (width, None), {}, {})
