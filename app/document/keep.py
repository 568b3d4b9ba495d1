"""A design on its way into the store: written, and kept only if what is written can be read again, within limits."""

from __future__ import annotations

import math

from app.document.dump import dumps
from app.document.load import loads, recalled
from app.document.schema import Design
from app.errors import LimitError, SizeError
from app.model.limits import FILE, STORED


def kept(design: Design, before: Design | None = None, *, read: bytes = b"") -> str:
    """The text of a design as it is stored, read again as any file is.

    Args:
        design: the design.
        before: what a change was made to. A limit that it was beyond already may stay so, if the change goes no
            farther: otherwise a design from before the limit could not be mended step by step.
        read: what the design was just read from, within limits: if it is stored as that, it need not be read again.

    Raises:
        LimitError: the design as it would be stored holds more than a design may hold.
        DocumentError: it could not be read again.
    """
    text = dumps(design)
    wrong = _beyond(text, read)
    if wrong is None:
        return text
    known = _beyond(dumps(before)) if before is not None else None
    if known is None or any(by > known.over.get(name, 0.0) for name, by in wrong.over.items()):
        raise wrong
    recalled(text)
    return text


def _beyond(text: str, read: bytes = b"") -> LimitError | None:
    """What of a text to be stored is beyond limits; None if nothing is.

    Raises:
        DocumentError: it is no design at all.
    """
    data = text.encode("utf-8")
    size = len(data)
    heavy = {STORED.name: float(size - STORED.most)} if size > STORED.most else {}
    try:
        if data != read:
            loads(text)
    except SizeError as error:
        return LimitError(STORED.said(size) if heavy else str(error), "", heavy or {FILE.name: math.inf})
    except LimitError as error:
        error.over.update(heavy)
        return error
    return LimitError(STORED.said(size), "", heavy) if heavy else None
