"""Laws of remedies: followed by their words and no other knowledge, they clear what they are about and harm nothing."""

from __future__ import annotations

import json
import re
from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.load import loads
from app.document.resolve import resolve
from app.document.schema import Design
from app.fit.finding import SEVERITIES, Finding
from app.fit.report.report import MOST_TRIED, check
from app.fit.words.messages import message, remedy
from app.units import Unit
from tests.long_run import examples
from tests.reading.following import followed, promises
from tests.reading.remedy_words import LENGTH

PARTS = tuple(sorted(catalogue().parts))
SHEETS = tuple(sorted(catalogue().materials))
_BODY: dict[str, Any] = {"shape": "circle", "diameter": 20, "depth": 25}
_OWN: dict[str, Any] = {"kind": "button", "mount": "top", "source": "Made up for tests.", "basis": "typical"}
OWN = (
    {
        **_OWN,
        "id": "own-nut",
        "name": "Own button",
        "cutouts": [{"shape": "circle", "diameter": 26, "smallest": 25.6, "largest": 26.3}],
        "flange": {"shape": "circle", "diameter": 31, "rise": 3},
        "body": _BODY,
        "fixing": {"type": "nut", "thread_length": 17, "nut_height": 5, "nut_width": 27},
    },
    {
        **_OWN,
        "id": "own-clips",
        "name": "Own switch",
        "cutouts": [{"shape": "rectangle", "width": 22, "height": 14, "smallest": 13.9, "largest": 14.6}],
        "flange": {"shape": "rectangle", "width": 26, "height": 18, "rise": 2},
        "body": {**_BODY, "diameter": 13},
        "fixing": {"type": "snap", "grip_min": 19, "grip_max": 24},
    },
    {
        **_OWN,
        "id": "own-plate",
        "name": "Own plate",
        "mount": "under",
        "kind": "stick",
        "cutouts": [{"shape": "circle", "diameter": 24, "smallest": 22, "largest": 30}],
        "body": {"shape": "rectangle", "width": 50, "height": 40, "depth": 30},
        "lever": {"length": 66, "height_min": 50, "height_max": 60, "knob": 30},
        "fixing": {
            "type": "screws",
            "holes": [[-30, -12], [30, 12]],
            "screw_diameter": 4,
            "screw_length": 17,
            "side": "under",
            "plate": {"shape": "rectangle", "width": 74, "height": 44},
            "plate_thickness": 2,
        },
    },
)
SHOPS: tuple[list[dict[str, Any]], ...] = (
    [],
    [{"kind": "forstner", "diameter": d, "reach": 15.0} for d in (24.0, 28.0, 30.0, 35.0)],
    [{"kind": "step", "diameter": 28.0, "reach": 5.0}, {"kind": "forstner", "diameter": 40.0, "reach": 8.0}],
    [{"kind": "forstner", "diameter": n * 25.4 / 16, "reach": 55.0, "inch": True} for n in range(14, 36, 2)],
)
HEAD = {"format": "holewise-design", "version": 2, "title": "Random"}
OPENING = [[190, 60], [250, 60], [250, 110], [190, 110]]


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """A crowded board of the catalogue's parts and own ones, in every sort of board and shop."""
    pitch = draw(st.sampled_from([24.0, 34.0, 41.5, 46.0, 70.0]))
    parts = st.one_of(st.sampled_from(PARTS), st.sampled_from([row["id"] for row in OWN]))
    part = draw(parts)
    mixed = draw(st.booleans())
    placements = []
    for k in range(draw(st.integers(1, 6))):
        x, y = 40 + pitch * (k % 3), 45 + pitch * (k // 3)
        cut = draw(st.sampled_from(["", "", "", "bore", "recess"]))
        placement = {
            "id": f"p{k}",
            "label": f"P{k}",
            "part": draw(parts) if mixed else part,
            "x": x + draw(st.sampled_from([0.0, 0.0, 3.7, -8.3, 120.0])),
            "y": y + draw(st.sampled_from([0.0, 0.0, 2.4, -30.0])),
            "angle": draw(st.sampled_from([0.0, 90.0, 30.0])),
            "locked": draw(st.integers(0, 7)) == 0,
        }
        if cut == "bore":
            diameter, depth = draw(st.sampled_from([(24.0, 8.0), (35.0, 6.0), (42.0, 13.0)]))
            placement["counterbore"] = {"diameter": diameter, "depth": depth}
        if cut == "recess":
            width, corner, depth = draw(st.sampled_from([(110.0, 6.0, 4.0), (80.0, 1.0, 9.0)]))
            placement["recess"] = {"width": width, "height": 70.0, "corner": corner, "depth": depth}
        placements.append(placement)
    edges = draw(st.sampled_from([{}, {"front": {"slot_depth": 8.0}, "left": {"rail": 18.0}}]))
    area = {"face": "under", "x": 90.0, "y": 30.0, "width": 40.0, "height": 20.0, "label": "hinge"}
    thick = draw(st.sampled_from([3.0, 6.0, 12.7, 18.0, 25.0]))
    layers = [{"material": draw(st.sampled_from(SHEETS)), "thickness": thick}]
    if draw(st.booleans()):
        layers.insert(0, {"material": "acrylic", "thickness": 3.0})
    deck = {
        "id": "deck",
        "name": "Deck",
        "outline": {
            "corners": [{"x": x, "y": y} for x, y in ((0, 0), (420, 0), (420, 240), (0, 240))],
            "openings": draw(st.sampled_from([[], [[{"x": x, "y": y} for x, y in OPENING]]])),
        },
        "layers": layers,
        "edges": edges,
        "depth_below": draw(st.sampled_from([{"front": 90.0, "back": 90.0}, {"front": 20.0, "back": 60.0}])),
        "paint": draw(st.sampled_from([0.0, 0.0, 0.15])),
        "keep_clear": draw(st.sampled_from([[], [area]])),
        "arrangements": [{"id": "one", "placements": placements}],
    }
    shop = {"drilling": draw(st.sampled_from(["hand", "press", "cnc"])), "bits": draw(st.sampled_from(SHOPS))}
    return loads(json.dumps({**HEAD, "shop": shop, "hardware": list(OWN), "boards": [deck]}))


def varied(findings: tuple[Finding, ...]) -> list[Finding]:
    """One finding of each rule, cause and severity, of those for which ways out are tried."""
    kinds = {(f.rule, f.detail.cause, f.severity): f for f in reversed(findings[:MOST_TRIED])}
    return list(kinds.values())


def follow(design: Design, said: Counter[str]) -> None:
    """Every promise of the report's remedies, in both units, kept to the letter."""
    board = resolve(design, None, None, catalogue())
    report = check(board, catalogue())
    for finding in varied(report.findings):
        kinds = []
        for unit in Unit:
            text = remedy(finding, report, unit)
            made = promises(text)
            kinds.append([re.sub(LENGTH, "…", clause) for clause in made])
            for clause in made:
                said[clause.split()[0] + finding.rule] += 1
                after = check(resolve(followed(design, clause, finding), None, None, catalogue()), catalogue())
                assert_better(finding, report.findings, after.findings, f"{finding.rule} {finding.subjects}: {text}")
            assert not promises(remedy(finding, report, unit, tried=False)), "what was not tried promises nothing"
            told = message(finding, board, unit)
            assert not re.search(r'(?<![\d./])(?:-[\d./ ]+|0(?:\.0+)?)(?: mm|")', told), f"no length: {told}"
        assert len(kinds[0]) == len(kinds[1]), "the advice is the same in both units"


def assert_better(finding: Finding, before: tuple[Finding, ...], after: tuple[Finding, ...], why: str) -> None:
    grave = [f for f in after if f.severity != "note"]
    left = [f for f in grave if about(f) == about(finding) and set(f.subjects) <= set(finding.subjects)]
    assert not left, (why, left)
    for new in grave:
        assert any(no_worse(old, new) for old in before), (why, new)


def about(finding: Finding) -> tuple[object, ...]:
    """The rule and what it is about; of slots and rails the edge or area too."""
    return (finding.rule, finding.detail.cause, finding.detail.mark)


def no_worse(old: Finding, new: Finding) -> bool:
    same = about(old) == about(new) and set(new.subjects) <= set(old.subjects)
    graver = SEVERITIES.index(new.severity) < SEVERITIES.index(old.severity)
    return same and not graver and (old.severity != new.severity or new.lack <= old.lack + 1e-5)


SAID: Counter[str] = Counter()


@examples(15)  # each judges the whole board many times
@given(designs())
def test_a_remedy_followed_by_its_words_clears_its_finding_and_makes_nothing_new(design: Design) -> None:
    follow(design, SAID)
