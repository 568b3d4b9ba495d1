"""Photographs of boards, rendered: a pinhole camera with a bent lens, wood by program, walls seen inside holes.

Nothing here is shared with what measures them, except where cards belong: places in the picture are traced back to the
board as light is, by a camera that stands somewhere in the room.
"""

from __future__ import annotations

import math
from typing import Any

import cv2
import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from tests.photographs.scene import Board, Lie

Floats = NDArray[Any]


class Shot(Struct, frozen=True):
    """How a photograph is taken.

    Args:
        size: of the picture [px].
        tilt, way, roll: how far the camera leans from straight above, to which side, and how it is turned [degrees].
        lens: focal length in widths of the picture.
        bend: two terms of radial distortion, at half the picture's width.
        middle: how far the lens is off the middle of the picture, in widths of it.
        blur: deviation of what everything is blurred by [px].
        grain: deviation of noise, of 255.
        quality: of the JPEG file.
        light: how bright; uneven: how much brighter on one side, which is ``light_way`` [degrees].
        below: how bright what lies under the board is, 0 to 1.
        wall: how bright the walls of holes are beside the face.
        fill: how much of the picture the board fills.
    """

    size: tuple[int, int]
    tilt: float
    way: float
    roll: float
    lens: float
    bend: tuple[float, float]
    middle: tuple[float, float]
    blur: float
    grain: float
    quality: int
    light: float
    uneven: float
    light_way: float
    below: float
    wall: float
    fill: float


def random_shot(rng: np.random.Generator, size: tuple[int, int], steepest: float = 35.0) -> Shot:
    """A photograph as somebody takes it: mostly from above, at times from well to the side."""
    paper = rng.random() < 0.35
    return Shot(
        size=size,
        tilt=float(rng.uniform(0, steepest)),
        way=float(rng.uniform(0, 360)),
        roll=float(rng.choice([0, 180]) + rng.normal(0, 6)),
        lens=float(rng.uniform(0.7, 1.2)),
        bend=(float(rng.uniform(-0.04, 0.04)), float(rng.uniform(-0.01, 0.01))),
        middle=(float(rng.normal(0, 0.004)), float(rng.normal(0, 0.004))),
        blur=float(rng.uniform(0.5, 1.4)),
        grain=float(rng.uniform(1, 5)),
        quality=int(rng.integers(70, 96)),
        light=float(rng.uniform(0.65, 1.0)),
        uneven=float(rng.uniform(0, 0.45)),
        light_way=float(rng.uniform(0, 360)),
        below=float(rng.uniform(0.8, 0.95) if paper else rng.uniform(0.02, 0.12)),
        wall=float(rng.uniform(0.35, 0.8)),
        fill=float(rng.uniform(0.75, 0.92)),
    )


