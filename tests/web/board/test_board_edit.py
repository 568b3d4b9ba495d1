"""The page of the board itself: every group typed, wrong entries kept beside their fields, drags, undo on the page."""

from __future__ import annotations

import math
import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.board.name import rename_board
from app.arrange.board.outline import take_outline
from app.document.resolve import find_board
from app.document.schema import BoardEntry
from app.document.where import Where
from app.errors import EditError
from app.geometry.outline import Corner
from app.service.workshop import Workshop
from app.web.pages.board_edit.context import GROUPS


def board(workshop: Workshop, deck: str) -> BoardEntry:
    return find_board(workshop.design(deck)[1], None)


def rim(workshop: Workshop, deck: str) -> list[tuple[float, float]]:
    return [(c.x, c.y) for c in board(workshop, deck).outline.corners]


def shown(client: TestClient, deck: str, form: str, **query: str) -> dict[str, str]:
    """Every field of a form as it is shown, its ``.was`` twins included, as a browser would send it."""
    page = client.get(f"/designs/{deck}/board", params=query).text
    found = re.search(rf'<form class="board-form" id="{form}".*?</form>', page, re.S)
    assert found, page
    fields = dict(re.findall(r'<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"', found[0]))
    for name, options in re.findall(r'<select[^>]*name="([^"]+)"[^>]*>(.*?)</select>', found[0], re.S):
        chosen = re.search(r'value="([^"]*)" selected', options)
        assert chosen
        fields[name] = chosen[1]
    return {name: unescape(value) for name, value in fields.items()}


def post(client: TestClient, deck: str, verb: str, fields: dict[str, str], status: int = 200) -> str:
    answer = client.post(f"/designs/{deck}/board/{verb}", data=fields)
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def last_step(workshop: Workshop, deck: str) -> str:
    return str(workshop.moments(deck)[-1].summary)


FORMS = {
    "size": ("size-form", "size", {}),
    "corners": ("corner-form", "corner", {"hold": "corner-0-2"}),
    "layers": ("layers-form", "layers", {}),
    "edges": ("edges-form", "edges", {}),
    "below": ("below-form", "free-depth", {}),
}


@pytest.mark.parametrize("group", GROUPS)
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_every_group_shows(client: TestClient, deck: str, group: str, units: str) -> None:
    page = client.get(f"/designs/{deck}/board", params={"group": group, "units": units}).text
    current = re.findall(r'<a [^>]*aria-current="true"[^>]*>([^<]+)</a>', page)
    assert GROUPS[group] in current
    assert 'id="handle-corner-0-0"' in page


@pytest.mark.parametrize("group", FORMS)
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_sent_as_shown_nothing_changes(
    client: TestClient, workshop: Workshop, deck: str, group: str, units: str
) -> None:
    form, verb, query = FORMS[group]
    before = workshop.design(deck)
    post(client, deck, verb, shown(client, deck, form, group=group, units=units, **query))
    assert workshop.design(deck) == before


