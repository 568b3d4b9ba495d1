"""A walk over every page: links followed, forms filled in rightly; what was sent with success is to be spoilt later."""

from __future__ import annotations

import re
import time
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from urllib.parse import parse_qsl, urljoin, urlsplit

from msgspec import Struct

from app.values import replace
from app.web.pages.at_board import route as at_board
from app.web.pages.bench import route as bench
from app.web.pages.board import edits
from app.web.pages.board_edit import route as board_edit
from app.web.pages.boards import route as boards
from app.web.pages.built import route as built
from app.web.pages.legends import route as legends
from app.web.pages.shop import route as shop
from app.web.pages.stations import route as stations
from app.web.pages.steps import route as steps
from app.web.pages.wiring import route as wiring
from tests.endure.asking import Answer, Files
from tests.endure.figures import Figures
from tests.endure.filling import by_hand, filled, outline_files
from tests.endure.inside import Inside
from tests.reading.pages import Page, Sheet

VERBS: Mapping[str, Iterable[str]] = {
    "/designs/{design_id}/edit/{verb}": edits._READERS,
    "/designs/{design_id}/board/{verb}": board_edit._READERS,
    "/designs/{design_id}/shop/{verb}": shop._READERS,
    "/designs/{design_id}/stations/{verb}": stations._READERS,
    "/designs/{design_id}/printer/{verb}": ("diagnose", "keep", "forget"),
    "/designs/{design_id}/at-board/{verb}": at_board._READERS,
    "/designs/{design_id}/bench/drilling/{verb}": bench._DRILLING,
    "/designs/{design_id}/bench/parts/{verb}": bench._PARTS,
    "/designs/{design_id}/boards/{verb}": boards._READERS,
    "/designs/{design_id}/built/{verb}": built._READERS,
    "/designs/{design_id}/legends/{verb}": legends._READERS,
    "/designs/{design_id}/steps/{verb}": steps._READERS,
    "/designs/{design_id}/wiring/{verb}": wiring._READERS,
}
"""What each route can be asked to do."""

_ALIKE = 2
_MOST_WAITING = 10
_TELLING = ("group", "of", "face", "hold")  # of these each value leads elsewhere
_VIEW = {
    *("seen", "unit", "units", "window", "board", "arrangement", "face", "select", "to", "layers"),
    *("group", "hold", "page", "scope", "station", "paper"),
}  # fields that say where one is, not what is to be done


class Sent(Struct, frozen=True):
    """A form as it was sent.

    Args:
        address: where to.
        fields: name and text.
        files: name, and file name and bytes.
        seconds: how long its answer took.
    """

    address: str
    fields: Mapping[str, str]
    files: Files
    seconds: float = 0.0


@dataclass
class Walk:
    """A walk over the pages of an application.

    Args:
        window: the application.
        figures: where routes that were reached are noted.
        sent: forms that were taken.
        links: links that were followed, and how long their answers took [s].
    """

    window: Inside
    figures: Figures
    sent: list[Sent] = field(default_factory=list)
    links: list[tuple[str, float]] = field(default_factory=list)
    _asked: Counter[str] = field(default_factory=Counter)
    _seen: set[str] = field(default_factory=set)
    _waiting: dict[str, list[str]] = field(default_factory=dict)

    def run(self, designs: Iterable[str], until: float) -> None:
        """Walk from the shelf and some designs until nothing is new, or that moment of the monotonic clock."""
        self.figures.reach(wanted(self.window), success=False)
        for design in designs:
            forms, pages = by_hand(self.window, design)
            for page in pages:
                self._later(page)
            for address, fields, files in forms:
                self._send(Sent(address, fields, files))
        self._later("/")
        while self._waiting and time.monotonic() < until:
            # Each kind of page in turn, so that a walk that is cut short has seen something of everything.
            kind = next(iter(self._waiting))
            addresses = self._waiting.pop(kind)
            self._visit(addresses[0])
            if self._asked[kind] < _ALIKE and addresses[1:]:
                self._waiting[kind] = addresses[1:]

    def _later(self, address: str) -> None:
        """Visit an address in its turn, if nothing like it was seen."""
        kind = self._kind(address)
        if self._asked[kind] < _ALIKE and len(self._waiting.setdefault(kind, [])) < _MOST_WAITING:
            self._waiting[kind].append(address)

    def _kind(self, address: str) -> str:
        """What an address asks for, whichever design and part it is about."""
        query = dict(parse_qsl(urlsplit(address).query))
        held = min(2, len([part for part in query.get("select", "").split(",") if part]))
        told = [f"{name}={query.get(name, '')}" for name in _TELLING]
        route = self.window.route_of("GET", address)
        if route.endswith("/room"):  # making room is long work, and the same from wherever it is asked for
            return route
        which = urlsplit(address).path.rsplit("/", 1)[1] if route.endswith("/bench/{kind}") else ""
        return f"{route} {which} {held} {'at' in query} {' '.join(told)}"

    def _visit(self, address: str) -> None:
        route, kind = self.window.route_of("GET", address), self._kind(address)
        if address in self._seen or not route or self._asked[kind] >= _ALIKE:
            return
        self._seen.add(address)
        self._asked[kind] += 1
        began = time.perf_counter()
        answer = self.window.get(address)
        self.figures.reach([route], success=answer.status < 400)
        if answer.status < 400:
            self.links.append((address, time.perf_counter() - began))
            self._asked[kind] += _ALIKE  # once is enough if it is there
            self._read(address, answer)

    def _read(self, address: str, answer: Answer) -> None:
        if "<html" not in answer.text[:300]:
            return
        page = Page(answer.text)
        for link in dict.fromkeys((*page.links, *page.loads)):
            if "//" not in link and not link.startswith("/static/"):
                self._later(urljoin(address, link).partition("#")[0])
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
        asked = sorted(form.fields.keys() - _VIEW)
        kind = f"{route} {button} {asked} {form.fields.get('how', '')}"
        if not route or self._asked[kind] >= _ALIKE:
            return
        self._asked[kind] += 1
        before, began = self._moment(form.address), time.perf_counter()
        answer = self.window.post(form.address, form.fields, form.files)
        self.figures.reach([route], success=answer.status < 400)
        if answer.status < 400:
            self.sent.append(replace(form, seconds=time.perf_counter() - began))
            self._asked[kind] += _ALIKE
        self._read(form.address, answer)
        if answer.location:
            self._visit(answer.location)
        if before != self._moment(form.address):
            # What the page offered that this form was on is still to be had.
            self.window.post(f"/designs/{_design(form.address)}/timeline", {"revision": before})

    def _moment(self, address: str) -> str:
        """The revision now shown of the design that an address is about."""
        design = _design(address)
        return self.window.get(f"/designs/{design}/now").text if design else ""


def _design(address: str) -> str:
    parts = urlsplit(address).path.split("/")
    return parts[2] if len(parts) > 3 else ""


def wanted(window: Inside) -> list[str]:
    """Every route with every verb."""
    found = []
    for route in window.routes:
        for method in route.methods or ():
            verbs = VERBS[route.path] if "{verb}" in route.path else ("",)  # one that is missing is to be noticed
            found += [re.sub(r"\{verb\}", verb, f"{method} {route.path}") for verb in verbs]
    return found
