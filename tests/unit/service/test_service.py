"""The use cases behind the web and the command line."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from app import service
from app.arrange.change import Edit
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement import edit
from app.catalogue.load import catalogue, paper_by_text
from app.document.dump import dumps
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.where import Where
from app.drafting.export.drawing import export_scene
from app.errors import DocumentError, EditError, NotFoundError, PaperError, ProofError, WriterError
from app.model.part import Face
from app.model.printing import PrintCorrection, Printing
from app.model.resolved import Hole
from app.paper import sheet_kind
from app.paper.sheet.sheets import Pages, sheet_count
from app.service.checks.checking import Revised, checked, named_findings
from app.service.checks.facts import facts_of, sheet_words
from app.service.drawings import board_files
from app.service.edits.apply_fix import fix_applied
from app.service.edits.changes import GRID_INCH, added, grid_of, moved
from app.service.edits.landing import snapped
from app.service.edits.new_part_position import free_position
from app.service.edits.shared_holes import in_every_arrangement
from app.service.workshop import open_workshop
from app.units import Unit
from app.values import replace

TWO = NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)


@pytest.fixture
def design() -> Design:
    return service.new_design(TWO)


def y_of(design: Design, arrangement: str, placement: str) -> float:
    placed = resolve(design, None, arrangement, catalogue()).placed(placement)
    assert placed is not None
    return placed.y


def test_every_arrangement_of_every_board_is_checked_unless_named(design: Design) -> None:
    results = service.check_design(design)
    assert [(r.board, r.arrangement) for r in results] == [("deck", "two"), ("deck", "one")]
    assert [r.report.findings for r in results] == [(), ()]
    only = service.check_design(design, arrangement="one")
    assert [r.arrangement for r in only] == ["one"]
    with pytest.raises(NotFoundError, match="no board"):
        service.check_design(design, board="lid")
    with pytest.raises(NotFoundError, match="no arrangement"):
        service.check_design(design, arrangement="nine")


def test_a_design_is_read_back_as_it_was_written(design: Design, tmp_path: Path) -> None:
    file = tmp_path / "deck.json"
    service.write_design(design, file)
    assert service.read_design(file) == design
    with pytest.raises(DocumentError, match="cannot be read"):
        service.read_design(tmp_path / "missing.json")


def test_the_schema_is_json_schema() -> None:
    schema = json.loads(service.schema_json())
    assert schema["properties"]["format"]["const"] == "holewise-design"
    assert schema["additionalProperties"] is False


def test_the_part_list_has_a_row_for_every_part() -> None:
    rows = service.part_rows().splitlines()
    assert len(rows) == 1 + len(catalogue().parts)
    assert {row.split()[0] for row in rows[1:]} == set(catalogue().parts)


def test_exports_are_what_their_formats_say(design: Design) -> None:
    svg = service.export_file(design, fmt="svg").data.decode()
    size = dict(re.findall(r'(width|height)="([\d.]+)mm"', svg)[:2])
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    assert box is not None
    # SVG 2, 8.6: mm size and the same numbers in the viewBox make one user unit one millimetre.
    assert (size["width"], size["height"]) == box.groups()
    assert service.export_file(design, fmt="dxf").data.count(b"CIRCLE") >= 16
    with pytest.raises(WriterError, match="svg or dxf"):
        service.export_file(design, fmt="exe")


def test_a_template_prints_on_the_paper_named_or_the_shop_s(design: Design) -> None:
    own = service.template_file(design).data
    assert own == service.template_file(design, paper="a4").data
    assert own == service.template_file(design, "deck", "two", "top", "a4").data
    # ISO 32000-1, 14.11.2: MediaBox in points; A4 is 210 × 297 mm (ISO 216).
    boxes = re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", own)
    assert boxes
    for box in boxes:
        assert sorted(float(side) / 72 * 25.4 for side in box) == pytest.approx([210.0, 297.0], abs=0.01)
    with pytest.raises(PaperError, match="no paper"):
        service.template_file(design, paper="napkin")


def test_a_template_begins_with_its_cover_and_is_proved(design: Design) -> None:
    made = service.template_file(design, paper="a4")
    assert made.name == "two-seater-two-top-template.pdf"
    pages = len(re.findall(rb"/Type /Page\b", made.data))
    board = resolve(design, None, None, catalogue())
    assert pages == made.proof.pages == 1 + sheet_count(board, "top", catalogue().papers["a4"])
    assert made.proof.holes == sum(len(p.holes) for p in board.drilled)


def test_a_template_of_one_bit_has_only_what_it_drills(design: Design) -> None:
    board = resolve(design, None, None, catalogue())
    widths = {hole.diameter for p in board.drilled for hole in p.holes}
    assert len(widths) >= 2
    for width in widths:
        made = service.template_file(design, paper="a4", only=width)
        want = sum(hole.diameter == width for p in board.drilled for hole in p.holes)
        assert dict(made.proof.kinds)["through"] == want
    with pytest.raises(NotFoundError, match=r"No bit 77 mm wide cuts anything from the underside"):
        service.template_file(design, face="under", paper="a4", only=77.0)


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_corrected_template_on_any_paper_is_proved(design: Design, face: Face) -> None:
    for paper in ("a4", "letter", "roll 610"):
        printing = Printing(paper_by_text(paper), correction=PrintCorrection(1.0, 0.996))
        made = service.template_file(design, face=face, paper=printing)
        assert made.proof.largest < 0.001
        assert made.data != service.template_file(design, face=face, paper=paper).data


def test_an_export_is_named_by_the_size_it_must_come_out_at(design: Design) -> None:
    made = service.export_file(design, face="under", fmt="dxf", kerf=0.2)
    assert made.name == "two-seater-two-underside-760x260mm-kerf-0.2mm.dxf"
    assert made.proof.words.endswith("largest difference 0.00 mm")
    assert service.export_file(design, fmt="svg").name == "two-seater-two-top-760x260mm.svg"
    inches = service.new_design(replace(TWO, title="Ω", width=30.25 * 25.4, depth=10.25 * 25.4))
    assert service.export_file(inches).name == "two-top-768.35x260.35mm.svg"


def test_a_file_that_does_not_show_the_design_is_withheld(design: Design, monkeypatch: pytest.MonkeyPatch) -> None:
    """A fault made on purpose, in what is drawn and not in what is compared."""
    board = resolve(design, None, None, catalogue())
    moved = replace(
        board, placements=tuple(replace(p, holes=tuple(_moved(h) for h in p.holes)) for p in board.placements)
    )
    monkeypatch.setattr(sheet_kind, "Pages", lambda _, *rest, **__: Pages(moved, *rest))
    with pytest.raises(ProofError, match=r"from its place|missing|nothing asks for"):
        service.template_file(design, paper="a4")
    monkeypatch.setattr(board_files, "export_scene", lambda *_: export_scene(moved, "top"))
    for fmt in ("svg", "dxf"):
        with pytest.raises(ProofError, match=r"0\.50 mm from its place"):
            service.export_file(design, fmt=fmt)


def _moved(hole: Hole) -> Hole:
    return replace(hole, shape=hole.shape.placed(0.5, 0.0))


@pytest.mark.parametrize(("value", "grid", "expected"), [(10.4, 1.0, 10.0), (-3.6, 1.0, -4.0), (7.3, 0.0, 7.3)])
def test_snapping(value: float, grid: float, expected: float) -> None:
    assert snapped(value, grid) == expected


def test_the_inch_grid_is_a_sixteenth() -> None:
    assert grid_of(Unit.INCH) == GRID_INCH == 25.4 / 16
    assert snapped(120.0, GRID_INCH) == 120.65  # 76/16 in = 4.75 in = 120.65 mm


def test_parts_dragged_together_keep_their_distance(design: Design) -> None:
    before = resolve(design, None, "two", catalogue())
    done = moved(Where(None, "two"), ["d", "b"], 7.3, -2.2, 1.0)(design)
    after = resolve(done.design, None, "two", catalogue())
    d0, b0, d1, b1 = before.placed("d"), before.placed("b"), after.placed("d"), after.placed("b")
    assert d0 is not None
    assert b0 is not None
    assert d1 is not None
    assert b1 is not None
    assert (d1.x, d1.y) == (round(d0.x + 7.3), round(d0.y - 2.2))
    assert (b1.x - d1.x, b1.y - d1.y) == pytest.approx((b0.x - d0.x, b0.y - d0.y), abs=1e-9)
    assert done.summary.endswith("with 1 more")


def test_an_added_part_finds_room_clear_of_every_rule(design: Design) -> None:
    empty = service.new_design(replace(TWO, players=0))
    grown = added(Where(), "button-30-nut-long", None, "top", 1.0)(empty).design
    assert service.check_design(grown)[0].report.stops == ()
    board = resolve(design, None, "two", catalogue())
    x, y = free_position(board, catalogue().parts["button-24-snap"])
    assert 0 < x < 760
    assert 0 < y < 260


def test_a_part_dropped_on_the_underside_is_mirrored_back(design: Design) -> None:
    done = added(Where(), "button-30-snap", (100.0, 40.0), "under", 1.0)(design)
    placed = resolve(done.design, None, None, catalogue()).placed(done.placement)
    assert placed is not None
    assert (placed.x, placed.y) == (660.0, 40.0)


def test_a_fix_is_made_to_the_board_as_it_is_now(design: Design) -> None:
    broken = edit.move(design, None, "two", "l", 728.0, y_of(design, "two", "l")).design
    result = service.check_design(broken, arrangement="two")[0]
    name, finding = named_findings(result.report)[0]
    fix = result.fix_for(name, finding)
    assert fix is not None
    mended_design = fix_applied(Where(None, "two"), name)(broken).design
    left = service.check_design(mended_design, arrangement="two")[0].report.findings
    assert (finding.rule, finding.subjects) not in {(f.rule, f.subjects) for f in left}
    assert len(left) < len(result.report.findings)
    with pytest.raises(EditError, match="already been cleared"):
        fix_applied(Where(None, "two"), name)(design)


def moved_along(design: Design, arrangement: str, placement: str, y: float) -> Edit:
    board = resolve(design, None, arrangement, catalogue()).placed(placement)
    assert board is not None
    return in_every_arrangement(design, edit.move(design, None, arrangement, placement, board.x, y), None, arrangement)


def test_a_shared_hole_is_one_hole(design: Design) -> None:
    done = moved_along(design, "one", "d", 111.0)
    assert y_of(done.design, "two", "d") == y_of(done.design, "one", "d") == 111.0
    assert done.summary.endswith(", in every arrangement")


def test_a_hole_that_is_another_in_the_other_arrangement_stays(design: Design) -> None:
    apart = edit.move(design, None, "two", "d", 40.0, 40.0).design
    done = moved_along(apart, "one", "d", 111.0)
    assert y_of(done.design, "two", "d") == 40.0
    assert not done.summary.endswith("arrangement")


def test_what_is_there_and_drilled_is_each_arrangement_s_own(design: Design) -> None:
    removed = in_every_arrangement(design, edit.remove(design, None, "one", "d"), None, "one").design
    assert resolve(removed, None, "two", catalogue()).placed("d") is not None
    off = edit.drill(design, None, "one", "d", drill=False)
    assert in_every_arrangement(design, off, None, "one") == off


def test_a_letter_never_comes_to_stand_twice(design: Design) -> None:
    # P is only on the two-player deck, so the one-player arrangement alone would let D take it.
    done = in_every_arrangement(design, edit.set_label(design, None, "one", "d", "P"), None, "one")
    labels = [p.label for p in resolve(done.design, None, "two", catalogue()).placements]
    assert len(labels) == len(set(labels))
    assert dumps(done.design)


def test_a_renamed_hole_retires_its_letter_everywhere(design: Design) -> None:
    done = in_every_arrangement(design, edit.set_label(design, None, "one", "d", "DD"), None, "one").design
    for arrangement in done.boards[0].arrangements:
        assert "D" in arrangement.retired
        assert [p.label for p in arrangement.placements if p.id == "d"] == ["DD"]


def test_a_revision_is_worked_out_once(design: Design) -> None:
    text = dumps(design)
    first = checked(Revised("r1", text), None, None, "mm")
    assert checked(Revised("r1", text), None, None, "mm") is first
    inch = checked(Revised("r1", text), None, None, "inch")
    assert inch.resolved.units == "inch"
    assert inch.report.findings == first.report.findings


def test_facts_count_holes_and_bits(design: Design) -> None:
    board = resolve(design, None, "two", catalogue())
    facts = facts_of(board)
    # Two sticks, two fields of six, two admin buttons: one hole each.
    assert facts.holes == 16
    assert facts.off == 0
    assert set(facts.bits) == {
        f"{hole.bit.diameter:g} mm" for placed in board.placements for hole in placed.holes if hole.bit is not None
    }
    words = sheet_words(board, "top", board.tooling.paper)
    assert re.match(r"\d+ sheets of A4, no (hole|centre) on a seam$", words)


def test_an_opened_file_must_make_sense(tmp_path: Path, design: Design) -> None:
    workshop = open_workshop(tmp_path)
    text = dumps(design).replace("button-28-nut-long", "button-99-nut")
    with pytest.raises(DocumentError, match="no part"):
        workshop.open_file(text.encode())
    assert workshop.shelf.look().items == ()
    head = workshop.open_file(dumps(design).encode())
    assert workshop.design(head.design.id)[1] == design
    workshop.close()


def test_a_design_that_can_no_longer_be_read_stays_on_the_shelf(tmp_path: Path, design: Design) -> None:
    workshop = open_workshop(tmp_path)
    head = workshop.open_file(dumps(design).encode())
    from app.store import StoredChange, open_store

    store = open_store(tmp_path)
    store.edit(head.design.id, lambda _: StoredChange('{"format": "something else"}', "Broke it", "Broken"))
    store.close()
    item = workshop.shelf.look().items[0]
    assert (item.verdict, item.ailment) == (None, "unread")
    assert "not a Holewise design" in item.detail
    assert workshop.undo(head.design.id).design.title == design.title
    assert workshop.shelf.look().items[0].ailment == ""
    workshop.close()
