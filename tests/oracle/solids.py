"""The board and its parts as solids: whatever meets, and whatever has no board behind it, by booleans alone.

No table of kinds and no limits: real heights, in the worst case every part grown sideways by the allowance. Circles
are polygons of few sides that lie inside the true ones, so what meets here meets.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from itertools import combinations, islice

from manifold3d import CrossSection, Manifold, OpType
from msgspec import Struct

from app.model.resolved import ResolvedBoard
from tests.oracle.against import Site
from tests.oracle.flat import Flat
from tests.oracle.strips import Strip
from tests.oracle.things import BEYOND, CUTS, THIN, Stuff, flat_of

FEW = 48
SPECK = 0.5  # less than this in common is rounding, or a tie [mm³]
FILM = 0.05  # a footprint is looked at this deep into the board, or this far out of it [mm]
SLIVER = 0.2  # the same for areas [mm²]
BEARING = ("flange", "plate", "nut", "screw head", "screw")


class Solid(Struct, frozen=True, eq=False, dict=True):
    """One solid of a placement: what it is, whether it is taken away, and its shape."""

    kind: str
    void: bool
    section: CrossSection
    low: float
    high: float

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Smallest upright rectangle round it [mm]."""
        x0, y0, x1, y1 = self.section.bounds()
        return (x0, y0, x1, y1)

    @cached_property
    def body(self) -> Manifold:
        """The prism."""
        return self.section.extrude(self.high - self.low).translate((0.0, 0.0, self.low))

    def near(self, other: Solid) -> bool:
        """Whether the boxes round the two meet, give or take a film."""
        a, b = self.box, other.box
        flat = min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])
        return flat and min(self.high, other.high) - max(self.low, other.low) > -FILM

    def meets(self, other: Solid) -> bool:
        """Whether the two have more than a speck in common."""
        common = min(self.high, other.high) - max(self.low, other.low)
        if common <= 1e-6 or (self.section ^ other.section).area() * common < SPECK:
            return False
        return bool((self.body ^ other.body).volume() > SPECK)

    def bears_on(self, other: Solid) -> bool:
        """Whether this bears on a face, or is a screw in the board, where the other is cut away."""
        if self.void or not other.void or self.kind not in BEARING:
            return False
        face = 0.0 if self.low >= 0 else self.high
        low, high = (self.low, self.high) if self.kind == "screw" else (face - FILM, face + FILM)
        if min(high, other.high) <= max(low, other.low):
            return False
        return bool((self.section ^ other.section).area() > SLIVER)


class Meeting(Struct, frozen=True):
    """Two things that meet, or one that has no board behind it.

    Args:
        subjects: placement ids.
        what: the two, for the reader.
        mild: whether a caution will do: it may be meant.
    """

    subjects: frozenset[str]
    what: tuple[str, str]
    mild: bool = False


def section_of(flat: Flat, grown: float) -> CrossSection:
    """A shape grown sideways [mm], its round corners of few sides and inside the true ones."""
    radius = flat.radius + grown
    if radius <= 0:
        return CrossSection([flat.core.tolist()])
    return CrossSection.batch_hull([CrossSection.circle(radius, FEW).translate((x, y)) for x, y in flat.core.tolist()])


def solids_of(one: Stuff, board: ResolvedBoard, grown: float) -> list[Solid]:
    """Everything a placement puts in or takes away, at its real heights [mm]."""
    t, placed, part = board.thickness, one.placed, one.placed.part
    sunk = min(placed.recess.depth, t) if placed.recess else 0.0
    found = []
    for thing in one.things:
        low, high, kind = thing.low, thing.high, thing.kind
        if kind in ("hole", *CUTS):
            # What is cut so deep that nothing stays above it is said of its own part, not of all that lies there.
            highest = 1.0 if kind == "hole" else -2 * FILM
            found.append(Solid(kind, True, section_of(thing.flat, grown), max(low, -t - 1), min(high, highest)))
            continue
        if kind == "lever":
            continue  # it moves: judged by its sweep
        if kind == "screw":
            low, high = max(low, -t), min(high, 0.0)  # what comes out of the board is a screw too long
        if kind == "body":
            high = -t if part.mount == "top" else -t + sunk
            low = high - (part.body.depth - (t if part.mount == "top" else 0.0))
        elif kind in ("plate", "nut", "screw head") and thing.face != "top" and sunk:
            low, high = low + sunk, high + sunk  # in a recess of its own it lies that much higher
        if high - low > THIN / 2:
            found.append(Solid(kind, False, section_of(thing.flat, grown), low, high))
    return found


