"""Sections: to scale, everything measured, what is wrong where it bites, no words in each other's way."""

from __future__ import annotations

import re

import pytest

from app.catalogue.load import catalogue
from app.drafting.section.section import SCREEN, scaled_section, section
from app.errors import NotFoundError
from app.fit.report.report import check
from app.model.board import DepthPlane
from app.model.material import Layer
from app.model.resolved import Counterbore, Recess, ResolvedBoard
from app.scene.bounds import bounds
from app.scene.primitives import Item, Line, Path, Scene, Text, walk
from app.values import replace
from tests.folding import each
from tests.unit.drafting.boards import board, placed
from tests.unit.paper.ink import group, overlapping, text_boxes

THICKNESSES = (6.0, 12.0, 18.0, 19.05, 25.0)
SANDWICH = (("acrylic", 3.0), ("mdf", 15.0))


def one_part(
    part: str,
    *layers: tuple[str, float],
    units: str = "mm",
    bore: Counterbore | None = None,
    recess: Recess | None = None,
    angle: float = 0.0,
) -> ResolvedBoard:
    """One part of the catalogue in the middle of a board of these layers, 100 mm above the ground."""
    item = placed("a", catalogue().parts[part], 200.0, 120.0, "B", bore=bore, angle=angle)
    made = board((replace(item, recess=recess),), units=units)
    stack = tuple(Layer(catalogue().materials[m], t) for m, t in layers)
    return replace(made, layers=stack, free_depth=DepthPlane(100.0, 0.0, 0.0))


def drawn(made: ResolvedBoard) -> tuple[Scene, float]:
    return scaled_section(made, "a", check(made, catalogue()).findings)


def words(scene: Scene) -> list[str]:
    return [i.text for i, _ in walk(scene.items) if isinstance(i, Text)]


def styled(scene: Scene, name: str, role: str) -> list[Item]:
    """What a group holds of a role."""
    return [i for i, _ in walk(group(scene, name).items) if not isinstance(i, Text) and role in i.style.role.split()]  # type: ignore[union-attr]


@each("thickness", THICKNESSES)
@each("part", catalogue().parts)
def test_words_collide_neither_with_each_other_nor_the_frame(part: str, thickness: float) -> None:
    for made in (one_part(part, ("mdf", thickness)), one_part(part, ("mdf", thickness), units="inch", angle=30.0)):
        scene, _ = drawn(made)
        boxes = text_boxes(scene)
        assert len(boxes) >= 5
        assert overlapping(boxes) == []
        for text, (x0, y0, x1, y1) in boxes:
            assert scene.x0 <= x0 and x1 <= scene.x1 and scene.y0 <= y0 and y1 <= scene.y1, text


@each("part", catalogue().parts)
def test_pockets_leave_the_words_apart(part: str) -> None:
    holds = catalogue().parts[part]
    under = holds.mount == "under"
    made = one_part(
        part, *SANDWICH,
        bore=None if under else Counterbore(45.0, 9.5), recess=Recess(160.0, 160.0, 6.0, 6.0) if under else None,
    )  # fmt: skip
    scene, _ = drawn(made)
    assert overlapping(text_boxes(scene)) == []
    assert ("recess 6 mm deep" if under else "counterbore 9.5 mm deep") in words(scene)


@each("part", catalogue().parts)
def test_it_fits_the_room_it_is_given(part: str) -> None:
    scene, scale = drawn(one_part(part, ("mdf", 18.0)))
    assert scene.width <= SCREEN[0] and scene.height <= SCREEN[1]
    assert scale >= 0.5


@pytest.mark.parametrize("layers", [(("mdf", 19.05),), SANDWICH, (("plywood", 18.0),), (("aluminium", 2.0),)])
def test_layers_are_drawn_to_the_scale_that_is_stated(layers: tuple[tuple[str, float], ...]) -> None:
    scene, scale = drawn(one_part("button-28-nut-long", *layers))
    solid = [b for i in styled(scene, "section-board", "cut") if (b := bounds([i])) is not None]
    heights = sorted({round(y1 - y0, 6) for _, y0, _, y1 in solid})
    assert heights == pytest.approx(sorted({scale * t for _, t in layers}))
    said = next(w for w in words(scene) if "Scale" in w)
    first, second = (float(v) for v in re.findall(r"Scale (\S+) : ([\d.]+)", said)[0])
    assert first / second == scale


