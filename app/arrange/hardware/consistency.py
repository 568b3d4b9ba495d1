"""What no part can be: measures that contradict each other, most likely taken or typed wrongly."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

from app.arrange.hardware.measures import PartMeasure, caliper
from app.catalogue.hardware import PartEntry
from app.catalogue.records import part_of
from app.errors import EditError
from app.geometry.shapes import Shape, circle
from app.model.part import Part, ScrewFixing
from app.units import Unit

_TINY = 1e-6
_DIRECTIONS = tuple((math.cos(math.radians(a / 2)), math.sin(math.radians(a / 2))) for a in range(720))


class NonsenseError(EditError):
    """Measures that contradict each other.

    Args:
        problems: sentence by name of the measure it belongs beside.
    """

    def __init__(self, problems: Mapping[str, str]) -> None:
        super().__init__(" ".join(dict.fromkeys(problems.values())), next(iter(problems), ""), problems)


class _Clash(Struct, frozen=True):
    """A contradiction, and the measures it is between."""

    between: tuple[str, ...]
    sentence: str


def check_part(part: PartEntry, measures: tuple[PartMeasure, ...], changed: frozenset[str], unit: Unit) -> None:
    """Refuse a part in which a changed measure contradicts another.

    What was already wrong in measures that nobody touched is let pass, so that a part can be mended bit by bit.

    Args:
        part: the part as it would be.
        measures: its measures.
        changed: names of those just changed.
        unit: for the sentences.

    Raises:
        NonsenseError: with a sentence beside each measure in question.
    """
    size = {m.name: m.value for m in measures}
    clashes = [c for c in _of_sizes(size, unit) if changed & set(c.between)]
    if not clashes:
        clashes = [c for c in _of_shapes(part_of(part, "part"), size, unit) if changed & set(c.between)]
    problems: dict[str, str] = {}
    for clash in clashes:
        # Beside what was just typed; the other one has been believed until now.
        beside = next(name for name in clash.between if name in changed)
        problems.setdefault(beside, clash.sentence)
    if problems:
        raise NonsenseError(problems)


def _of_sizes(size: Mapping[str, float], unit: Unit) -> Iterator[_Clash]:
    """Contradictions between plain numbers."""

    def say(name: str) -> str:
        return caliper(size[name], unit)

    yield from _of_hole(size, "hole", say)
    yield from _of_hole(size, "screw_hole", say)
    yield from _of_nut(size, unit, say)
    if "screw_hole_smallest" in size and size["screw_diameter"] > size["screw_hole_smallest"] + _TINY:
        yield _Clash(
            ("screw_diameter", "screw_hole_smallest"),
            f"The screw is {say('screw_diameter')} thick and cannot go through a hole of "
            f"{say('screw_hole_smallest')}, the smallest given. Measure across the thread again, or make "
            "that hole larger.",
        )
    if 0 < size.get("screw_length", 0.0) <= size.get("plate_thickness", 0.0):
        yield _Clash(
            ("screw_length", "plate_thickness"),
            f"A screw of {say('screw_length')} ends inside the plate, {say('plate_thickness')} thick. Measure it below "
            "its head.",
        )
    if "grip_min" in size and size["grip_min"] >= size["grip_max"]:
        yield _Clash(
            ("grip_max", "grip_min"),
            f"The clips hold boards from {say('grip_min')} to {say('grip_max')}: the thickest must be more than the "
            "thinnest. Measure both again.",
        )
    if "height_min" in size and size["height_min"] > size["height_max"]:
        yield _Clash(
            ("height_max", "height_min"),
            f"The least height wanted, {say('height_min')}, is more than the greatest, {say('height_max')}. Swap them.",
        )


def _of_hole(size: Mapping[str, float], name: str, say: Callable[[str], str]) -> Iterator[_Clash]:
    if f"{name}_smallest" not in size:
        return
    sides = [side for side in (name, f"{name}_width", f"{name}_height") if side in size]
    side = min(sides, key=lambda each: size[each])
    low, high = f"{name}_smallest", f"{name}_largest"
    what = "screw hole" if name == "screw_hole" else "hole"
    if size[low] > size[high] + _TINY:
        yield _Clash(
            (low, high),
            f"The smallest {what} that works, {say(low)}, is larger than the largest, {say(high)}. Swap them.",
        )
    elif size[side] < size[low] - _TINY:
        yield _Clash(
            (side, low, *sides),
            f"A {what} of {say(side)} is smaller than the smallest that works, {say(low)}. Make it larger, or correct "
            "the smallest.",
        )
    elif size[side] > size[high] + _TINY:
        yield _Clash(
            (side, high, *sides),
            f"A {what} of {say(side)} is larger than the largest that works, {say(high)}. Make it smaller, or correct "
            "the largest.",
        )


def _of_nut(size: Mapping[str, float], unit: Unit, say: Callable[[str], str]) -> Iterator[_Clash]:
    if "thread_length" not in size:
        return
    taken = size["nut_height"] + size["washer"] + size["spare_thread"]
    if size["thread_length"] <= taken + _TINY:
        yield _Clash(
            ("thread_length", "nut_height", "washer", "spare_thread"),
            f"Nut, washer and spare thread take {caliper(taken, unit)}, and the thread is {say('thread_length')}: "
            "nothing is left for a board. Measure the thread from the underside of the rim.",
        )
    if size["thread_length"] > size["body_depth"] + _TINY:
        yield _Clash(
            ("thread_length", "body_depth"),
            f"The thread, {say('thread_length')}, reaches further down than the whole part, {say('body_depth')}. "
            "Both are measured from the underside of the rim, the depth to the ends of the terminals.",
        )
    if "hole_largest" in size and size["nut_width"] <= size["hole_largest"] + _TINY:
        yield _Clash(
            ("nut_width", "hole_largest"),
            f"A nut {say('nut_width')} across its corners falls through a hole of {say('hole_largest')}, "
            "the largest given; a nut is wider than its thread and its hole. Measure across the corners.",
        )


def _of_shapes(part: Part, size: Mapping[str, float], unit: Unit) -> Iterator[_Clash]:
    """Contradictions between outlines: what has to pass, what has to cover, what has to carry the screws."""
    if "hole_smallest" in size:
        hole = part.cutouts[0]
        tight, wide = (hole.width - hole.smallest) / 2, (hole.largest - hole.width) / 2
        if part.mount == "top" and not _within(part.body.shape, hole.shape, -tight):
            yield _Clash(
                (*_named(size, "body"), "hole_smallest", *_named(size, "hole")),
                f"The body is wider than the smallest hole given, {caliper(hole.smallest, unit)}, and must "
                "go through it from above. Measure the body again, or make that hole larger.",
            )
        if part.flange is not None and not _within(hole.shape, part.flange.shape, -wide):
            yield _Clash(
                (*_named(size, "flange"), "hole_largest", *_named(size, "hole")),
                f"The rim does not cover a hole of {caliper(hole.largest, unit)}, the largest given: it "
                "would fall in. Measure the rim across its widest point, or make that hole smaller.",
            )
    if isinstance(part.fixing, ScrewFixing):
        yield from _of_screws(part, part.fixing, size)


def _of_screws(part: Part, fixing: ScrewFixing, size: Mapping[str, float]) -> Iterator[_Clash]:
    carrier, name = fixing.plate, "plate"
    if carrier is None:
        on_rim = part.flange is not None and part.mount == "top"
        carrier, name = (part.flange.shape, "flange") if part.flange and on_rim else (part.body.shape, "body")
    if all(_within(circle(fixing.screw_diameter, *at), carrier, 0.0) for at in fixing.holes):
        return
    word = {"plate": "plate", "flange": "rim", "body": "body"}[name]
    spread = tuple(each for each in ("screw_across", "screw_along") if each in size)
    yield _Clash(
        (*spread, "screw_diameter", *_named(size, name)),
        f"A screw misses the {word} that it has to hold. Measure from screw hole to screw hole, rim to rim on "
        f"the same side, and the {word} again.",
    )


def _named(size: Mapping[str, float], name: str) -> tuple[str, ...]:
    return tuple(each for each in (name, f"{name}_width", f"{name}_height") if each in size)


def _within(inner: Shape, outer: Shape, more: float) -> bool:
    """Whether ``inner`` lies in ``outer`` grown by ``more`` [mm]; both are convex, so their widths decide."""
    return all(_reach(inner, u) <= _reach(outer, u) + more + _TINY for u in _DIRECTIONS)


def _reach(shape: Shape, u: tuple[float, float]) -> float:
    return max(x * u[0] + y * u[1] for x, y in shape.core) + shape.radius
