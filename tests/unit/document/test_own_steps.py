"""Steps of a plan maker's own in the design file: kept as they are, refused where they cannot be told apart."""

from __future__ import annotations

import json
from typing import Any

import pytest

from app.document.dump import dumps
from app.document.load import loads
from app.document.own_steps import own_steps_of
from app.errors import DocumentError
from tests.unit.document.designs import small_design

STEPS: dict[str, Any] = {
    "worded": [
        {"key": "mount/deck/button-28", "title": "Push them in", "text": "One by one.\nGently.", "was": "Mount"}
    ],
    "added": [{"key": "own/2", "title": "Have tea", "text": ""}],
    "hidden": ["caulk"],
    "order": ["cut", "own/2", "pilot/deck"],
    "last": 2,
}


def with_steps(**changes: object) -> str:
    raw = json.loads(dumps(small_design()))
    raw["steps"] = {**STEPS, **changes}
    return json.dumps(raw)


def test_they_are_read_and_written_as_they_are() -> None:
    design = loads(with_steps())
    assert json.loads(dumps(design))["steps"] == STEPS
    assert loads(dumps(design)) == design
    own = own_steps_of(design)
    assert [each.text for each in own.worded] == ["One by one.\nGently."]
    assert (own.hidden, own.order) == (frozenset({"caulk"}), ("cut", "own/2", "pilot/deck"))


def test_a_file_without_any_is_written_without_any() -> None:
    assert '"steps"' not in dumps(small_design())


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"worded": [STEPS["worded"][0]] * 2}, "steps.worded[1]"),
        ({"added": [STEPS["added"][0]] * 2}, "steps.added[1]"),
        ({"hidden": ["a", "b", "a"]}, "steps.hidden[2]"),
        ({"order": ["cut", "cut"]}, "steps.order[1]"),
        ({"added": [{"key": "cut", "title": "x"}]}, "steps.added[0].key"),
        ({"added": [{"key": "own/0", "title": "x"}]}, "steps.added[0].key"),
        ({"order": ["Cut"]}, "steps.order[0]"),
        ({"order": ["a/b/c/d"]}, "steps.order[0]"),
        ({"worded": [{"key": "cut", "title": "a\u0007b"}]}, "steps.worded[0].title"),
        ({"worded": [{"key": "cut", "title": "x", "text": "a\tb"}]}, "steps.worded[0].text"),
        ({"last": "2"}, "steps.last"),
        ({"colour": "red"}, "steps.colour"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(changes: dict[str, object], place: str) -> None:
    with pytest.raises(DocumentError) as caught:
        loads(with_steps(**changes))
    assert caught.value.place == place
