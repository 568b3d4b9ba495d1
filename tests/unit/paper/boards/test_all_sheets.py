"""All boards on few sheets: none for what needs none, no head for what has no stops, no block wider than its words."""

from __future__ import annotations

from app.arrange.design.boards import add_board
from app.arrange.placement import edit
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.part import Face
from app.model.printing import Printing
from app.paper.boards import all_sheets as sheets_module
from app.paper.boards.all_sheets import AllSheets, OwnSheets, all_sheets, needs_sheet
from app.paper.boards.block import PAD, BoardBlock, least_size
from app.paper.boards.boards_list import NOTHING_BELOW, saved_words
from app.paper.boards.shared_sheet import SharedSheet
from app.paper.kinds import ALL_TEMPLATES
from app.paper.kinds.all_templates import AllPages
from app.paper.sheet_kind import SheetJob
from app.scene.primitives import Group, Item, Text
from app.service.checks.checking import judged
from app.service.drawings.sheet_files import sheet_file
from app.service.drawings.sheet_jobs import sheet_job
from tests.unit.arrange.maker.designs import plain

BUTTON, STICK = "button-28-nut-long", "stick-plate-95x53"


def plates(*made: tuple[str, float, float, str | None]) -> Design:
    """A design of plates, each with a part in its middle; the first takes the place of the deck."""
    design = plain(made[0][1], made[0][2])
    for name, width, depth, _ in made[1:]:
        design = add_board(design, catalogue(), width, depth, name).design
    for board, (_, width, depth, part) in zip(design.boards, made, strict=True):
        if part is not None:
            design = edit.add(design, board.id, None, part, width / 2, depth / 2, catalogue()).design
    return design


def job_of(design: Design, face: Face = "top") -> SheetJob:
    seen = judged(resolve(design, None, None, catalogue()), design)
    return sheet_job(design, seen, face, Printing(paper_by_text("a4")))


def shared(sheets: AllSheets) -> list[SharedSheet]:
    return [stack for stack in sheets.stacks if not isinstance(stack, OwnSheets)]


def words(items: tuple[Item, ...]) -> list[str]:
    found = []
    for item in items:
        found += words(item.items) if isinstance(item, Group) else [item.text] if isinstance(item, Text) else []
    return found


def test_an_underside_nothing_is_drilled_from_has_no_sheet_and_the_list_says_so() -> None:
    design = plates(("deck", 160, 120, STICK), ("Plain", 80, 80, BUTTON), ("Other", 80, 80, STICK))
    job = job_of(design, "under")
    sheets = all_sheets(job)
    assert [needs_sheet(each) for each in job.every] == [True, False, True]
    rows = {row.board: row for row in ALL_TEMPLATES.rows(job)}
    assert [len(row.pages) for row in rows.values()] == [1, 0, 1]
    assert rows["Plain"].code == "" and rows["Plain"].shared == ()
    assert saved_words(sheets).startswith("2 of 3 boards on ")
    assert NOTHING_BELOW in words(AllPages(job)[0].items)
    assert len(AllPages(job)) == 1 + sheets.count
    assert all_sheets(job_of(design)).alone == 3, "from above every board is drilled"
    assert sheet_file("all-templates", design, face="under", paper="a4").data.startswith(b"%PDF")


def test_where_no_underside_is_needed_the_list_alone_is_printed() -> None:
    design = plates(("deck", 160, 120, BUTTON), ("Plain", 80, 80, BUTTON))
    job = job_of(design, "under")
    assert (all_sheets(job).count, len(AllPages(job)), saved_words(all_sheets(job))) == (0, 1, NOTHING_BELOW)
    assert len(ALL_TEMPLATES.leaves(job)) == 1
    assert sheet_file("all-templates", design, face="under", paper="a4").data.startswith(b"%PDF")


def test_a_board_with_stops_takes_no_room_on_the_sheets_of_others() -> None:
    """A large board with a hole past its edge has sheets of its own; the others are laid as if it were sound."""
    small = [(f"Plate {k}", 80.0, 60.0, BUTTON) for k in range(6)]
    sound = plates(("deck", 600, 300, None), *small)
    broken = edit.add(sound, None, None, BUTTON, 5, 5, catalogue()).design
    one, other = (all_sheets(job_of(design)) for design in (sound, broken))
    assert max(job.printing.stops for job in other.jobs) > 0
    assert [len(sheet.laid) for sheet in shared(other)] == [len(sheet.laid) for sheet in shared(one)]
    assert [sheet.layout for sheet in shared(other)] == [sheet.layout for sheet in shared(one)]


def test_stops_of_a_board_are_at_the_head_of_its_sheet_and_of_no_other() -> None:
    plates_ = [(f"Plate {k}", 80.0, 60.0, BUTTON) for k in range(9)]
    design = plates(("deck", 80, 60, BUTTON), *plates_)
    spoilt = design.boards[3].id
    design = edit.add(design, spoilt, None, BUTTON, 5, 5, catalogue()).design
    sheets = all_sheets(job_of(design))
    assert sum(len(sheet.laid) for sheet in shared(sheets)) >= 9
    for sheet in shared(sheets):
        has = any(one.block.board.id == spoilt for one in sheet.laid)
        assert (sheet.printing.stops > 0) == has
        inside = [one.corner[1] + one.block.size[one.turned is False] for one in sheet.laid]
        assert max(inside) <= sheet.layout.window[3] + 1e-6, "no block under the head"
    assert sheet_file("all-templates", design, paper="a4").data.startswith(b"%PDF"), "proved"


def test_blocks_of_tiny_boards_are_no_wider_than_their_words_and_lose_none() -> None:
    tiny = [(f"Tab {k}", 36.0, 40.0, None) for k in range(8)]
    design = plates(("deck", 36, 40, None), *tiny)
    sheets = all_sheets(job_of(design))
    blocks: list[BoardBlock] = [one.block for sheet in shared(sheets) for one in sheet.laid]
    assert len(blocks) == 9 and max(block.size[0] for block in blocks) < 62
    assert min(block.size[0] for block in blocks) >= 36 + 2 * PAD
    assert all(least_size(block.board) <= block.size for block in blocks)
    for block in blocks:
        said = " ".join(words(block.items))
        assert block.board.name in said and block.code in said and "…" not in said


def test_every_block_stays_within_its_sheet_and_off_the_others() -> None:
    sizes = [(f"Tab {k}", 24.0 + 7 * k, 30.0 + 5 * (k % 4), BUTTON if k > 4 else None) for k in range(14)]
    sheets = all_sheets(job_of(plates(("deck", 50, 50, None), *sizes)))
    gap = sheets_module.GAP
    for sheet in shared(sheets):
        boxes = []
        for one in sheet.laid:
            w, h = one.block.size[::-1] if one.turned else one.block.size
            (x, y), (x0, y0, x1, y1) = one.corner, sheet.layout.window
            assert x >= x0 - 1e-6 and y >= y0 - 1e-6 and x + w <= x1 + 1e-6 and y + h <= y1 + 1e-6
            boxes.append((x, y, x + w + gap, y + h + gap))
        for k, (ax0, ay0, ax1, ay1) in enumerate(boxes):
            for bx0, by0, bx1, by1 in boxes[:k]:
                assert ax1 <= bx0 + 1e-6 or bx1 <= ax0 + 1e-6 or ay1 <= by0 + 1e-6 or by1 <= ay0 + 1e-6
