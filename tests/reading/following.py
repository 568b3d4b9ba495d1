"""A remedy followed by its words, as a builder does who has nothing else: read, and made on the design itself."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import Design
from app.fit.finding import Finding
from tests.reading.remedy_words import GENERAL, LENGTH, SAYING

Document = dict[str, Any]
Making = Callable[[Document, re.Match[str], Finding], None]

_ROWS = Path(__file__).parents[2] / "app" / "catalogue" / "data"
_WHO = r"(?P<who>.+?)"


class UnreadError(AssertionError):
    """A clause of a remedy that is neither followed nor known to promise nothing."""


def promises(text: str) -> list[str]:
    """The clauses of a remedy that say what to make; each is enough by itself.

    Raises:
        UnreadError: a clause is of no known form, or promises nothing and has a figure all the same.
    """
    found = []
    for said in re.split(r"(?<=\.) (?=[A-Z])", text):
        whole = said.removesuffix(".")
        if any(re.fullmatch(form, whole) for form in SAYING):
            continue
        bare = re.split(rf"; {LENGTH} of board is left$|: the (?:part|lever)s? .+$", whole)[0]
        for clause in _clauses(bare):
            if any(re.fullmatch(form, clause) for form, _ in FORMS):
                found.append(clause)
            elif not any(re.fullmatch(form, clause) for form in GENERAL) or re.search(LENGTH, clause):
                raise UnreadError(f"{clause!r} in {text!r}")
    return found


def _clauses(said: str) -> list[str]:
    """The alternatives of a sentence, each with a small first letter."""
    return [part[:1].lower() + part[1:] for part in said.split(", or ")]


def followed(design: Design, clause: str, finding: Finding) -> Design:
    """The design with what a clause says made to it, and nothing else."""
    document: Document = json.loads(dumps(design))
    _make(document, clause, finding)
    return loads(json.dumps(document))


def _make(document: Document, clause: str, finding: Finding) -> None:
    for form, make in FORMS:
        match = re.fullmatch(form, clause)
        if match:
            make(document, match, finding)
            return
    raise UnreadError(clause)


def read(length: str) -> float:
    """A length as it is printed [mm]."""
    if length.endswith(" mm"):
        return float(Fraction(length.removesuffix(" mm")))
    return float(sum(Fraction(part) for part in length.removesuffix('"').split()) * Fraction(254, 10))


def _step(length: str) -> float:
    """How finely a length is printed [mm]."""
    return 0.01 if length.endswith(" mm") else 25.4 / 64


def _placements(document: Document, match: re.Match[str], finding: Finding) -> list[Document]:
    """The placements that are named; those of the finding where the names are cut short."""
    every = document["boards"][0]["arrangements"][0]["placements"]
    who = match["who"]
    if re.search(r"\d+ more$", who):
        return [p for p in every if p["id"] in finding.subjects]
    labels = re.split(r", | and ", who)
    named = [p for p in every if p["label"] in labels]
    assert len(named) == len(labels), who
    return named


def _move(document: Document, match: re.Match[str], finding: Finding) -> None:
    (placement,) = _placements(document, match, finding)
    for said in match["ways"].split(" and "):
        length, _, way = said.partition(" to the ")
        axis, sign = {"right": ("x", 1), "left": ("x", -1), "back": ("y", 1), "front": ("y", -1)}[way]
        placement[axis] += sign * read(length)


def _flat_bit(document: Document, said: str) -> float:
    """The diameter of the flat-bottomed bit of the shop that is called so."""
    bits = document["shop"]["bits"] or [
        {"kind": b.kind, "diameter": b.diameter} for b in catalogue().bit_sets["metric"]
    ]
    size = read(said)
    near = [b["diameter"] for b in bits if b["kind"] == "forstner" and abs(b["diameter"] - size) <= 0.51 * _step(said)]
    assert near, f"there is no flat-bottomed bit of {said}"
    return float(min(near, key=lambda d: abs(d - size)))


def _bore(document: Document, match: re.Match[str], finding: Finding) -> None:
    for placement in _placements(document, match, finding):
        depth = read(match["deep"]) if "deep" in match.re.groupindex else placement["counterbore"]["depth"]
        placement["counterbore"] = {"diameter": _flat_bit(document, match["wide"]), "depth": depth}


def _recess(document: Document, match: re.Match[str], finding: Finding) -> None:
    for placement in _placements(document, match, finding):
        depth = placement["recess"]["depth"] if match["kept"] else read(match["deep"])
        sides = {k: read(match[k]) for k in ("width", "height", "corner")}
        placement["recess"] = {**sides, "depth": depth}


def _shallower(document: Document, match: re.Match[str], finding: Finding) -> None:
    for placement in _placements(document, match, finding):
        placement["recess"]["depth"] = read(match["deep"])


def _leave_out(document: Document, match: re.Match[str], finding: Finding) -> None:
    for placement in _placements(document, match, finding):
        del placement["recess" if match["cut"].startswith("recess") else "counterbore"]


def _box(document: Document, match: re.Match[str], _finding: Finding) -> None:
    for edge in ("front", "back"):
        document["boards"][0]["depth_below"][edge] += read(match["by"])


def _thicker(document: Document, match: re.Match[str], _finding: Finding) -> None:
    layers = document["boards"][0]["layers"]
    scale = read(match["thick"]) / sum(layer["thickness"] for layer in layers)
    for layer in layers:
        layer["thickness"] *= scale


def _get_bit(document: Document, match: re.Match[str], finding: Finding) -> None:
    kind = (match["kind"] or "hole saw bit").removesuffix(" bit").lower().replace(" ", "-")
    size = read(match["size"])
    sold = [b for bits in catalogue().bit_sets.values() for b in bits if b.kind == kind]
    reach = max((b.reach for b in sold), default=50.0)
    reach = next((b.reach for b in sold if abs(b.diameter - size) < 1e-6), reach)
    reach = read(match["reach"]) if match["reach"] else reach
    if not document["shop"]["bits"]:  # the starter set stands for a shop of which nothing is known
        document["shop"]["bits"] = [
            {"kind": b.kind, "diameter": b.diameter, "reach": b.reach} for b in catalogue().bit_sets["metric"]
        ]
    document["shop"]["bits"].append({"kind": kind, "diameter": size, "reach": reach})
    if match["then"]:
        _make(document, match["then"], finding)


def _swap(document: Document, match: re.Match[str], finding: Finding) -> None:
    (part,) = [p.id for p in catalogue().parts.values() if p.name == match["part"]]
    for placement in _placements(document, match, finding):
        placement["part"] = part
        for cut in ("counterbore", "recess") if match["bare"] else ():
            placement.pop(cut, None)


def _other_part(change: Callable[[Document, re.Match[str]], None]) -> Making:
    """The part of the placements with other measures, as a part of the design's own."""

    def make(document: Document, match: re.Match[str], finding: Finding) -> None:
        for placement in _placements(document, match, finding):
            row: Document = json.loads(json.dumps(_row(document, placement["part"])))
            row["id"] = f"{row['id']}-other"
            change(row, match)
            if all(known["id"] != row["id"] for known in document["hardware"]):
                document["hardware"].append(row)
            placement["part"] = row["id"]

    return make


