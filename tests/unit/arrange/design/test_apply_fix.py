"""Every fix a finding offers, taken, clears it and makes nothing worse."""

from __future__ import annotations

from collections import Counter

import pytest

from app.arrange.design.apply_fix import apply_fix
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import EditError, NotFoundError
from app.fit.finding import Finding
from app.fit.report.report import Report, check
from app.model.fix import BuyBit, CounterboreAt, MoveBy, SwapPart
from tests.unit.document.designs import small_design


def report(design: Design) -> Report:
    return check(resolve(design, None, None, catalogue()), catalogue())


def bad(found: Report) -> Counter[tuple[str, tuple[str, ...]]]:
    return Counter((f.rule, f.subjects) for f in (*found.stops, *found.cautions))


def named(found: Report, rule: str) -> Finding:
    return next(f for f in found.findings if f.rule == rule)


# Other screws or a thicker board are bought, a part is measured again, an opening is drawn anew: nothing moved or cut
# at a placement mends it; nor other holes, which are asked of a maker.
_BY_HAND = {"screw-hold", "deck-strength", "part-measures", "opening-distance"} | {
    "cone-area", "finger-guard", "air-flow", "door-clearance", "door-swing", "hinge-screw",
    "display-fit", "mount-screw", "plate-bending", "plug-room", "wire-way",
}  # fmt: skip


@pytest.mark.parametrize("rule", sorted({f.rule for f in report(load_scenario("leaky-raft")).findings} - _BY_HAND))
def test_the_fix_of_a_finding_clears_it_and_adds_none(rule: str) -> None:
    design = load_scenario("leaky-raft")
    before = report(design)
    finding = named(before, rule)
    fix = before.fix_for(finding)
    assert fix is not None, f"{rule} offers no fix"
    edit = apply_fix(design, None, None, fix, catalogue())
    after = bad(report(edit.design))
    assert (finding.rule, finding.subjects) not in after
    assert after <= bad(before)
    assert edit.summary
    assert loads(dumps(edit.design)) == edit.design


def test_a_fix_for_several_placements_is_one_edit() -> None:
    bored = apply_fix(small_design(), None, None, CounterboreAt(("b", "c"), 45, 9.5), catalogue())
    assert bored.summary == "Counterbored 2 places 45 mm wide, 9.5 mm deep"
    assert [p.counterbore is not None for p in bored.design.boards[0].arrangements[0].placements] == [False, True, True]
    swapped = apply_fix(small_design(), None, None, SwapPart(("b", "c"), "button-30-nut-long"), catalogue())
    assert swapped.summary == "Changed the part at 2 places"


def test_a_move_and_a_bit_are_made_as_they_say() -> None:
    moved = apply_fix(small_design(), None, None, MoveBy("b", 1.5, -2), catalogue())
    assert moved.summary == "Moved B 1.5 mm right, 2 mm forward"
    bought = apply_fix(small_design(), None, None, BuyBit("forstner", 37), catalogue())
    assert bought.summary == "Added a 37 mm Forstner bit"


def test_a_fix_that_came_too_late_is_refused() -> None:
    with pytest.raises(NotFoundError, match='no placement "gone"'):
        apply_fix(small_design(), None, None, MoveBy("gone", 1, 1), catalogue())
    with pytest.raises(EditError, match="not a finite number"):
        apply_fix(small_design(), None, None, MoveBy("b", float("nan"), 1), catalogue())
