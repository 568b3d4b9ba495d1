"""The board on screen: groups to exchange, places of parts, words that do not collide."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.drafting.facing import facing
from app.drafting.hardware.part_faces import cap_radius
from app.drafting.view.board_view import board_scene, thumbnail, view_scale
from app.drafting.view.dimensions import dimensions
from app.drafting.view.elevation import elevation
from app.drafting.view.finding_marks import halos
from app.drafting.words import exact, length
from app.fit.detail import Detail
from app.fit.finding import Finding, Severity
from app.geometry.outline import rectangle_outline
from app.geometry.shapes import circle
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.scene.bounds import bounds
from app.scene.primitives import Circle, Group, Item, Line, Path, Scene, Text, walk
from app.units import Unit, parse_length
from app.values import replace
from tests.unit.drafting.boards import BUTTON, bare, board, material, placed, two_player
from tests.unit.fit.boards import at, button
from tests.unit.fit.test_patterns import pattern
from tests.unit.paper.ink import group, overlapping, text_boxes

FACES: tuple[Face, Face] = ("top", "under")
faces = pytest.mark.parametrize("face", FACES)


def finding(severity: Severity, *subjects: str, at: tuple[float, float] = (510.0, 140.0)) -> Finding:
    return Finding("web", severity, subjects, at, 2.1, 3.0, "invented for the tests", Detail())


def words(items: tuple[Item, ...]) -> list[str]:
    return [i.text for i, _ in walk(items) if isinstance(i, Text)]


@faces
def test_the_screen_can_exchange_each_group(face: Face) -> None:
    made = two_player()
    scene = board_scene(made, [finding("stop", "b12")], face=face, selected=("b12",))
    for name in ("board", "parts", "elevation", "rulers", "halos", "dims"):
        group(scene, name)
    for one in made.placements:
        held = group(scene, f"part-{one.id}")
        assert held.data == {"placement": one.id}
        assert held.title.startswith(f"{one.label}, ")
        assert ("selected" in held.role) == (one.id == "b12")
        assert ("undrilled" in held.role) == (not one.drill)


@faces
def test_each_part_is_drawn_round_its_place(face: Face) -> None:
    made = two_player()
    scene = board_scene(made, face=face)
    for one in made.placements:
        box = bounds(group(scene, f"part-{one.id}").items, with_text=False)
        assert box is not None
        x = one.x if face == "top" else made.width - one.x
        assert ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) == pytest.approx((x, one.y), abs=0.01)


@faces
@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("size", [(640.0, 240.0), (1200.0, 400.0)])
def test_words_collide_neither_with_each_other_nor_the_frame(face: Face, units: str, size: tuple[float, float]) -> None:
    made = two_player(*size, units=units)
    found = [finding("stop", "b12", "b11"), finding("caution", "m0", at=(300.0, 206.0))]
    for selected in ((), ("b12",), ("s0",)):
        scene = board_scene(made, found, face=face, selected=selected)
        boxes = text_boxes(scene)
        assert overlapping(boxes, by=0.3) == []
        for text, (x0, y0, x1, y1) in boxes:
            inside = scene.x0 <= x0 and x1 <= scene.x1 and scene.y0 <= y0 and y1 <= scene.y1
            assert inside, text


def test_everything_hangs_straight_below_its_hole() -> None:
    made = board((placed("a", BUTTON, 137.0, 100.0, "A"), placed("b", BUTTON, 400.0, 100.0, "B")))
    for face, places in (("top", (137.0, 400.0)), ("under", (503.0, 240.0))):
        drawn = elevation(made, view=facing(made, "top" if face == "top" else "under"), selected="a")
        caps = [bounds([i]) for i, _ in walk((drawn,)) if isinstance(i, Path) and i.style.role == "flange"]
        assert sorted((b[0] + b[2]) / 2 for b in caps if b) == pytest.approx(sorted(places))


def test_the_elevation_shows_true_depths() -> None:
    made = board((placed("a", BUTTON, 137.0, 100.0, "A"),))
    drawn = elevation(made, view=facing(made, "top"), selected="a")
    layer = next(bounds([i]) for i, _ in walk((drawn,)) if isinstance(i, Path) and i.style.role.startswith("cut cut-"))
    assert layer is not None
    top = layer[3]
    assert top - layer[1] == pytest.approx(18.0)
    legs = [i for i, _ in walk((drawn,)) if isinstance(i, Line) and i.style.role == "terminal"]
    assert top - min(leg.b[1] for leg in legs) == pytest.approx(32.0)  # the part's depth below its flange
    free = next(i for i, _ in walk((drawn,)) if isinstance(i, Line) and i.style.role == "depth-line")
    # 60 mm at the front, 50 more over 240 mm to the back, at y = 100.
    assert top - 18.0 - free.a[1] == pytest.approx(60.0 + 50.0 * 100.0 / 240.0)
    assert "80.8 mm free below here" in words((drawn,))


def test_other_rows_are_faint() -> None:
    made = board((placed("a", BUTTON, 137.0, 60.0, "A"), placed("b", BUTTON, 400.0, 180.0, "B")))
    drawn = elevation(made, view=facing(made, "top"), selected="a")
    flanges = [i for i, _ in walk((drawn,)) if isinstance(i, Path) and i.style.role.startswith("flange")]
    assert sorted(i.style.opacity for i in flanges) == pytest.approx([0.3, 1.0])


def test_a_stop_and_a_caution_differ_without_colour() -> None:
    made = two_player()

    def ring(severity: Severity) -> tuple[list[Circle], list[Circle]]:
        marks = halos(made, [finding(severity, "b12", at=(520.0, 138.0))], view=facing(made, "top"))
        at = made.placed("b12")
        assert at is not None
        rings = [i for i in marks.items if isinstance(i, Circle) and i.centre == (at.x, at.y)]
        drawn = [r for r in rings if r.style.role not in {"halo-hatch", "halo-casing"}]
        return drawn, [r for r in rings if r.style.role == "halo-hatch"]

    stop, hatch = ring("stop")
    caution, plain = ring("caution")
    assert len(stop) == 2 and all(not r.style.dash for r in stop)
    # The hatch fills what is between the two rings.
    assert len(hatch) == 1 and hatch[0].style.dash
    assert hatch[0].style.width == pytest.approx(abs(stop[0].radius - stop[1].radius))
    assert len(caution) == 1 and caution[0].style.dash and not plain


def test_the_worst_finding_of_a_part_decides_its_ring_and_notes_have_none() -> None:
    made = two_player()
    both = halos(made, [finding("caution", "b12"), finding("stop", "b12")], view=facing(made, "top"))
    assert sum(isinstance(i, Circle) and i.style.role == "halo-stop" for i in both.items) == 2
    assert not any(isinstance(i, Circle) and i.style.role == "halo-caution" for i in both.items)
    assert halos(made, [finding("note", "b12")], view=facing(made, "top")).items == ()


def test_live_measures_are_from_both_datum_edges_and_the_nearest_hole() -> None:
    made = board((placed("a", BUTTON, 200.0, 100.0, "A"), placed("b", BUTTON, 240.0, 130.0, "B")))
    # Centres 50 mm apart (3-4-5), holes of 30 mm: 20 mm of board between them.
    assert sorted(words((dimensions(made, "a", view=facing(made, "top")),))) == ["100 mm", "20 mm", "200 mm"]
    assert sorted(words((dimensions(made, "b", view=facing(made, "under")),))) == ["130 mm", "20 mm", "240 mm"]
    moved = dimensions(made, "a", view=facing(made, "top"), moved=(10.0, -10.0))
    assert {"210 mm", "90 mm"} <= set(words((moved,)))
    assert dimensions(made, "gone", view=facing(made, "top")).items == ()


@faces
def test_rulers_count_from_the_datum_corner_in_display_units(face: Face) -> None:
    made = bare(508.0, 203.2)  # 20 × 8 in
    scene = board_scene(made, face=face, unit=Unit.INCH)
    figures = [i for i in group(scene, "rulers").items if isinstance(i, Text) and i.anchor == "middle"]
    for figure in figures:
        x = figure.at[0] if face == "top" else 508.0 - figure.at[0]
        assert x == pytest.approx(float(figure.text) * 25.4)
    assert max(float(f.text) for f in figures) == 20.0


@pytest.mark.parametrize("family", ["mdf", "plywood", "acrylic", "aluminium", "steel"])
def test_the_board_is_drawn_as_its_material(family: str) -> None:
    made = bare(300.0, 200.0)
    made = replace(made, layers=(replace(made.layers[0], material=material(family)),))
    faces_of = [i for i in group(board_scene(made), "board").items if isinstance(i, Path) and "board-" in i.style.role]
    assert len(faces_of) == 1


def test_every_part_of_the_catalogue_can_be_drawn_on_both_faces() -> None:
    parts = catalogue().parts
    items = tuple(placed(f"p{k}", part, 100.0 + 150.0 * k, 200.0, "A") for k, part in enumerate(parts.values()))
    made = replace(board(items), outline=rectangle_outline(150.0 * len(items) + 200.0, 400.0))
    for face in FACES:
        scene = board_scene(made, face=face, selected=("p0",))
        for one in made.placements:
            assert len(group(scene, f"part-{one.id}").items) >= 2


def test_a_board_with_nothing_on_it_is_drawn() -> None:
    scene = board_scene(bare(300.0, 200.0))
    assert scene.width > 300.0 and scene.height > 200.0


def test_the_thumbnail_is_the_board_and_little_more() -> None:
    made: ResolvedBoard = two_player()
    scene: Scene = thumbnail(made)
    assert (scene.width, scene.height) == pytest.approx((640 * 1.04, 240 + 640 * 0.04))
    assert words(scene.items) == []


@pytest.mark.parametrize("drill", [True, False])
def test_the_thumbnail_shows_every_hole_that_nothing_covers(*, drill: bool) -> None:
    made = bare(300.0, 200.0)
    vents = replace(at(100, 100, pattern(20, width=110), name="s1"), drill=drill)
    corners = replace(
        at(230, 100, button(6, flange=0, more=(circle(4, 30, 0), circle(4, 0, 30))), name="a"), drill=drill
    )
    drawn = thumbnail(replace(made, placements=(vents, corners)))
    circles = {(i.centre, i.radius) for i in drawn.items if isinstance(i, Circle)}
    assert circles == {(h.centre, h.shape.radius) for p in (vents, corners) for h in p.holes}
    assert len(circles) == len(vents.holes) + 3


def test_letters_grow_with_the_board_so_that_they_look_alike() -> None:
    assert view_scale(bare(1280.0, 300.0)) == pytest.approx(2 * view_scale(bare(640.0, 300.0)))
    held = [i for i in board_scene(two_player()).items if isinstance(i, Group)]
    assert held


@pytest.mark.parametrize("size", [(640.0, 240.0), (1200.0, 600.0), (2400.0, 1200.0)])
def test_ticks_of_rulers_are_wide_enough_to_be_drawn(size: tuple[float, float]) -> None:
    """On a screen 700 px wide a tick is a quarter of a pixel and more: measured, below a tenth they drop out."""
    scene = board_scene(bare(*size))
    ticks = [i for i in group(scene, "rulers").items if isinstance(i, Line)]
    assert len(ticks) == 4
    for tick in ticks:
        assert tick.style.dash[0] * 700.0 / scene.width > 0.25
        pitch = sum(tick.style.dash)
        middle = tick.style.dash[0] / 2
        axis = 0 if tick.a[1] == tick.b[1] else 1
        assert tick.a[axis] + middle == pytest.approx(0.0)
        assert (size[axis] / pitch) == pytest.approx(round(size[axis] / pitch), abs=1.0)
    for side, axis in (("middle", 0), ("end", 1)):
        texts = [i for i in group(scene, "rulers").items if isinstance(i, Text) and i.anchor == side]
        places = [float(i.text) for i in texts]
        step = places[1] - places[0]
        assert places == pytest.approx([k * step for k in range(len(places))])
        assert size[axis] - places[-1] < step


def test_figures_of_measures_stay_off_the_caps() -> None:
    made = two_player()
    for face in FACES:
        view = facing(made, face)
        for one in made.drilled:
            for text, (x0, y0, x1, y1) in text_boxes(Scene(0, 0, 1, 1, (dimensions(made, one.id, view=view),))):
                for other in made.drilled:
                    x, y, r = view.x(other.x), other.y, cap_radius(other)
                    if other.part.kind == "button":
                        dx, dy = max(x0 - x, x - x1, 0.0), max(y0 - y, y - y1, 0.0)
                        assert dx * dx + dy * dy > (0.5 * r) ** 2, (text, other.label)


def test_a_length_below_zero_has_a_true_minus_that_can_be_read_again() -> None:
    for unit in Unit:
        for said in (length(-3.175, unit), exact(-3.175, unit)):
            assert said.startswith("−")
            assert parse_length(said, unit) == pytest.approx(-3.175, abs=0.05)
