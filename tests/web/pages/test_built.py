"""As built, without scripts: ticks, centres and distances typed, many rows at once, refused in plain words."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.geometry.shapes import Point
from app.model.as_built import Mark
from app.model.resolved import ResolvedBoard
from app.service.checks.real_board import real_board
from app.service.edits.built_typing import last_cuts
from app.service.workshop import Workshop
from app.shop.board_steps import BoardCut
from tests.bench.boards import grille
from tests.reading.pages import Page
from tests.web.pages.test_at_board import text_of

WHERE = Where(None, None)
INCH = 25.4  # mm, exactly (ISO 31)


def board_of(workshop: Workshop, design: str, where: Where = WHERE) -> ResolvedBoard:
    return workshop.look(design, where).checked.resolved


def cuts_of(workshop: Workshop, design: str, where: Where = WHERE) -> dict[str, BoardCut]:
    return {cut.name: cut for cut in last_cuts(board_of(workshop, design, where))}


def mark_of(workshop: Workshop, design: str, cut: BoardCut) -> Mark | None:
    return board_of(workshop, design).as_built.of(cut.key, cut.work)


def sent(client: TestClient, design: str, typed: dict[str, str], query: str = "", verb: str = "keep") -> Any:
    """The form of the page with something typed in it."""
    shown = client.get(f"/designs/{design}/built{query}")
    form = next(f for f in Page(shown.text).forms if f.action.endswith(f"/{verb}"))
    return client.post(form.action, data={**form.fields, **typed})


def steps(workshop: Workshop, design: str) -> int:
    return len(workshop.moments(design))


def centre(workshop: Workshop, design: str, cut: BoardCut) -> Point:
    mark = mark_of(workshop, design, cut)
    assert mark is not None
    return mark.centre


def test_every_cut_is_listed_with_what_it_should_be(client: TestClient, workshop: Workshop, deck: str) -> None:
    found: list[str] = []
    for leaf in (1, 2, 3):
        page = client.get(f"/designs/{deck}/built?leaf={leaf}")
        found += re.findall(r'name="on\.([^"]+)"', page.text)
    cuts = last_cuts(board_of(workshop, deck))
    assert list(dict.fromkeys(found)) == [cut.code for cut in cuts]
    said = text_of(client.get(f"/designs/{deck}/built"))
    first = cuts[0]
    assert f"Should be {first.at[0]:g} mm from the left, {first.at[1]:g} mm from the front" in said


def test_many_rows_are_one_step_that_can_be_undone(client: TestClient, workshop: Workshop, deck: str) -> None:
    cuts = cuts_of(workshop, deck)
    a, b, c, d = (cuts[name] for name in "ABCD")
    before = steps(workshop, deck)
    typed = {
        f"on.{a.code}": "on",
        f"x.{b.code}": f"{b.at[0] + 1.5}", f"y.{b.code}": f"{b.at[1] - 0.5}", f"m.{b.code}": "28.4",
        f"x.{c.code}": f"{c.at[0] - 0.75}",
        f"m.{d.code}": "27.9",
    }  # fmt: skip
    answer = sent(client, deck, typed)
    assert answer.status_code == 200
    assert steps(workshop, deck) == before + 1
    marks = [mark_of(workshop, deck, cut) for cut in (a, b, c, d)]
    assert [m.off for m in marks if m] == [(0.0, 0.0), (1.5, -0.5), (-0.75, 0.0), (0.0, 0.0)]
    assert [m.measured for m in marks if m] == [None, 28.4, None, 27.9]
    built = board_of(workshop, deck).as_built
    assert all(built.of(cut.key, "pilot") for cut in (a, b, c, d)), "a hole that is through needs no pilot any more"
    workshop.undo(deck)
    assert not board_of(workshop, deck).as_built


def test_inches_are_read_as_inches(client: TestClient, workshop: Workshop, deck: str) -> None:
    cut = cuts_of(workshop, deck)["B"]
    sent(client, deck, {f"x.{cut.code}": "8 1/2", f"m.{cut.code}": "1.125"}, "?units=inch")
    mark = mark_of(workshop, deck, cut)
    assert mark is not None
    assert mark.centre[0] == pytest.approx(8.5 * INCH, abs=1e-4)
    assert mark.measured == pytest.approx(1.125 * INCH)


def test_a_tick_that_is_taken_away_clears_the_mark_and_no_other(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    cuts = cuts_of(workshop, deck)
    a, b = cuts["A"], cuts["B"]
    sent(client, deck, {f"on.{a.code}": "on", f"on.{b.code}": "on"})
    page = client.get(f"/designs/{deck}/built")
    form = next(f for f in Page(page.text).forms if f.action.endswith("/keep"))
    fields = dict(form.fields)
    assert a.code in fields["shown"].split() and b.code in fields["shown"].split()
    fields.pop(f"on.{a.code}", None)
    fields[f"on.{b.code}"] = "on"
    client.post(form.action, data=fields)
    assert mark_of(workshop, deck, a) is None
    assert board_of(workshop, deck).as_built.of(a.key, "pilot") is None
    assert mark_of(workshop, deck, b) is not None


def test_a_page_older_than_a_tick_takes_nothing_back(client: TestClient, workshop: Workshop, deck: str) -> None:
    cuts = cuts_of(workshop, deck)
    a, b = cuts["A"], cuts["B"]
    old = next(f for f in Page(client.get(f"/designs/{deck}/built").text).forms if f.action.endswith("/keep"))
    sent(client, deck, {f"on.{a.code}": "on"})
    client.post(old.action, data={**old.fields, f"on.{b.code}": "on"})
    assert mark_of(workshop, deck, a) is not None, "another window had ticked it meanwhile"
    assert mark_of(workshop, deck, b) is not None


@pytest.mark.parametrize(("ways", "more"), [("centres", 0.0), ("near rims", -28.0), ("far rims", 28.0)])
def test_two_distances_put_a_hole_where_it_is(
    client: TestClient, workshop: Workshop, deck: str, ways: str, more: float
) -> None:
    """Distances from the answer give back the typed ones; holes of 28 mm, so rims are 28 mm nearer or farther."""
    cuts = cuts_of(workshop, deck)
    a, d, g = cuts["A"], cuts["D"], cuts["G"]
    sent(client, deck, {f"on.{a.code}": "on", f"x.{d.code}": f"{d.at[0] + 1.0}"})
    real = (g.at[0] + 0.8, g.at[1] - 1.1)
    first, second = (math.dist(centre(workshop, deck, cut), real) for cut in (a, d))
    typed = {
        f"a.{g.code}": " a ", f"ad.{g.code}": f"{first + more}", f"b.{g.code}": "D", f"bd.{g.code}": f"{second + more}",
    }  # fmt: skip
    answer = sent(client, deck, {**typed, "ways": ways})
    assert answer.status_code == 200
    assert centre(workshop, deck, g) == pytest.approx(real, abs=2e-4)
    mark = mark_of(workshop, deck, g)
    assert mark is not None and mark.within is not None
    assert 0.5 <= mark.within <= 2.0
    assert "sure to" in text_of(answer)
    assert "placed by two distances" in text_of(answer)


def test_distances_that_tell_nothing_are_refused_beside_their_field(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    cuts = cuts_of(workshop, deck)
    b, c, e, g = cuts["B"], cuts["C"], cuts["E"], cuts["G"]
    sent(client, deck, {f"on.{cut.code}": "on" for cut in (b, c, e)})

    def typed(cut: BoardCut, *pairs: tuple[str, str]) -> dict[str, str]:
        rows = zip((("a", "ad"), ("b", "bd")), pairs, strict=True)
        return {f"{k}.{cut.code}": v for kinds, pair in rows for k, v in zip(kinds, pair, strict=True)}

    line = f"{math.dist(b.at, e.at) / 2:.2f}"
    cases = [
        (typed(g, ("B", "20"), ("C", "20")), "do not meet", "together they are"),
        (typed(g, ("B", "500"), ("C", "20")), "do not meet", "too long for that"),
        (typed(g, ("B", "30"), ("B", "40")), "Both distances are to B", ""),
        (typed(g, ("B", "30"), ("Z9", "40")), "There is no hole “Z9”", ""),
        (typed(g, ("B", "30"), ("F", "40")), "F is not kept as drilled yet", ""),
        (typed(g, ("G", "30"), ("B", "40")), "not to itself", ""),
        (typed(g, ("", "30"), ("B", "40")), "Type the first hole", ""),
        (typed(g, ("B", ""), ("C", "40")), "Type the distance to it", ""),
        (typed(g, ("B", "-4"), ("C", "40")), "some way apart", ""),
        (typed(cuts["F"], ("B", line), ("E", f"{float(line) + 0.01}")), "nearly in a line", "well to the side"),
        ({**typed(g, ("B", "90"), ("C", "60")), f"x.{g.code}": "3"}, "not both", ""),
    ]

    before = steps(workshop, deck)
    for fields, words, more in cases:
        answer = sent(client, deck, fields)
        assert answer.status_code == 422, words
        wrong = " ".join(re.findall(r'class="wrong"[^>]*>([^<]+)', answer.text))
        assert words in wrong and more in wrong, wrong
        for name, value in fields.items():
            assert f'name="{name}" type="text" value="{value}"' in answer.text, "what was typed stays"

    assert steps(workshop, deck) == before


def test_one_wrong_row_keeps_none_and_loses_none(client: TestClient, workshop: Workshop, deck: str) -> None:
    cuts = cuts_of(workshop, deck)
    a, b = cuts["A"], cuts["B"]
    answer = sent(client, deck, {f"on.{a.code}": "on", f"x.{b.code}": "9999", f"m.{a.code}": "wide"})
    assert answer.status_code == 422
    assert "Nothing was kept: " in text_of(answer)
    assert 'value="9999"' in answer.text and 'value="wide"' in answer.text
    assert re.search(rf'name="on\.{a.code}"[^>]* checked', answer.text)
    assert not board_of(workshop, deck).as_built
    again = sent(client, deck, {f"x.{b.code}": "9999", f"m.{b.code}": "28"})
    assert "Is it another hole" in text_of(again)


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"x.": "3"},
        {"x.nowhere/hole-1/through": "3"},
        {"on.nowhere/hole-9/through": "on"},
        {"shown": "nowhere/hole-1/through \x00"},
        {"x." + "a" * 5000: "3"},
        {"x.b/hole-1/through": "1e999"},
        {"m.b/hole-1/through": "-3"},
        {"m.b/hole-1/through": "0"},
        {"y.b/hole-1/through": "nan"},
        {
            "a.b/hole-1/through": "x" * 100000, "ad.b/hole-1/through": "1",
            "b.b/hole-1/through": "\u202e", "bd.b/hole-1/through": "1",
        },
        {"ways": "by ear", "leaf": "-1", "part": "\x00", "show": "none"},
    ],
)  # fmt: skip
def test_hostile_forms_are_refused_and_change_nothing(
    client: TestClient, workshop: Workshop, deck: str, fields: dict[str, str]
) -> None:
    before = steps(workshop, deck)
    answer = client.post(f"/designs/{deck}/built/keep", data=fields)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text
    assert steps(workshop, deck) == before
    for query in ("?leaf=0", "?leaf=999999999999", "?leaf=x", "?part=nowhere", "?show=x&part=%00"):
        assert client.get(f"/designs/{deck}/built{query}").status_code == 200
    assert client.post(f"/designs/{deck}/built/nothing", data={}).status_code == 404


def test_a_hole_off_its_place_is_reported_and_room_is_made_round_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """Held where they really are, in one step; the real board has fewer stops after it, and no drilled part moved."""
    cuts = cuts_of(workshop, deck)
    d = cuts["D"]
    answer = sent(client, deck, {f"x.{d.code}": f"{d.at[0] - 5}", f"y.{d.code}": f"{d.at[1] - 4}"})
    assert "Worse than drawn" in text_of(answer)
    seen = workshop.look(deck, WHERE).checked
    before = len(real_board(seen).report.stops)
    assert before > 0
    assert 'id="make-room"' in answer.text
    page = client.get(f"/designs/{deck}/room?built=1")
    form = next(f for f in Page(page.text).forms if f.action.endswith("/room") and f.method == "post")
    stepped = steps(workshop, deck)
    done = client.post(form.action, data=form.fields)
    assert done.status_code == 200
    assert "/built" in str(done.url)
    assert steps(workshop, deck) == stepped + 1
    after = workshop.look(deck, WHERE).checked
    assert len(real_board(after).report.stops) == 0
    assert centre(workshop, deck, d) == (d.at[0] - 5, d.at[1] - 4)
    placed = after.resolved.placed(d.key.placement)
    assert placed is not None and (placed.x, placed.y) == d.at
    workshop.undo(deck)
    assert len(real_board(workshop.look(deck, WHERE).checked).report.stops) == before


def test_a_pattern_of_two_thousand_holes_is_listed_by_pages(client: TestClient, workshop: Workshop) -> None:
    file = ("a.json", dumps(grille()).encode(), "application/json")
    at = client.post("/designs/open", files={"file": file}).url.path
    design, where = at.rpartition("/")[2], WHERE
    cuts = last_cuts(board_of(workshop, design, where))
    page = client.get(f"{at}/built?leaf=2")
    assert page.text.count('class="card built-row') == 20
    fields = re.findall(r'<(?:input|select)[^>]* name="', page.text[page.text.index('id="built-form"') :])
    assert len(fields) < 200, "a form has no more fields than are read"
    form = next(f for f in Page(page.text).forms if f.action.endswith("/keep"))
    cut = cuts[21]
    client.post(form.action, data={**form.fields, f"x.{cut.code}": f"{cut.at[0] + 0.5}"})
    assert board_of(workshop, design, where).as_built.of(cut.key, cut.work) is not None
    part = cut.key.placement
    rest = next(f for f in Page(client.get(f"{at}/built?part={part}").text).forms if "/rest" in f.action)
    client.post(rest.action, data=rest.fields)
    built = board_of(workshop, design, where).as_built
    assert all(built.is_drilled(c.key) for c in cuts if c.key.placement == part)
    assert built.of(cut.key, cut.work).distance == 0.5  # type: ignore[union-attr]


def test_the_real_board_is_drawn_over_the_drawn_one(client: TestClient, workshop: Workshop) -> None:
    deck = workshop.create(NewDeck(title="Drawn", players=1, width=400.0, depth=220.0)).design.id
    cuts = cuts_of(workshop, deck)
    b = cuts["B"]
    drawn = client.get(f"/designs/{deck}/built").text
    assert 'class="shift"' not in drawn
    answer = sent(client, deck, {f"x.{b.code}": f"{b.at[0] + 2}", f"m.{b.code}": "29"}).text
    assert answer.count('class="shift"') == 1
    assert 'class="drilled"' in answer and 'class="should-be"' in answer
