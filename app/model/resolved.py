"""A board with everything placed on it: what rules judge and drawings show."""

from __future__ import annotations

import math

from msgspec import Struct
from propcache.api import cached_property

from app.geometry.boundary import Boundary
from app.geometry.outline import EDGE_NAMES, EdgeName, Outline
from app.geometry.shapes import Point, Shape, rectangle, rotate
from app.geometry.strips import HELD, Strip, longest_straight, strips_of
from app.model.accepted import Accepted
from app.model.as_built import NOTHING_BUILT, AsBuilt
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.coupon import CouponTrial
from app.model.cuts import Counterbore, Recess
from app.model.hole import Hole
from app.model.legend import PLAIN, Legend, Lettering
from app.model.maker.making import AirWays, Making
from app.model.material import Layer
from app.model.own_steps import NO_OWN_STEPS, OwnSteps
from app.model.part import Part, ScrewFixing
from app.model.pattern_cuts import made_alike, moved_on_board
from app.model.tooling import Tooling
from app.model.wiring import WiringPlan
from app.values import replace

__all__ = ["Counterbore", "Hole", "Recess"]


class Placed(Struct, frozen=True, dict=True):
    """A part at its place.

    Args:
        id: placement id.
        part: the hardware.
        x, y: its origin on the board, from the datum edges [mm].
        angle: turning, anticlockwise [degrees].
        label: the letter on the plan.
        station: id of the station it belongs to; empty if none.
        drill: whether it is drilled; if not, it is only a mark on the plan.
        holes: its cut-outs as they will be made.
        counterbore: from the underside about its origin, if any.
        locked: whether it may not be moved.
        recess: pocket from the underside about its origin, if any.
        maker: id of the maker that made it; empty if none did.
        begun: whether something of it is in the real board already, so that it stays where it is.
        legend: what is lettered beside it; None for nothing.
    """

    id: str
    part: Part
    x: float
    y: float
    angle: float
    label: str
    station: str
    drill: bool
    holes: tuple[Hole, ...]
    counterbore: Counterbore | None = None
    locked: bool = False
    recess: Recess | None = None
    maker: str = ""
    begun: bool = False
    legend: Legend | None = None

    def moved(self, dx: float, dy: float) -> Placed:
        """The placement, moved by (dx, dy) [mm]; a pattern in the outline of its board gains and loses holes by it."""
        part, at = moved_on_board(self.part, self.angle, dx, dy), (self.x + dx, self.y + dy, self.angle)
        holes = [Hole(h.cutout, h.shape.shifted(dx, dy), h.bit) for h in self.holes]
        if part is not self.part:  # what it has now is as wide as what it had
            holes = [Hole(c, made_alike(c, holes[0].shape, at), holes[0].bit) for c in part.cutouts]
        return replace(self, part=part, x=at[0], y=at[1], holes=tuple(holes))

    def place(self, shape: Shape) -> Shape:
        """A shape of the part, at its place on the board."""
        return shape.placed(self.x, self.y, self.angle)

    @cached_property
    def flange(self) -> Shape | None:
        """The visible rim at its place."""
        return self.place(self.part.flange.shape) if self.part.flange else None

    @cached_property
    def rim(self) -> float:
        """Radius about its origin of all that shows on the top face; 0 if nothing does [mm]."""
        if self.part.is_pattern:
            return self.part.extent
        shapes = [s for s in (self.flange, *(h.shape for h in self.holes)) if s is not None]
        knob = self.part.lever.knob / 2 if self.part.lever else 0.0
        reaches = (s.reach + math.dist(s.centre, (self.x, self.y)) for s in shapes[:1])
        return max(knob, *reaches, 0.0)

    @cached_property
    def body(self) -> Shape:
        """The body at its place."""
        return self.place(self.part.body.shape)

    @cached_property
    def plate(self) -> Shape | None:
        """The mounting plate at its place, if the part has one."""
        fixing = self.part.fixing
        return self.place(fixing.plate) if isinstance(fixing, ScrewFixing) and fixing.plate else None

    @cached_property
    def nut(self) -> Shape | None:
        """The circle across the nut's corners at its place, if a nut holds the part."""
        nut = self.part.nut_circle
        return self.place(nut) if nut else None

    @cached_property
    def bore(self) -> Shape | None:
        """The counterbore at its place, if there is one."""
        return Shape(((self.x, self.y),), self.counterbore.diameter / 2) if self.counterbore else None

    @cached_property
    def pocket(self) -> Shape | None:
        """The recess at its place, if there is one."""
        r = self.recess
        return self.place(rectangle(r.width, r.height, corner=r.corner)) if r else None

    @property
    def cut_depth(self) -> float:
        """Depth cut from the underside about its origin, 0 if there is none [mm]."""
        bore = self.counterbore.depth if self.counterbore else 0.0
        return max(bore, self.recess.depth if self.recess else 0.0)

    def depth_below(self, thickness: float, paint: float = 0.0) -> float:
        """How far it reaches below the bare underside of a board ``thickness`` mm thick, at least 0 [mm].

        A part mounted from below in a recess hangs as much less as the recess is deep. A film of ``paint`` mm counts
        as for :meth:`app.model.part.Part.depth_below`.
        """
        if self.part.mount == "under" and self.recess:
            return max(0.0, self.part.body.depth - self.recess.depth + paint)
        return self.part.depth_below(thickness, paint)

    @cached_property
    def screws(self) -> tuple[Point, ...]:
        """Where its screws go [mm]."""
        if not isinstance(self.part.fixing, ScrewFixing):
            return ()
        turned = (rotate(p, self.angle) for p in self.part.fixing.holes)
        return tuple((self.x + px, self.y + py) for px, py in turned)