def test_every_measure_of_a_button_is_told() -> None:
    scene, _ = drawn(one_part("button-28-nut-short", ("mdf", 19.05), bore=Counterbore(45.0, 5.5)))
    told = words(scene)
    # From the part's row: thread 20, nut 5 × 37, flange 34 × 5, body 27.7 × 45; thread beyond = 20 − 13.55 − 5.
    for text in (
        "MDF 19.05 mm", "counterbore 5.5 mm deep", "ledge 13.55 mm", "counterbore 45 mm", "thread 20 mm",
        "nut 5 mm high", "nut 37 mm across corners", "1.45 mm of thread beyond", "flange 34 mm", "flange 5 mm high",
        "body 27.7 mm", "body 45 mm deep", "hangs 25.95 mm below", "wires 15 mm", "free below 100 mm", "hole 28 mm",
    ):  # fmt: skip
        assert text in told


def test_each_dimension_line_is_as_long_as_it_says() -> None:
    """Heights beside a part: the line that leads to the words starts at a line of the length they give."""
    scene, scale = drawn(one_part("button-28-nut-short", ("mdf", 19.05), bore=Counterbore(45.0, 5.5)))
    items = group(scene, "section-sizes").items
    lines = [i for i in items if isinstance(i, Line) and i.style.role == "dimension" and i.a[0] == i.b[0]]
    leads = [i for i in items if isinstance(i, Path) and i.style.role == "lead"]
    checked = 0
    for text in (i for i in items if isinstance(i, Text)):
        figure = re.search(r"([\d.]+) mm", text.text)
        lead = next((p for p in leads if abs(p.steps[-1].end[1] - text.at[1] - 0.33 * text.size) < 0.1), None)
        if figure is None or lead is None or abs(lead.steps[-1].end[0] - text.at[0]) > 1.1:
            continue
        x, y = lead.start
        on = [i for i in lines if abs(i.a[0] - x) < 1e-6 and min(i.a[1], i.b[1]) <= y <= max(i.a[1], i.b[1])]
        if on:  # a broken line, that of the free depth, is a path
            lengths = [abs(i.b[1] - i.a[1]) / scale for i in on]
            assert any(v == pytest.approx(float(figure[1])) for v in lengths), text.text
            checked += 1
    assert checked >= 9


def test_a_short_thread_is_bracketed_between_its_end_and_where_it_must_reach() -> None:
    made = one_part("button-28-nut-short", ("mdf", 19.05))
    scene, scale = drawn(made)
    # Nut 5 mm below a board of 19.05 mm: 24.05 mm of thread are needed for it, and 20 mm are there.
    assert "thread 4.05 mm short" in words(scene)
    patch = bounds(styled(scene, "section-bites", "patch-stop"))
    assert patch is not None
    assert (patch[1], patch[3]) == pytest.approx((-24.05 * scale, -20.0 * scale))
    bracket = [i for i in styled(scene, "section-sizes", "bite-stop") if isinstance(i, Line) and i.a[0] == i.b[0]]
    assert [sorted((i.a[1], i.b[1])) for i in bracket] == [pytest.approx([-24.05 * scale, -20.0 * scale])]
    assert any(w.startswith("Stop: The nut of B cannot reach") for w in words(scene))


def test_nothing_wrong_leaves_nothing_red() -> None:
    scene, _ = drawn(one_part("button-28-nut-long", ("mdf", 18.0)))
    assert group(scene, "section-bites").items == ()
    assert not [w for w in words(scene) if w.startswith(("Stop", "Caution"))]


