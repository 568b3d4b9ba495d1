"""The placements of a board as arrays: every hole, flange and body that is really made, at its place."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from propcache.api import cached_property

from app.catalogue.load import Catalogue
from app.catalogue.stock import Default
from app.fit.features.features import (
    BODY,
    BORE,
    HEAD,
    HOLE,
    NUT,
    PLATE,
    RECESS,
    Features,
    Flags,
    Floats,
    Ints,
    is_any,
    joined_things,
)
from app.fit.features.part_features import CAPPED, CAPPED_CLAMPED, CLAMPED, PartThings, rows_of, things_of
from app.geometry.clearance import ShapeSet, shape_set
from app.geometry.shapes import Point, rotate
from app.model.part import Part
from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard
from app.model.tooling import Allowance

_NOTHING = Features(shape_set([]), np.zeros(0, np.intp), np.zeros(0, np.intp))


class PlacedFeatures(Struct, frozen=True, eq=False, dict=True):
    """What the placements of a board bring.

    Args:
        board: the board.
        catalogue: where the defaults stand.
        placed: the placements that are drilled; every index into placements is into this.
    """

    board: ResolvedBoard
    catalogue: Catalogue
    placed: tuple[Placed, ...]

    def default(self, name: str) -> Default:
        """The default of that name, with its source."""
        return self.catalogue.rules[name]

    @property
    def allowance(self) -> Allowance:
        """How far work may end up from the drawing."""
        return self.board.tooling.drilling

    @cached_property
    def ids(self) -> tuple[str, ...]:
        """Placement ids."""
        return tuple(p.id for p in self.placed)

    @cached_property
    def parts(self) -> tuple[tuple[Part, ...], Ints]:
        """The different parts, and the index among them of each placement's."""
        known: dict[int, int] = {}
        found: list[Part] = []
        index = []
        for placed in self.placed:
            part = placed.part
            key = id(part)
            if key not in known:
                known[key] = len(found)
                found.append(part)
            index.append(known[key])
        return tuple(found), np.array(index, np.intp)

    @cached_property
    def patterned(self) -> Flags:
        """Which placements are patterns, whose holes are each drilled by themselves, shape (n,)."""
        return np.array([p.part.is_pattern for p in self.placed], np.bool_)

    @cached_property
    def made_by(self) -> Ints:
        """Which maker made each placement, by a number; −1 for none, shape (n,)."""
        known = {name: k for k, name in enumerate(sorted({p.maker for p in self.placed if p.maker}))}
        return np.array([known.get(p.maker, -1) for p in self.placed], np.intp)

    @cached_property
    def groups(self) -> dict[tuple[int, Counterbore | None], list[int]]:
        """Placements with the same part and the same counterbore: what ails one of them ails all."""
        found: dict[tuple[int, Counterbore | None], list[int]] = {}
        for i, (part, placed) in enumerate(zip(self.parts[1].tolist(), self.placed, strict=True)):
            found.setdefault((part, placed.counterbore), []).append(i)
        return found

    @cached_property
    def seats(self) -> dict[tuple[int, Counterbore | None, Recess | None], list[int]]:
        """As ``groups``, also told apart by their recess."""
        if not any(p.recess for p in self.placed):
            return {(part, bore, None): owners for (part, bore), owners in self.groups.items()}
        found: dict[tuple[int, Counterbore | None, Recess | None], list[int]] = {}
        for (part, bore), owners in self.groups.items():
            for i in owners:
                found.setdefault((part, bore, self.placed[i].recess), []).append(i)
        return found

    @cached_property
    def hole_list(self) -> list[Hole]:
        """Every hole, in the order of ``holes``."""
        return [hole for placed in self.placed for hole in placed.holes]

    @cached_property
    def part_things(self) -> tuple[PartThings, ...]:
        """What each different part brings, about its own origin."""
        ratio, lean = self.default("screw-head-ratio").value, self.default("lever-lean").value
        thickness, paint = self.board.thickness, self.board.paint
        return tuple(things_of(part, thickness, paint, ratio, lean) for part in self.parts[0])

    @cached_property
    def hardware(self) -> Features:
        """What every part brings, hole by hole and piece by piece, turned and moved to its placements, in their order.

        Cut-outs are as wide as the bits that make them.
        """
        part_of, rows = self.parts[1], rows_of(self.part_things)
        owner = np.repeat(np.arange(len(part_of)), rows.counts[part_of])
        row = self._row
        points, radii, kind = self._at_place(rows.shapes.points[row], owner), rows.shapes.radii[row], rows.kinds[row]
        radii[np.flatnonzero(kind == HOLE)] = [hole.shape.radius for hole in self.hole_list]
        return Features(ShapeSet(points, rows.shapes.counts[row], radii), owner, kind)

    @cached_property
    def _row(self) -> Ints:
        """Index of each piece of hardware among the rows of the parts."""
        part_of, rows = self.parts[1], rows_of(self.part_things)
        many = rows.counts[part_of]
        before = np.repeat(rows.first[part_of] - np.cumsum(many) + many, many)
        found: Ints = before + np.arange(len(before))
        return found

    @cached_property
    def poses(self) -> Floats:
        """Where each placement is, and the cosine and sine of its turn, shape (n, 4) [mm, 1]."""
        turns: dict[float, Point] = {}
        for placed in self.placed:
            if placed.angle not in turns:
                turns[placed.angle] = rotate((1.0, 0.0), placed.angle)
        return np.array([(p.x, p.y, *turns[p.angle]) for p in self.placed], np.float64).reshape(-1, 4)

    @cached_property
    def extents(self) -> Floats:
        """Radius about its origin of all each placement brings, shape (n,) [mm]."""
        found: Floats = rows_of(self.part_things).extents[self.parts[1]]
        if len(self.cuts):
            deep = self.cuts.shapes.points - self.poses[self.cuts.owner][:, None, :2]
            np.maximum.at(
                found, self.cuts.owner, np.hypot(*deep.transpose(2, 0, 1)).max(axis=1) + self.cuts.shapes.radii
            )
        return found

    @cached_property
    def codes(self) -> Ints:
        """The kind of each of ``things``, with holes told apart by the faces on which they need not be asked."""
        codes = rows_of(self.part_things).codes[self._row]
        if not len(self.cuts):
            return codes
        codes = np.concatenate((codes[self._kept], self.cuts.kind))[self._order]
        # The counterbore stands for the nut below; one narrower than the nut may not cover the hole.
        narrow = [p.bore is not None and p.nut is not None and p.bore.radius < p.nut.radius for p in self.placed]
        bare = np.array(narrow, np.bool_)[self.features.owner]
        codes[bare & (codes == CLAMPED)] = HOLE
        codes[bare & (codes == CAPPED_CLAMPED)] = CAPPED
        return codes

    def _at_place(self, points: Floats, owner: Ints) -> Floats:
        """Points of parts, shape (n, k, 2), turned and moved as the placements that own them."""
        x, y, c, s = self.poses[owner].T[..., None]
        px, py = points[..., 0], points[..., 1]
        return np.stack((x + (px * c - py * s), y + (px * s + py * c)), axis=-1)

    @cached_property
    def cuts(self) -> Features:
        """Everything cut from the underside that does not go through: counterbores, then recesses."""
        if not any(p.counterbore or p.recess for p in self.placed):
            return _NOTHING
        made = [(i, BORE, p.bore) for i, p in enumerate(self.placed) if p.bore]
        made += [(i, RECESS, p.pocket) for i, p in enumerate(self.placed) if p.pocket]
        owner, kind = (np.array([row[k] for row in made], np.intp) for k in (0, 1))
        return Features(shape_set([shape for _, _, shape in made]), owner, kind)

    @cached_property
    def features(self) -> Features:
        """All there is, by placement; a nut in a counterbore is left out.

        The counterbore stands for it, and for the room to turn it.
        """
        if not len(self.cuts):
            return self.hardware
        return joined_things(self.hardware.take(self._kept), self.cuts).take(self._order)

    @cached_property
    def _kept(self) -> Flags:
        """Which pieces of hardware are judged: no nut in a counterbore."""
        bored = np.zeros(len(self.placed), np.bool_)
        bored[self.cuts.owner[self.cuts.kind == BORE]] = True
        kept: Flags = ~((self.hardware.kind == NUT) & bored[self.hardware.owner])
        return kept

    @cached_property
    def _order(self) -> Ints:
        """Hardware and cuts by placement."""
        owners = np.concatenate((self.hardware.owner[self._kept], self.cuts.owner))
        return np.argsort(owners, kind="stable")

    @cached_property
    def hangs(self) -> Floats:
        """How far each of ``things`` reaches below the bare underside of the board, shape (n,) [mm]."""
        hangs: Floats = rows_of(self.part_things).hangs[self._row]
        if not len(self.cuts):
            return hangs
        hangs = np.concatenate((hangs[self._kept], np.zeros(len(self.cuts))))[self._order]
        for i in sorted(set(self.cuts.owner.tolist())):
            placed, mine = self.placed[i], self.features.owner == i
            hangs[mine & (self.features.kind == BODY)] = placed.depth_below(self.board.thickness, self.board.paint)
            sunk = placed.recess.depth if placed.recess else 0.0
            hangs[mine & is_any(PLATE, HEAD)[self.features.kind]] -= sunk
            hangs[mine & (self.features.kind == NUT)] -= placed.cut_depth
        return np.maximum(hangs, 0.0)

    @cached_property
    def hole_widths(self) -> Floats:
        """Diameter of each hole; the smaller side of another shape [mm]."""
        return np.array([hole.diameter for hole in self.hole_list], np.float64)

    @cached_property
    def cut_depths(self) -> Floats:
        """Depth of each of ``cuts`` [mm]."""
        found = [p.counterbore.depth for p in self.placed if p.counterbore]
        return np.array(found + [p.recess.depth for p in self.placed if p.recess], np.float64)

    @cached_property
    def cut_widths(self) -> Floats:
        """Diameter of each of ``cuts``; the smaller side of a recess [mm]."""
        found = [p.counterbore.diameter for p in self.placed if p.counterbore]
        return np.array(found + [min(p.recess.width, p.recess.height) for p in self.placed if p.recess], np.float64)

    @cached_property
    def widths(self) -> Floats:
        """Width of each of ``features`` that is cut; the diameter about the core of any other [mm]."""
        features = self.features
        wide = 2 * features.shapes.radii
        if not all(hole.is_circle for hole in self.hole_list):
            wide[features.kind == HOLE] = self.hole_widths
        if len(self.cuts):
            wide[features.of(BORE)] = self._of_cuts(self.cut_widths, BORE)
            wide[features.of(RECESS)] = self._of_cuts(self.cut_widths, RECESS)
        return wide

    @cached_property
    def depths(self) -> Floats:
        """How deep each of ``features`` is cut from the underside; infinite for a hole, 0 for what is not cut [mm]."""
        features = self.features
        deep = np.where(features.kind == HOLE, np.inf, 0.0)
        if len(self.cuts):
            deep[features.of(BORE)] = self._of_cuts(self.cut_depths, BORE)
            deep[features.of(RECESS)] = self._of_cuts(self.cut_depths, RECESS)
        return deep

    def _of_cuts(self, values: Floats, kind: int) -> Floats:
        """Values of the counterbores or of the recesses; both stand in the order of their placements."""
        some: Floats = values[self.cuts.kind == kind]
        return some
