"""Files as they are handed out: bytes with a name and a format, and what stops the board they are of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from app.service.drawings.formats import Format

if TYPE_CHECKING:
    from app.paper.sheet_kind import SheetCode
    from app.proof import Proof


class MadeFile(Struct, frozen=True, kw_only=True):
    """A file of a board, whether or not that can be built.

    Args:
        data: its bytes.
        name: what to call it, with its ending.
        format: what it is.
        stops: how many findings say that the board cannot be built as drawn; the file says so too.
        codes: the check codes on its sheets.
    """

    data: bytes
    name: str
    format: Format
    stops: int = 0
    codes: tuple[SheetCode, ...] = ()


class ProvedFile(MadeFile, frozen=True, kw_only=True):
    """A file that was read back, and shows what the design asks for.

    Args:
        proof: what reading it back has found.
    """

    proof: Proof
