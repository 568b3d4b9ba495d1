"""Random parts of a builder's own: odd flanges, bodies larger than holes, plates and screws on either face."""

from __future__ import annotations

import random
from typing import Any

Raw = dict[str, Any]


def hardware(chance: random.Random, name: str) -> Raw:
    """One part of the document's own hardware; most can be built, some have measures that do not go together."""
    hole = chance.choice((8, 12, 16, 20, 24, 28, 30, 35)) + chance.choice((0, 0, 0.3))
    mount = chance.choice(("top", "top", "under"))
    body = hole - 0.4 if mount == "top" else hole * chance.choice((1.2, 1.8, 2.5))
    if chance.random() < 0.15:
        body = hole + chance.choice((-3, 2, 9))
    part: Raw = {
        "id": name,
        "name": "Own part",
        "kind": chance.choice(("button", "stick", "rotary", "socket")),
        "mount": mount,
        "source": "Made up for tests.",
        "basis": "typical",
        "cutouts": [_main(chance, hole), *_further(chance, hole)],
        "body": _body(chance, body, hole, mount),
        "fixing": _fixing(chance, hole, mount),
    }
    if mount == "top" or chance.random() < 0.4:
        part["flange"] = _flange(chance, hole)
    if chance.random() < 0.25:
        length = chance.choice((45.0, 60.0, 80.0))
        part["lever"] = {"length": length, "height_min": 40.0, "height_max": 60.0, "knob": chance.choice((20.0, 35.0))}
    if chance.random() < 0.5:
        part["wiring"] = {"signal_tabs": 1, "ground_tabs": 1, "tab_width": 2.8}
    return part


def _off(chance: random.Random, most: float) -> Raw:
    if chance.random() < 0.7:
        return {}
    return {"x": round(chance.uniform(-most, most), 1), "y": round(chance.uniform(-most, most), 1)}


def _main(chance: random.Random, hole: float) -> Raw:
    form = chance.choice(("circle", "circle", "circle", "rectangle", "slot"))
    slack = {"smallest": max(hole - chance.choice((0.1, 1.5)), 1.0), "largest": hole + chance.choice((0.1, 1.5))}
    if form == "circle":
        return {"shape": "circle", "diameter": hole, **slack}
    if form == "slot":
        return {"shape": "slot", "length": hole * 1.6, "width": hole, "angle": chance.choice((0, 30)), **slack}
    corner = chance.choice((0, 2))
    return {"shape": "rectangle", "width": hole * 1.4, "height": hole, "corner": corner, **slack}


def _further(chance: random.Random, hole: float) -> list[Raw]:
    found = []
    for _ in range(chance.choice((0, 0, 0, 1, 2))):
        x, y = round(hole / 2 + chance.uniform(2, 16), 1), round(chance.uniform(-12, 12), 1)
        x *= chance.choice((-1, 1))
        slack = {"smallest": 3.0, "largest": 9.0}
        if chance.random() < 0.5:
            found.append({"shape": "circle", "x": x, "y": y, "diameter": 5.0, **slack})
        else:
            found.append({"shape": "slot", "x": x, "y": y, "length": 9, "width": 4, "angle": 90, **slack})
    return found


def _flange(chance: random.Random, hole: float) -> Raw:
    rise = chance.choice((0, 2, 4, 25, 60))
    more = chance.choice((2, 5, 12, -1)) if chance.random() < 0.3 else chance.choice((5, 12, 20))
    wide = max(hole * 1.6 + more, 4)
    form = chance.choice(("circle", "circle", "rectangle", "slot"))
    if form == "circle":
        return {"shape": "circle", "diameter": wide, "rise": rise, **_off(chance, 2)}
    if form == "slot":
        return {"shape": "slot", "length": wide * 1.3, "width": wide, "angle": 20, "rise": rise, **_off(chance, 2)}
    sides = {"width": wide * 1.2, "height": wide, "corner": chance.choice((0, 3))}
    return {"shape": "rectangle", **sides, "rise": rise, **_off(chance, 2)}


def _body(chance: random.Random, wide: float, hole: float, mount: str) -> Raw:
    depth = chance.choice((4, 12, 18, 25, 40, 60))
    off = _off(chance, 4) if mount == "under" else {}
    form = chance.choice(("circle", "rectangle", "slot"))
    if mount == "top" and chance.random() < 0.8:
        wide = min(wide, hole - 0.2)
        return {"shape": "circle", "diameter": wide, "depth": depth}
    if form == "circle":
        return {"shape": "circle", "diameter": wide, "depth": depth, **off}
    if form == "slot":
        angle = chance.choice((0, 60))
        return {"shape": "slot", "length": wide * 1.5, "width": wide, "angle": angle, "depth": depth, **off}
    corner = chance.choice((0, 2))
    return {"shape": "rectangle", "width": wide * 1.2, "height": wide, "corner": corner, "depth": depth, **off}


def _fixing(chance: random.Random, hole: float, mount: str) -> Raw:
    form = chance.choice(("nut", "snap" if mount == "top" else "screws", "screws", "screws"))
    if form == "nut":
        wide = hole + chance.choice((6, 8, 10, -1)) if chance.random() < 0.4 else hole + 8
        thread = chance.choice((12, 20, 30, 40))
        return {
            "type": "nut",
            "thread_length": thread,
            "nut_height": chance.choice((3, 6)),
            "nut_width": max(wide, 4),
            "washer": chance.choice((0, 1)),
            "spare_thread": 1,
        }
    if form == "snap":
        return {"type": "snap", "grip_min": 1.0, "grip_max": chance.choice((3, 5, 18.2))}
    a, b = hole / 2 + chance.choice((3, 6, 10, 16)), chance.choice((0, 4, 10, hole / 2 + 5))
    holes = [[a, b], [-a, -b]] if chance.random() < 0.5 else [[a, b], [-a, b], [-a, -b], [a, -b]]
    holes = [list(p) for p in dict.fromkeys(map(tuple, holes))]
    fixing: Raw = {"type": "screws", "holes": holes, "screw_diameter": chance.choice((2.5, 3, 3.5, 4, 5))}
    fixing["side"] = mount if chance.random() < 0.75 else ("under" if mount == "top" else "top")
    if chance.random() < 0.5:
        fixing["screw_length"] = chance.choice((8, 12, 16, 20))
    if chance.random() < 0.6:
        more = chance.choice((2, 5, 10, 20))
        wide, high = 2 * a + more, max(2 * b + more, hole * 1.2)
        plate = {"shape": "rectangle", "width": wide, "height": high, "corner": chance.choice((0, 1))}
        fixing["plate"] = {**plate, **_off(chance, 2)}
        fixing["plate_thickness"] = chance.choice((0, 1.5, 3))
    return fixing
