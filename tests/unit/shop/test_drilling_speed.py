"""How fast bits turn: as published where a table is, marked as from memory where there is none; slow where it melts."""

from __future__ import annotations

import math

import pytest

from app.catalogue.load import catalogue
from app.model.tooling import Bit
from app.shop.drilling_speed import speed_of, speed_words

FOOT = 0.3048  # m, exact


@pytest.mark.parametrize(
    ("width", "most"), [(1.5, 3000), (4.7625, 3000), (5.0, 1500), (9.525, 1500), (10.0, 750), (12.7, 750)]
)
@pytest.mark.parametrize("family", ["mdf", "plywood"])
def test_twist_bits_in_wood_turn_as_a_woodworking_magazine_has_it(width: float, most: int, family: str) -> None:
    """Its chart for hardwood: 3000 up to 3/16 in, 1500 up to 3/8 in, 750 up to 1/2 in."""
    turns = speed_of(Bit("twist", width, 50.0), [family])
    assert turns is not None
    assert (turns.most, turns.published) == (most, True)
    assert speed_words(turns) == f"up to {most:,}"


@pytest.mark.parametrize("width", [3.175, 6.35, 12.7])
def test_in_aluminium_the_rim_runs_at_the_published_speed(width: float) -> None:
    """180 surface feet a minute (a machinist school); turns are 318.3 v / d, v in m/min and d in mm."""
    turns = speed_of(Bit("twist", width, 50.0), ["aluminium"])
    assert turns is not None
    assert turns.most * math.pi * width / 1000 == pytest.approx(180 * FOOT, rel=0.002)
    assert turns.published


def test_what_is_from_memory_says_so_and_of_a_stack_the_slowest_counts() -> None:
    forstner = Bit("forstner", 28.0, 50.0)
    wood = speed_of(forstner, ["mdf"])
    both = speed_of(forstner, ["acrylic", "mdf"])
    assert wood is not None and both is not None
    assert speed_words(wood).endswith(", from memory")
    assert both.most < wood.most, "acrylic melts before it cuts"
    assert speed_of(forstner, ["steel"]) is None, "nobody bores steel with it"
    assert speed_words(speed_of(Bit("router", 6.0, 20.0), ["mdf"])) == ""
    assert speed_of(None, ["mdf"]) is None


def test_wider_bits_of_a_kind_never_turn_faster() -> None:
    kinds = {kind for row in catalogue().speeds.values() for kind in row.kinds}
    for kind in kinds:
        for family in ("mdf", "acrylic", "aluminium", "steel"):
            found = [speed_of(Bit(kind, width / 2, 50.0), [family]) for width in range(2, 130)]  # type: ignore[arg-type]
            fast = [turns.most for turns in found if turns is not None]
            assert fast == sorted(fast, reverse=True), (kind, family)
