"""Stations laid on a board: as roomy as hands like it, and only as tight as the board makes them."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from msgspec import Struct
from propcache.api import cached_property

from app.arrange.change import shown
from app.arrange.new_deck.clearances import Clearances
from app.arrange.placement.seat import BACK, FRONT, LEFT, RIGHT, Seat
from app.arrange.station.arcs import arc_steps
from app.arrange.station.stations import ButtonField, Slot, slots, steps_of
from app.document.schema import StationEntry
from app.errors import EditError

StickSide = Literal["left", "right", "centre", "none"]
AdminAt = Literal["back-left", "back-centre", "back-right"]
ADMIN = "admin"
_TINY = 1e-6


class StationsWanted(Struct, frozen=True):
    """What is to be laid on a rectangular board.

    Args:
        players: how many stations.
        field: the button field of each.
        positions: how many of its positions there are.
        stick, mirrored: side of the stick; whether the second station is the mirror image of the first.
        arc: depth of an arc; 0 for one about the wrist [mm].
        tilt: of the field [degrees].
        admin, admin_at: how many admin buttons, and where along the back edge.
        width, front_to_back: of the board [mm].
        grid: places are multiples of it where they can be, distances between parts of twice as much [mm].
        units: ``mm`` or ``inch``, for messages.
        button, stick_seat, admin_seat: the hardware in the board.
    """

    players: int
    field: ButtonField
    positions: int
    stick: StickSide
    mirrored: bool
    arc: float
    tilt: float
    admin: int
    admin_at: AdminAt
    width: float
    front_to_back: float
    grid: float
    units: Literal["mm", "inch"]
    button: Seat
    stick_seat: Seat
    admin_seat: Seat


def lay_out(wanted: StationsWanted, room: Clearances) -> tuple[StationEntry, ...]:
    """The players' stations, then the admin buttons, placed on the board.

    Raises:
        EditError: the board is too narrow or not deep enough; says the least that will do.
    """
    return _Layer(wanted, room).stations()


class _Layer(Struct, frozen=True, dict=True):
    want: StationsWanted
    room: Clearances

    def stations(self) -> tuple[StationEntry, ...]:
        want = self.want
        gap = self._hand_gap()
        group = self._group(gap)
        centres = self._centres(group)
        front = self._front(group[0])
        rows = [s.model_copy(update={"centre": c, "front": front}) for s, c in zip(group, centres, strict=True)]
        if want.admin:
            rows.append(self._admin.model_copy(update={"centre": self._admin_centre(), "front": self._admin_y}))
        return tuple(rows)

    # -- the stations by themselves, about x = 0 and y = 0

    def _group(self, hand_gap: float) -> list[StationEntry]:
        """Each player's station with its middle at x = 0 and its front row at y = 0."""
        want = self.want
        first = self._base.model_copy(update={"hand_gap": hand_gap})
        rows = [first.model_copy(update={"id": "s1", "name": "Player 1"})]
        if want.players == 2:
            second = {"id": "s2", "name": "Player 2", "mirrored": want.mirrored}
            rows.append(first.model_copy(update=second))
        return rows

    @cached_property
    def _base(self) -> StationEntry:
        want, room, button = self.want, self.room, self.want.button
        pitch = self._up(max(room.apart(button, RIGHT, button), room.apart(button, LEFT, button)))
        spacing = self._up(max(room.apart(button, BACK, button), room.apart(button, FRONT, button)))
        rule = room.catalogue.rule
        if want.field.shape == "arc" and want.arc:
            steps = arc_steps(want.field.columns, pitch, want.arc, want.grid, want.units)
        else:
            steps = steps_of(want.field, pitch, rule("station-step"), rule("station-arc-radius"), want.grid)
        return StationEntry(
            id="s1", shape=want.field.shape, rows=want.field.rows, columns=want.field.columns, buttons=want.positions,
            pitch=pitch, row_spacing=spacing, steps=steps, tilt=want.tilt, stick=want.stick, front=0.0,
            button_part=button.part.id, stick_part=want.stick_seat.part.id,
        )  # fmt: skip

    @cached_property
    def _admin(self) -> StationEntry:
        want, seat = self.want, self.want.admin_seat
        return StationEntry(
            id=ADMIN, name="Admin", rows=1, columns=want.admin, stick="none",
            pitch=self._up(self.room.apart(seat, RIGHT, seat)), button_part=seat.part.id,
            front=0.0,
        )  # fmt: skip

    # -- across

    def _hand_gap(self) -> float:
        """The gap hands like, or the largest the board's width allows."""
        want = self.want
        least = self._least_gap()
        gap = max(least, self._down(self.room.catalogue.rule("station-hand-gap")))
        while gap > least + _TINY and self._least_width(self._group(gap)) > want.width + _TINY:
            gap = max(least, gap - 2 * want.grid)
        needed = self._least_width(self._group(gap))
        if needed > want.width + _TINY:
            self._refuse("width", "wide", needed, want.width)
        return gap

    def _least_gap(self) -> float:
        """The least gap between stick and first column, tilted or not."""
        if self.want.stick == "none":
            return self._base.hand_gap
        stick, button = self.want.stick_seat, self.want.button
        least = max(self.room.apart(stick, RIGHT, button), self.room.apart(stick, LEFT, button))
        base = self._base.model_copy(update={"hand_gap": least, "stick": "left"})
        stick_x = next(s.x for s in slots(base) if s.is_stick)
        nearest = min(s.x for s in slots(base) if not s.is_stick)
        return self._up(least + max(0.0, least - (nearest - stick_x)))

    def _least_width(self, group: list[StationEntry]) -> float:
        left, right = self._need(group[0], LEFT), self._need(group[-1], RIGHT)
        row = 0.0
        if self.want.admin:
            row = self._need(self._admin, LEFT) + self._need(self._admin, RIGHT)
        if len(group) == 2:
            return max(row, left + self._between(group) + right)
        return max(row, 2 * max(left, right) if self.want.stick == "centre" else left + right)

    def _centres(self, group: list[StationEntry]) -> list[float]:
        """Where the stations' middles go: each in the middle of its share of what is free."""
        width = self.want.width
        low, high = self._need(group[0], LEFT), width - self._need(group[-1], RIGHT)
        if len(group) == 1:
            if self.want.stick == "centre":
                return [width / 2]
            return [self._near((low + high) / 2, low, high)]
        free = high - low - self._between(group)
        first = self._near(low + free / 4, low, low + free / 2)
        if self.want.mirrored and self.want.stick != "none":
            return [first, width - first]
        return [first, self._near(high - free / 4, high - free / 2, high)]

    def _between(self, group: list[StationEntry]) -> float:
        """Least distance between the middles of two stations beside each other."""
        return max(
            self.room.apart(self._seat(a), RIGHT, self._seat(b)) + a.x - b.x
            for a in slots(group[0])
            for b in slots(group[1])
        )

    def _admin_centre(self) -> float:
        low, high = self._need(self._admin, LEFT), self.want.width - self._need(self._admin, RIGHT)
        if self.want.admin_at == "back-left":
            return self._near(low, low, high)
        return self._near(high, low, high) if self.want.admin_at == "back-right" else self.want.width / 2

    # -- front to back

    @cached_property
    def _admin_y(self) -> float:
        least = self._need(self._admin, BACK)
        return self.want.front_to_back - max(least, self.room.catalogue.rule("deck-admin-back"))

    def _front(self, station: StationEntry) -> float:
        """Where the front row goes: a palm from the front edge, or nearer if the depth asks for it."""
        low = self._need(station, FRONT)
        high = self.want.front_to_back - self._need(station, BACK)
        if self.want.admin:
            behind = max(self.room.apart(self._seat(s), BACK, self.want.admin_seat) + s.y for s in slots(station))
            high = min(high, self._admin_y - behind)
        if low > high + _TINY:
            self._refuse("depth", "deep", self.want.front_to_back + low - high, self.want.front_to_back)
        palm = self.room.catalogue.rule("station-palm-rest")
        return self._near(min(palm, high), low, high)

    # -- helpers

    def _need(self, station: StationEntry, side: int) -> float:
        """How far the board's edge on one side is at least from the station's middle, or its front row."""
        sign = -1.0 if side in (LEFT, FRONT) else 1.0
        at: Callable[[Slot], float] = (lambda s: s.x) if side in (LEFT, RIGHT) else (lambda s: s.y)
        return max(self.room.margin(self._seat(s), side) + sign * at(s) for s in slots(_at_origin(station)))

    def _seat(self, slot: Slot) -> Seat:
        if slot.is_stick:
            return self.want.stick_seat
        return self.want.button if slot.part == self.want.button.part.id else self.want.admin_seat

    def _refuse(self, field: str, how: str, needed: float, got: float) -> None:
        want = self.want
        step = 1.0 if want.units == "mm" else 3.175  # a whole millimetre, or an eighth of an inch
        least = math.ceil(needed / step - _TINY) * step
        who = "One player" if want.players == 1 else "Two players"
        verb = "needs" if want.players == 1 else "need"
        what = f"{want.field.name}{', ' if want.admin else ''}{f'{want.admin} admin buttons' if want.admin else ''}"
        raise EditError(
            f"{who} ({what}) {verb} a board at least {shown(least, want.units)} {how}, got "
            f"{shown(got, want.units)}. Enter a larger one, or choose fewer buttons or another layout.",
            field,
        )

    def _up(self, value: float) -> float:
        """Up to a distance between parts, whose half is on the grid too."""
        step = 2 * self.want.grid
        return math.ceil(value / step - _TINY) * step

    def _down(self, value: float) -> float:
        step = 2 * self.want.grid
        return math.floor(value / step + _TINY) * step

    def _near(self, value: float, low: float, high: float) -> float:
        """The multiple of the grid nearest to ``value`` from ``low`` to ``high``; the value itself if none is."""
        value = min(max(value, low), high)
        grid = self.want.grid
        choices = (round(value / grid) * grid, math.ceil(low / grid) * grid, math.floor(high / grid) * grid)
        good = [choice for choice in choices if low - _TINY <= choice <= high + _TINY]
        return min(good, key=lambda choice: abs(choice - value), default=value)


def _at_origin(station: StationEntry) -> StationEntry:
    return station.model_copy(update={"centre": 0.0, "front": 0.0})