def test_a_size_typed_in_inches_is_one_step_and_undone_on_the_page(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """30 1/2 in is 774.7 mm, exactly."""
    placements = [a.placements for a in board(workshop, deck).arrangements]
    page = post(client, deck, "size", {**shown(client, deck, "size-form"), "width": '30 1/2"'})
    assert max(x for x, _ in rim(workshop, deck)) == pytest.approx(774.7, abs=1e-9)
    assert [a.placements for a in board(workshop, deck).arrangements] == placements
    assert "Made the deck 774.7 mm wide" in page
    back = client.post(f"/designs/{deck}/undo", data={"page": "board", "group": "corners", "hold": "corner-0-1"})
    assert back.url.path.endswith("/board")
    assert dict(back.url.params) == {"group": "corners", "hold": "corner-0-1"}
    assert max(x for x, _ in rim(workshop, deck)) == 760


def test_parts_left_outside_are_told_with_a_way_out(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = post(client, deck, "size", {**shown(client, deck, "size-form"), "width": "640"})
    report = workshop.look(deck, Where()).checked.report
    outside = {s for f in report.open if f.rule == "outside-board" for s in f.subjects}
    letters = [p.label for p in board(workshop, deck).arrangements[0].placements if p.id in outside]
    assert letters
    said = re.search(r"<span>(.*?) are not wholly on the board", page, re.S)
    assert said
    assert sorted(re.findall(r"\b[A-Z]\b", said[1])) == sorted(letters)
    assert "/room" in page


def test_a_corner_is_placed_set_back_sloped_added_cut_and_removed(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    form = shown(client, deck, "corner-form", hold="corner-0-1")
    post(client, deck, "corner", {**form, "before": "25 mm"})
    assert board(workshop, deck).outline.corners[1].setback == (25, 25)
    form = shown(client, deck, "corner-form", hold="corner-0-1")
    post(client, deck, "corner", {**form, "before": "0"})
    assert board(workshop, deck).outline.corners[1].setback is None
    post(client, deck, "corner-cut", {"ring": "0", "index": "1", "cut-before": "80", "cut-after": "60"})
    assert rim(workshop, deck)[1:3] == [(680, 0), (760, 60)]
    form = shown(client, deck, "corner-form", hold="corner-0-1")
    post(client, deck, "corner", {**form, "run": "80", "rise": "45"})
    assert rim(workshop, deck)[2] == (760, 45)
    page = post(client, deck, "corner-add", {"ring": "0", "index": "0", "group": "corners", "hold": "corner-0-0"})
    assert rim(workshop, deck)[1] == (340, 0)
    assert '<h2 id="corner-title">Corner 2</h2>' in page, "the new one is in hand"
    post(client, deck, "corner-remove", {"ring": "0", "index": "1", "group": "corners"})
    assert rim(workshop, deck)[1] == (680, 0)


def test_openings_and_areas_are_made_changed_and_removed(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = post(client, deck, "opening-add", {**shown(client, deck, "opening-form", group="openings"), "setback": "10"})
    assert "Opening 1</h2>" in page
    form = shown(client, deck, "opening-form", hold="opening-1")
    post(client, deck, "opening", {**form, "x": "300", "height": "50"})
    (ring,) = board(workshop, deck).outline.openings
    assert min(c.x for c in ring) == 300
    assert max(c.y for c in ring) - min(c.y for c in ring) == 50
    assert {c.setback for c in ring} == {(10, 10)}
    post(client, deck, "opening-remove", {"thing": "1", "group": "openings"})
    assert board(workshop, deck).outline.openings == ()
    post(client, deck, "area-add", {**shown(client, deck, "clear-form", group="clear"), "label": "hinge"})
    form = shown(client, deck, "clear-form", hold="clear-0")
    post(client, deck, "area", {**form, "face": "top", "width": "99 mm"})
    (area,) = board(workshop, deck).keep_clear
    assert (area.face, area.width, area.label) == ("top", 99, "hinge")
    post(client, deck, "area-remove", {"thing": "0"})
    assert board(workshop, deck).keep_clear == ()


def test_layers_edges_and_depth(client: TestClient, workshop: Workshop, deck: str) -> None:
    start = board(workshop, deck).layers[0]
    post(client, deck, "layer-add", {"material-new": "acrylic", "thickness-new": "3 mm"})
    post(client, deck, "layer-move", {"layer": "1", "way": "up"})
    assert [row.material for row in board(workshop, deck).layers] == ["acrylic", start.material]
    form = shown(client, deck, "layers-form", group="layers")
    post(client, deck, "layers", {**form, "material-0": "aluminium", "thickness-0": "2"})
    assert [r.thickness for r in board(workshop, deck).layers][0:1] == [2]
    assert board(workshop, deck).layers[0].material == "aluminium"
    post(client, deck, "layer-remove", {"layer": "0"})
    assert board(workshop, deck).layers == (start,)
    form = shown(client, deck, "edges-form", group="edges")
    post(client, deck, "edges", {**form, "slot-front": "8", "rail-back": "20"})
    edges = board(workshop, deck).edges
    assert (edges.front.slot_depth, edges.back.rail) == (8, 20)
    post(client, deck, "free-depth-clear", {})
    assert board(workshop, deck).depth_below is None
    form = shown(client, deck, "below-form", group="below")
    post(client, deck, "free-depth", {**form, "back": "150"})
    below = board(workshop, deck).depth_below
    assert below and below.back == 150


def test_a_shape_is_taken(client: TestClient, workshop: Workshop, deck: str) -> None:
    form = shown(client, deck, "shapes-form", group="shapes")
    page = post(client, deck, "shape", {**form, "across": "100", "along": "50", "shape": "sloped-front"})
    assert rim(workshop, deck) == [(100, 0), (660, 0), (760, 50), (760, 260), (0, 260), (0, 50)]
    assert "sloped front corners, 100 mm × 50 mm" in page


@pytest.mark.parametrize(
    ("group", "hold", "form", "verb", "name", "value", "said"),
    [
        ("size", "", "size-form", "size", "width", "wide", "wide"),
        ("size", "", "size-form", "size", "depth", "0", "from 20"),
        ("size", "", "size-form", "size", "depth", "20", "it can be"),
        ("size", "", "size-form", "size", "thickness-0", "200", "to 100"),
        ("size", "", "size-form", "size", "board-name", " ", "1 to 200 characters"),
        ("corners", "corner-0-2", "corner-form", "corner", "x", "1 000 000", "1 000 000|1,000,000"),
        ("corners", "corner-0-2", "corner-form", "corner", "before", "300 mm", "260 mm long"),
        ("corners", "corner-0-2", "corner-form", "corner", "y", "-80", "crosses|set back"),
        ("openings", "", "opening-form", "opening-add", "x", "740", "wholly inside"),
        ("openings", "", "opening-form", "opening-add", "setback", "30", "0 to 20"),
        ("clear", "", "clear-form", "area-add", "height", "0", "above 0"),
        ("layers", "", "layers-form", "layers", "thickness-0", "thick", "thick"),
        ("layers", "", "layers-form", "layers", "thickness-0", "200", "to 100"),
        ("edges", "", "edges-form", "edges", "rail-left", "900", "0 to 760"),
        ("below", "", "below-form", "free-depth", "front", "-3", "from 0"),
        ("shapes", "", "shapes-form", "shape", "across", "400", "less than 380"),
    ],
)
def test_wrong_entries_are_told_beside_their_fields_and_kept(
    client: TestClient,
    workshop: Workshop,
    deck: str,
    group: str,
    hold: str,
    form: str,
    verb: str,
    name: str,
    value: str,
    said: str,
) -> None:
    before = workshop.design(deck)
    fields = {**shown(client, deck, form, group=group, hold=hold), name: value}
    page = post(client, deck, verb, {"shape": "cut", **fields}, 422)
    wrong = re.search(rf'id="wrong-{name}">([^<]*)<', page)
    assert wrong, page
    assert re.search(said, wrong[1]), wrong[1]
    assert f'value="{value}"' in page
    assert workshop.design(deck) == before


def test_a_drag_lands_on_the_grid_and_its_preview_keeps_nothing(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before = workshop.design(deck)
    pull = {"handle": "edge-0-1", "dx": "20.4", "dy": "3", "unit": "mm"}
    shape = client.post(f"/designs/{deck}/board/preview", data=pull).text
    assert 'hx-swap-oob="innerHTML:#board-shape"' in shape
    assert 'data-x="20.0"' in shape
    assert "out by 20 mm" in shape
    assert workshop.design(deck) == before
    post(client, deck, "drag", {**pull, "group": "corners"})
    assert max(x for x, _ in rim(workshop, deck)) == 780
    assert "out by 20 mm" in last_step(workshop, deck)


def test_the_left_edge_dragged_is_drawn_where_the_hand_is(client: TestClient, workshop: Workshop, deck: str) -> None:
    pull = {"handle": "edge-0-3", "dx": "-15", "dy": "0", "unit": "mm"}
    shape = client.post(f"/designs/{deck}/board/preview", data=pull).text
    assert 'data-x="-15.0"' in shape
    assert "translate(-15,0)" in shape
    parts = {p.id: p.x for p in board(workshop, deck).arrangements[0].placements}
    post(client, deck, "drag", pull)
    for placement in board(workshop, deck).arrangements[0].placements:
        assert placement.x == pytest.approx(parts[placement.id] + 15)


def test_a_drag_no_board_can_follow_says_why_and_keeps_the_drawing(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before = workshop.design(deck)
    pull = {"handle": "edge-0-1", "dx": "-900", "dy": "0", "unit": "mm", "hold": "edge-0-1", "group": "corners"}
    answer = unescape(client.post(f"/designs/{deck}/board/preview", data=pull).text)
    assert 'data-wrong="yes"' in answer
    assert "board-shape" not in answer
    page = post(client, deck, "drag", pull, 422)
    assert re.search(r'role="alert">[^<]+', page)
    assert workshop.design(deck) == before


@pytest.mark.parametrize("hold", ["corner-0-99", "corner-9-0", "opening-3", "clear-0", "lid", "corner-0", "size-7"])
def test_a_hand_on_what_is_not_there_is_empty(client: TestClient, deck: str, hold: str) -> None:
    for group in ("", *GROUPS):
        assert client.get(f"/designs/{deck}/board", params={"group": group, "hold": hold}).status_code == 200


@pytest.mark.parametrize(
    ("verb", "fields"),
    [
        ("paint", {}),
        ("drag", {"handle": "lid", "dx": "1", "dy": "1"}),
        ("corner-add", {"ring": "0", "index": "99"}),
        ("corner-add", {"ring": "x", "index": "0"}),
        ("corner-remove", {"ring": "7", "index": "0"}),
        ("opening-remove", {"thing": "1"}),
        ("area-remove", {"thing": "²"}),
        ("layer-remove", {"layer": "4"}),
    ],
)
def test_what_is_not_there_is_not_found(
    client: TestClient, workshop: Workshop, deck: str, verb: str, fields: dict[str, str]
) -> None:
    before = workshop.design(deck)
    post(client, deck, verb, fields, 404)
    assert workshop.design(deck) == before


def test_an_outline_of_hundreds_of_corners_shows_only_the_handles_near_the_hand(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    turn = [2 * math.pi * k / 400 for k in range(400)]
    ring = [Corner(400 + 400 * math.cos(t), 300 + 300 * math.sin(t)) for t in turn]
    workshop.edit(deck, Where(), lambda design: take_outline(design, None, ring, []))
    page = client.get(f"/designs/{deck}/board", params={"hold": "corner-0-200"}).text
    handles = re.findall(r'data-handle="(corner-[^"]+)"', page)
    assert "corner-0-200" in handles
    assert len(handles) < 20
    assert "more: carry on from the last one shown" in page


def test_the_board_page_leads_there(client: TestClient, deck: str) -> None:
    assert re.search(r'id="to-board-edit" href="/designs/[^"]+/board"', client.get(f"/designs/{deck}").text)


def test_name_material_and_thickness_stand_on_the_size_card_and_change_in_one_step(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    form = shown(client, deck, "size-form", group="size")
    assert {"board-name", "width", "depth", "material-0", "thickness-0"} <= form.keys()
    steps = len(workshop.moments(deck))
    typed = {"board-name": "Top panel", "material-0": "plywood", "thickness-0": "17.6", "width": "800"}
    post(client, deck, "size", {**form, **typed})
    made = board(workshop, deck)
    (layer,) = made.layers
    assert (made.name, layer.material, layer.thickness) == ("Top panel", "plywood", 17.6)
    assert max(x for x, _ in rim(workshop, deck)) == 800
    assert len(workshop.moments(deck)) == steps + 1
    said = last_step(workshop, deck)
    assert said.startswith("Renamed the board “Control deck” to “Top panel”; Made the deck 800 mm wide; Made the ")


def test_sent_as_shown_the_size_card_changes_nothing_and_a_layer_more_has_its_own_fields(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before = workshop.design(deck)
    post(client, deck, "size", shown(client, deck, "size-form", group="size"))
    assert workshop.design(deck) == before
    post(client, deck, "layer-add", {"material-new": "acrylic", "thickness-new": "3 mm"})
    form = shown(client, deck, "size-form", group="size", units="inch")
    post(client, deck, "size", {**form, "thickness-1": "1/8"})
    assert [layer.thickness for layer in board(workshop, deck).layers] == [18.0, 3.175]


def test_two_boards_of_a_design_do_not_get_one_name(workshop: Workshop, deck: str) -> None:
    design = workshop.design(deck)[1]
    side = design.boards[0].model_copy(update={"id": "side", "name": "Side", "role": "companion"})
    both = design.model_copy(update={"boards": (design.boards[0], side)})
    with pytest.raises(EditError, match="Another board of this design is called “CONTROL deck”") as caught:
        rename_board(both, "side", "CONTROL deck")
    assert caught.value.field == "board-name"
    assert rename_board(both, "side", "Side").design == both