def meetings(site: Site, stuff: list[Stuff], worst: bool) -> Iterator[Meeting]:
    """All that meets, as drawn or in the worst case; of two placements the first two things that do."""
    slack = site.board.tooling.drilling.position if worst else 0.0
    solids = {one.id: solids_of(one, site.board, slack) for one in stuff}
    for one, other in combinations(stuff, 2):
        yield from islice(_pair(one, other, solids), 1)
    for one in stuff:
        yield from _still(site, one, solids[one.id])
        yield from islice(_over_edge(site, one, solids[one.id]), 1)
        yield from _through(one, site.board.thickness)
        if any(thing.kind in CUTS and thing.deep >= site.board.thickness for thing in one.things):
            yield Meeting(frozenset((one.id,)), ("cut", "top"))


def _pair(one: Stuff, other: Stuff, solids: dict[str, list[Solid]]) -> Iterator[Meeting]:
    """Two solids in one place, two holes run into each other, a solid in another part's hole or bearing on it."""
    subjects = frozenset((one.id, other.id))
    pairs = [(a, b) for a in solids[one.id] for b in solids[other.id] if a.near(b)]
    for a, b in pairs:
        if a.meets(b) or a.bears_on(b) or b.bears_on(a):
            yield Meeting(subjects, (a.kind, b.kind))


def _still(site: Site, one: Stuff, solids: list[Solid]) -> Iterator[Meeting]:
    """Rails under the board, and areas to keep clear, against what is put in."""
    t = site.board.thickness
    pieces = [piece for rail in site.rails if isinstance(rail, Strip) for piece in rail.pieces]
    stands = [Solid("rail", False, section_of(piece, 0.0), -t - 30.0, -t) for piece in pieces]
    for face, area in site.areas:
        low, high = (0.0, BEYOND) if face == "top" else (-BEYOND, -t)
        stands.append(Solid("area", False, section_of(area, 0.0), low, high))
    for b in stands:
        met = (
            Meeting(frozenset((one.id,)), (a.kind, b.kind)) for a in solids if not a.void and a.near(b) and a.meets(b)
        )
        yield from islice(met, 1)


def _over_edge(site: Site, one: Stuff, solids: list[Solid]) -> Iterator[Meeting]:
    """What bears on a face, or a screw, where there is no board at all."""
    for a in solids:
        if a.kind in BEARING and (a.section - site.land.section).area() > SLIVER:
            # A plate under the board may span an opening, as behind a window; its screws are judged by themselves.
            spans = a.kind == "plate" and a.high <= 0 and (a.section - site.land.rim.section).area() <= SLIVER
            yield Meeting(frozenset((one.id,)), (a.kind, "edge"), mild=spans)


def _through(one: Stuff, t: float) -> Iterator[Meeting]:
    """A body let in from the top that does not go through what has been cut away for it."""
    placed, part = one.placed, one.placed.part
    if part.mount != "top" or part.body.depth <= 0:
        return
    flat = flat_of(part.body.shape).moved(placed.x, placed.y, placed.angle)
    body = Solid("body", False, section_of(flat, 0.0), max(-part.body.depth, -t), 0.0)
    cut = [section_of(thing.flat, 0.02).extrude(t + 2).translate((0.0, 0.0, -t - 1)) for thing in one.of("hole")]
    if Manifold.batch_boolean([body.body, *cut], OpType.Subtract).volume() > SPECK * t:
        yield Meeting(frozenset((one.id,)), ("body", "board"))
