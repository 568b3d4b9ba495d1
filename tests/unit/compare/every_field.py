"""A design in which every field of the file says something, and for each field the same design with that one changed.

Made from the schema alone: a field that is added to it is walked by itself.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from copy import deepcopy
from typing import Any, Final

from app.catalogue.load import catalogue
from app.catalogue.signs import SIGNS
from app.document.load import validated
from app.document.resolve import resolve
from app.document.scenarios import load_scenario
from app.document.schema import Design
from app.errors import HolewiseError
from tests.long_run import MANY

Raw = dict[str, Any]
Step = str | int
Place = tuple[Step, ...]

SCHEMA: Final[Raw] = Design.model_json_schema()
_DEFS: Final[Raw] = SCHEMA["$defs"]
_WORD: Final = "a1"

_PLACES: Final = 6 if MANY else 1
"""Where a field is changed by itself, at most."""

_MOST_KINDS: Final = 5
"""Of things of which an item of hardware has one: ways to hold it, shapes."""

_OWN: Final = {
    "corner": 1.0,
    "inset": 1.0,
    "length": 30.0,
    "largest": 12.0,
    "smallest": 8.0,
    "pitch": 15.0,
    "thread_length": 60.0,
    "grip_max": 20.0,
    "height_max": 20.0,
    "setback": [10.0, 10.0],
}
"""What a number has to be for others of its object to be possible [mm]."""


def filled() -> Raw:
    """A small design with a value in every field, and hardware of every shape that a schema knows."""
    raw: Raw = load_scenario("lantern-hill-solo").model_dump(mode="json")
    board = raw["boards"][0]
    arrangement = board["arrangements"][0]
    arrangement["placements"] = arrangement["placements"][:2]
    arrangement["stations"] = arrangement["stations"][:1]
    raw["shop"]["bits"] = raw["shop"]["bits"][:1]
    _fill(raw, SCHEMA)
    _made_possible(raw)
    whole: Raw = Design.model_validate(raw).model_dump(mode="json")
    return whole


def _made_possible(raw: Raw) -> None:
    """Give what a schema says nothing of: a boundary that holds the holes of its pattern, rings of several corners."""
    ring = ((0.0, 0.0), (90.0, 0.0), (90.0, 90.0), (0.0, 90.0))
    corners: list[Raw] = [{"x": x, "y": y, "setback": [5.0, 5.0]} for x, y in ring]
    for pattern in raw["patterns"]:
        pattern["id"] = "pattern-1"
        pattern["boundary"] = {"shape": "outline", "corners": corners, "width": 90.0, "height": 90.0, "corner": 1.0,
                               "inset": 1.0}  # fmt: skip
    raw["hardware"] = [_told_apart(_sample({"$ref": "#/$defs/PartEntry"}, pick=k), k) for k in range(_MOST_KINDS)]
    text, sign = (placed["legend"] for placed in raw["boards"][0]["arrangements"][0]["placements"])
    text["sign"], sign["text"], sign["sign"] = "", "", sorted(SIGNS)[0]
    stations = raw["boards"][0]["arrangements"][0]["stations"]
    stations.append({**stations[0], "id": "spare", "name": "Spare"})
    screws = next(part for part in raw["hardware"] if part["fixing"]["type"] == "screws")
    plates = [_sample(_DEFS["ScrewsEntry"]["properties"]["plate"], pick=k) for k in range(3)]
    raw["hardware"] += [
        {**screws, "id": f"plate-{k}", "name": f"Plate {k}", "fixing": {**screws["fixing"], "plate": plate}}
        for k, plate in enumerate(plates)
    ]
    plain = {"id": "all", "name": "All"}
    raw["boards"].append(
        {"id": "plate", "name": "Plate", "role": "companion", "outline": {"corners": corners},
         "layers": [{"material": "mdf", "thickness": 9.0}], "arrangements": [plain]}
    )  # fmt: skip
    raw["boards"][0]["outline"]["openings"] = [[{**c, "x": c["x"] + 20.0, "y": c["y"] + 20.0} for c in corners]]


def _fill(raw: Raw, schema: Raw) -> None:
    """Give every field of an object that holds nothing a value, of a list of things of several kinds one of each."""
    for name, of in schema["properties"].items():
        raw[name] = _filled(raw.get(name), of)


def _filled(value: Any, of: Raw) -> Any:
    if value is None or value == [] or value == "":
        return _sample(of)
    kind = _kind_of(value, of)
    if isinstance(value, dict) and "properties" in kind:
        _fill(value, kind)
    elif isinstance(value, list) and "items" in kind:
        return [_filled(each, kind["items"]) for each in value]
    return value


def _kinds(of: Raw) -> list[Raw]:
    """What a value may be, apart from nothing."""
    if "$ref" in of:
        return [_DEFS[of["$ref"].rsplit("/", 1)[1]]]
    either: list[Raw] = of.get("oneOf") or of.get("anyOf") or []
    found = [kind for each in either for kind in _kinds(each)]
    return [kind for kind in found or [of] if kind.get("type") != "null"]


def _kind_of(value: Any, of: Raw) -> Raw:
    """Which of the kinds a value is of."""
    kinds = _kinds(of)
    if isinstance(value, dict):
        return next(k for k in kinds if set(value) <= set(k.get("properties", ())) and _is_named(value, k))
    if isinstance(value, list):
        return next((k for k in kinds if k.get("type") == "array"), kinds[0])
    return kinds[0]


def _is_named(value: Raw, kind: Raw) -> bool:
    """Whether the fields that say which kind an object is say this one."""
    return all(value.get(name, each["const"]) == each["const"] for name, each in kind["properties"].items()
               if "const" in each)  # fmt: skip


def _sample(of: Raw, *, pick: int = 0) -> Any:
    """A value; of an array one of each kind of thing it may hold."""
    kind = _kinds(of)[min(pick, len(_kinds(of)) - 1)]
    if "const" in kind:
        return kind["const"]
    if "enum" in kind:
        return kind["enum"][0]
    match kind.get("type"):
        case "object":
            return {name: _OWN.get(name) or _sample(each, pick=pick) for name, each in kind["properties"].items()}
        case "array":
            return _array(kind)
        case "boolean":
            return False
        case "integer":
            return max(int(kind.get("minimum", 1)), 1)
        case "number":
            return _number(kind)
        case "string":
            return _string(kind)
    raise AssertionError(f"nothing is known of {kind}")


def _array(kind: Raw) -> list[Any]:
    if "prefixItems" in kind:
        return [_sample(each) for each in kind["prefixItems"]]
    items = kind.get("items", {"type": "string"})
    many = max(kind.get("minItems", 1), len(_kinds(items)))
    return [_told_apart(_sample(items, pick=k), k) for k in range(many)]


def _told_apart(thing: Any, number: int) -> Any:
    if isinstance(thing, dict):
        return {k: f"{v}{number}" if k in ("id", "name", "key") else v for k, v in thing.items()}
    return f"{thing}{number}" if isinstance(thing, str) and thing == _WORD else thing


def _number(kind: Raw) -> float:
    least: float = kind.get("minimum") or kind.get("exclusiveMinimum") or 0.0
    most: float = kind.get("maximum") or 40.0
    return min(max(10.0, least + 0.25), (least + most) / 2 if most < 20 else most)


def _string(kind: Raw) -> str:
    for value in (_WORD, "2026-11-27", "A", "2026-11-27T10:00:00Z", "0" * 32, "own/1", "hole-1", "#123456"):
        if kind.get("minLength", 0) <= len(value) <= kind.get("maxLength", 10**6) and _fits(value, kind):
            return value
    raise AssertionError(f"no word is known for {kind}")


def _fits(value: str, kind: Raw) -> bool:
    return "pattern" not in kind or re.search(kind["pattern"].replace(r"\Z", "$"), value) is not None


def changes() -> Iterator[tuple[str, Place, Design]]:
    """For each field of the schema that the design has: its name, where it is, and the design with it changed."""
    raw, walked = filled(), Counter[str]()
    for name, place, of in _fields(raw, SCHEMA, "Design", ()):
        if walked[name] == _PLACES:
            continue
        before = _at(raw, place)
        for value in _others(before, of):
            changed = deepcopy(raw)
            _at(changed, place[:-1])[place[-1]] = value
            design = None if value == before else _possible(changed)
            if design is not None:
                walked[name] += 1
                yield name, place, design
                break


def _possible(raw: Raw) -> Design | None:
    """The design, if it is one and its boards can be put together."""
    try:
        design = validated(raw)
        for board in design.boards:
            resolve(design, board.id, None, catalogue())
    except HolewiseError:
        return None
    return design


def _at(raw: Any, place: Sequence[Step]) -> Any:
    for step in place:
        raw = raw[step]
    return raw


def _fields(raw: Raw, kind: Raw, called: str, place: Place) -> Iterator[tuple[str, Place, Raw]]:
    for name, of in kind["properties"].items():
        yield f"{called}.{name}", (*place, name), of
        yield from _inside(raw[name], of, (*place, name))


def _inside(value: Any, of: Raw, place: Place) -> Iterator[tuple[str, Place, Raw]]:
    kind = _kind_of(value, of)
    if isinstance(value, dict) and "properties" in kind:
        called = next(name for name, each in _DEFS.items() if each is kind)
        yield from _fields(value, kind, called, place)
    elif isinstance(value, list) and "items" in kind:
        for k, each in enumerate(value):
            yield from _inside(each, kind["items"], (*place, k))


def _others(value: Any, of: Raw) -> Iterator[object]:
    """Values that a field may hold instead."""
    kind = _kind_of(value, of)
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int | float):
        yield from (value + 1, value + 0.125, value - 0.125, value - 1)
    elif isinstance(value, str):
        yield from kind.get("enum", ())[1:]
        yield from ("plywood", "button-24-nut-long", "B", "", *sorted(SIGNS)[1:2])
        yield from (value[:-1] + other for other in "2b7" if not value.endswith(other))
        yield from ("2026-11-28", "2026-11-28T10:00:00Z", "hole-2", "x9")
    elif isinstance(value, list):
        yield from (value[:-1], [*value[1:], *value[:1]], [*value, *value[:1]])
        if value and isinstance(value[0], float):
            yield [float(value[0]) + 1.0, *value[1:]]
        if value and isinstance(value[0], dict) and "id" in value[0]:
            yield [*value, {**value[0], "id": "more", "name": "More"}]
        if value and isinstance(value[0], dict) and "thickness" in value[0]:
            yield [*value, {"material": "acrylic", "thickness": 3.0}]
    yield from (_sample(of, pick=k) for k in range(len(_kinds(of))) if _sample(of, pick=k) != value)
    yield None