class _Camera:
    """A camera in the room: its middle, which way it looks, its lens."""

    def __init__(self, shot: Shot, board: Board) -> None:
        width, depth = board.cards.width, board.cards.depth
        tilt, way, roll = (math.radians(v) for v in (shot.tilt, shot.way, shot.roll))
        away = np.array([math.sin(tilt) * math.cos(way), math.sin(tilt) * math.sin(way), math.cos(tilt)])
        ahead = -away
        up = np.array([math.sin(roll), math.cos(roll), 0.0])
        right = np.cross(ahead, up)
        right /= np.linalg.norm(right)
        self.turned = np.stack([right, np.cross(ahead, right), ahead])  # rows: right, down, ahead
        self.focal = shot.lens * shot.size[0]
        self.centre = (np.array(shot.size) - 1) / 2 + np.array(shot.middle) * shot.size[0]
        self.bend = shot.bend
        self.half = shot.size[0] / 2
        middle = np.array([width / 2, depth / 2, 0.0])
        corners = np.array([(x, y, 0.0) for x in (0, width) for y in (0, depth)])
        far = 10.0 * width
        for _ in range(30):  # so far away that the board fills so much of the picture
            self.at = middle + away * far
            seen = np.abs(self.project(corners) - (np.array(shot.size) - 1) / 2) / (np.array(shot.size) / 2)
            far *= float(seen.max()) / shot.fill
        self.at = middle + away * far

    def project(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Where places in the room are seen [px]."""
        own = (points - self.at) @ self.turned.T
        x = own[:, :2] / own[:, 2:] * self.focal
        square = (x**2).sum(axis=1, keepdims=True) / self.half**2
        seen: NDArray[np.float64] = x * (1 + self.bend[0] * square + self.bend[1] * square**2) + self.centre
        return seen

    def rays(self, u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        """Directions in the room of the light that falls on places of the picture."""
        x, y = (u - self.centre[0]).astype(np.float32), (v - self.centre[1]).astype(np.float32)
        sx, sy = x.copy(), y.copy()
        for _ in range(6):
            square = (sx**2 + sy**2) / self.half**2
            bent = 1 + self.bend[0] * square + self.bend[1] * square**2
            sx, sy = x / bent, y / bent
        own = (sx / self.focal, sy / self.focal)
        m = self.turned.astype(np.float32)
        return tuple(m[0, k] * own[0] + m[1, k] * own[1] + m[2, k] for k in range(3))


class Photograph:
    """A rendered photograph: its file, and the camera that took it."""

    def __init__(self, board: Board, shot: Shot) -> None:
        self.board, self.shot = board, shot
        self.camera = _Camera(shot, board)
        rng = np.random.default_rng(board.seed)
        self._grain = _wood(rng)
        self._table = rng.uniform(0.05, 0.5)
        self._tone = rng.uniform(0.45, 0.78)
        self._bits = [_marker(n) for n in board.cards.numbers]

    @property
    def jpeg(self) -> bytes:
        """The file."""
        shot = self.shot
        width, height = shot.size
        u, v = np.meshgrid(np.arange(width, dtype=np.float32), np.arange(height, dtype=np.float32))
        image = self._shaded(u, v)
        for box in self._fine():
            x0, y0, x1, y1 = box
            part = np.zeros((y1 - y0, x1 - x0), np.float32)
            for dx in (-1 / 3, 0.0, 1 / 3):
                for dy in (-1 / 3, 0.0, 1 / 3):
                    part += self._shaded(u[y0:y1, x0:x1] + np.float32(dx), v[y0:y1, x0:x1] + np.float32(dy))
            image[y0:y1, x0:x1] = part / 9
        image *= self._light(u, v)
        image = cv2.GaussianBlur(image, (0, 0), shot.blur)
        rng = np.random.default_rng(self.board.seed + 1)
        image = 255 * np.clip(image, 0, 1) ** (1 / 1.2)
        image += rng.standard_normal(image.shape, dtype=np.float32) * np.float32(shot.grain)
        tint = np.array([0.86, 0.96, 1.0], np.float32)  # blue, green, red
        colour = np.clip(image[..., None] * tint, 0, 255).astype(np.uint8)
        done, data = cv2.imencode(".jpg", colour, [cv2.IMWRITE_JPEG_QUALITY, shot.quality])
        assert done
        return bytes(data.tobytes())

    def _fine(self) -> list[tuple[int, int, int, int]]:
        """Parts of the picture where there are edges that matter."""
        board, cards = self.board, self.board.cards
        squares = [(*cards.centre(k), cards.side * 0.6) for k in range(4)]
        squares += [(h.x, h.y, h.diameter * 0.62 + 1) for h in board.holes if h.drilled]
        squares += [(d.x, d.y, d.width * 0.62 + 1) for d in board.decoys]
        found = []
        for x, y, reach in squares:
            ends = np.array([(x + a * reach, y + b * reach, 0.0) for a in (-1, 1) for b in (-1, 1)])
            seen = self.camera.project(ends)
            low = np.maximum(np.floor(seen.min(axis=0)).astype(int), 0)
            high = np.minimum(np.ceil(seen.max(axis=0)).astype(int) + 1, self.shot.size)
            if (high > low).all():
                found.append((low[0], low[1], high[0], high[1]))
        return found

    def _light(self, u: Floats, v: Floats) -> Floats:
        shot = self.shot
        width, height = shot.size
        way = math.radians(shot.light_way)
        x, y = u / width - 0.5, v / height - 0.5
        slope = 1 + shot.uneven * (x * math.cos(way) + y * math.sin(way))
        return (shot.light * slope * (1 - 0.25 * (x**2 + y**2))).astype(np.float32)

    def _shaded(self, u: Floats, v: Floats) -> Floats:
        """How bright the room is where light comes from to places of the picture, 0 to 1."""
        dx, dy, dz = self.camera.rays(u, v)
        at = self.camera.at
        far = np.float32(-at[2]) / dz
        x, y = np.float32(at[0]) + far * dx, np.float32(at[1]) + far * dy
        board, cards = self.board, self.board.cards
        image = self._face(x, y)
        for lie in board.decoys:
            _draw_decoy(image, x, y, lie, self._tone)
        fall = np.float32(board.thickness)
        for hole in board.holes:
            if not hole.drilled:
                continue
            radius = hole.diameter / 2
            near = (np.abs(x - hole.x) < radius) & (np.abs(y - hole.y) < radius)
            if not near.any():
                continue
            hx, hy = x[near] - hole.x, y[near] - hole.y
            inside = hx**2 + hy**2 < radius**2
            lx, ly = hx - fall * dx[near] / dz[near], hy - fall * dy[near] / dz[near]  # where it leaves below
            through = lx**2 + ly**2 < radius**2
            rim = np.sqrt(lx**2 + ly**2) / radius
            shade = self.shot.below * (1 - 0.25 * np.clip(rim, 0, 1) ** 4) * (0.8 if self.shot.below > 0.5 else 1.0)
            deep = np.clip((np.sqrt(lx**2 + ly**2) - radius) / max(board.thickness * 0.7, 1.0), 0, 1)
            wall = self._tone * self.shot.wall * (0.55 + 0.45 * deep)
            values = image[near]
            values[inside] = np.where(through, shade, wall)[inside]
            image[near] = values
        outside = (x < 0) | (y < 0) | (x > cards.width) | (y > cards.depth) | self._cut_off(x, y)
        image[outside] = np.float32(self._table)
        for k in range(4):
            self._draw_card(image, x, y, k)
        return image

    def _cut_off(self, x: Floats, y: Floats) -> NDArray[np.bool_]:
        r, cards = self.board.rounded, self.board.cards
        ax = np.maximum(np.maximum(r - x, x - (cards.width - r)), 0)
        ay = np.maximum(np.maximum(r - y, y - (cards.depth - r)), 0)
        return ax**2 + ay**2 > max(r, 1e-3) ** 2  # type: ignore[no-any-return]

    def _face(self, x: Floats, y: Floats) -> Floats:
        """Wood: bands along x that wander, and fibres."""
        turn = (x * 0.35).astype(np.float32), (y * 1.6).astype(np.float32)
        tile = self._grain
        size = tile.shape[0]
        found = cv2.remap(tile, turn[0] % (size - 1), turn[1] % (size - 1), cv2.INTER_LINEAR)
        return (self._tone * found).astype(np.float32)

    def _draw_card(self, image: Floats, x: Floats, y: Floats, k: int) -> None:
        board, cards = self.board, self.board.cards
        dx, dy, turned = board.lie[k]
        right, back = k in (1, 2), k in (2, 3)
        cx, cy = (cards.width if right else 0.0) + dx, (cards.depth if back else 0.0) + dy
        c, s = math.cos(turned), math.sin(turned)
        px, py = x - np.float32(cx), y - np.float32(cy)
        qx = (c * px + s * py) / board.printed[0] + (cards.side if right else 0.0)
        qy = (-s * px + c * py) / board.printed[1] + (cards.side if back else 0.0)
        on = (qx >= 0) & (qx <= cards.side) & (qy >= 0) & (qy <= cards.side)
        if not on.any():
            return
        cell = cards.marker / 8
        i = np.floor((qx[on] - cards.quiet) / cell).astype(int)
        j = np.floor((cards.quiet + cards.marker - qy[on]) / cell).astype(int)
        inside = (i >= 0) & (i < 8) & (j >= 0) & (j < 8)
        values = np.full(i.shape, 0.9, np.float32)
        values[inside] = np.where(self._bits[k][j[inside], i[inside]], 0.9, 0.05)
        image[on] = values


def _marker(number: int) -> NDArray[np.bool_]:
    """The cells of a marker by the library's own drawing, white true."""
    drawn = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_6X6_1000).generateImageMarker(number, 8)
    return drawn > 0


