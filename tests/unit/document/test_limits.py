"""Limits: the last value that is taken, the first that is not, with its place; the store is read whatever it holds."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest

from app.document.dump import dumps
from app.document.keep import kept
from app.document.load import loads, recalled
from app.document.schema import Design
from app.errors import DocumentError, LimitError, SizeError
from app.model import limits
from app.model.limits import DesignLimit
from app.service import export_file
from tests.unit.document.designs import small_design

Raw = dict[str, Any]
TEXT = dumps(small_design())


def board(raw: Raw) -> Raw:
    found: Raw = raw["boards"][0]
    return found


def arrangement(raw: Raw) -> Raw:
    found: Raw = board(raw)["arrangements"][0]
    return found


def corners(count: int, wide: float = 400.0, deep: float = 200.0) -> list[Raw]:
    """A rectangle with ``count`` corners in all, those beyond four along its front edge."""
    along = [{"x": wide * k / (count - 2), "y": 0.0} for k in range(count - 1)]
    return [*along[:-1], {"x": wide, "y": 0.0}, {"x": wide, "y": deep}, {"x": 0.0, "y": deep}][-count:]


def placements(count: int, part: str = "button-24-nut-long") -> list[Raw]:
    return [{"id": f"p{k}", "part": part, "x": 100, "y": 100} for k in range(count)]


def opening(k: int, count: int = 3) -> list[Raw]:
    """A sliver of an opening of its own, in a row of them."""
    x = 10 + 3.5 * k
    return [{"x": x, "y": 50}, {"x": x + 2, "y": 50}, *({"x": x + 1, "y": 60 + j} for j in range(count - 2))]


def column(k: int, cells: int = 0, long: int = 1) -> Raw:
    found = [{"line": f"part.p{n}", "text": "x" * long} for n in range(cells)]
    return {"id": f"c{k}", "name": f"Column {k}", "cells": found}


def own_part(k: int, holes: int = 1, screws: int = 1) -> Raw:
    circle = {"shape": "circle", "diameter": 2.0, "smallest": 1.5, "largest": 3.0}
    return {
        "id": f"own-{k}", "name": "Own", "kind": "button", "source": "By hand.", "cutouts": [circle] * holes,
        "fixing": {"type": "screws", "holes": [[0, 0]] * screws, "screw_diameter": 3.0},
        "body": {"shape": "circle", "diameter": 5.0, "depth": 5.0},
    }  # fmt: skip


def spread(count: int, per: int) -> Callable[[Raw], object]:
    """``count`` parts over arrangements of up to ``per``."""

    def change(raw: Raw) -> None:
        sizes = [per] * (count // per) + ([count % per] if count % per else [])
        board(raw)["arrangements"] = [{"id": f"a{k}", "placements": placements(n)} for k, n in enumerate(sizes)]

    return change


def boards(count: int, arrangements: int = 1) -> Callable[[Raw], object]:
    def change(raw: Raw) -> None:
        one = {**board(raw), "arrangements": [{"id": f"a{k}"} for k in range(arrangements)]}
        raw["boards"] = [{**one, "id": f"b{k}"} for k in range(count)]

    return change


def revision(k: int, **fields: object) -> Raw:
    letter = "".join(chr(65 + k // 26**place % 26) for place in (2, 1, 0))
    return {"letter": letter, "date": "2026-02-01", "digest": "0" * 32, **fields}


def came(**fields: object) -> Raw:
    return {"sort": "board", "board": "b", "source": "Other", "source_board": "b", "digest": "0" * 32, **fields}


def accepted(count: int, subjects: int = 1) -> list[Raw]:
    return [{"rule": "web", "subjects": ["a"] * subjects, "reason": "Why not.", "cause": str(k)} for k in range(count)]


def marks(count: int) -> list[Raw]:
    return [{"placement": "a", "cut": f"hole-{k}", "work": "through", "at": [9, 9], "width": 5} for k in range(count)]


def wide(size: float) -> Raw:
    return {"shape": "circle", "diameter": size, "smallest": size, "largest": size}


def pattern(k: int, **more: object) -> Raw:
    return {"id": f"h{k}", "hole": 5, "pitch": 10, **more}


def rows_of(count: int) -> Raw:
    """``count`` holes of 0.2 mm, 0.9 mm apart: two rows of an even number, one of an odd one."""
    even = count % 2 == 0
    return pattern(
        0, order="square", hole=0.2, pitch=0.9, middle="gap" if even else "hole",
        boundary={"shape": "rectangle", "width": count * (0.45 if even else 0.9), "height": 1.7 if even else 0.8},
    )  # fmt: skip


ARRANGEMENT = "boards[0].arrangements[0]"

EACH: dict[DesignLimit, tuple[Callable[[Raw, int], object], str]] = {
    limits.PARTS: (lambda r, n: arrangement(r).update(placements=placements(n)), f"{ARRANGEMENT}.placements"),
    limits.PARTS_IN_ALL: (lambda r, n: spread(n, 1500)(r), "boards"),
    limits.HOLES: (lambda r, n: r.update(hardware=[own_part(0, n)]), "hardware[0].cutouts"),
    limits.SCREWS: (lambda r, n: r.update(hardware=[own_part(0, 1, n)]), "hardware[0].fixing.screws.holes"),
    limits.HOLES_IN_ARRANGEMENT: (
        lambda r, n: [
            r.update(hardware=[own_part(0, 40, 40), own_part(1, n % 80 or 1, 0)]),
            arrangement(r).update(placements=placements(n // 80, "own-0")),
            n % 80 and arrangement(r)["placements"].append({"id": "last", "part": "own-1", "x": 9, "y": 9}),
        ],
        f"{ARRANGEMENT}.placements",
    ),
    limits.OWN_PARTS: (lambda r, n: r.update(hardware=[own_part(k) for k in range(n)]), "hardware"),
    limits.BOARDS: (lambda r, n: boards(n)(r), "boards"),
    limits.ARRANGEMENTS: (lambda r, n: boards(1, n)(r), "boards[0].arrangements"),
    limits.ARRANGEMENTS_IN_ALL: (
        lambda r, n: [boards(5, 20)(r), r["boards"][0].update(arrangements=[{"id": f"a{k}"} for k in range(n - 80)])],
        "boards",
    ),
    limits.GONE: (lambda r, n: board(r).update(gone=[f"g{k}" for k in range(n)]), "boards[0].gone"),
    limits.GONE_BOARDS: (lambda r, n: r.update(gone=[f"g{k}" for k in range(n)]), "gone"),
    limits.PATTERNS: (lambda r, n: r.update(patterns=[pattern(k) for k in range(n)]), "patterns"),
    limits.PATTERN_HOLES: (lambda r, n: r.update(patterns=[rows_of(n)]), "patterns[0]"),
    limits.NUMBERS: (
        lambda r, n: r.update(patterns=[pattern(0, numbers=[[k, 0] for k in range(n)])]), "patterns[0].numbers"
    ),
    limits.MAKERS: (
        lambda r, n: arrangement(r).update(makers=[{"id": f"m{k}", "maker": "fan"} for k in range(n)]),
        f"{ARRANGEMENT}.makers",
    ),
    limits.MEASURES: (
        lambda r, n: arrangement(r).update(
            makers=[{"id": "m1", "maker": "fan", "measures": [{"name": f"n{k}", "value": 1.0} for k in range(n)]}]
        ),
        f"{ARRANGEMENT}.makers[0].measures",
    ),
    limits.BUILD_STEPS: (lambda r, n: r.update(steps={"order": [f"s{k}" for k in range(n)]}), "steps.order"),
    limits.WORDED_STEPS: (
        lambda r, n: r.update(steps={"worded": [{"key": f"s{k}", "title": "x"} for k in range(n)]}), "steps.worded"
    ),
    limits.ADDED_STEPS: (
        lambda r, n: r.update(steps={"added": [{"key": f"own/{k + 1}", "title": "x"} for k in range(n)]}), "steps.added"
    ),
    limits.STEP_TEXT: (
        lambda r, n: r.update(steps={"worded": [{"key": "cut", "title": "x", "text": "x" * n}]}), "steps.worded[0].text"
    ),
    limits.LEGEND: (
        lambda r, n: arrangement(r).update(
            placements=[{**placements(1)[0], "legend": {"text": "W" * n}}],
        ),
        f"{ARRANGEMENT}.placements[0].legend.text",
    ),
    limits.STATIONS: (
        lambda r, n: arrangement(r).update(stations=[{"id": f"s{k}"} for k in range(1, n + 1)]),
        f"{ARRANGEMENT}.stations",
    ),
    limits.STEPS: (
        lambda r, n: arrangement(r).update(stations=[{"id": "s1", "steps": [0] * n}]),
        f"{ARRANGEMENT}.stations[0].steps",
    ),
    limits.CORNERS: (lambda r, n: board(r)["outline"].update(corners=corners(n)), "boards[0].outline.corners"),
    limits.CORNERS_IN_ALL: (
        lambda r, n: board(r)["outline"].update(
            corners=corners(n - 99 * 50), openings=[opening(k, 50) for k in range(99)]
        ),
        "boards[0].outline",
    ),
    limits.OPENINGS: (
        lambda r, n: board(r)["outline"].update(openings=[opening(k) for k in range(n)]), "boards[0].outline.openings"
    ),
    limits.LAYER: (
        lambda r, n: board(r)["layers"][0].update(thickness=float(n)), "boards[0].layers[0].thickness"
    ),
    limits.CUT: (
        lambda r, n: r.update(hardware=[{**own_part(0), "cutouts": [wide(float(n))]}]), "hardware[0].cutouts[0]"
    ),
    limits.LAYERS: (
        lambda r, n: board(r).update(layers=[{"material": "mdf", "thickness": 3}] * n), "boards[0].layers"
    ),
    limits.AREAS: (
        lambda r, n: board(r).update(keep_clear=[{"face": "top", "x": 1, "y": 1, "width": 1, "height": 1}] * n),
        "boards[0].keep_clear",
    ),
    limits.BITS: (lambda r, n: r["shop"].update(bits=[{"kind": "twist", "diameter": 3}] * n), "shop.bits"),
    limits.ACCEPTED: (lambda r, n: arrangement(r).update(accepted=accepted(n)), f"{ARRANGEMENT}.accepted"),
    limits.SUBJECTS: (
        lambda r, n: arrangement(r).update(accepted=accepted(1, n)), f"{ARRANGEMENT}.accepted[0].subjects"
    ),
    limits.MARKS: (lambda r, n: arrangement(r).update(as_built=marks(n)), f"{ARRANGEMENT}.as_built"),
    limits.TRIALS: (lambda r, n: r.update(coupon=[{"sort": "hole", "diameter": 28.0}] * n), "coupon"),
    limits.REVISIONS: (lambda r, n: r.update(published=[revision(k) for k in range(n)]), "published"),
    limits.CHANGE_LINES: (lambda r, n: r.update(published=[revision(0, changes=["x"] * n)]), "published[0].changes"),
    limits.CHANGE_LINE: (lambda r, n: r.update(published=[revision(0, changes=["x" * n])]), "published[0].changes[0]"),
    limits.BROUGHT: (lambda r, n: r.update(brought=[came()] * n), "brought"),
    limits.RENAMED: (
        lambda r, n: r.update(brought=[came(renamed=[{"was": "a", "now": f"b{k}"} for k in range(n)])]),
        "brought[0].renamed",
    ),
    limits.APART: (
        lambda r, n: arrangement(r).update(wiring={"apart": [f"p{k}" for k in range(n)]}), f"{ARRANGEMENT}.wiring.apart"
    ),
    limits.FIXED_PINS: (
        lambda r, n: arrangement(r).update(
            wiring={"pins": [{"placement": "a", "tab": 1, "encoder": f"e{k}", "pin": 1} for k in range(n)]}
        ),
        f"{ARRANGEMENT}.wiring.pins",
    ),
    limits.RETIRED: (lambda r, n: arrangement(r).update(retired=["A"] * n), f"{ARRANGEMENT}.retired"),
    limits.COLUMNS: (lambda r, n: r.update(columns=[column(k) for k in range(n)]), "columns"),
    limits.OWN_CELLS: (lambda r, n: r.update(columns=[column(0, cells=n)]), "columns[0].cells"),
    limits.COLUMN_NAME: (lambda r, n: r.update(columns=[{"id": "c", "name": "x" * n}]), "columns[0].name"),
    limits.OWN_CELL: (lambda r, n: r.update(columns=[column(0, 1, n)]), "columns[0].cells[0].text"),
    limits.WORDS: (lambda r, n: r.update(title="x" * n), "title"),
    limits.LABEL: (
        lambda r, n: arrangement(r)["placements"][0].update(label="x" * n), f"{ARRANGEMENT}.placements[0].label"
    ),
    limits.NOTES: (lambda r, n: r.update(notes="x" * n), "notes"),
    limits.REASON: (
        lambda r, n: arrangement(r).update(accepted=[{**accepted(1)[0], "reason": "x" * n}]),
        f"{ARRANGEMENT}.accepted[0].reason",
    ),
    limits.PAPER: (lambda r, n: r["shop"].update(paper="x" * n), "shop.paper"),
    limits.PLACE: (
        lambda r, n: arrangement(r)["placements"][0].update(x=float(n)), f"{ARRANGEMENT}.placements[0]"
    ),
    limits.BOARD_SIDE: (
        lambda r, n: board(r)["outline"].update(corners=corners(4, float(n)), openings=[]), "boards[0].outline.corners"
    ),
}  # fmt: skip

OF_TEXT = {limits.STORED, limits.FILE, limits.VALUES, limits.NESTING}
"""Limits of the text itself: tested below, and with hostile files."""


def with_so_many(limit: DesignLimit, count: int) -> str:
    raw = json.loads(TEXT)
    EACH[limit][0](raw, count)
    return json.dumps(raw)


def test_every_limit_is_tested_and_has_a_reason() -> None:
    rows = limits.limits()
    assert set(rows) == set(EACH) | OF_TEXT
    assert len({row.name for row in rows}) == len(rows)
    assert all(row.why.endswith(".") and row.remedy.endswith(".") and row.least < row.most for row in rows)


@pytest.mark.parametrize("limit", EACH, ids=lambda limit: limit.name)
def test_the_last_that_may_be_is_taken_and_one_more_is_refused_with_its_place(limit: DesignLimit) -> None:
    design = loads(with_so_many(limit, limit.most))
    assert recalled(kept(design)) == design
    more = with_so_many(limit, limit.most + 1)
    with pytest.raises(LimitError, match=f"{limit.most:,}") as caught:
        loads(more)
    assert caught.value.place == EACH[limit][1]
    assert str(limit.most + 1) in str(caught.value).replace(",", "")
    assert limit.remedy in str(caught.value)
    assert caught.value.over == {limit.name: 1.0}
    assert "to mend" not in str(caught.value), "nothing else is wrong"
    assert isinstance(recalled(more), Design), "what is stored is read whatever it holds"


@pytest.mark.parametrize("side", ["wide", "deep"])
@pytest.mark.parametrize(("size", "good"), [(0.001, False), (19.999, False), (20, True), (5000, True), (5e4, False)])
def test_a_board_is_as_large_as_a_sheet_can_be_and_a_hole_needs(side: str, size: float, good: bool) -> None:
    raw = json.loads(TEXT)
    wide, deep = (size, 200.0) if side == "wide" else (400.0, size)
    board(raw)["outline"] = {"corners": corners(4, wide, deep)}
    if good:
        assert loads(json.dumps(raw)).boards[0].outline.corners[2].x == wide
        return
    with pytest.raises(LimitError, match=r"from 20 to 5,000 mm wide and deep, got .*Enter its size again"):
        loads(json.dumps(raw))


@pytest.mark.parametrize("good", [True, False])
@pytest.mark.parametrize("cut", ["hole of a part", "hole of a pattern", "counterbore", "recess"])
def test_a_cut_is_as_wide_as_the_finest_bit_at_the_least(cut: str, good: bool) -> None:
    """Of a cut that no bit makes a file cannot be read back: 0.1 mm is drawn, read and proved, 1e-320 was not."""
    raw, size = json.loads(TEXT), limits.NARROWEST_CUT if good else 1e-320
    part = arrangement(raw)["placements"][0]
    if cut == "hole of a part":
        raw["hardware"] = [{**own_part(0), "cutouts": [wide(size)]}]
        part["part"] = "own-0"
    elif cut == "hole of a pattern":
        raw["patterns"] = [pattern(0, hole=size)]
        part["part"] = "h0"
    else:
        part[cut] = {"diameter": size, "depth": 3} if cut == "counterbore" else {"width": size, "height": 9, "depth": 3}
    text = json.dumps(raw)
    if good:
        for fmt in ("svg", "dxf"):
            assert export_file(loads(text), face="under", fmt=fmt).proof.largest < 0.01
        return
    with pytest.raises(LimitError, match=r"A hole or cut is 0\.1 to 3,000 mm wide"):
        loads(text)
    assert isinstance(recalled(text), Design), "what is stored is read"


@pytest.mark.parametrize(("thick", "good"), [(1e-200, False), (0.049, False), (limits.THINNEST_LAYER, True)])
def test_a_layer_is_as_thick_as_a_film_at_the_least(thick: float, good: bool) -> None:
    raw = json.loads(TEXT)
    board(raw)["layers"][0]["thickness"] = thick
    text = json.dumps(raw)
    if good:
        assert loads(text).boards[0].layers[0].thickness == thick
        return
    with pytest.raises(LimitError, match=r"A layer is 0.05 to 100 mm thick, got .*Enter its thickness again") as caught:
        loads(text)
    assert caught.value.place == "boards[0].layers[0].thickness"
    assert recalled(text).boards[0].layers[0].thickness == thick


@pytest.mark.parametrize(("field", "edge"), [("x", "left"), ("y", "front")])
@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_part_is_at_most_so_far_from_the_datum_edges_wherever_the_file_counts_from(
    side: float, field: str, edge: str
) -> None:
    raw = json.loads(TEXT)
    for corner in board(raw)["outline"]["corners"]:
        corner["x"], corner["y"] = corner["x"] + 4000.0, corner["y"] - 300.0
    board(raw)["outline"]["openings"] = []
    part = arrangement(raw)["placements"][0]
    part["x"], part["y"] = 4000.0, -300.0
    start = part[field]
    part[field] = start + side * limits.PLACE.most
    assert loads(json.dumps(raw)).boards[0].arrangements[0].placements[0].model_dump()[field] == part[field]
    part[field] = start + side * (limits.PLACE.most + 0.01)
    with pytest.raises(LimitError, match=rf"up to 10,000 mm .*, got 10000\.01 mm from the {edge} edge") as caught:
        loads(json.dumps(raw))
    assert caught.value.over == {"place": pytest.approx(0.01)}
    assert isinstance(recalled(json.dumps(raw)), Design), "what is stored farther out is read"


def heavy(labels: int) -> Design:
    """A design of ``labels`` retired letters, of twelve characters: each a line of 28 bytes as stored."""
    raw = json.loads(TEXT)
    full = limits.RETIRED.most
    board(raw)["arrangements"] = [
        {"id": f"a{k}", "retired": ["abcdefghijkl"] * min(full, labels - k * full)} for k in range(-(-labels // full))
    ]
    return loads(json.dumps(raw, separators=(",", ":")))


def test_the_text_as_it_is_stored_has_a_limit_of_its_own() -> None:
    """What is sent is half as long: the limit is that of what is kept."""
    full = limits.STORED.most // 28
    good, much = heavy(full - 500), heavy(full)
    assert len(kept(good).encode()) <= limits.STORED.most < len(dumps(much).encode())
    with pytest.raises(LimitError, match=re.escape("2,000,000 bytes as stored, got ")) as caught:
        kept(much)
    assert caught.value.over == {"stored": len(dumps(much).encode()) - limits.STORED.most}


def test_what_is_stored_already_is_read_though_it_is_larger_than_a_file_may_be() -> None:
    design = heavy(limits.FILE.most // 28)
    text = dumps(design)
    assert len(text.encode()) > limits.FILE.most
    with pytest.raises(SizeError):
        loads(text)
    with pytest.raises(LimitError, match="as stored"):
        kept(design)
    assert recalled(text) == design


def test_a_design_from_before_a_limit_can_be_mended_step_by_step_but_not_made_worse() -> None:
    def full(count: int) -> Design:
        return recalled(with_so_many(limits.PARTS, count))

    before = full(limits.PARTS.most + 10)
    assert recalled(kept(full(limits.PARTS.most + 9), before)) == full(limits.PARTS.most + 9)
    assert recalled(kept(full(limits.PARTS.most + 10), before)) == before
    with pytest.raises(LimitError, match=f"got {limits.PARTS.most + 11:,}"):
        kept(full(limits.PARTS.most + 11), before)
    titled = before.model_copy(update={"title": "x" * (limits.WORDS.most + 1)})
    with pytest.raises(LimitError):
        kept(titled, before)
    with pytest.raises(LimitError, match=f"got {limits.PARTS.most + 1:,}"):
        kept(full(limits.PARTS.most + 1), full(limits.PARTS.most))


def test_what_no_file_may_say_is_not_kept_whatever_was_there_before() -> None:
    """An edit makes its document without asking the schema."""
    design = small_design()
    bare = design.model_copy(update={"title": "two\nlines"})
    for before in (None, design):
        with pytest.raises(DocumentError, match="title"):
            kept(bare, before)


def test_limits_are_told_in_the_schema() -> None:
    told = json.dumps(Design.model_json_schema())
    assert f'"maxItems": {limits.PARTS.most}' in told
    assert f'"maxLength": {limits.NOTES.most}' in told
    assert Design.model_json_schema()["properties"]["boards"]["maxItems"] == limits.BOARDS.most
