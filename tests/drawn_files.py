"""Prints digests of all that the scenarios and some round boards are exported to: ``python -m tests.drawn_files``.

``--backwards`` makes them in the other order, so that what one file leaves behind in the program meets another.
``--faces-by-turns`` makes one face of each arrangement.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterator
from typing import Any

from app.document.load import loads
from app.service import export_file, template_file
from tests.boards.round_boards import ROUND
from tests.boards.scenario_cuts import FACES, Case, cases, raw

FORMATS = ("svg", "dxf")
ROUNDS = ("ellipse", "circle in an octagon")


def rounded(name: str) -> list[Case]:
    """Both faces of a board with a round rim and three parts of a scenario in a row through its middle."""
    text = next(case.text for case in cases() if case.good)
    design: dict[str, Any] = json.loads(json.dumps(raw(text)))
    board = design["boards"][0]
    corners = [{"x": c.x, "y": c.y, **({"setback": c.setback} if c.setback else {})} for c in ROUND[name]]
    board["outline"], board["edges"], board["keep_clear"] = {"corners": corners, "openings": []}, {}, []
    board["arrangements"] = board["arrangements"][:1]
    arrangement = board["arrangements"][0]
    arrangement["placements"] = arrangement["placements"][:3]
    arrangement["stations"] = []
    for k, placed in enumerate(arrangement["placements"]):
        placed.update(id=f"p{k}", label="", station="", x=100.0 + 45.0 * k, y=130.0)
    return [Case(name, json.dumps(design), board["id"], arrangement["id"], face) for face in FACES]


def drawn(backwards: bool, by_turns: bool = False) -> Iterator[tuple[str, bytes]]:
    """Each file with a name that tells it from the others."""
    all_cases = [*cases(), *(case for name in ROUNDS for case in rounded(name))]
    if by_turns:
        # Both faces of an arrangement stand side by side.
        all_cases = [case for k, case in enumerate(all_cases) if k % 4 in (0, 3)]
    for case in reversed(all_cases) if backwards else all_cases:
        design = loads(case.text)
        for fmt in FORMATS:
            yield f"{case}.{fmt}", export_file(design, case.board, case.arrangement, case.face, fmt).data
        if not case.good or case.name in ("every-part", *ROUNDS):
            continue
        yield f"{case}.pdf", template_file(design, case.board, case.arrangement, case.face).data


if __name__ == "__main__":
    made = {
        name: hashlib.sha256(data).hexdigest()
        for name, data in drawn("--backwards" in sys.argv, "--faces-by-turns" in sys.argv)
    }
    json.dump(made, sys.stdout)
