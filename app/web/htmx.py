"""htmx in one place: its request headers as a typed value, its answer headers, and its own file.

htmx 2.0.3 is served from the package that carries it, so nothing is fetched from elsewhere.
"""

from __future__ import annotations

import json
from importlib.util import find_spec
from pathlib import Path

from msgspec import Struct
from starlette.datastructures import Headers
from starlette.requests import Request


class Htmx(Struct, frozen=True):
    """What htmx says about a request.

    Args:
        is_htmx: asked by htmx, not by the browser itself.
        boosted: an ordinary link or form that htmx took over.
        target: id of the element the answer goes into; empty if none.
        restoring: the page is wanted whole, because the browser's own history lost it.
    """

    is_htmx: bool = False
    boosted: bool = False
    target: str = ""
    restoring: bool = False

    @property
    def wants_block(self) -> bool:
        """Whether a block of the page is enough."""
        return self.is_htmx and not self.restoring

    @classmethod
    def of(cls, headers: Headers) -> Htmx:
        """Read the headers of a request."""
        return cls(
            is_htmx=headers.get("hx-request") == "true",
            boosted=headers.get("hx-boosted") == "true",
            target=headers.get("hx-target", ""),
            restoring=headers.get("hx-history-restore-request") == "true",
        )


BROWSER = Htmx()
"""A request of the browser itself."""


async def htmx_of(request: Request) -> Htmx:
    """What htmx says about ``request``: a dependency of routes."""
    return Htmx.of(request.headers)


def into(selector: str) -> dict[str, str]:
    """Answer headers that put the answer inside the element ``selector`` and leave the address as it is."""
    return {"HX-Retarget": selector, "HX-Reswap": "innerHTML", "HX-Push-Url": "false"}


def config() -> str:
    """The content of the ``htmx-config`` meta tag.

    Nothing inline is ever made (the content security policy would refuse it), and answers with an error
    status are shown too, since they say what is wrong beside the field.
    """
    return json.dumps(
        {
            "includeIndicatorStyles": False,
            "allowEval": False,
            "allowScriptTags": False,
            "selfRequestsOnly": True,
            "historyCacheSize": 0,
            "refreshOnHistoryMiss": True,
            "scrollIntoViewOnBoost": False,
            # Nothing here fades: what comes is shown as it is, at once.
            "attributesToSettle": [],
            "defaultSettleDelay": 0,
            "responseHandling": [
                {"code": "204", "swap": False},
                {"code": "...", "swap": True},
            ],
        }
    )


def script() -> Path:
    """The file of htmx itself, as installed."""
    spec = find_spec("js_lib_htmx")
    if spec is None or spec.origin is None:
        raise FileNotFoundError("The package django-js-lib-htmx is not installed: run pip install . again.")
    return Path(spec.origin).parent / "static" / "htmx" / "htmx.min.js"