def _row(document: Document, part: str) -> Document:
    own = next((row for row in document["hardware"] if row["id"] == part), None)
    return own or _catalogue_rows()[part]


@lru_cache(maxsize=1)
def _catalogue_rows() -> dict[str, Document]:
    files = [tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted(_ROWS.glob("parts-*.toml"))]
    return {row["id"]: row for file in files for row in file["part"]}


def _screws(row: Document, match: re.Match[str]) -> None:
    row["fixing"]["screw_length"] = read(match["length"])


def _pack(row: Document, match: re.Match[str]) -> None:
    for end in ("grip_min", "grip_max"):
        row["fixing"][end] = max(0.0, row["fixing"][end] - read(match["by"]))


def _wider(row: Document, match: re.Match[str]) -> None:
    for cutout in row["cutouts"]:
        for side in ("width", "height", "length"):
            if side in cutout:
                cutout[side] += read(match["by"])
        if cutout["shape"] != "circle":
            cutout["largest"] = max(cutout["largest"], min(cutout[s] for s in ("width", "height") if s in cutout))


def _letter(document: Document, match: re.Match[str], finding: Finding) -> None:
    sides = {"behind": "back", "in front of": "front", "at the left of": "left", "at the right of": "right"}
    for placement in _placements(document, match, finding):
        placement["legend"]["place"] = sides[match["side"]]


