"""What a finding about a hole and the bit that makes it carries."""

from __future__ import annotations

from app.fit.detail import BitDetail


class MatchDetail(BitDetail, frozen=True, kw_only=True):
    """The bit that a hole is made with, or the nearest there is.

    Args:
        bit: how wide a hole it makes [mm]; None where the shop has none.
        sold: its own diameter, where its hole was measured in scrap [mm]; None elsewhere.
        tried: when a part was tried in its trial hole, in words; empty elsewhere.
    """

    bit: float | None = None
    sold: float | None = None
    tried: str = ""
