"""Laws of comparing: nothing differs from itself, what differs makes one of the other, and backwards as well."""

from __future__ import annotations

import pytest
from hypothesis import given

from app.compare.applying import applied
from app.compare.difference import differences_of
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
