"""Letters of revisions, and by what a design is known to be one: its plan, not the builder's tools."""

from __future__ import annotations

import pytest

from app.arrange.design.publish import publish
from app.arrange.placement.edit import move_by
from app.document.dump import dumps
from app.document.load import loads
from app.document.published import next_letter, plan_digest, published_letter, revision_name
from app.document.scenarios import load_scenario
from app.document.schema import BitEntry, Design
from app.errors import EditError
from app.model.limits import CHANGE_LINE

MASTER = load_scenario("pine-shelf-compact")
FIRST = MASTER.boards[0].arrangements[0].placements[0].id


def published(design: Design, letter: str = "A", *changes: str) -> Design:
    return publish(design, letter, "2026-02-01", "", changes or ("First revision",)).design


@pytest.mark.parametrize(
    ("taken", "letter"),
    [((), "A"), (("A",), "B"), (("B", "A"), "C"), (("Z",), "AA"), (("A", "AZ"), "BA"), (("ZZ",), "AAA")],
)
def test_the_next_letter_follows_the_last(taken: tuple[str, ...], letter: str) -> None:
    assert next_letter(taken) == letter


def test_a_published_design_is_that_revision_until_its_plan_changes() -> None:
    assert revision_name(MASTER) == ""
    assert revision_name(MASTER, "3") == "step 3"
    first = published(MASTER)
    assert revision_name(loads(dumps(first)), "4") == "revision A"
    moved = move_by(first, None, None, FIRST, 1, 0).design
    assert published_letter(moved) == ""
    assert revision_name(moved) == "changed since revision A"
    assert revision_name(moved, "5") == "step 5 after revision A"
    second = published(moved, "B")
    assert revision_name(second) == "revision B"
    assert revision_name(move_by(second, None, None, FIRST, -1, 0).design) == "revision A"  # the same plan again


def test_the_builders_own_things_change_no_revision() -> None:
    shop = MASTER.shop.model_copy(
        update={"bits": (BitEntry(kind="twist", diameter=3),), "drilling": "cnc", "paper": "letter"}
    )
    mine = MASTER.model_copy(update={"shop": shop, "units": "inch"})
    assert plan_digest(mine) == plan_digest(MASTER)
    assert plan_digest(MASTER.model_copy(update={"title": "Other"})) != plan_digest(MASTER)


def test_what_cannot_be_published_is_refused() -> None:
    with pytest.raises(EditError, match="This is revision A, and nothing has changed since"):
        published(published(MASTER), "B")
    with pytest.raises(EditError, match=r"Line 2: .*300 characters.*Shorten it"):
        published(MASTER, "A", "Short", "x" * (CHANGE_LINE.most + 1))
    kept = publish(MASTER, "A", "2026-02-01", " Two lines\r\nof a note ", ["  one   line ", "", "another"]).design
    assert kept.published is not None
    assert kept.published[0].note == "Two lines\nof a note"
    assert kept.published[0].changes == ("one line", "another")