_NO_AIR = AirWays()


class ResolvedBoard(Struct, frozen=True, dict=True):
    """One board with one arrangement on it, everything in mm at its place.

    Args:
        id, name, role: of the board.
        arrangement_id, arrangement_name: of the arrangement.
        title: of the design.
        outline: the rim.
        openings: inner openings.
        layers: top to underside.
        edges: what is at each edge; an edge not listed has nothing.
        free_depth: free depth below the underside; None if nothing is below.
        keep_clear: areas to keep clear.
        placements: every part, drilled or not.
        tooling: what the builder works with.
        units: display units, ``mm`` or ``inch``.
        revision: what the state of the design is called, as ``revision B`` or ``step 12``; empty if nothing is known.
        paint: thickness of the paint or film on every surface, hole walls included [mm].
        accepted: cautions the builder has accepted.
        makers: what was asked of those that made some of the placements.
        air: what fans and holes of the whole design let through.
        as_built: what was drilled of it already.
        own_steps: what a plan maker has made of the steps of building the design.
        lettering: what its legends have in common.
        wiring: what was chosen for its wires; None for a board that nobody resolved from a design.
        trials: what came of trial cuts in scrap.
    """

    id: str
    name: str
    role: str
    arrangement_id: str
    arrangement_name: str
    title: str
    outline: Outline
    openings: tuple[Outline, ...]
    layers: tuple[Layer, ...]
    edges: tuple[EdgeFeature, ...]
    free_depth: DepthPlane | None
    keep_clear: tuple[KeepClear, ...]
    placements: tuple[Placed, ...]
    tooling: Tooling
    units: str = "mm"
    revision: str = ""
    paint: float = 0.0
    accepted: tuple[Accepted, ...] = ()
    makers: tuple[Making, ...] = ()
    air: AirWays = _NO_AIR
    as_built: AsBuilt = NOTHING_BUILT
    own_steps: OwnSteps = NO_OWN_STEPS
    lettering: Lettering = PLAIN
    wiring: WiringPlan | None = None
    trials: tuple[CouponTrial, ...] = ()

    def populated(self, placements: tuple[Placed, ...]) -> ResolvedBoard:
        """The same board with other placements; what was worked out of the board by itself stays so.

        Getting the rim ready takes long, and while a part is dragged, or ways out are tried, only placements change.
        """
        other = replace(self, placements=placements)
        other.__dict__.update({name: self.__dict__[name] for name in _OF_THE_BOARD if name in self.__dict__})
        return other

    @cached_property
    def boundary(self) -> Boundary:
        """The rim and openings, ready for distance questions."""
        return Boundary(self.outline, self.openings)

    @cached_property
    def rails(self) -> tuple[Strip, ...]:
        """The rails glued below its edges, straight pieces with ends."""
        loose = {e.edge for e in self.loose_rails}
        widths = {e.edge: e.rail for e in self.edges if e.rail > 0 and e.edge not in loose}
        return strips_of(self.outline, widths) if widths else ()

    @cached_property
    def loose_rails(self) -> tuple[EdgeFeature, ...]:
        """Edges whose rail has nothing to be glued along: no straight piece as long as it is wide."""
        return tuple(e for e in self.edges if e.rail > 0 and longest_straight(self.outline, e.edge) < e.rail)

    @cached_property
    def slots(self) -> tuple[Strip, ...]:
        """The slots cut into its edges; they follow a round edge, and a set-back corner between two that have one."""
        widths = {e.edge: e.slot_depth for e in self.edges if e.slot_depth > 0}
        return strips_of(self.outline, widths, round_corners=True) if widths else ()

    @cached_property
    def round_edges(self) -> frozenset[EdgeName]:
        """Edges with nothing straight to hold a square against: there, the line that touches the rim counts."""
        return frozenset(edge for edge in EDGE_NAMES if longest_straight(self.outline, edge) < HELD)

    def rail_at(self, name: EdgeName) -> float:
        """How wide the rail at the edge ``name`` is, 0 for none [mm]."""
        return max((strip.width for strip in self.rails if strip.edge == name), default=0.0)

    @cached_property
    def thickness(self) -> float:
        """All layers together [mm]."""
        return sum(layer.thickness for layer in self.layers)

    @cached_property
    def drilled(self) -> tuple[Placed, ...]:
        """The placements that are really made."""
        return tuple(p for p in self.placements if p.drill)

    @property
    def width(self) -> float:
        """Overall width [mm]."""
        x0, _, x1, _ = self.outline.bounds
        return x1 - x0

    @property
    def depth_front_to_back(self) -> float:
        """Overall depth, front to back [mm]."""
        _, y0, _, y1 = self.outline.bounds
        return y1 - y0

    def edge(self, name: EdgeName) -> EdgeFeature:
        """What is at the edge ``name``."""
        return next((e for e in self.edges if e.edge == name), EdgeFeature(name))

    def placed(self, placement_id: str) -> Placed | None:
        """The placement with that id, or None."""
        return self._by_id.get(placement_id)

    @cached_property
    def _by_id(self) -> dict[str, Placed]:
        return {p.id: p for p in reversed(self.placements)}


_OF_THE_BOARD = ("boundary", "rails", "loose_rails", "slots", "round_edges", "thickness")
"""What a board keeps of what it has worked out that no placement has a part in."""