def _letters(document: Document, match: re.Match[str], finding: Finding) -> None:
    for placement in _placements(document, match, finding):
        placement["legend"]["height"] = read(match["high"])


def _free_pins(document: Document, match: re.Match[str], finding: Finding) -> None:
    wiring = document["boards"][0]["arrangements"][0]["wiring"]
    gone = [placement["id"] for placement in _placements(document, match, finding)]
    wiring["pins"] = [pin for pin in wiring["pins"] if pin["placement"] not in gone]


def _feed(document: Document, match: re.Match[str], _finding: Finding) -> None:
    (supply,) = [row.id for row in catalogue().supplies.values() if row.name == match["supply"]]
    document["boards"][0]["arrangements"][0].setdefault("wiring", {})["supply"] = supply


_SIZE = rf"(?P<width>{LENGTH}) × (?P<height>{LENGTH})"
_DEEP = rf"(?P<deep>{LENGTH}) deep"
_KEPT = r"(?P<kept>as deep as now)"
_KIND = r"(?P<kind>[\w ]+? bit|hole saw)"
_REACH = rf"(?: that reaches (?P<reach>{LENGTH}))?"
_THEN = r"(?: for .+?)?(?: and (?P<then>(?:counterbore|recess|make) .+))?"
FORMS: tuple[tuple[str, Making], ...] = (
    (rf"move {_WHO} (?P<ways>{LENGTH} to the \w+(?: and {LENGTH} to the \w+)?)", _move),
    (rf"counterbore {_WHO} (?P<wide>{LENGTH}) wide, (?P<deep>{LENGTH}) deep from the underside", _bore),
    (rf"make the counterbores? of {_WHO} (?P<wide>{LENGTH}) wide", _bore),
    (
        rf"recess {_WHO} from below, {_SIZE}, inside corners (?P<corner>{LENGTH}), (?:{_DEEP}|{_KEPT})",
        _recess,
    ),
    (rf"make the recess(?:es)? of {_WHO} only (?P<deep>{LENGTH}) deep", _shallower),
    (rf"leave out the (?P<cut>counterbores?|recess(?:es)?) of {_WHO}", _leave_out),
    (rf"make the box (?P<by>{LENGTH}) deeper under .+", _box),
    (rf"make the deck (?P<thick>{LENGTH}) thick", _thicker),
    (rf"buy a (?P<kind>router) bit of (?P<size>{LENGTH}) or narrower{_REACH}{_THEN}", _get_bit),
    (rf"buy a (?P<size>{LENGTH}) {_KIND}{_REACH}{_THEN}", _get_bit),
    (rf"use “(?P<part>.+)” for {_WHO}(?P<bare>, with nothing cut below)?", _swap),
    (rf"use (?P<length>{LENGTH}) screws for {_WHO}", _other_part(_screws)),
    (rf"pack {_WHO} out by (?P<by>{LENGTH}) below the board", _other_part(_pack)),
    (rf"put the legends? of {_WHO} (?P<side>behind|in front of|at the left of|at the right of) (?:it|them)", _letter),
    (rf"make the legends? of {_WHO} (?P<high>{LENGTH}) high", _letters),
    (rf"let Holewise choose the pins of {_WHO}", _free_pins),
    (r"feed every encoder board from a (?P<supply>.+)", _feed),
    (rf"cut the openings? of {_WHO} (?P<by>{LENGTH}) wider", _other_part(_wider)),
)
