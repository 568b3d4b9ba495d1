"""The measures of hardware by what they say the size of, under the names that a part's form has for them."""

from __future__ import annotations

from collections.abc import Iterable

HOLE_SIZES = ("hole_smallest", "hole_largest")
"""What says how wide a hole may be."""

SIZES = {
    "flange": ("flange", "flange_width", "flange_height"),
    "plate": ("plate", "plate_width", "plate_height"),
    "body": ("body", "body_width", "body_height"),
    "nut": ("nut_width",),
    "screw": ("screw_across", "screw_along"),
    "screw head": ("screw_across", "screw_along", "screw_diameter"),
    "lever": ("lever_length", "knob"),
}
"""By kind of feature, what says how large it is; a hole is as wide as its bit, and a cut as it is made."""


def measures_of_things(features: Iterable[str]) -> tuple[str, ...]:
    """What says how large features of those kinds are."""
    return tuple(name for feature in features for name in SIZES.get(feature, ()))
