"""Counterbore and recess typed into the selected card, kept exactly, refused beside their fields."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue
from app.document.where import Where
from app.fit.report.report import check
from app.model.material import Layer
from app.model.part import NutFixing, SnapFixing
from app.model.resolved import Placed, ResolvedBoard
from app.service.edits import board_changes
from app.service.screens.board.cut_fields import bore_fields
from app.service.screens.board.several_card import _bore
from app.service.workshop import Workshop
from app.values import replace
from tests.reading.following import read
from tests.reading.pages import Page
from tests.reading.remedy_words import LENGTH
from tests.unit.fit.boards import MDF, at, board, button


def held(workshop: Workshop, deck: str, placement: str = "d") -> Placed:
    placed = workshop.look(deck, Where()).checked.resolved.placed(placement)
    assert placed is not None
    return placed


def post(client: TestClient, deck: str, verb: str, **values: str) -> str:
    status = int(values.pop("status", "200"))
    data = {"select": "d", "unit": "mm", **values}
    answer = client.post(f"/designs/{deck}/edit/{verb}", data=data)
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def test_a_counterbore_is_typed_in_either_unit_and_taken_away(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = post(client, deck, "counterbore", **{"bore-diameter": "1 3/8", "bore-depth": "4"})
    bore = held(workshop, deck).counterbore
    assert bore is not None
    assert (bore.diameter, bore.depth) == (1.375 * 25.4, 4.0)
    assert "Counterbore · 34.925 mm × 4 mm" in page
    post(client, deck, "counterbore-clear")
    assert held(workshop, deck).counterbore is None


def test_what_was_not_touched_keeps_its_exact_size(client: TestClient, workshop: Workshop, deck: str) -> None:
    post(client, deck, "counterbore", **{"bore-diameter": "32", "bore-depth": "4"})
    page = client.get(f"/designs/{deck}?units=inch&select=d").text
    shown = dict(re.findall(r'name="(bore-[a-z]+\.was)" value="([^"]+)"', page))
    was = {name: unescape(value) for name, value in shown.items()}
    assert was == {"bore-diameter.was": '1.260"', "bore-depth.was": '0.157"'}  # 32 / 25.4 and 4 / 25.4
    same = {name.removesuffix(".was"): value for name, value in was.items()}
    post(client, deck, "counterbore", **{**was, **same, "units": "inch", "unit": "inch", "bore-depth": "1/4"})
    bore = held(workshop, deck).counterbore
    assert bore is not None
    assert (bore.diameter, bore.depth) == (32.0, 6.35)


@pytest.mark.parametrize(
    ("verb", "fields", "wrong"),
    [
        ("counterbore", {"bore-diameter": "wide", "bore-depth": "4"}, ["bore-diameter"]),
        ("counterbore", {"bore-diameter": "", "bore-depth": "x"}, ["bore-diameter", "bore-depth"]),
        ("counterbore", {"bore-diameter": "32", "bore-depth": "-4"}, ["bore-depth"]),
        ("counterbore", {"bore-diameter": "300", "bore-depth": "4"}, ["bore-diameter"]),
        ("recess", {"recess-width": "80", "recess-height": "50", "recess-corner": "30", "recess-depth": "5"},
         ["recess-corner"]),
        ("recess", {"recess-width": "80", "recess-height": "", "recess-corner": "3", "recess-depth": "deep"},
         ["recess-height", "recess-depth"]),
    ],
)  # fmt: skip
def test_a_wrong_size_is_told_beside_its_field_and_kept(
    client: TestClient, workshop: Workshop, deck: str, verb: str, fields: dict[str, str], wrong: list[str]
) -> None:
    page = post(client, deck, verb, status="422", **fields)
    assert sorted(re.findall(r'id="wrong-([a-z-]+)"', page)) == sorted(wrong)
    for name, typed in fields.items():
        assert f'name="{name}" type="text" value="{typed}"' in page
    assert held(workshop, deck).counterbore is None
    assert held(workshop, deck).recess is None


def test_a_recess_is_typed_shared_and_taken_away(client: TestClient, workshop: Workshop, deck: str) -> None:
    size = {"recess-width": "100", "recess-height": "60 mm", "recess-corner": "1/4in", "recess-depth": "5"}
    page = post(client, deck, "recess", select="a", **size)
    for arrangement in ("one", "two"):
        placed = workshop.look(deck, Where(None, arrangement)).checked.resolved.placed("a")
        assert placed is not None and placed.recess is not None
        assert (placed.recess.width, placed.recess.corner, placed.recess.depth) == (100.0, 6.35, 5.0)
    assert "Recess · 5 mm deep" in page
    post(client, deck, "recess-clear", select="a")
    assert held(workshop, deck, "a").recess is None


def test_the_card_says_what_is_needed_and_how_far_to_trust_it(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = unescape(client.get(f"/designs/{deck}?select=d").text)
    part = held(workshop, deck).part
    grip = part.fixing.grip  # type: ignore[union-attr]
    assert f"Nut and thread hold up to {grip:g} mm of board; this board is 18 mm" in page
    assert "Typical sizes: measure yours before you drill" in page
    stick = held(workshop, deck, "a").part
    assert stick.lever is not None
    page = unescape(client.get(f"/designs/{deck}?select=a").text)
    assert f"The lever stands {stick.lever.length - 18:g} mm above the top face" in page


PART_IDS = tuple(p.id for p in catalogue().parts.values() if isinstance(p.fixing, NutFixing | SnapFixing))


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_a_counterbore_as_deep_as_is_said_does(units: str) -> None:
    """Of each part, on boards whose nearest 1/64 in is too shallow or too deep for many; read and cut as it is said."""
    tried = 0
    for part in PART_IDS:
        for thick in (12.7, 15.0, 17.3, 18.0, 18.1, 19.05, 22.0):
            bare = on_sheet(part, thick)
            said = bore_fields(bare.placements[0], replace(bare, units=units)).why
            if match := re.search(rf"({LENGTH}) deep will do, leaving ({LENGTH})", said):
                depth, left = map(read, match.groups())
                bored = on_sheet(part, thick, (60.0, depth))
                wrong = [f for f in check(bored, catalogue()).findings if f.rule in ("thread-reach", "snap-grip")]
                assert not wrong, (part, thick, said, wrong)
                assert depth + left == pytest.approx(thick, abs=25.4 / 1000)  # to half a thousandth each
                tried += 1
    assert tried >= 20


def on_sheet(part: str, thick: float, bore: tuple[float, float] | None = None) -> ResolvedBoard:
    """A part on a sheet of MDF."""
    return board(at(200, 150, catalogue().parts[part], bore=bore), layers=(Layer(MDF, thick),))


def test_one_depth_does_for_several_only_where_it_does() -> None:
    """18 mm of board: clips for up to 5 mm want 13 mm away.

    Clips for 7 to 8 mm want 10 mm away, and hold nothing of the 5 mm that 13 leave; those for 1 to 6 mm do.
    """
    loose, tight = (button(28, fixing=SnapFixing(*grip)) for grip in ((1.5, 5.0), (7.0, 8.0)))
    pair = board(at(100, 150, loose), at(300, 150, tight, name="b"), layers=(Layer(MDF, 18.0),))
    assert _bore(list(pair.placements), pair)[1] == "No one depth does for all"
    wider = board(at(100, 150, loose), at(300, 150, button(28, fixing=SnapFixing(1.0, 6.0)), name="b"))
    assert _bore(list(wider.placements), wider)[1] == "13 mm does for all"
    assert _bore(list(wider.placements), replace(wider, units="inch"))[1] == '0.512" does for all'  # 13 / 25.4


THICK = 32.0
"""A board so thick that no nut holds below it, and that a lever below it stands too low [mm]."""


@pytest.fixture
def roomy(workshop: Workshop) -> str:
    """Id of a one-player deck whose buttons are so far apart that each may have a counterbore."""
    spec = NewDeck(players=1, buttons=4, finger_gap=25.0, width=760.0, depth=300.0)
    return workshop.create(spec).design.id


def thickened(workshop: Workshop, roomy: str) -> None:
    workshop.edit(roomy, Where(), board_changes.layers_set(Where(), {}, {0: THICK}))


@pytest.mark.parametrize("unit", ["mm", "inch"])
@pytest.mark.parametrize("select", ["d", "d,e"])
def test_the_fields_begin_with_the_counterbore_that_a_finding_says_would_do(
    client: TestClient, workshop: Workshop, roomy: str, unit: str, select: str
) -> None:
    plain = Page(client.get(f"/designs/{roomy}?select={select}&units={unit}").text)
    assert plain.form("/edit/counterbore").fields["bore-depth"] == "", "as it is, it holds without"
    thickened(workshop, roomy)
    before = workshop.design(roomy)[1]
    text = client.get(f"/designs/{roomy}?select={select}&units={unit}").text
    page = Page(text)
    form = page.form("/edit/counterbore")
    wide, deep = form.fields["bore-diameter"], form.fields["bore-depth"]
    assert re.search(rf"ounterbore [^.]* {re.escape(wide)} wide, {re.escape(deep)} deep from the underside", page.words)
    assert f"{wide} × {deep} would do" in page.words and "nothing is cut until you press the button" in page.words
    assert 'class="field proposed"' in text and "bore-depth.was" not in form.fields
    assert workshop.design(roomy)[1] == before, "a proposal changes nothing"
    client.post(form.action, data=form.sent())
    for placement in select.split(","):
        bore = held(workshop, roomy, placement).counterbore
        assert bore is not None
        assert bore.diameter == pytest.approx(read(wide)) and bore.depth == pytest.approx(read(deep))
        found = workshop.look(roomy, Where()).checked.report.findings
        assert not [f for f in found if f.rule in ("thread-reach", "ledge") and placement in f.subjects]
    again = client.get(f"/designs/{roomy}?select={select}&units={unit}").text
    assert "would do" not in again and 'class="field proposed"' not in again, "what is made is not proposed"


def test_a_proposal_never_stands_over_what_was_typed_or_is_made(
    client: TestClient, workshop: Workshop, roomy: str
) -> None:
    thickened(workshop, roomy)
    page = post(client, roomy, "counterbore", **{"bore-diameter": "wide", "bore-depth": "5", "status": "422"})
    fields = Page(page).form("/edit/counterbore").fields
    assert (fields["bore-diameter"], fields["bore-depth"]) == ("wide", "5")
    assert 'class="field proposed"' not in page
    post(client, roomy, "counterbore", **{"bore-diameter": "50", "bore-depth": "2"})
    shown = Page(client.get(f"/designs/{roomy}?select=d").text).form("/edit/counterbore").fields
    assert (shown["bore-diameter"], shown["bore-depth"]) == ("50 mm", "2 mm"), "though less than it takes"


def test_nothing_is_proposed_for_parts_of_which_one_needs_none(
    client: TestClient, workshop: Workshop, roomy: str
) -> None:
    thickened(workshop, roomy)
    stick = next(p.id for p in workshop.look(roomy, Where()).checked.resolved.placements if "stick" in p.part.id)
    form = Page(client.get(f"/designs/{roomy}?select=d,{stick}").text).form("/edit/counterbore")
    assert (form.fields["bore-diameter"], form.fields["bore-depth"]) == ("", "")


@pytest.mark.parametrize("unit", ["mm", "inch"])
def test_the_fields_begin_with_the_recess_that_a_finding_says_would_do(
    client: TestClient, workshop: Workshop, roomy: str, unit: str
) -> None:
    """The lever of a stick below so much board stands too low, and a recess lifts it."""
    thickened(workshop, roomy)
    stick = next(p.id for p in workshop.look(roomy, Where()).checked.resolved.placements if "stick" in p.part.id)
    page = Page(client.get(f"/designs/{roomy}?select={stick}&units={unit}").text)
    form = page.form("/edit/recess")
    wide, high, deep, corner = (form.fields[f"recess-{k}"] for k in ("width", "height", "depth", "corner"))
    said = f"{wide} × {high}, inside corners {corner}, {deep} deep"
    assert said in page.words and f"{deep} deep would do" in page.words
    client.post(form.action, data=form.sent())
    recess = held(workshop, roomy, stick).recess
    assert recess is not None and recess.depth == pytest.approx(read(deep))
    assert not [f for f in workshop.look(roomy, Where()).checked.report.of(stick) if f.rule == "lever-height"]