def test_clips_in_a_thick_board_bite_where_they_cannot_spring_out() -> None:
    scene, scale = drawn(one_part("button-30-snap", *SANDWICH))
    patch = bounds(styled(scene, "section-bites", "patch-stop"))
    assert patch is not None
    # The clips hold up to 5 mm, the board is 18 mm.
    assert (patch[1], patch[3]) == pytest.approx((-18.0 * scale, -5.0 * scale))
    assert "13 mm too thick for the clips" in words(scene)


def test_wires_that_find_no_room_are_a_dashed_caution() -> None:
    made = replace(one_part("button-28-nut-long", ("mdf", 18.0)), free_depth=DepthPlane(50.0, 0.0, 0.0))
    scene, scale = drawn(made)
    patch = [i for i in styled(scene, "section-bites", "patch-caution") if isinstance(i, Path)]
    assert len(patch) == 1 and patch[0].style.dash
    # 40 mm hang below, wires want 15 more, 50 are free: 5 mm are missing.
    box = bounds(patch)
    assert box is not None
    assert (box[3], box[3] - box[1]) == pytest.approx((-68.0 * scale, 5.0 * scale))
    assert "5 mm too little for wires" in words(scene)


@pytest.mark.parametrize(("deep", "height"), [(0.0, 58.0), (6.0, 64.0)])
def test_a_recess_lifts_the_lever_by_its_depth(deep: float, height: float) -> None:
    recess = Recess(99.0, 57.0, 6.0, deep) if deep else None
    scene, scale = drawn(one_part("stick-plate-95x53", ("mdf", 18.0), recess=recess))
    # Lever 76 mm above its plate, board 18 mm: 76 − 18 + recess.
    assert f"{height:g} mm above the board" in words(scene)
    plate = bounds(styled(scene, "section-part", "plate-cut"))
    knob = bounds(styled(scene, "section-part", "knob"))
    assert plate is not None and knob is not None
    assert plate[3] == pytest.approx(scale * (deep - 18.0))
    assert knob[3] == pytest.approx(scale * height)


def test_screw_pilots_end_short_of_the_top_face() -> None:
    scene, scale = drawn(one_part("stick-plate-95x53", ("mdf", 18.0), recess=Recess(99.0, 57.0, 6.0, 6.0)))
    pilots = bounds(styled(scene, "section-part", "hidden"))
    assert pilots is not None
    # From the floor of the recess, 12 mm of board, less the 3 mm kept beyond a pilot.
    assert (pilots[1], pilots[3]) == pytest.approx((-12.0 * scale, -3.0 * scale))
    assert any(re.fullmatch(r"pilot [\d.]+ mm, 9 mm deep", w) for w in words(scene))


def test_sizes_are_in_display_units() -> None:
    inch = words(drawn(one_part("lock-19-nut", ("mdf", 19.05), units="inch"))[0])
    assert 'MDF 3/4"' in inch
    # Metric hardware keeps its own name: a 19 mm lock goes into a 19 mm hole.
    assert not any(" mm" in w for w in inch if not w.startswith("Section") and w != "hole 19 mm")
    assert 'MDF 3/4"' in words(section(one_part("lock-19-nut", ("mdf", 19.05), units="inch"), "a"))


def test_the_board_ends_where_its_rim_is() -> None:
    made = one_part("button-28-nut-long", ("mdf", 18.0))
    near = replace(made, placements=(placed("a", catalogue().parts["button-28-nut-long"], 20.0, 60.0, "B"),))
    scene, scale = drawn(near)
    solid = bounds(styled(scene, "section-board", "cut"))
    assert solid is not None
    assert solid[0] == pytest.approx(-20.0 * scale)
    breaks = styled(scene, "section-board", "break-line")
    assert len(breaks) == 1
    rail = bounds(styled(scene, "section-board", "rail"))
    assert rail is not None
    assert (rail[0], rail[2]) == pytest.approx((-20.0 * scale, -1.0 * scale))  # the rail is 19 mm wide


def test_a_part_that_is_not_there_has_no_section() -> None:
    with pytest.raises(NotFoundError):
        section(one_part("button-28-nut-short", ("mdf", 18.0)), "gone")
