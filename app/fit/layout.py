"""A board as arrays, built once for all rules: every hole, flange and body that is really made, at its place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import chain

import numpy as np
import numpy.typing as npt

from app.catalogue.load import Catalogue
from app.catalogue.stock import Default
from app.geometry.clearance import ShapeSet, joined, narrowed, shape_set
from app.geometry.outline import EdgeName
from app.geometry.shapes import Point, Shape, rotate
from app.model.part import NutFixing, Part, ScrewFixing
from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard
from app.model.shop import Allowance

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Flags = npt.NDArray[np.bool_]
Distances = tuple[Floats, Floats, Floats]

_DIGITS = re.compile(r"([0-9]+)")
KINDS = ("hole", "flange", "plate", "body", "nut", "counterbore", "recess")
HOLE, FLANGE, PLATE, BODY, NUT, BORE, RECESS = range(7)


@dataclass(frozen=True, eq=False)
class Things:
    """Shapes of one class, and whose they are.

    Args:
        shapes: at their places.
        owner: index of the placement each belongs to, shape (n,).
        kind: index into ``KINDS``, shape (n,).
    """

    shapes: ShapeSet
    owner: Ints
    kind: Ints

    def __len__(self) -> int:
        return len(self.owner)

    def take(self, which: Ints | Flags) -> Things:
        """Some of them."""
        return Things(self.shapes.take(which), self.owner[which], self.kind[which])


@dataclass(frozen=True, eq=False)
class Layout:
    """What the rules look at.

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
        return self.board.shop.drilling

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
    def holes(self) -> Things:
        """The cut-outs, as wide as the bits that make them."""
        owner = np.repeat(np.arange(len(self.placed)), [len(p.holes) for p in self.placed])
        return Things(shape_set([hole.shape for hole in self.hole_list]), owner, np.full(len(owner), HOLE))

    @cached_property
    def hole_widths(self) -> Floats:
        """Diameter of each hole; the smaller side of another shape [mm]."""
        radii = self.holes.shapes.radii
        if self.holes.shapes.all_circles:
            return 2 * radii
        return np.array([hole.diameter for hole in self.hole_list], np.float64)

    @cached_property
    def bores(self) -> Things:
        """The counterbores."""
        found = [(i, p) for i, p in enumerate(self.placed) if p.counterbore]
        owner = np.array([i for i, _ in found], np.intp)
        shapes = [Shape(((p.x, p.y),), p.counterbore.diameter / 2) for _, p in found if p.counterbore]
        return Things(shape_set(shapes), owner, np.full(len(owner), BORE))

    @cached_property
    def bore_depths(self) -> Floats:
        """Depth of each placement's counterbore, 0 where it has none [mm]."""
        return np.array([p.counterbore.depth if p.counterbore else 0.0 for p in self.placed], np.float64)

    @cached_property
    def cuts(self) -> Things:
        """Everything cut from the underside that does not go through: counterbores and recesses."""
        found = [(i, p.pocket) for i, p in enumerate(self.placed) if p.pocket]
        if not found:
            return self.bores
        owner = np.array([i for i, _ in found], np.intp)
        pockets = Things(shape_set([shape for _, shape in found]), owner, np.full(len(owner), RECESS))
        return _joined(self.bores, pockets)

    @cached_property
    def cut_depths(self) -> Floats:
        """Depth of each of ``cuts`` [mm]."""
        recesses = [p.recess.depth if p.recess else 0.0 for p in self.placed]
        owner = self.cuts.owner
        deep: Floats = np.where(self.cuts.kind == BORE, self.bore_depths[owner], np.array(recesses)[owner])
        return deep

    @cached_property
    def cut_widths(self) -> Floats:
        """Diameter of each of ``cuts``; the smaller side of a recess [mm]."""
        recesses = [min(p.recess.width, p.recess.height) if p.recess else 0.0 for p in self.placed]
        wide: Floats = np.where(self.cuts.kind == BORE, 2 * self.cuts.shapes.radii, np.array(recesses)[self.cuts.owner])
        return wide

    @cached_property
    def cut_insides(self) -> Distances:
        """Material from each of ``cuts`` to the nearest edge or opening, and where, nominal [mm]."""
        return self.board.boundary.inside_distances(self.cuts.shapes)

    @property
    def top(self) -> Things:
        """What lies on the top face: flanges and plates."""
        return self._hardware[0]

    @cached_property
    def below(self) -> Things:
        """What hangs below the underside or opens in it: bodies, nuts, plates, counterbores, recesses.

        A nut in a counterbore is left out: the counterbore stands for it, and for the room to turn it.
        """
        things = self._hardware[1]
        if not len(self.cuts):
            return things
        bored = self.bore_depths > 0
        things = things.take(~((things.kind == NUT) & bored[things.owner]))
        return _joined(things, self.cuts)

    @cached_property
    def _hardware(self) -> tuple[Things, Things]:
        """Flanges, bodies and the like: every part's shapes once, then turned and moved to its placements."""
        parts, part_of = self.parts
        rows = [list(_shapes_of(part, self.board.thickness)) for part in parts]
        shapes = shape_set([shape for _, _, shape in chain.from_iterable(rows)])
        kinds = np.array([kind for _, kind, _ in chain.from_iterable(rows)], np.intp)
        on_top = np.array([top for top, _, _ in chain.from_iterable(rows)], np.bool_)
        counts = np.array([len(r) for r in rows], np.intp)
        first = np.cumsum(counts) - counts
        many = counts[part_of]
        owner = np.repeat(np.arange(len(part_of)), many)
        row = first[part_of[owner]] + np.arange(len(owner)) - (np.cumsum(many) - many)[owner]
        points = self._at_place(shapes.points[row], owner)
        everything = Things(ShapeSet(points, shapes.counts[row], shapes.radii[row]), owner, kinds[row])
        upper = on_top[row]
        return (
            Things(narrowed(everything.shapes.take(upper)), owner[upper], everything.kind[upper]),
            Things(narrowed(everything.shapes.take(~upper)), owner[~upper], everything.kind[~upper]),
        )

    def _at_place(self, points: Floats, owner: Ints) -> Floats:
        """Points of parts, shape (n, k, 2), turned and moved as the placements that own them."""
        turns: dict[float, Point] = {}
        for placed in self.placed:
            if placed.angle not in turns:
                turns[placed.angle] = rotate((1.0, 0.0), placed.angle)
        poses = np.array([(p.x, p.y, *turns[p.angle]) for p in self.placed], np.float64).reshape(-1, 4)
        x, y, c, s = poses[owner].T[..., None]
        px, py = points[..., 0], points[..., 1]
        return np.stack((x + (px * c - py * s), y + (px * s + py * c)), axis=-1)

    @cached_property
    def screws(self) -> Things:
        """Where screws go, as points."""
        found = [
            (i, point)
            for i, placed in enumerate(self.placed)
            if isinstance(placed.part.fixing, ScrewFixing)
            for point in placed.screws
        ]
        points = np.array([point for _, point in found], np.float64).reshape(-1, 1, 2)
        n = len(found)
        shapes = ShapeSet(points, np.ones(n, np.intp), np.zeros(n))
        return Things(shapes, np.array([i for i, _ in found], np.intp), np.zeros(n, np.intp))

    @cached_property
    def hole_insides(self) -> Distances:
        """Material from each hole to the nearest edge or opening, and where, nominal [mm]."""
        return self.board.boundary.inside_distances(self.holes.shapes)

    def to_edge(self, things: Things, edge: EdgeName, within: float) -> Distances:
        """Distance of things to one edge, and where, nominal [mm]; one beyond ``within`` mm may count as infinite."""
        boundary, shapes = self.board.boundary, things.shapes
        if shapes.all_circles:
            d, px, py = boundary.inside_distances(shapes, edge)
        else:
            around = ShapeSet(shapes.centres[:, None], np.ones(len(things), np.intp), shapes.reaches)
            d, px, py = boundary.inside_distances(around, edge)
            near = np.flatnonzero(d < within)
            d = np.where(d < within, d, np.inf)
            d[near], px[near], py[near] = boundary.inside_distances(shapes.take(near), edge)
        return d, px, py


