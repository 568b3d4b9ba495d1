"""Where an error came from, for the log."""

from __future__ import annotations

import traceback


def places_of(error: BaseException) -> str:
    """Type and places of an error and of those it came from, innermost call last, without their words."""
    origins = []
    seen: set[int] = set()
    link: BaseException | None = error
    while link is not None and id(link) not in seen:
        seen.add(id(link))
        frames = traceback.extract_tb(link.__traceback__)
        origins.append(
            "\n".join([f"  {f.filename}:{f.lineno} in {f.name}" for f in frames] + [type(link).__qualname__])
        )
        link = link.__cause__ or (None if link.__suppress_context__ else link.__context__)
    return "\nfrom which came\n".join(reversed(origins))
