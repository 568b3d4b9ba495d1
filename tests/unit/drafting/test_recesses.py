"""Recesses on every drawing: template, exchange drawing, underside, elevation."""

from __future__ import annotations

import io

import pytest
from ezdxf.filemanagement import read as read_dxf

from app.drafting.export.drawing import export_scene
from app.drafting.facing import facing
from app.drafting.template.drill_template import drill_template
from app.drafting.view.board_view import board_scene
from app.drafting.view.elevation import elevation
from app.model.part import Face, NutFixing, ScrewFixing
from app.model.resolved import Recess, ResolvedBoard
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.scene.bounds import bounds
from app.scene.primitives import Circle, Group, Item, Path, Scene, Text, walk
from app.shop.screw_pilots import screw_pilots
from app.values import replace
from app.writers import dxf
from tests.unit.drafting.boards import A3, A4, STICK, board, placed, two_player
from tests.unit.paper.ink import group, text_boxes

POCKET = Recess(97.0, 55.0, 6.0, 9.5)
LAYER = "UNDER_RECESS_97_BY_55_DEPTH_9.5"


def sunk(angle: float = 0.0) -> ResolvedBoard:
    """One stick whose plate lies in a recess, 200 mm from the left and 100 from the front."""
    return board((replace(placed("s", STICK, 200.0, 100.0, "A", angle=angle), recess=POCKET),))


def of_role(scene: Scene, role: str) -> list[Item]:
    return [i for i, _ in walk(scene.items) if not isinstance(i, Text | Group) and i.style.role == role]


@pytest.mark.parametrize(("angle", "size"), [(0.0, (97.0, 55.0)), (90.0, (55.0, 97.0))])
def test_the_exchange_drawing_has_it_on_its_own_layer_from_below(angle: float, size: tuple[float, float]) -> None:
    made = sunk(angle)
    found = [i for i in export_scene(made, "under").items if getattr(i, "layer", "") == LAYER]
    box = bounds(found)
    assert len(found) == 1 and box is not None
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx(size)
    assert ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) == pytest.approx((made.width - 200.0, 100.0))
    assert not [i for i in export_scene(made, "top").items if "RECESS" in getattr(i, "layer", "")]


def test_another_program_reads_its_corners_as_arcs_of_its_inside_radius() -> None:
    document = read_dxf(io.StringIO(dxf.write(export_scene(sunk(), "under")).decode("utf-8")))
    lines = list(document.modelspace().query('LWPOLYLINE[layer=="UNDER_RECESS_97_BY_55_DEPTH_9.5"]'))
    assert len(lines) == 1
    bulges = [point[4] for point in lines[0].get_points()]
    # A quarter turn has a bulge of tan(90°/4) (DXF reference, LWPOLYLINE group 42).
    assert sorted(round(abs(b), 6) for b in bulges if abs(b) > 1e-9) == pytest.approx([0.414214] * 4)


def test_the_template_of_the_underside_outlines_it_and_tells_depth_and_radius() -> None:
    made = sunk()
    under, top = drill_template(made, "under"), drill_template(made, "top")
    main = next(m for m in under.marks if m.letter == "A")
    assert main.lines[1:] == ("recess 97 × 55 mm", "9.5 mm deep first", "inside radius 6 mm")
    assert next(m for m in top.marks if m.letter == "A").lines[1:] == (
        "recess 97 × 55 mm", "9.5 mm deep", "from the underside",
    )  # fmt: skip
    solid = [i for i in under.holes if isinstance(i, Path) and not i.style.dash]
    dashed = [i for i in top.holes if isinstance(i, Path) and i.style.role == "recess" and i.style.dash]
    for found, middle in ((solid, made.width - 200.0), (dashed, 200.0)):
        box = bounds(found)
        assert box == pytest.approx((middle - 48.5, 72.5, middle + 48.5, 127.5))


def test_its_centre_is_found_again_after_routing() -> None:
    """The arms of the cross reach 5 mm beyond all that is cut about the centre."""
    crosses = bounds(drill_template(sunk(), "under").crosses)
    assert crosses is not None
    assert (crosses[2] - crosses[0], crosses[3] - crosses[1]) == pytest.approx((97.0 + 10.0, 55.0 + 10.0))


