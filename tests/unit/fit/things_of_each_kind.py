"""One part for each kind of thing: along +x it is that thing that reaches furthest, by a known measure.

And what the tests of limits share: distances at a limit and a hair below it, with what is found there.
"""

from __future__ import annotations

from app.geometry.outline import Corner, Outline
from app.geometry.shapes import rectangle
from app.model.part import Flange, Part, ScrewFixing
from app.model.resolved import Placed, Recess, ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import at, button, found, hanging, near, nut, plate

HAIR = 0.01  # mm past a limit: what is said to that; less is not short
Want = tuple[object, ...]

BORE, POCKET = (40.0, 5.0), Recess(50, 30, 6, 5)
PLAIN = button(20, flange=0)

# The part, and how far what it is here for reaches along +x [mm].
PARTS: dict[str, tuple[Part, float]] = {
    "hole": (PLAIN, 10),
    "counterbore": (PLAIN, BORE[0] / 2),
    "recess": (PLAIN, POCKET.width / 2),
    "flange": (button(20, flange=60), 30),
    "plate on top": (button(20, flange=0, fixing=plate("top", 80, 30)), 40),
    "screw head on top": (button(20, flange=0, fixing=plate("top", 60, 30, (29, 0))), 29 + 4),
    "body": (hanging(50, hole=20, flange=0), 25),
    "plate": (hanging(24, hole=20, flange=0, fixing=plate("under", 80, 30)), 40),
    "nut": (button(20, flange=0, fixing=nut(width=50)), 25),
    "screw head": (hanging(24, hole=20, flange=0, fixing=plate("under", 60, 30, (29, 0))), 29 + 4),
}


def reach(kind: str) -> float:
    """How far the part of a kind reaches along +x [mm]."""
    return PARTS[kind][1]


def put(kind: str, x: float, y: float, name: str = "a", angle: float = 0) -> Placed:
    """The part of a kind at its place."""
    bore, recess = (BORE if kind == "counterbore" else None), (POCKET if kind == "recess" else None)
    return at(x, y, PARTS[kind][0], name=name, angle=angle, bore=bore, recess=recess)


def told(kind: str) -> str:
    """What a finding calls a kind."""
    return kind.removesuffix(" on top")


def screwed(
    side: str = "under", *holes: tuple[float, float], length: float | None = None, diameter: float = 4.0
) -> Part:
    """A part on a plate 100 × 60 mm, 2 mm thick, on a face; its screws, by default one at (40, 0), hold the plate."""
    fixing = ScrewFixing(holes or ((40.0, 0.0),), diameter, side, rectangle(100, 60), 2, length)  # type: ignore[arg-type]
    if side == "top":
        return button(20, flange=0, fixing=fixing)
    return hanging(24, hole=20, flange=0, fixing=fixing)


def domed(height: float, width: float = 60) -> Part:
    """A part with a flange of that height [mm]."""
    return replace(button(20), flange=Flange(rectangle(width, width), height))


def window(x0: float, y0: float, x1: float, y1: float) -> Outline:
    """A rectangular opening between two corners."""
    return Outline(tuple(Corner(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))


OPENING = window(250, 100, 350, 200)


def only(checked: ResolvedBoard, rule: str) -> Want:
    """Severity, measured and required of the one finding of a rule; nothing where there is none."""
    findings = found(checked, rule)
    assert len(findings) <= 1, findings
    return next(((f.severity, f.measured, f.required) for f in findings), ())


def steps(stop: float, caution: float) -> list[tuple[float, Want]]:
    """Distances at both limits and a hair below, with what is found there."""
    return [
        (caution, ()),
        (caution - HAIR, ("caution", near(caution - HAIR), near(caution))),
        (stop, ("caution", near(stop), near(caution))),
        (stop - HAIR, ("stop", near(stop - HAIR), near(stop))),
    ]
