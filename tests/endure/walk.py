"""A walk over every page: links followed, forms filled in rightly; what was sent with success is to be spoilt later."""

from __future__ import annotations

import re
import time
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qsl, urljoin, urlsplit

from app.web.routes import board_edit, edits, shop
from tests.endure.asking import Answer, Files
from tests.endure.figures import Figures
from tests.endure.filling import by_hand, filled, outline_files
from tests.endure.inside import Inside
from tests.pages import Page, Sheet

VERBS: Mapping[str, Iterable[str]] = {
    "/designs/{design_id}/edit/{verb}": edits._VERBS,
    "/designs/{design_id}/board/{verb}": board_edit._VERBS,
    "/designs/{design_id}/shop/{verb}": shop._VERBS,
    "/designs/{design_id}/stations/{verb}": ("lay-out", "call-back", "remove", "add"),
    "/designs/{design_id}/printer/{verb}": ("measure", "keep", "forget"),
}
"""What each route can be asked to do."""

_ALIKE = 2
_TELLING = ("group", "of", "face", "units")  # of these each value leads elsewhere
_SAME = ("seen", "since", "own", "revision", "state")  # these only name a state


@dataclass(frozen=True, slots=True)
class Sent:
    """A form as it was sent.

    Args:
        address: where to.
        fields: name and text.
        files: name, and file name and bytes.
    """

    address: str
    fields: Mapping[str, str]
    files: Files


@dataclass
class Walk:
    """A walk over the pages of an application.

    Args:
        window: the application.
        figures: where routes that were reached are noted.
        sent: forms that were taken, and links that were followed.
    """

    window: Inside
    figures: Figures
    sent: list[Sent] = field(default_factory=list)
    links: list[str] = field(default_factory=list)
    _asked: Counter[str] = field(default_factory=Counter)
    _seen: set[str] = field(default_factory=set)
    _waiting: list[str] = field(default_factory=list)

    def run(self, designs: Iterable[str], until: float) -> None:
        """Walk from the shelf and some designs until nothing is new, or that moment of the monotonic clock."""
        self.figures.reach(wanted(self.window), success=False)
        self._waiting.append("/")
        for design in designs:
            forms, pages = by_hand(self.window, design)
            self._waiting += pages
            for address, fields, files in forms:
                self._send(Sent(address, fields, files))
        while self._waiting:
            # What was seen least comes first, so that a walk that is cut short has seen something of everything.
            nearest = min(self._waiting, key=lambda address: self._asked[self._kind(address)])
            self._waiting.remove(nearest)
            if time.monotonic() > until:
                break
            self._visit(nearest)

    def _kind(self, address: str) -> str:
        """What an address asks for, whichever design and part it is about."""
        query = dict(parse_qsl(urlsplit(address).query))
        told = [f"{k}={v}" if k in _TELLING else k for k, v in sorted(query.items()) if k not in _SAME]
        return f"{self.window.route_of('GET', address)} {' '.join(told)}"

    def _visit(self, address: str) -> None:
        address = address.partition("#")[0]
        route, kind = self.window.route_of("GET", address), self._kind(address)
        if address in self._seen or not route or self._asked[kind] >= _ALIKE:
            return
        self._seen.add(address)
        self._asked[kind] += 1
        answer = self.window.get(address)
        self.figures.reach([route], success=answer.status < 400)
        if answer.status < 400:
            self.links.append(address)
            self._read(address, answer)

    def _read(self, address: str, answer: Answer) -> None:
        if "<html" not in answer.text[:300]:
            return
        page = Page(answer.text)
        self._waiting += (urljoin(address, link) for link in (*page.links, *page.loads) if "//" not in link)
        for sheet in page.forms:
            for button in sheet.buttons or [("", "", "")]:
                self._fill(address, sheet, button)

    def _fill(self, address: str, sheet: Sheet, button: tuple[str, str, str]) -> None:
        name, value, _ = button
        fields = filled(self.window, sheet)
        if name:
            fields[name] = value
        action = urljoin(address, sheet.action or address)
        if sheet.method == "get":
            return
        for files in outline_files(action) if sheet.files else ({},):
            self._send(Sent(action, fields, {n: files[n] for n in sheet.files if n in files}), name)

    def _send(self, form: Sent, button: str = "") -> None:
        route = self.window.route_of("POST", form.address)
        kind = f"{route} {button} {sorted(form.fields)} {form.fields.get('how', '')}"
        if not route or self._asked[kind] >= _ALIKE:
            return
        self._asked[kind] += 1
        answer = self.window.post(form.address, form.fields, form.files)
        self.figures.reach([route], success=answer.status < 400)
        if answer.status < 400:
            self.sent.append(form)
            self._asked[kind] += _ALIKE - 1
        if answer.location:
            self._waiting.append(answer.location)
        self._read(form.address, answer)


def wanted(window: Inside) -> list[str]:
    """Every route with every verb."""
    found = []
    for route in window.routes:
        for method in route.methods:
            verbs = VERBS.get(route.path, ("",)) if method == "POST" else ("",)
            found += [re.sub(r"\{verb\}", verb, f"{method} {route.path}") for verb in verbs]
    return found
