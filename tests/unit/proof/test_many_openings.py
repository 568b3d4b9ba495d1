"""Boards of many openings: what is drawn and read back grows with what a sheet shows, not with what the board has."""

from __future__ import annotations

from app.geometry.outline import Corner, Outline
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.sheets import plan_sheets, template_pages
from app.paper.sheet.tiling import Tile
from app.proof import prove_template
from app.proof.rims import board_rims
from app.scene.primitives import Group, Path, Scene
from app.values import replace
from app.writers import pdf
from tests.reading.counting import calls
from tests.unit.drafting.boards import A4, bare

WIDE, PITCH = 900.0, 40.0


def pierced(count: int) -> ResolvedBoard:
    """A board with square openings of 20 mm in rows of twenty."""
    openings = [square(60.0 + PITCH * (n % 20), 60.0 + PITCH * (n // 20)) for n in range(count)]
    return replace(bare(WIDE, 600.0), openings=tuple(openings))


def square(x: float, y: float) -> Outline:
    return Outline(tuple(Corner(x + u, y + v) for u, v in ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0))))


def rims_on(sheet: Scene) -> int:
    (drawn,) = [item for item in sheet.items if isinstance(item, Group) and item.name == "template"]
    return sum(isinstance(item, Path) and item.style.role == "opening" for item in drawn.items)


def shown(tile: Tile, model: ResolvedBoard) -> int:
    x0, y0, x1, y1 = tile.window
    boxes = [opening.bounds for opening in model.openings]
    return sum(b[0] <= x1 and b[2] >= x0 and b[1] <= y1 and b[3] >= y0 for b in boxes)


def test_a_sheet_draws_the_openings_in_its_window_and_no_others() -> None:
    model = pierced(200)
    plan = plan_sheets(model, "top", Printing(A4))
    sheets = template_pages(model, "top", Printing(A4), plan=plan)
    assert [rims_on(sheet) for sheet in sheets] == [shown(tile, model) for tile in plan.tiling.tiles]
    assert max(map(rims_on, sheets)) < 100
    proof = prove_template(pdf.write(tuple(sheets)), model, "top", Printing(A4), sheets=plan)
    assert dict(proof.kinds)["opening"] == 200


def test_openings_that_lie_apart_are_not_measured_to_each_other() -> None:
    few, many = pierced(50), pierced(200)
    work = calls(lambda: board_rims(many, "top")) / calls(lambda: board_rims(few, "top"))
    assert work < 12.0  # 4 times as many, with the boxes of every two; measured to each other they are 16 times
