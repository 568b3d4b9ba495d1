"""The plate a display hangs on, as a beam between two supports, against printed tables and an integral of its own.

Tables of beams (Roark's Formulas, table 8.1, case 1e; any handbook's first page; from memory): on two supports with a
load W in the middle of a span l, the middle sags by 0.0208 W l³ / (E I), and I = b t³ / 12. The integral is that of
unit loads, ∫ M m / (E I) dx, added up by numpy from the two bending moments, and knows nothing of 1/48.
"""

from __future__ import annotations

import numpy as np
import pytest

from app.catalogue.load import catalogue
from app.model.maker.beam import bend, stiffness
from app.model.material import Layer

PLATES = [
    ("plywood", 9.0, 275.0, 450.0, 4000.0),
    ("mdf", 18.0, 120.0, 700.0, 9000.0),
    ("plywood", 6.0, 80.0, 300.0, 900),
]
"""Material, thickness, net width, span [mm], load [g]."""


def modulus(material: str, thickness: float) -> float:
    strength = catalogue().materials[material].strength(thickness)
    assert strength is not None
    return strength.modulus


@pytest.mark.parametrize(("material", "thickness", "net", "span", "grams"), PLATES)
def test_a_plate_sags_as_the_tables_of_beams_say(
    material: str, thickness: float, net: float, span: float, grams: float
) -> None:
    stiff = stiffness([Layer(catalogue().materials[material], thickness)], net)
    assert stiff is not None
    newtons = grams / 1000 * 9.80665  # standard gravity: ISO 80000-3, from memory
    printed = 0.0208 * newtons * span**3 / (modulus(material, thickness) * net * thickness**3 / 12)
    assert bend(grams, span, stiff) == pytest.approx(printed, rel=0.0025)  # 0.0208 is 0.02083 in four places


@pytest.mark.parametrize(("material", "thickness", "net", "span", "grams"), PLATES)
def test_a_plate_sags_as_the_integral_of_its_bending_moments(
    material: str, thickness: float, net: float, span: float, grams: float
) -> None:
    stiff = stiffness([Layer(catalogue().materials[material], thickness)], net)
    assert stiff is not None
    x = np.linspace(0.0, span, 20_001)
    arm = np.minimum(x, span - x) / 2  # moment of a unit load in the middle: half of it rests on either support
    load = grams / 1000 * 9.80665
    second = modulus(material, thickness) * net * thickness**3 / 12
    assert bend(grams, span, stiff) == pytest.approx(float(np.trapezoid(load * arm * arm, x)) / second, rel=1e-6)


def test_loose_layers_are_as_stiff_as_their_sum_and_glued_ones_would_be_four_times_that() -> None:
    """Two boards slide on each other: 2 t³ against (2 t)³."""
    one, thick = (stiffness([Layer(catalogue().materials["plywood"], t)] * n, 200.0) for n, t in ((2, 6.0), (1, 12.0)))
    assert one is not None and thick is not None
    share = modulus("plywood", 12.0) / modulus("plywood", 6.0)
    assert thick / one == pytest.approx(4 * share)
