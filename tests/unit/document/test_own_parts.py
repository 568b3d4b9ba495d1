"""Parts a design carries itself: read once, however many arrangements ask for them."""

from __future__ import annotations

import json

import pytest

from app.catalogue.hardware import PartEntry
from app.catalogue.load import catalogue
from app.catalogue.records import part_of
from app.document import resolve as module
from app.document.dump import dumps
from app.document.load import loads
from app.document.resolve import design_parts, resolve
from app.document.schema import Design
from app.errors import DocumentError
from app.model.part import Part
from tests.unit.document.designs import small_design
from tests.unit.document.test_limits import own_part


def carrying(parts: int, arrangements: int) -> Design:
    raw = json.loads(dumps(small_design()))
    raw["hardware"] = [own_part(k) for k in range(parts)]
    placed = [{"id": "a", "part": "own-0", "x": 100, "y": 100}]
    raw["boards"][0]["arrangements"] = [{"id": f"a{k}", "placements": placed} for k in range(arrangements)]
    return loads(json.dumps(raw))


def test_each_is_read_once_for_all_arrangements(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cost that is the product of the two made a small file take minutes."""
    read: list[str] = []

    def counted(entry: PartEntry, place: str) -> Part:
        read.append(place)
        return part_of(entry, place)

    monkeypatch.setattr(module, "part_of", counted)
    design = carrying(30, 40)
    for arrangement in design.boards[0].arrangements:
        board = resolve(design, None, arrangement.id, catalogue())
        assert board.placements[0].part.id == "own-0"
    assert read == [f"hardware[{k}]" for k in range(30)]


def test_another_design_has_its_own_of_the_same_name() -> None:
    one, other = carrying(2, 1), carrying(2, 1)
    wide = other.hardware[0].model_copy(update={"name": "Another"})
    other = other.model_copy(update={"hardware": (wide, *other.hardware[1:])})
    assert design_parts(one, catalogue())["own-0"].name == "Own"
    assert design_parts(other, catalogue())["own-0"].name == "Another"


def test_one_that_cannot_exist_is_told_with_its_place_every_time() -> None:
    design = carrying(2, 1)
    narrow = design.hardware[1].cutouts[0].model_copy(update={"largest": 1.0})
    wrong = design.hardware[1].model_copy(update={"cutouts": (narrow,)})
    design = design.model_copy(update={"hardware": (design.hardware[0], wrong)})
    for _ in range(2):
        with pytest.raises(DocumentError) as caught:
            design_parts(design, catalogue())
        assert caught.value.place == "hardware[1].cutouts[0]"
