"""How far a new deck's parts keep from each other and from the edges, so that no rule has anything to say.

Measured along x or y between the parts' origins, as if every part were the rectangle round it: never less
than the rules ask, sometimes more. The fit rules judge the finished board; this only chooses.
"""

from __future__ import annotations

from msgspec import Struct
from propcache.api import cached_property

from app.arrange.placement.seat import LEFT, RIGHT, Seat
from app.catalogue.load import Catalogue
from app.model.material import Layer
from app.model.part import ScrewFixing
from app.model.recess_envelope import knob_low, throw_of
from app.model.resolved import Recess
from app.model.tooling import Tooling


class Clearances(Struct, frozen=True, dict=True):
    """What a board and a shop ask of the places of parts.

    Args:
        layers: top to underside.
        shop: bits and drilling method.
        catalogue: for the defaults.
        rail: width of the rails below the left and right edges [mm].
        finger_gap: least gap between two flanges that a hand works [mm].
    """

    layers: tuple[Layer, ...]
    shop: Tooling
    catalogue: Catalogue
    rail: float
    finger_gap: float

    @cached_property
    def thickness(self) -> float:
        """All layers together [mm]."""
        return sum(layer.thickness for layer in self.layers)

    def margin(self, seat: Seat, side: int) -> float:
        """Least distance of a part's origin from the board's edge on one side [mm]."""
        off = self.shop.drilling.position + self.shop.drilling.edge
        rail = self.rail if side in (LEFT, RIGHT) else 0.0
        gap = self.catalogue.rule("rail-gap")
        turn = self.catalogue.rule("spanner-room") if seat.has_nut else gap
        return max(
            seat.cut[side] + self._edge_distance(seat) + off,
            seat.top[side] + self.catalogue.rule("flange-overhang") + off,
            seat.under[side] + rail + max(turn, gap) + off,
            seat.under[side] + self.catalogue.rule("under-overhang") + off,
            seat.screws[side] + max(self.catalogue.rule("screw-edge"), self._screw_edge(seat)) + off,
        )

    def apart(self, a: Seat, side: int, b: Seat) -> float:
        """Least distance between the origins of ``a`` and ``b``, which lies on that side of ``a`` [mm]."""
        other = (side + 2) % 4
        off = 2 * self.shop.drilling.position
        nut = a.has_nut or b.has_nut
        below = self.catalogue.rule("spanner-room" if nut else "body-gap")
        mouth = self.catalogue.rule("mouth-gap")
        in_board = max(a.cut[side], a.screws[side]) + max(b.cut[other], b.screws[other])
        return max(
            in_board + self._web + off,
            max(a.cut[side] + b.under[other], a.under[side] + b.cut[other]) + mouth + off,
            self._sweep(a, b) + off,
            a.top[side] + b.top[other] + max(self.finger_gap, self.catalogue.rule("flange-gap") + off),
            a.under[side] + b.under[other] + below + off,
        )

    def _sweep(self, a: Seat, b: Seat) -> float:
        """How far apart two parts are whose levers, or the lever of one and a flange as high, swing free; else 0."""
        lean = self.catalogue.rule("lever-lean")
        found = 0.0
        for one, other in ((a, b), (b, a)):
            if one.part.lever is None:
                continue
            reach = one.part.lever.knob / 2 + throw_of(one.part, lean)
            flange = other.part.flange
            if other.part.lever:
                found = max(found, reach + other.part.lever.knob / 2 + throw_of(other.part, lean))
            elif flange and flange.height >= knob_low(one.part, self.thickness, _depth(one.recess), 0.0, lean):
                found = max(found, reach + flange.shape.reach)
        return found

    def depth_below(self, seat: Seat) -> float:
        """Free depth a part needs below the underside, wires included [mm]."""
        return seat.part.depth_below(self.thickness) + self.catalogue.rule("wire-room")

    def _edge_distance(self, seat: Seat) -> float:
        widest = max((min(hole.size) for hole in seat.holes), default=0.0)
        found = [0.0]
        for layer in self.layers:
            limits = layer.material.limits
            caution = limits.edge_caution_backed if len(self.layers) > 1 else limits.edge_caution
            found.append(caution.required(layer.thickness, widest))
            if seat.bore:  # what is left of the layer below may have nothing at its back
                found.append(limits.edge_caution.required(layer.thickness, seat.bore.diameter))
            if seat.recess:
                wide = min(seat.recess.width, seat.recess.height)
                found.append(limits.edge_caution.required(layer.thickness, wide))
        return max(found)

    def _screw_edge(self, seat: Seat) -> float:
        """What a screw needs to the edge as a hole in the layer it is in; any layer, for simplicity."""
        diameter = seat.part.fixing.screw_diameter if isinstance(seat.part.fixing, ScrewFixing) else 0.0
        found = (layer.material.limits.edge_caution.required(layer.thickness, diameter) for layer in self.layers)
        return max(found) if diameter else 0.0

    @cached_property
    def _web(self) -> float:
        return max(layer.material.limits.web_caution.required(layer.thickness) for layer in self.layers)


def _depth(recess: Recess | None) -> float:
    return recess.depth if recess else 0.0
