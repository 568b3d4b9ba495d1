"""What a photograph told of a board as lines of text, and for other programs."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from app.model.resolved import ResolvedBoard
from app.service.edits.built_typing import last_cuts
from app.service.photo import PhotoAsked
from app.service.screens.bench.photo_rows import photo_hole
from app.service.screens.bench.photo_seen import PhotoSeen

if TYPE_CHECKING:
    from app.photo.measuring import PhotoMeasured


def photo_lines(seen: PhotoSeen) -> tuple[str, ...]:
    """The same as lines of text."""
    lines = [f"{seen.found} on the {seen.face}", *seen.said, ""]
    lines += [f"  {row.name}: {row.off} ({row.within}); {row.place}; {row.wide}" for row in seen.rows]
    lines += ["", f"Not measured: {seen.missed}"] if seen.doubts else []
    return (*lines, *(f"  {names}: {why}" for why, names in seen.doubts))


def photo_json(board: ResolvedBoard, asked: PhotoAsked, found: PhotoMeasured) -> str:
    """The same as one JSON object: lengths in mm, from the left and the front datum edge."""
    cuts = {cut.code: cut for cut in last_cuts(board)}
    x0, y0, _, _ = board.outline.bounds
    holes: list[dict[str, object]] = []
    for m in found.holes:
        cut = cuts[m.code]
        row: dict[str, object] = {"name": cut.name, "id": m.code, "designed_mm": [cut.at[0] - x0, cut.at[1] - y0]}
        if m.doubt:
            row["not_measured"] = m.doubt
        else:
            hole = photo_hole(asked, found, cut, m)
            row |= {"centre_mm": [hole.x, hole.y], "within_mm": hole.within}
            row |= {"diameter_mm": round(m.diameter, 2), "diameter_within_mm": round(m.wide_within, 2)}
        holes.append(row)
    left_out = [{"name": cut.name, "id": cut.code, "why": why} for cut, why in asked.left_out[found.cards.face]]
    told = {
        "face": found.cards.face, "pixels_per_mm": round(found.scale, 2), "degrees_from_above": round(found.angle, 1),
        "cards_printed_at": [round(p, 4) for p in found.printed], "holes": holes, "left_out": left_out,
    }  # fmt: skip
    return json.dumps(told, indent=2, ensure_ascii=False)