def layout_of(board: ResolvedBoard, catalogue: Catalogue) -> Layout:
    """The board's drilled placements, ready for the rules; arrays are made when first asked for."""
    return Layout(board, catalogue, board.drilled)


def _shapes_of(part: Part, thickness: float) -> Iterable[tuple[bool, int, Shape]]:
    """Whether on top, the kind, and the shape of each thing a part brings besides its cut-outs."""
    if part.flange:
        yield True, FLANGE, part.flange.shape
    fixing = part.fixing
    if isinstance(fixing, ScrewFixing) and fixing.plate:
        yield fixing.side == "top", PLATE, fixing.plate
    if isinstance(fixing, NutFixing):
        yield False, NUT, Shape(((0.0, 0.0),), fixing.nut_width / 2)
    if part.depth_below(thickness) > 0:
        yield False, BODY, part.body.shape


def _joined(a: Things, b: Things) -> Things:
    return Things(joined(a.shapes, b.shapes), np.concatenate((a.owner, b.owner)), np.concatenate((a.kind, b.kind)))


def subjects_of(layout: Layout, owners: Sequence[int]) -> tuple[str, ...]:
    """Ids of placements, in an order that does not depend on the order they were placed in."""
    return tuple(sorted((layout.ids[i] for i in owners), key=natural))


@lru_cache(maxsize=16_384)
def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """A key that puts ``p2`` before ``p10``."""
    return tuple((0, int(w), "") if w.isdigit() else (1, 0, w) for w in _DIGITS.split(name))
