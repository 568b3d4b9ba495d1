"""The report on the page: grouped, fixes said before they are made, cautions accepted, woken and stale."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.service import new_design
from app.service.workshop import Workshop

FIX = re.compile(r'name="(finding|group)" value="([^"]+)">\s*<input type="hidden" name="said" value="([^"]+)"')
FIND = re.compile(r'href="([^"]*[?&]find=[^"]+)"')


@pytest.fixture
def raft(workshop: Workshop) -> str:
    """Id of a copy of the scenario that breaks every rule."""
    return workshop.open_scenario("leaky-raft").design.id


@pytest.fixture
def thick(client: TestClient, workshop: Workshop) -> str:
    """A deck of 30 mm, more than any nut of it reaches through: every button is short, by the same cause."""
    spec = NewDeck(title="Thick", players=2, buttons=1, shape="row", width=760.0, depth=260.0)
    deck = workshop.create(spec).design.id
    thick = {"unit": "mm", "thickness": "30", "drilling": "hand", "paper": "a4"}
    client.post(f"/designs/{deck}/shop/settings", data=thick)
    return deck


def page(client: TestClient, deck: str, query: str = "") -> str:
    answer = client.get(f"/designs/{deck}{query}")
    assert answer.status_code == 200
    return answer.text


def edit(client: TestClient, deck: str, verb: str, **values: str) -> tuple[int, str]:
    answer = client.post(f"/designs/{deck}/edit/{verb}", data={"unit": "mm", **values})
    return answer.status_code, unescape(answer.text)


def near_edge(client: TestClient, deck: str, y: str) -> None:
    """A button near the front edge: a caution at this distance (see the test that says how near)."""
    edit(client, deck, "place", select="e", y=y)


def caution(client: TestClient, workshop: Workshop, deck: str) -> str:
    """Bring a button so near the front edge that it is a caution and no stop; name of the finding.

    MDF asks for 12 mm to the edge (its row in the catalogue); a hole may be a millimetre off, the edge half of one.
    """
    placed = workshop.look(deck, Where()).checked.resolved.placed("e")
    assert placed is not None
    least = placed.holes[0].diameter / 2 + 12.0 + 1.5
    near_edge(client, deck, f"{least + 0.1:g}")
    assert not workshop.look(deck, Where()).checked.report.cautions
    near_edge(client, deck, f"{least - 0.9:g}")
    report = workshop.look(deck, Where()).checked.report
    assert report.cautions and not report.stops
    found = re.search(r'name="finding" value="([^"]+)"', page(client, deck))
    assert found
    return unescape(found[1])


def test_every_way_out_is_said_before_it_can_be_pressed(client: TestClient, raft: str) -> None:
    """No button applies an unseen change: each form carries the words of its button, the others are links."""
    text = page(client, raft)
    buttons = re.findall(r'edit/fix-apply" class="fix">(.*?)</form>', text, re.DOTALL)
    assert buttons
    for form in buttons:
        said = re.search(r'name="said" value="([^"]+)"', form)
        assert said
        assert f">{said[1]}</button>" in form
    links = FIND.findall(text)
    assert links
    for link in links[:6]:
        shown = page(client, raft, unescape(link).partition(raft)[2])
        fixes = re.findall(r'edit/fix-apply" class="fix">', shown)
        assert len(fixes) > len(buttons) or "No single change clears" in shown


def test_a_fix_that_would_now_do_something_else_is_not_made(client: TestClient, workshop: Workshop, deck: str) -> None:
    edit(client, deck, "place", select="l", x="728")
    offered = FIX.search(page(client, deck))
    assert offered
    name, said = unescape(offered[2]), unescape(offered[3])
    edit(client, deck, "place", select="l", x="726")
    before = workshop.design(deck)[0]
    status, text = edit(client, deck, "fix-apply", finding=name, said=said)
    assert status == 422
    assert 'id="wrong-fix"' in text
    assert "The board has changed since" in text
    assert workshop.design(deck)[0] == before
    status, _ = edit(client, deck, "fix-apply", finding=name)
    assert status == 422, "without what was said, nothing is done"
    assert workshop.design(deck)[0] == before


def test_a_fix_is_worked_out_in_the_units_of_the_screen(client: TestClient, thick: str) -> None:
    deck = thick
    offered = FIX.search(page(client, deck, "?units=inch"))
    assert offered
    field, name, said = map(unescape, offered.groups())
    assert '"' in said
    status, text = edit(client, deck, "fix-apply", unit="inch", units="inch", said=said, **{field: name})
    assert status == 200, text


def test_what_ails_many_is_one_card_and_one_step(client: TestClient, workshop: Workshop, thick: str) -> None:
    deck = thick
    report = workshop.look(deck, Where()).checked.report
    short = [f for f in report.stops if f.rule == "thread-reach"]
    assert len(short) == 2, "two kinds of button"
    text = page(client, deck)
    assert text.count("Stop · thread reach</h3>") == 1
    assert "3 buttons: thread" in text
    assert "One by one (2)" in text
    found = [m for m in FIX.finditer(text) if m[1] == "group" and "thread-reach" in m[2]]
    if not found:
        link = next(link for link in FIND.findall(text) if "thread-reach" in link and "stop" in link)
        text = page(client, deck, unescape(link).partition(deck)[2])
        found = [m for m in FIX.finditer(text) if m[1] == "group" and "thread-reach" in m[2]]
    assert found
    assert "Counterbore" in found[0][3]
    undo = workshop.design(deck)[0].undo
    status, text = edit(client, deck, "fix-apply", group=unescape(found[0][2]), said=unescape(found[0][3]))
    assert status == 200
    after = workshop.look(deck, Where())
    assert not [f for f in after.checked.report.findings if f.rule == "thread-reach"]
    assert not after.checked.report.stops
    assert all(p.counterbore for p in after.checked.resolved.drilled if p.part.kind == "button")
    assert after.head.undo != undo
    client.post(f"/designs/{deck}/undo")
    back = workshop.look(deck, Where()).checked
    assert [f for f in back.report.stops if f.rule == "thread-reach"] == short


@pytest.mark.parametrize("count", [2, 12])
def test_a_group_of_any_size_has_its_button_at_once(client: TestClient, workshop: Workshop, count: int) -> None:
    """Buttons over the front edge, a stop of each; one press moves them all in, but for the one that is locked."""
    added = [f"over-{k}" for k in range(count)]
    made = json.loads(dumps(new_design(NewDeck(title="Long", players=1, buttons=1, width=3000.0, depth=400.0))))
    made["boards"][0]["arrangements"][0]["placements"] += [
        {"id": one, "part": "button-24-nut-long", "label": f"Q{k}", "x": 300 + 60 * k, "y": 5, "locked": k == 0}
        for k, one in enumerate(added)
    ]
    deck = workshop.open_file(json.dumps(made).encode()).design.id
    text = page(client, deck)
    found = next(m for m in FIX.finditer(text) if m[1] == "group" and "outside-board" in m[2])
    name = workshop.look(deck, Where()).checked.resolved.placed(added[0])
    assert name is not None
    assert f"This does not clear {name.label}." in text
    before = workshop.design(deck)[1]
    status, _ = edit(client, deck, "fix-apply", group=unescape(found[2]), said=unescape(found[3]))
    assert status == 200
    report = workshop.look(deck, Where()).checked.report
    assert {s for f in report.stops for s in f.subjects} == {added[0]}
    client.post(f"/designs/{deck}/undo")
    assert workshop.design(deck)[1] == before


def test_a_caution_is_accepted_said_to_be_so_and_taken_back(client: TestClient, workshop: Workshop, deck: str) -> None:
    name = caution(client, workshop, deck)
    status, text = edit(client, deck, "accept", finding=name, reason="  ")
    assert status == 422
    assert 'aria-invalid="true"' in text
    assert "The reason has 1 to 500 characters" in text
    status, text = edit(client, deck, "accept", finding=name, reason="The apron carries it <there>")
    assert status == 200
    assert "Accepted · 1" in text
    assert "halo-caution" not in text, "what is accepted is not flagged on the drawing"
    assert re.search(r' Accepted</p>\s*<p class="accepted-words">[^<]*edge[^<]*</p>', text)
    assert "&lt;there&gt;" in page(client, deck)
    assert "Fits" in text.partition('id="tally"')[2]
    assert workshop.look(deck, Where()).checked.report.cautions == ()
    held = re.search(r'name="acceptance" value="([^"]+)"', page(client, deck))
    assert held
    edit(client, deck, "withdraw", acceptance=unescape(held[1]))
    assert len(workshop.look(deck, Where()).checked.report.cautions) == 1
    status, _ = edit(client, deck, "withdraw", acceptance=unescape(held[1]))
    assert status == 422


def test_an_accepted_caution_wakes_when_it_gets_worse_and_is_stale_when_it_is_gone(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    name = caution(client, workshop, deck)
    placed = workshop.look(deck, Where()).checked.resolved.placed("e")
    assert placed is not None
    edit(client, deck, "accept", finding=name, reason="Small hands")
    near_edge(client, deck, str(placed.y - 0.5))
    text = page(client, deck)
    assert "1 caution" in text.partition('id="tally"')[2]
    assert "and worse now: Small hands" in text
    near_edge(client, deck, "110")
    text = page(client, deck)
    assert "Accepted, no longer found · 1" in text
    assert "Fits" in text.partition('id="tally"')[2]
    held = re.search(r'name="acceptance" value="([^"]+)"', text)
    assert held
    edit(client, deck, "withdraw", acceptance=unescape(held[1]))
    assert "no longer there" not in page(client, deck)


def test_a_stop_cannot_be_accepted(client: TestClient, workshop: Workshop, deck: str) -> None:
    edit(client, deck, "place", select="l", x="728")
    text = page(client, deck)
    name = re.search(r'name="finding" value="([^"]+)"', text)
    assert name
    assert "Accept" not in re.sub(r"<title>.*?</title>", "", text).partition("Fit report")[2].partition("Parts on")[0]
    before = workshop.design(deck)[0]
    status, text = edit(client, deck, "accept", finding=unescape(name[1]), reason="I dare")
    assert status == 422
    assert "A stop cannot be accepted" in text
    assert workshop.design(deck)[0] == before


def test_cautions_of_one_cause_are_accepted_for_one_reason(client: TestClient, workshop: Workshop, raft: str) -> None:
    seen = workshop.look(raft, Where()).checked
    group = max((g for g in seen.groups() if g.severity == "caution"), key=lambda g: len(g.findings))
    before = len(seen.report.cautions)
    edit(client, raft, "accept", group=group.name, reason="An exhibit")
    after = workshop.look(raft, Where()).checked.report
    assert len(after.accepted) == len(group.findings)
    assert len(after.cautions) == before - len(group.findings)


def test_notes_are_folded(client: TestClient, deck: str) -> None:
    client.post(f"/designs/{deck}/shop/bits-take", data={"set": "inch"})
    text = page(client, deck)
    fold = re.search(r'<details class="fold notes" id="notes-fold"([^>]*)>', text)
    assert fold
    assert "open" not in fold[1]
    assert "Fits" in text.partition('id="tally"')[2]


def test_a_finding_says_how_far_to_trust_the_measures_it_rests_on(client: TestClient, thick: str) -> None:
    """Thread and nut decide whether a thread reaches; one of them measured, the other still is typical."""
    text = page(client, thick)
    lines = re.findall(r'<p class="small trust-line">(.*?)</p>', text, re.DOTALL)
    assert lines and all(line.startswith("Based on typical ") and line.endswith(", not measured") for line in lines)
    client.post(
        f"/designs/{thick}/part/b",
        data={"unit": "mm", "scope": "all", "thread_length": "33.5", "thread_length.was": "34 mm"},
    )
    text = page(client, thick)
    lines = re.findall(r'<p class="small trust-line">(.*?)</p>', text, re.DOTALL)
    line = next(line for line in lines if "measured thread" in line)
    assert line == "Based on typical nut height, not measured; measured thread"
    section = page(client, thick, "?face=section&select=b")
    assert "By hand: thread length; others typical." in section
    assert "By hand: thread length; others typical</p>" in section.partition('class="small basis"')[2]


def test_an_acceptance_says_beforehand_that_other_arrangements_share_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    caution(client, workshop, deck)
    shared = "accepted in every arrangement where the same holes give the same figure"
    assert (shared in page(client, deck)) == (len(workshop.design(deck)[1].boards[0].arrangements) > 1)
    one = workshop.create(NewDeck(title="Alone", players=1, buttons=4)).design.id
    edit(client, one, "place", select="e", y="25")
    assert "Accept" in page(client, one)
    assert shared not in page(client, one)
