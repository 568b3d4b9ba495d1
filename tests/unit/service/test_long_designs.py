"""A board of few parts with many holes is worked on in another process, as one of many parts is."""

from __future__ import annotations

import json

import pytest

from app.document.schema import Design
from app.service.checks.long_designs import has_many_parts
from tests.unit.document.test_limits import TEXT, Raw, own_part, placements


@pytest.mark.parametrize(
    ("parts", "holes", "heavy"), [(15, 64, False), (16, 64, True), (250, 1, False), (251, 1, True)]
)
def test_a_design_is_heavy_by_its_parts_or_by_its_holes(parts: int, holes: int, heavy: bool) -> None:
    raw: Raw = json.loads(TEXT)
    raw["hardware"] = [own_part(0, holes)]
    raw["boards"][0]["arrangements"][0]["placements"] = placements(parts, "own-0")
    assert has_many_parts(Design.model_validate(raw)) is heavy