def test_sheets_printed_before_and_after_a_recess_do_not_belong_together() -> None:
    deeper = replace(sunk().placements[0], recess=replace(POCKET, depth=9.0))
    boards = (sunk(), replace(sunk(), placements=(deeper,)), board((placed("s", STICK, 200.0, 100.0, "A"),)))
    assert len({plan_sheets(made, "top", A4).code for made in boards}) == 3
    assert plan_sheets(sunk(), "top", A4).code == plan_sheets(sunk(), "top", A4).code


def test_screw_pilots_begin_at_its_floor() -> None:
    made, plain = sunk(), board((placed("s", STICK, 200.0, 100.0, "A"),))
    pilots, before = screw_pilots(made, made.placements[0]), screw_pilots(plain, plain.placements[0])
    assert pilots is not None and before is not None
    # 18 mm of board, 3 of them kept beyond a pilot; the recess takes 9.5.
    assert (before.depth, pilots.depth) == pytest.approx((15.0, 5.5))


def test_a_pilot_goes_no_deeper_than_its_screw() -> None:
    fixing = STICK.fixing
    assert isinstance(fixing, ScrewFixing)
    short = replace(STICK, fixing=replace(fixing, screw_length=12.0))
    made = board((placed("s", short, 200.0, 100.0, "A"),))
    pilots = screw_pilots(made, made.placements[0])
    assert pilots is not None
    assert pilots.depth == pytest.approx(12.0 - fixing.plate_thickness)


def test_the_underside_shows_it_and_room_for_every_spanner() -> None:
    drawn = board_scene(sunk(), face="under")
    box = bounds(of_role(drawn, "pocket"))
    assert box == pytest.approx((440.0 - 48.5, 72.5, 440.0 + 48.5, 127.5))
    made = two_player()
    circles = [i for i in of_role(board_scene(made, face="under"), "spanner-room") if isinstance(i, Circle)]
    nuts = [p.part.fixing.nut_width for p in made.drilled if isinstance(p.part.fixing, NutFixing)]
    # The row “spanner-room” of the catalogue: 3 mm round the nut.
    assert sorted(c.radius for c in circles) == pytest.approx(sorted(w / 2 + 3.0 for w in nuts))


def test_the_elevation_seats_the_plate_at_its_floor() -> None:
    made = sunk()
    plates = []
    for one in (made, board((placed("s", STICK, 200.0, 100.0, "A"),))):
        items = [i for i, _ in walk((elevation(one, view=facing(one, "top"), selected="s"),))]
        paths = [i for i in items if isinstance(i, Path)]
        top = max(b[3] for i in paths if i.style.role == "cut cut-mdf" and (b := bounds([i])))
        plate = next(b for i in paths if i.style.role == "plate-cut" and (b := bounds([i])))
        body = next(b for i in paths if i.style.role == "body" and (b := bounds([i])))
        plates.append((plate[3] - top, body[3] - top))
    assert plates == [pytest.approx((-18.0 + 9.5,) * 2), pytest.approx((-18.0,) * 2)]


@pytest.mark.parametrize("face", ["top", "under"])
def test_its_depth_stands_on_the_sheet_clear_of_its_edge(face: Face) -> None:
    made = sunk()
    pages = template_pages(made, face, A3)
    boxes = [box for page in pages for text, box in text_boxes(page) if text.startswith("9.5 mm deep")]
    assert len(boxes) >= 1
    for page in pages:
        edge = next(
            (i for i, _ in walk(page.items) if isinstance(i, Path) and i in drill_template(made, face).holes), None
        )
        if edge is None:
            continue
        dx, dy = group(page, "template").shift
        box = bounds([edge])
        assert box is not None
        x0, y0, x1, y1 = (box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy)
        for text, (a, b, c, d) in text_boxes(page):
            if text.startswith(("9.5 mm deep", "recess", "inside radius")):
                inside, outside = x0 < a and c < x1 and y0 < b and d < y1, c < x0 or x1 < a or d < y0 or y1 < b
                assert inside or outside, text