def _draw_decoy(image: Floats, x: Floats, y: Floats, lie: Lie, tone: float) -> None:
    far = np.hypot(x - np.float32(lie.x), y - np.float32(lie.y))
    radius = lie.width / 2
    if lie.kind in ("pencil", "ring"):
        wide = 0.35 if lie.kind == "pencil" else 0.9
        image[np.abs(far - radius) < wide] *= np.float32(0.45 if lie.kind == "pencil" else 0.2)
    elif lie.kind == "knot":
        angle = np.arctan2(y - lie.y, x - lie.x)
        uneven = radius * (1 + 0.12 * np.sin(2 * angle + lie.x) + 0.06 * np.sin(5 * angle + lie.y))
        depth = 1 / (1 + np.exp(np.clip((far - uneven) / max(0.06 * lie.width, 0.5), -30, 30)))
        rings = 0.85 + 0.15 * np.sin(far * 2.2)
        image *= (1 - 0.6 * depth * rings).astype(np.float32)
    else:
        head = far < radius
        dx, dy = x - lie.x, y - lie.y
        shine = 0.55 + 0.35 * (dx + dy) / lie.width
        slot = ((np.abs(dx) < 0.09 * lie.width) | (np.abs(dy) < 0.09 * lie.width)) & (far < 0.7 * radius)
        image[head] = np.where(slot, 0.12, shine)[head]


def _wood(rng: np.random.Generator) -> Floats:
    """A tile of wood, about 1: bands and fibres, smooth from end to end."""
    size = 512
    rows = np.arange(size, dtype=np.float32)
    wander = cv2.GaussianBlur(rng.standard_normal((size, size)).astype(np.float32), (0, 0), 40)
    wander = wander * (14 / max(float(wander.std()), 1e-6))
    bands = np.sin((rows[:, None] + wander) * (2 * np.pi * rng.integers(6, 16) / size))
    fibres = cv2.GaussianBlur(rng.standard_normal((size, size)).astype(np.float32), (0, 0), sigmaX=12, sigmaY=0.8)
    strength = rng.uniform(0.02, 0.10), rng.uniform(0.01, 0.05) / max(float(fibres.std()), 1e-6)
    return (1 + strength[0] * bands + strength[1] * fibres).astype(np.float32)
