"""Answers made smaller before they leave this computer; to itself they go as they are, which is quicker.

Packing what a page holds can betray it: whoever sees the length of an encrypted answer, and can make a browser ask
for pages with words of his choice in them, learns from the length whether the page holds the same words elsewhere
(BREACH, 2013). No page here holds a secret of the kind that was got at that way: forged forms are refused by where they
come from, not by a token in the page, and a key to the server is in a cookie and on no page. But the shelf says again
what is looked for, beside the titles of designs, and these are nobody else's affair. So what another site makes a
browser ask for is never packed. Browsers say so with every request over an encrypted connection (Fetch Metadata,
``Sec-Fetch-Site``); over one that is not, lengths tell nothing that cannot be read anyway.
"""

from __future__ import annotations

import zlib
from ipaddress import IPv6Address, ip_address

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from app.service.drawings.formats import JSON, SVG

SMALLEST = 860
"""Shortest answer that is packed [bytes]: it fits into one packet with its headers. Common practice, no source."""

LEVEL = 5
"""The next one makes a board page 2 % smaller and takes a third as long again: 17.0 kB in 1.1 ms, 16.6 kB in 1.5 ms."""

_GZIP = 16 + zlib.MAX_WBITS
_PACKS = ("text/", "application/javascript", SVG.media, JSON.media)
_OWN_SITE = frozenset({"", "none", "same-origin"})


class Compress:
    """Middleware that packs answers by gzip (RFC 1952) for other computers that take it.

    Args:
        app: the application behind it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] == "http" and is_elsewhere(scope):
            wanted, head = _is_wanted(Headers(scope=scope)), scope["method"] == "HEAD"
            send = _Packing(send, wanted=wanted, head=head).send
        await self._app(scope, receive, send)


def is_elsewhere(scope: Scope) -> bool:
    """Whether a request comes from another computer; one whose peer has no number is on this one."""
    try:
        peer = ip_address((scope.get("client") or ("", 0))[0])
    except ValueError:
        return False
    mapped = peer.ipv4_mapped if isinstance(peer, IPv6Address) else None
    return not (mapped or peer).is_loopback


def _is_wanted(headers: Headers) -> bool:
    if headers.get("sec-fetch-site", "") not in _OWN_SITE:
        return False
    return any(_takes_gzip(each) for each in headers.get("accept-encoding", "").lower().split(","))


def _takes_gzip(offer: str) -> bool:
    """Whether one entry of ``Accept-Encoding`` is gzip and not of no weight (RFC 9110, 12.5.3)."""
    name, _, weight = offer.partition(";")
    if name.strip() not in {"gzip", "x-gzip"}:
        return False
    try:
        return float(weight.partition("=")[2] or 1) > 0
    except ValueError:
        return False


class _Packing:
    """One answer on its way out: packed piece by piece, so that what is streamed still streams."""

    def __init__(self, send: Send, *, wanted: bool, head: bool) -> None:
        self._send = send
        self._wanted = wanted
        self._head = head
        self._start: Message | None = None
        self._packer: zlib._Compress | None = None

    async def send(self, message: Message) -> None:
        """Pass one message on. The start waits for the first piece, which says whether packing is worth while."""
        if message["type"] == "http.response.start":
            self._start = message
            return
        is_body, more = message["type"] == "http.response.body", message.get("more_body", False)
        body = message.get("body", b"")
        if self._start is not None:
            start, self._start = self._start, None
            self._begin(start, len(body) if is_body and not more else None)
            await self._send(start)
        if self._packer is not None and is_body and not self._head:
            # Whatever is streamed shall be there when it is sent, not when the packer has enough.
            end = zlib.Z_SYNC_FLUSH if more else zlib.Z_FINISH
            message = {**message, "body": self._packer.compress(body) + self._packer.flush(end)}
        await self._send(message)

    def _begin(self, start: Message, length: int | None) -> None:
        """Decide whether the answer is packed; its length is ``length`` if it does not say it itself [bytes]."""
        headers = MutableHeaders(raw=start["headers"])
        if not _can_be_packed(start["status"], headers):
            return
        headers.add_vary_header("Accept-Encoding")
        said = headers.get("content-length", "")
        length = int(said) if said.isdigit() else length
        if self._wanted and (length is None or length >= SMALLEST):
            self._packer = zlib.compressobj(LEVEL, zlib.DEFLATED, _GZIP)
            _mark(headers)
        start["headers"] = headers.raw


def _can_be_packed(status: int, headers: Headers) -> bool:
    """Whether an answer is text, whole, and not packed yet; a PDF is packed inside already."""
    whole = status not in {204, 206, 304} and "content-range" not in headers
    return whole and "content-encoding" not in headers and headers.get("content-type", "").startswith(_PACKS)


def _mark(headers: MutableHeaders) -> None:
    headers["content-encoding"] = "gzip"
    del headers["content-length"]
    # Another sequence of bytes must not have the same strong tag (RFC 9110, 8.8.1); and no range can be asked of it.
    tag = headers.get("etag", "")
    if tag and not tag.startswith("W/"):
        headers["etag"] = f"W/{tag}"
    if "accept-ranges" in headers:
        del headers["accept-ranges"]
