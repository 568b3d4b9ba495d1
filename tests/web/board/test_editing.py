"""Forms for several parts and for a place relative to another: what they keep, what they refuse and say beside it."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.document.where import Where
from app.model.resolved import Placed
from app.service.workshop import Workshop


def parts(workshop: Workshop, deck: str) -> dict[str, Placed]:
    return {p.id: p for p in workshop.look(deck, Where()).checked.resolved.placements}


def send(client: TestClient, deck: str, verb: str, select: str, **values: str) -> Any:
    data = {"select": select, "unit": "mm", **{k.replace("_", "-"): v for k, v in values.items()}}
    return client.post(f"/designs/{deck}/edit/{verb}", data=data)


def undo_name(page: str) -> str:
    found = re.search(r'data-undo="([^"]*)"', page)
    assert found
    # Both arrangements of the deck share these holes.
    return unescape(found[1]).removesuffix(", in every arrangement")


def test_several_are_lined_up_in_one_step_that_undo_names(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)[1]
    page = send(client, deck, "align", "d,e,f", how="front")
    now = parts(workshop, deck)
    assert page.status_code == 200
    assert len({now[i].y for i in "def"}) == 1
    here, elsewhere = "Lined up D, E and F at the front", ", in every arrangement; makes 3 stops in One player"
    assert undo_name(page.text) == here + elsewhere
    alone = workshop.look(deck, Where(arrangement="one")).checked.report
    assert len(alone.stops) == 3, "it fitted before"
    assert "Selected · 3 parts" in page.text, "they stay selected for what comes next"
    client.post(f"/designs/{deck}/undo", data={})
    assert workshop.design(deck)[1] == before


def test_what_takes_more_parts_says_so_in_the_card(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)[1]
    page = send(client, deck, "space", "d,e", how="across")
    assert page.status_code == 422
    assert 'id="wrong-how"' in page.text and "It takes 3 parts or more to space them evenly" in page.text
    assert workshop.design(deck)[1] == before


def test_copies_are_selected_in_place_of_what_was_copied(client: TestClient, workshop: Workshop, deck: str) -> None:
    count = len(parts(workshop, deck))
    page = send(client, deck, "duplicate", "d,e")
    now = parts(workshop, deck)
    assert len(now) == count + 2
    new = list(now)[-2:]
    assert f'data-select="{",".join(new)}"' in page.text
    assert (now[new[1]].x - now[new[0]].x, now[new[1]].y - now[new[0]].y) == pytest.approx(
        (now["e"].x - now["d"].x, now["e"].y - now["d"].y)
    )


def test_several_are_locked_and_then_stay(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = send(client, deck, "lock", "d,e", lock="on")
    assert undo_name(page.text) == "Locked D and E"
    assert 'role="switch" aria-checked="true"' in page.text
    before = parts(workshop, deck)
    assert send(client, deck, "shift", "d,e", shift_x="5").status_code == 422
    send(client, deck, "shift", "d,e,f", shift_x='1/4"', shift_y="-2")
    now = parts(workshop, deck)
    assert now["d"] == before["d"]
    assert (now["f"].x - before["f"].x, now["f"].y - before["f"].y) == pytest.approx((6.35, -2.0))


def test_a_drag_of_several_leaves_the_locked_ones(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "lock", "e", lock="on")
    before = parts(workshop, deck)
    assert send(client, deck, "move", "d,e", dx="10", dy="0", free="on").status_code == 200
    now = parts(workshop, deck)
    assert now["d"].x == pytest.approx(before["d"].x + 10)
    assert now["e"] == before["e"]


def test_part_and_angle_of_all(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = send(client, deck, "together", "d,e", angle="15", part="button-24-nut-long")
    assert page.status_code == 200
    now = parts(workshop, deck)
    assert [(now[i].angle, now[i].part.id) for i in "de"] == [(15.0, "button-24-nut-long")] * 2
    wrong = send(client, deck, "together", "d,e", angle="steep", part="")
    assert wrong.status_code == 422
    assert 'id="wrong-angle"' in wrong.text and 'value="steep"' in wrong.text


@pytest.mark.parametrize(("dx", "dy", "far"), [("38", "-2", (38.0, -2.0)), ('1 1/2"', "0", (38.1, 0.0))])
def test_a_part_is_placed_by_its_distance_from_another(
    client: TestClient, workshop: Workshop, deck: str, dx: str, dy: str, far: tuple[float, float]
) -> None:
    page = send(client, deck, "place-beside", "d", to="b", rel_dx=dx, rel_dy=dy)
    now = parts(workshop, deck)
    assert (now["d"].x - now["b"].x, now["d"].y - now["b"].y) == pytest.approx(far)
    assert undo_name(page.text).startswith("Placed D ") and "of B" in undo_name(page.text)
    assert "From another part · B" in page.text


def test_a_part_is_placed_by_distance_and_direction(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "place-away", "d", to="b", rel_distance="60", rel_direction="90°")
    now = parts(workshop, deck)
    assert (now["d"].x, now["d"].y) == (now["b"].x, now["b"].y + 60)


def test_fields_that_were_not_touched_keep_what_is_there_exactly(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    send(client, deck, "move", "d", dx="0.0001234", dy="0.0004", free="on")
    before = parts(workshop, deck)["d"]
    shown = client.get(f"/designs/{deck}?select=d&to=b").text
    field = re.search(r'id="field-rel-dy" name="rel-dy" type="text" value="([^"]+)"', shown)
    assert field
    same = unescape(field[1])
    data = {"to": "b", "rel_dx": "30", "rel_dy": same, "rel_dy.was": same}
    send(client, deck, "place-beside", "d", **data)
    assert parts(workshop, deck)["d"].y == pytest.approx(before.y, abs=1e-5)


def test_a_wrong_distance_is_explained_beside_its_field_and_kept(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before = workshop.design(deck)[1]
    page = send(client, deck, "place-beside", "d", to="b", rel_dx="a hand", rel_dy="5")
    assert page.status_code == 422
    assert 'id="wrong-rel-dx"' in page.text and 'value="a hand"' in page.text and 'value="5"' in page.text
    assert re.search(r'id="relative-fold" open', page.text)
    assert send(client, deck, "place-beside", "d", to="d", rel_dx="1", rel_dy="5").status_code == 422
    assert send(client, deck, "place-beside", "d", to="zz", rel_dx="1", rel_dy="5").status_code == 404
    assert workshop.design(deck)[1] == before


def test_a_station_is_copied_to_the_other_player(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "move", "b", dx="-3", dy="2", free="on")
    page = send(client, deck, "station-copy", "b", station="s1", how="mirror")
    now = parts(workshop, deck)
    one = sorted((round(760 - p.x, 5), p.y) for p in now.values() if p.station == "s1")
    two = sorted((round(p.x, 5), p.y) for p in now.values() if p.station == "s2")
    assert one == two
    assert undo_name(page.text) == "Copied Player 1 as its mirror image to Player 2"


def test_two_selected_parts_are_measured_in_both_units(client: TestClient, workshop: Workshop, deck: str) -> None:
    now = parts(workshop, deck)
    far = ((now["d"].x - now["e"].x) ** 2 + (now["d"].y - now["e"].y) ** 2) ** 0.5
    page = client.get(f"/designs/{deck}?select=d,e").text
    told = dict(re.findall(r"<dt>([^<]+)</dt><dd>([^<]+)</dd>", page))
    assert told["Centre to centre"] == f"{far:.1f}".removesuffix(".0") + " mm"
    assert {"Hole edge to hole edge", "Flange to flange", "Below, nut to nut", "Across, along"} <= told.keys()
    inch = client.get(f"/designs/{deck}?select=d,e&units=inch").text
    assert re.search(r"<dt>Centre to centre</dt><dd>[^<]*&#34;</dd>", inch)


def test_every_way_of_the_card_has_a_name(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}?select=d,e,f").text
    for ident in ("align-left", "align-middle", "space-along", "mirror-copy", "turn--90"):
        found = re.search(rf'<button[^>]* id="{ident}"[^>]*>', page)
        assert found and 'aria-label="' in found[0]
    assert send(client, deck, "align", "d,e", how="sideways").status_code == 422
    assert send(client, deck, "turn", "", by="90").status_code == 422
