"""Laws of comparing: nothing differs from itself, what differs makes one of the other, and backwards as well."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.placement import edit
from app.catalogue.load import catalogue
from app.compare.applying import applied
from app.compare.change import Comparison
from app.compare.compared import compared
from app.compare.difference import differences_of
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import EditError
from tests.long_run import examples
from tests.unit.document.designs import designs


@given(design=designs())
@examples(20)
def test_nothing_differs_from_itself(design: Design) -> None:
    assert differences_of(design, design) == ()


@given(before=designs(), after=designs())
@examples(40)
def test_what_differs_makes_one_of_the_other_and_its_inverse_leads_back(before: Design, after: Design) -> None:
    found = differences_of(before, after)
    assert bool(found) == (before != after)
    assert applied(before, found) == after
    back = tuple(difference.inverse for difference in found)
    assert back == differences_of(after, before)
    assert applied(after, back) == before


@given(before=designs(), after=designs())
@examples(15)
def test_a_change_that_does_not_fit_is_refused_and_changes_nothing(before: Design, after: Design) -> None:
    found = differences_of(before, after)
    if not found:
        return
    with pytest.raises(EditError, match="another than was compared"):
        applied(after, found)


SOLO = load_scenario("lantern-hill-solo")
IDS = [p.id for p in SOLO.boards[0].arrangements[0].placements]
_BY = st.sampled_from([-40.0, -7.5, 2.0, 12.0, 30.0])


@st.composite
def edited(draw: st.DrawFn) -> Design:
    """A deck with some of its parts moved, turned, exchanged, renamed, left undrilled or taken away."""
    design = SOLO
    for ident in draw(st.lists(st.sampled_from(IDS), max_size=4, unique=True)):
        match draw(st.sampled_from(["move", "turn", "part", "label", "drill", "remove"])):
            case "move":
                design = edit.move_by(design, None, None, ident, draw(_BY), draw(_BY)).design
            case "turn":
                design = edit.set_angle(design, None, None, ident, 15).design
            case "part":
                design = edit.set_part(design, None, None, ident, "button-24-nut-long", catalogue()).design
            case "label":
                design = edit.set_label(design, None, None, ident, f"Z{ident}"[:4]).design
            case "drill":
                design = edit.drill(design, None, None, ident, drill=False).design
            case _:
                design = edit.remove(design, None, None, ident).design
    return design


@given(before=edited(), after=edited())
@examples(15)
def test_what_is_said_one_way_is_said_the_other_way_round(before: Design, after: Design) -> None:
    """What is new is gone, what moved moves back, and findings that came go; of a design and itself nothing is said."""
    there, back = compared(before, after, catalogue()), compared(after, before, catalogue())
    assert _told(there) == _told(back, turned=True)
    assert compared(before, before, catalogue()).is_same
    found = (
        [(f.rule, f.severity, f.placements) for f in there.gained],
        [(f.rule, f.severity, f.placements) for f in there.lost],
    )
    assert found == (
        [(f.rule, f.severity, f.placements) for f in back.lost],
        [(f.rule, f.severity, f.placements) for f in back.gained],
    )


def _told(found: Comparison, *, turned: bool = False) -> list[tuple[object, ...]]:
    """What is said, without words; ``turned`` as it is seen from the other state."""
    kinds = {"new": "gone", "gone": "new"} if turned else {}
    sign = -1.0 if turned else 1.0
    return sorted(
        (kinds.get(c.kind, c.kind), c.placements, round(sign * c.dx, 6) + 0.0, round(sign * c.dy, 6) + 0.0,
         *((c.after, c.before) if turned else (c.before, c.after)))
        for c in found.changes
    )  # fmt: skip
