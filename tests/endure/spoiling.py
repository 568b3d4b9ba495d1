"""What a broken or hostile sender makes of a document, a file, a field; the same seed, the same harm."""

from __future__ import annotations

import json
import math
import random
import re
from typing import Any

WORDS = (
    "", " ", "\0", "\ud800", "\u202e\u2066", "e\u0301" * 50, "\ufeff", "\r\n\r\n", "💥" * 30,
    "<script>alert(1)</script>", "\"'&<>", "../../etc/passwd", "' OR 1=1 --", "%s%n{0}{{7*7}}", "x" * 201, "x" * 5000,
    "a,b,,c", "None", "true", "[]",
)  # fmt: skip
"""Words nobody should have to read."""

NUMBERS = (
    "nan", "inf", "-inf", "-0", "1e308", "-1e308", "1e-320", "1e999", "9" * 30, "9" * 400, "0x10", "1_000", "٣", "½",
    "1/0", "1 1/2 1/2", "12 mm mm", "−5", "+-3", "1,5,5", "1e6", "100001", "-100001", "0.0000001", "99999", "1'2\"3'",
)  # fmt: skip
"""Numbers and lengths that are none, or that no board has."""

VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 10**30, 10**300, -(10**12), 1e308, 5e-324, 1e5, -0.0, math.nan, math.inf, -math.inf,
    [], {}, [[]], [None], {"": {}}, [0] * 300, *WORDS, *NUMBERS,
)  # fmt: skip


def spoilt_document(raw: dict[str, Any], chance: random.Random) -> bytes:
    """The bytes of a design spoilt in one to three places, and sometimes in its bytes as well."""
    tree = json.loads(json.dumps(raw))
    for _ in range(chance.choice((1, 1, 1, 2, 3))):
        _spoil_tree(tree, chance)
    text = json.dumps(tree, ensure_ascii=chance.random() < 0.7)
    data = text.encode("utf-8", "surrogatepass")
    draw = chance.random()
    if draw < 0.05:
        return _key_twice(text, chance).encode("utf-8", "surrogatepass")
    return spoilt_bytes(data, chance) if draw < 0.2 else data


def spoilt_bytes(data: bytes, chance: random.Random) -> bytes:
    """Bytes cut off, changed, put in, left out, repeated, or with other numbers in them."""
    start = chance.randrange(len(data) + 1)
    end = min(len(data), start + chance.choice((1, 2, 8, 100, 3000)))
    piece = data[start:end]
    way = chance.randrange(7)
    if way == 0:
        return data[:start]
    if way == 1:
        return data[:start] + chance.randbytes(len(piece)) + data[end:]
    if way == 2:
        return data[:start] + data[end:]
    if way == 3:
        return data[:start] + piece * chance.choice((2, 3, 50)) + data[end:]
    if way == 4:
        nest = chance.choice((b"[", b'{"a":', b"<g>", b"0\nINSERT\n", b"(" * 10, b"\xff\xfe", b"\0"))
        return data[:start] + nest * chance.choice((1, 50, 20_000)) + data[end:]
    return _other_numbers(data, chance)


def spoilt_lines(data: bytes, chance: random.Random) -> bytes:
    """A text of lines with some of them left out, repeated, changed over: a DXF file has meaning by line."""
    lines = data.splitlines(keepends=True)
    for _ in range(chance.choice((1, 2, 5))):
        at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
        way = chance.randrange(4)
        if way == 0:
            del lines[at : at + chance.choice((1, 2, 20))]
        elif way == 1:
            lines[at:at] = lines[to : to + chance.choice((1, 2, 40))]
        elif way == 2:
            lines[at], lines[to] = lines[to], lines[at]
        else:
            lines[at] = f"{chance.choice((*NUMBERS, *WORDS))}\n".encode("utf-8", "surrogatepass")
        if not lines:
            break
    return b"".join(lines)


def spoilt_text(text: str, chance: random.Random) -> str:
    """The text of one field, spoilt; it may be gone altogether."""
    way = chance.randrange(6)
    if way < 2:
        return chance.choice(WORDS)
    if way < 4:
        return chance.choice(NUMBERS)
    if way == 4 or not text:
        return text + chance.choice(("\0", " mm", "e9", "\ud800", text * 3, "/", "\n"))
    start = chance.randrange(len(text))
    return text[:start] + chance.choice(("", "-", "9", "\u0661", chr(chance.randrange(1, 0x2FFF)))) + text[start + 1 :]


def _spoil_tree(tree: Any, chance: random.Random) -> None:
    holders = [held for held in _holders(tree) if held]
    if not holders:
        return
    held = chance.choice(holders)
    key = chance.choice(list(held) if isinstance(held, dict) else range(len(held)))
    way = chance.randrange(8)
    if way < 4:
        held[key] = chance.choice(VALUES)
    elif way == 4:
        del held[key]
    elif way == 5:
        other = chance.choice(holders)
        held[key] = json.loads(json.dumps(chance.choice(list(other.values()) if isinstance(other, dict) else other)))
    elif way == 6 and isinstance(held, list):
        held.extend(json.loads(json.dumps(held[key])) for _ in range(chance.choice((1, 3, 600))))
    elif way == 6:
        held[chance.choice(WORDS)] = held.pop(key)
    elif isinstance(held[key], int | float) and not isinstance(held[key], bool):
        # The nearly right does more harm than the outright wrong: it is let in.
        held[key] = held[key] * chance.choice((-1, 0, 0.001, 0.5, 0.999, 1.001, 2, 10, 1000, 1e6))
    else:
        held[key] = _nested(chance.choice((5, 39, 41, 150)))


def _holders(tree: Any) -> list[Any]:
    found, waiting = [], [tree]
    while waiting:
        value = waiting.pop()
        if isinstance(value, dict | list):
            found.append(value)
            waiting += value.values() if isinstance(value, dict) else value
    return found


def _nested(deep: int) -> Any:
    value: Any = 0
    for level in range(deep):
        value = [value] if level % 2 else {"a": value}
    return value


def _key_twice(text: str, chance: random.Random) -> str:
    found = chance.choice(list(re.finditer(r'"\w+": ', text)) or [re.match("", text)])
    if not found:
        return text
    return text[: found.start()] + found[0] + "1, " + text[found.start() :]


def _other_numbers(data: bytes, chance: random.Random) -> bytes:
    for _ in range(chance.choice((1, 1, 2, 6))):
        places = [found.span() for found in re.finditer(rb"-?\d+\.?\d*", data)]
        if not places:
            break
        start, end = chance.choice(places)
        data = data[:start] + chance.choice(NUMBERS).encode() + data[end:]
    return data
