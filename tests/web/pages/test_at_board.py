"""At the board, without scripts: a whole run, back and forth, off by, spoilt, and what changes meanwhile."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.service.checks.real_board import harm_of, real_board
from app.service.workshop import Workshop, open_workshop
from app.shop.board_steps import BoardStep, board_steps
from app.web.app import create_app
from app.web.guards import Address
from tests.companions import with_companions
from tests.folding import each
from tests.reading.pages import Page
from tests.web.conftest import BASE

WHERE = Where(None, None)


def steps_of(workshop: Workshop, design: str, where: Where = WHERE) -> tuple[BoardStep, ...]:
    return board_steps(workshop.look(design, where).checked.resolved)


def cuts_of(workshop: Workshop, design: str, work: str = "") -> list[str]:
    return [s.code for s in steps_of(workshop, design) if s.cut and (not work or s.cut.work == work)]


def rows(workshop: Workshop, design: str) -> list[tuple[str, str, str]]:
    marks = workshop.design(design)[1].boards[0].arrangements[0].as_built
    return [(m.placement, m.cut, m.work) for m in marks or ()]


def text_of(answer: object) -> str:
    """What a page says, without its drawing and tags."""
    body = re.sub(r"<svg.*?</svg>", " ", str(getattr(answer, "text", answer)), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def big(page: str) -> tuple[str, dict[str, str]]:
    """Where the big button leads, and what it sends."""
    forms = [f for f in Page(page).forms if f.method == "post"]
    first = forms[0]
    return first.action, dict(first.fields)


def test_a_run_is_done_to_the_end_with_the_big_button_alone(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = client.get(f"/designs/{deck}/at-board")
    steps = steps_of(workshop, deck)
    seen = []
    for number, step in enumerate(steps, 1):
        assert f"{number} of {len(steps)}" in text_of(page)
        assert (f"{step.cut.name} " if step.cut else "") in text_of(page)
        action, fields = big(page.text)
        seen.append(fields["at"])
        page = client.post(action, data=fields)
        assert page.status_code == 200
    assert seen == [step.code for step in steps]
    assert "Everything is drilled" in text_of(page)
    wanted = [(s.cut.key.placement, s.cut.key.cut, s.cut.work) for s in steps if s.cut]
    assert rows(workshop, deck) == wanted, "each cut once for each work, in the order of the run"
    for _ in wanted:
        workshop.undo(deck)
    assert rows(workshop, deck) == [], "each press was one step to undo"
    assert workshop.design(deck)[0].undo is None or "Drilled" not in (workshop.design(deck)[0].undo or "")


def test_the_place_is_found_again_after_a_restart_and_is_no_step_of_the_design(
    client: TestClient, workshop: Workshop, deck: str, tmp_path: Path
) -> None:
    before = workshop.head(deck).revision.id
    there = cuts_of(workshop, deck)[7]
    client.post(f"/designs/{deck}/at-board/go", data={"to": there})
    assert workshop.head(deck).revision.id == before
    again = open_workshop(tmp_path / "data")
    with TestClient(create_app(again, Address("127.0.0.1", 8123)), base_url=BASE) as other:
        page = other.get(f"/designs/{deck}/at-board").text
    assert big(page)[1]["at"] == there
    again.close()
    for lost in ("", "nowhere/hole-1/through", "x" * 5000, "\x00", "../..", "set/top/none"):
        answer = client.post(f"/designs/{deck}/at-board/go", data={"to": lost})
        assert answer.status_code == 200
        assert big(answer.text)[1]["at"] == there, "a step that is not there moves nobody"


def test_back_and_next_go_one_step_and_mark_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    codes = [s.code for s in steps_of(workshop, deck)]
    page = client.get(f"/designs/{deck}/at-board?at={codes[3]}").text
    ways: dict[str, dict[str, str]] = {}
    for form in Page(page).forms:
        ways |= {words: dict(form.fields) for _, _, words in form.buttons}
    assert (ways["Back"]["to"], ways["Next"]["to"]) == (codes[2], codes[4])
    client.post(f"/designs/{deck}/at-board/go", data=ways["Next"])
    assert big(client.get(f"/designs/{deck}/at-board").text)[1]["at"] == codes[4]
    assert rows(workshop, deck) == []


@pytest.mark.parametrize(
    ("units", "typed", "mm"),
    [
        ("mm", "1.2", 1.2),
        ("inch", "3/64", 3 / 64 * 25.4),
        ("mm", '1/16"', 25.4 / 16),
        ("inch", "1.5 mm", 1.5),
        ("mm", "0,8", 0.8),
    ],
)
def test_off_by_is_kept_as_it_was_seen_and_answers_what_still_fits(
    client: TestClient, workshop: Workshop, deck: str, units: str, typed: str, mm: float
) -> None:
    code = cuts_of(workshop, deck, "through")[3]
    shown = client.get(f"/designs/{deck}/at-board?at={code}&say=off&units={units}")
    assert "How far is its middle" in text_of(shown)
    form = next(f for f in Page(shown.text).forms if f.action.endswith("/off"))
    answer = client.post(form.action, data={**form.fields, "across": typed, "side": "left", "units": units})
    assert answer.status_code == 200
    (row,) = workshop.design(deck)[1].boards[0].arrangements[0].as_built or ()
    assert row.off == pytest.approx((-mm, 0.0))
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", row.when or "")
    said = text_of(answer)
    assert "off." in said
    assert "The web to" in said
    seen = workshop.look(deck, WHERE, units).checked
    harm = harm_of(seen, real_board(seen))
    assert ("Everything still fits" in said) == (not harm)
    assert all(one.sentence in said for one in harm)
    assert f"at={code.replace('/', '%2F')}" in str(answer.url), "one stays to read what came of it"


def test_off_by_on_the_underside_is_as_the_builder_sees_it(client: TestClient, workshop: Workshop, deck: str) -> None:
    step = next(s for s in steps_of(workshop, deck) if s.cut and s.cut.face == "under")
    assert "underside" in client.get(f"/designs/{deck}/at-board?at={step.code}").text.lower()
    page = text_of(client.get(f"/designs/{deck}/at-board?at={step.code}"))
    assert "now at your right" in page
    client.post(f"/designs/{deck}/at-board/off", data={"at": step.code, "across": "1", "side": "right", "unit": "mm"})
    mark = workshop.look(deck, WHERE).checked.resolved.as_built.marks[0]
    assert mark.off == (-1.0, 0.0), "to the right of who looks at the underside"


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({}, "Is it where it should be? Press Drilled"),
        ({"across": "1"}, "Choose left or right"),
        ({"along": "1", "side": "left"}, "Choose front or back"),
        ({"across": "far", "side": "left"}, "far"),
        ({"across": "500", "side": "left"}, "from -100 to 100"),
        ({"measured": "0"}, "from 0.1 to 300"),
        ({"measured": "-3"}, "from 0.1 to 300"),
        ({"measured": "1e999"}, "1e999"),
    ],
)
def test_what_cannot_be_is_said_and_what_was_typed_stays(
    client: TestClient, workshop: Workshop, deck: str, typed: dict[str, str], words: str
) -> None:
    code = cuts_of(workshop, deck, "through")[0]
    answer = client.post(f"/designs/{deck}/at-board/off", data={"at": code, "unit": "mm", **typed})
    assert answer.status_code == 422
    assert words in text_of(answer)
    for name in ("across", "along", "measured"):
        if name in typed:
            assert f'value="{typed[name]}"' in answer.text
    assert rows(workshop, deck) == []


def test_spoilt_is_said_and_can_be_taken_back(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = cuts_of(workshop, deck, "through")[2]
    answer = text_of(client.post(f"/designs/{deck}/at-board/spoilt", data={"at": code}))
    assert "Marked spoilt" in answer
    assert "plugged and drilled again" in answer
    assert "Spoilt:" in text_of(client.get(f"/designs/{deck}/at-board?at=end"))
    client.post(f"/designs/{deck}/at-board/clear", data={"at": code})
    assert rows(workshop, deck) == []
    assert client.post(f"/designs/{deck}/at-board/clear", data={"at": code}).status_code == 422


def test_all_of_a_pattern_are_marked_with_one_press(client: TestClient, workshop: Workshop) -> None:
    file = ("a.json", dumps(with_companions()).encode(), "application/json")
    at = client.post("/designs/open", files={"file": file}).url.path
    design = at.rpartition("/")[2]
    where = Where("grille", None)
    steps = steps_of(workshop, design, where)
    holes = [s for s in steps if s.cut and s.cut.work == "through" and "-" in s.cut.name]
    first = holes[0]
    page = client.get(f"{at}/at-board?board=grille&at={first.code}")
    left = re.search(r"All (\d+) left of (\S+) are drilled", text_of(page))
    assert left is not None
    assert first.cut is not None
    mine = [s for s in holes if s.cut and s.run is first.run and s.cut.key.placement == first.cut.key.placement]
    assert int(left[1]) == len(mine)
    client.post(f"{at}/at-board/rest", data={"at": first.code, "board": "grille"})
    board = next(b for b in workshop.design(design)[1].boards if b.id == "grille")
    assert len(board.arrangements[0].as_built or ()) == len(mine)
    summary = workshop.design(design)[0].undo
    assert summary == f"Marked {len(mine)} holes as drilled"


def test_done_steps_stay_done_when_the_design_changes_meanwhile(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    drilled = cuts_of(workshop, deck)[:3]
    for code in drilled:
        client.post(f"/designs/{deck}/at-board/drilled", data={"at": code})
    client.post(f"/designs/{deck}/edit/add", data={"part": "button-24-nut-long", "unit": "mm"})
    todo = steps_of(workshop, deck)
    new = [s.code for s in todo if s.cut and s.code not in drilled]
    page = client.get(f"/designs/{deck}/at-board?at=end")
    assert f"{len(new)} steps left to do" in text_of(page)
    for code in drilled:
        assert "Marked drilled" in text_of(client.get(f"/designs/{deck}/at-board?at={code}"))


def test_a_hole_whose_part_is_deleted_stays_and_is_said(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = cuts_of(workshop, deck, "through")[1]
    name = code.partition("/")[0]
    client.post(f"/designs/{deck}/at-board/drilled", data={"at": code})
    gone = client.post(f"/designs/{deck}/edit/remove", data={"select": name})
    assert gone.status_code == 200
    assert rows(workshop, deck) == [(name, "hole-1", "through")]
    end = client.get(f"/designs/{deck}/at-board?at=end")
    assert f"{name.upper()}: its hole is in the board, and not drilled in the design any more" in text_of(end)
    late = client.post(f"/designs/{deck}/at-board/drilled", data={"at": code.replace("through", "pilot")})
    assert late.status_code == 422
    assert "no longer in the design, so nothing was marked" in text_of(late)
    form = next(f for f in Page(end.text).forms if f.action.endswith("/clear"))
    client.post(form.action, data=dict(form.fields))
    assert rows(workshop, deck) == []


def test_what_is_drilled_is_held_where_it_is(client: TestClient, workshop: Workshop, deck: str) -> None:
    code = cuts_of(workshop, deck, "pilot")[4]
    name = code.partition("/")[0]
    client.post(f"/designs/{deck}/at-board/drilled", data={"at": code})
    before = workshop.design(deck)[1]
    for verb, fields in (
        ("move", {"dx": "5", "dy": "0", "unit": "mm"}),
        ("place", {"x": "300", "x.was": "", "unit": "mm"}),
        ("turn", {"by": "90"}),
        ("lock", {"lock": "off"}),
    ):
        answer = client.post(f"/designs/{deck}/edit/{verb}", data={"select": name, **fields})
        assert workshop.design(deck)[1] == before, verb
        assert "is drilled" in text_of(answer), verb
    page = client.get(f"/designs/{deck}?select={name}")
    assert "Drilled already, so it stays where it is" in text_of(page)
    assert "drilled already" in page.text
    # What is free may still move, and nothing gets a lock that nobody set.
    other = next(p.id for p in before.boards[0].arrangements[0].placements if p.id != name)
    client.post(f"/designs/{deck}/edit/move", data={"select": f"{other},{name}", "dx": "1", "dy": "0", "unit": "mm"})
    after = workshop.design(deck)[1].boards[0].arrangements[0]
    assert [p.locked for p in after.placements] == [p.locked for p in before.boards[0].arrangements[0].placements]
    assert next(p for p in after.placements if p.id == name) == next(
        p for p in before.boards[0].arrangements[0].placements if p.id == name
    )


def test_the_board_page_says_how_it_does_as_drilled(client: TestClient, workshop: Workshop, deck: str) -> None:
    assert "As drilled" not in client.get(f"/designs/{deck}").text
    first, second = cuts_of(workshop, deck, "through")[3:5]
    client.post(f"/designs/{deck}/at-board/drilled", data={"at": second})
    assert "As drilled: no more stops or cautions than drawn" in client.get(f"/designs/{deck}").text
    sent = {"at": first, "across": "12", "side": "left", "unit": "mm"}
    client.post(f"/designs/{deck}/at-board/off", data=sent)
    seen = workshop.look(deck, WHERE).checked
    stops = sum(h.severity == "stop" for h in harm_of(seen, real_board(seen)))
    assert stops > 0
    page = client.get(f"/designs/{deck}").text
    assert re.search(rf"As drilled: {stops} stops?(?: and \d+ cautions?)? more than drawn", page)


def test_two_phones_at_once_both_keep_their_marks(client: TestClient, workshop: Workshop, deck: str) -> None:
    codes = cuts_of(workshop, deck)
    one, two = (client.get(f"/designs/{deck}/at-board?at={code}").text for code in codes[:2])
    for page in (one, two, one):  # the first is pressed twice
        action, fields = big(page)
        assert client.post(action, data=fields).status_code == 200
    assert len(rows(workshop, deck)) == 2
    action, fields = big(
        one
    )  # a page from before is told what another did meanwhile, and its press counts all the same
    told = client.post(action, data={**fields, "at": codes[3], "window": "mine"})
    assert len(rows(workshop, deck)) == 3
    assert "other window" in text_of(told).lower() or "elsewhere" in text_of(told).lower()


ODD = ["", "/", "a", "a/b/c", "a//", "%00", "\x00", "a/hole-1/through/x", "set/", "x" * 9999, "<b>", "a/hole-9/pilot"]


@each("code", ODD)
def test_hostile_words_are_no_fault_of_ours(client: TestClient, deck: str, code: str) -> None:
    for verb in ("drilled", "rest", "spoilt", "clear", "off", "go", "fly"):
        answer = client.post(f"/designs/{deck}/at-board/{verb}", data={"at": code, "across": "1", "side": "left"})
        assert answer.status_code in {200, 404, 422}, verb
    assert client.get(f"/designs/{deck}/at-board", params={"at": code, "say": code}).status_code == 200


def test_the_bench_and_the_drilling_list_lead_there(client: TestClient, deck: str) -> None:
    for page in ("bench", "bench/drilling"):
        assert f'href="/designs/{deck}/at-board"' in client.get(f"/designs/{deck}/{page}").text
    assert "at-board" not in client.get(f"/designs/{deck}/bench/parts").text


def test_a_board_in_which_nothing_is_drilled_says_so(client: TestClient, workshop: Workshop) -> None:
    bare = workshop.create(NewDeck(title="Bare", players=0)).design.id
    page = client.get(f"/designs/{bare}/at-board")
    assert page.status_code == 200
    assert "Nothing is drilled in this board" in text_of(page)
