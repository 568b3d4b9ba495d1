"""Ways to spoil a drawing as a fault in the program would: for tests that such a file is never given out."""

from __future__ import annotations

from collections.abc import Callable

from app.scene.primitives import Circle, Group, Item, Scene
from app.values import replace

Change = Callable[[Item], "Item | tuple[Item, ...] | None"]


def altered(scene: Scene, change: Change) -> Scene:
    """The scene with every item that is no group passed through ``change``; None leaves it out."""
    return replace(scene, items=_altered(scene.items, change))


def _altered(items: tuple[Item, ...], change: Change) -> tuple[Item, ...]:
    found: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            found.append(replace(item, items=_altered(item.items, change)))
            continue
        new = change(item)
        found += () if new is None else new if isinstance(new, tuple) else (new,)
    return tuple(found)


def first_circle(change: Callable[[Circle], Item | tuple[Item, ...] | None], diameter: float) -> Change:
    """A change of the first circle of that diameter met, wherever it is met again."""
    chosen: list[tuple[float, float]] = []

    def changed(item: Item) -> Item | tuple[Item, ...] | None:
        if not isinstance(item, Circle) or abs(2 * item.radius - diameter) > 1e-9 or item.style.role == "mark":
            return item
        if not chosen:
            chosen.append(item.centre)
        return change(item) if item.centre == chosen[0] else item

    return changed


def shifted(by: float) -> Callable[[Circle], Circle]:
    """A circle moved to the right [mm]."""
    return lambda circle: replace(circle, centre=(circle.centre[0] + by, circle.centre[1]))


def widened(by: float) -> Callable[[Circle], Circle]:
    """A circle with a larger diameter [mm]."""
    return lambda circle: replace(circle, radius=circle.radius + by / 2)


def lost(_: Circle) -> None:
    """A circle left out."""
    return


def doubled(circle: Circle) -> tuple[Item, ...]:
    """A circle and another beside it that nothing asks for."""
    return (circle, replace(circle, centre=(circle.centre[0] + 40.0, circle.centre[1] + 3.0)))


def repeated(circle: Circle) -> tuple[Item, ...]:
    """A circle drawn twice."""
    return (circle, circle)
