"""People at their designs, for the load tool: each opens, drags, checks, cuts, prints and takes back, over and over.

The load tool reads this file by itself; ``tests.bench.load`` starts it and says by the environment which designs there
are and where the times shall go. The tool makes sockets, sleep and threads its own as it is imported, so that many
people wait in one process; so nothing else may import this module.
"""

from __future__ import annotations

import itertools
import json
import math
import os
import re
import time
from collections.abc import Callable
from pathlib import Path
from threading import Thread
from typing import Any
from urllib.parse import urlencode

from locust import FastHttpUser, constant, events, task

DRAG_SECONDS = 1.0
"""How long a hand drags before it rests and lets go."""

_FRAME = 1 / 60  # s; the page asks for the next place with a frame after an answer,
_PACE = 0.05  # s, not sooner than this after it asked for the last,
_LONGEST_BREATH = 0.4  # s, nor than the answer took, up to so long
_ROUND = 20.0  # mm, how far a part is led about
_NUDGE, _CLASH = 3.0, 15.0  # mm, how far off it is put down: most often where it fits, and too near to others
_CLASHES = 3  # every so many rounds
_IN_SIGHT = 15  # pictures: of 50 on the shelf Chromium loads 14 in a window of 1280 x 720, until somebody scrolls
_MOST_FAULTS = 20

_asked = json.loads(os.environ["HOLEWISE_PEOPLE"])
_designs: list[str] = _asked["designs"]
_parts: list[str] = _asked["parts"]
_PAUSE = float(_asked["pause"])
_left = {"rounds": int(_asked["rounds"])}
_numbers = itertools.count()
_kept: dict[str, list[float]] = {}
_faults: list[str] = []

_REVISION = re.compile(r'data-revision="(\w+)"')
_WAYS = re.compile(r'hx-get="(/designs/[^"]*/ways[^"]*)"')
_PICTURE = re.compile(r'<img src="(/[^"]+)"')


class Person(FastHttpUser):
    """Somebody with a design of their own, in a browser that keeps the pictures it has."""

    wait_time = constant(_PAUSE)

    def on_start(self) -> None:
        """Come to the shelf for the first time."""
        number = next(_numbers)
        self.design = _designs[number % len(_designs)]
        self.turns = itertools.cycle(_parts[number % len(_parts) :] + _parts[: number % len(_parts)])
        self.had: set[str] = set()
        self.rounds = number

    @task
    def work(self) -> None:
        """One round of all steps, with a pause after each but the last, after which the tool pauses by itself."""
        self.part, self.rounds = next(self.turns), self.rounds + 1
        for step in (self.shelf, self.opening, self.drag, self.check, self.section, self.paper, self.template):
            step()
            time.sleep(_PAUSE)
        self.undo()
        _left["rounds"] -= 1
        if not _left["rounds"] and self.environment.runner is not None:
            Thread(target=self.environment.runner.quit).start()  # it ends whoever calls it

    def shelf(self) -> None:
        """Look at the shelf, with its pictures."""
        page = self.ask("shelf", "/", holds=lambda text: "/designs/" in text)
        self.pictures("picture of a design", page, _IN_SIGHT)

    def opening(self) -> None:
        """Open the board page."""
        page = self.ask("board page", self.at(), holds=lambda text: 'id="board-svg"' in text)
        self.revision = self.first = _revision(page)

    def drag(self) -> None:
        """Take a part in hand, lead it about, rest and let go; a clash is shown with what would mend it."""
        self.look("part in hand", select=self.part)
        off = _NUDGE if self.rounds % _CLASHES else _CLASH
        began, row, done = time.perf_counter(), "", 0.0
        while done < 1.0:
            asked = time.perf_counter()
            row = self.preview("drag answer", _shift(done, off), row, first="" if done else "on")
            took = time.perf_counter() - asked
            time.sleep(max(_FRAME, _PACE - took, min(took, _LONGEST_BREATH)))
            done = (time.perf_counter() - began) / DRAG_SECONDS
        self.preview("drag answer, at rest", _shift(1.0, off), row, still="on")
        values = {**self.view(), "select": self.part, **_shift(1.0, off)}
        page = self.send("move put down", "/edit/move", values, lambda text: _revision(text) not in {"", self.revision})
        self.revision = _revision(page)
        for address in _WAYS.findall(page):
            self.ask("ways out", address.replace("&amp;", "&"), holds=lambda text: 'id="report"' in text, htmx=True)

    def check(self) -> None:
        """Read what was checked."""
        self.ask("checking", self.at("/judged"), holds=lambda text: "judged" in text)

    def section(self) -> None:
        """Look at the board cut through the part."""
        self.look("section", select=self.part, face="section")

    def paper(self) -> None:
        """Look at the sheets, all of them."""
        page = self.ask("paper page", self.at("/paper"), holds=lambda text: "template.pdf" in text)
        self.pictures("picture of a sheet", page)

    def template(self) -> None:
        """Print the template."""
        self.ask("template as PDF", self.at("/template.pdf"), holds=lambda text: text.startswith("%PDF"))

    def undo(self) -> None:
        """Take the move back: the very revision from before it is there again."""
        self.send("undo", "/undo", {**self.view(), "select": self.part}, lambda text: _revision(text) == self.first)

    def at(self, page: str = "", **query: str) -> str:
        """Address of a page of the person's design."""
        return f"/designs/{self.design}{page}" + (f"?{urlencode(query)}" if query else "")

    def view(self) -> dict[str, str]:
        """What every form of the page carries on."""
        return {"seen": self.revision, "unit": "mm"}

    def look(self, what: str, **query: str) -> None:
        """Exchange the bench, as the page does."""
        self.ask(what, self.at(**query), holds=lambda text: _revision(text) == self.revision, htmx=True)

    def preview(self, what: str, shift: dict[str, str], row: str, **more: str) -> str:
        """Ask what the part would come to there; gives the row of the elevation that is on the page now."""
        values = {**self.view(), "select": self.part, "row": row, "free": "", **shift, **more}
        block = self.send(what, "/preview", values, lambda text: 'id="moving"' in text)
        found = re.search(r'data-row="([^"]*)"', block)
        return found[1] if found else row

    def pictures(self, what: str, page: str, most: int | None = None) -> None:
        """Load the first ``most`` pictures of a page that the browser does not have yet."""
        for address in _PICTURE.findall(page)[:most]:
            if address not in self.had:
                self.ask(what, address.replace("&amp;", "&"), holds=lambda text: "<svg" in text)
                if "state=" in address:  # the others are asked for anew
                    self.had.add(address)

    def ask(self, what: str, address: str, holds: Callable[[str], bool], *, htmx: bool = False) -> str:
        """Get an address; what does not answer 200, or does not hold what it shall, is a failure."""
        return self._asked("GET", what, address, holds, htmx)

    def send(self, what: str, page: str, values: dict[str, str], holds: Callable[[str], bool]) -> str:
        """Send a form of the board page, and follow where it leads."""
        return self._asked("POST", what, self.at(page), holds, True, values)

    def _asked(
        self, method: str, what: str, address: str, holds: Callable[[str], bool], htmx: bool, values: Any = None
    ) -> str:
        headers = {"HX-Request": "true", "HX-Target": "bench"} if htmx else {}
        with self.client.request(
            method, address, name=what, data=values, headers=headers, catch_response=True
        ) as answer:
            text = (answer.content or b"").decode("latin-1")
            if answer.status_code != 200:
                answer.failure(f"answered {answer.status_code}")
            elif not holds(text):
                answer.failure("answered something else")
            return text


def _shift(done: float, off: float) -> dict[str, str]:
    """The shift of a part when so much of its way is done, which ends ``off`` to the right and the back [mm]."""
    x = off * done + _ROUND * math.sin(done * math.pi) * (1.0 - done)
    y = off * done + _ROUND * math.sin(done * math.pi) ** 2
    return {"dx": f"{x:.3f}", "dy": f"{y:.3f}"}


def _revision(page: str) -> str:
    found = _REVISION.search(page)
    return found[1] if found else ""


def _note(name: str, response_time: float, exception: BaseException | None, **_: Any) -> None:
    _kept.setdefault(name, []).append(response_time)
    if exception is not None:
        _faults.append(f"{name}: {exception}")


def _write(**_: Any) -> None:
    said = {"times": _kept, "faults": len(_faults), "first": _faults[:_MOST_FAULTS]}
    Path(_asked["times"]).write_text(json.dumps(said), "utf-8")


events.request.add_listener(_note)
events.quitting.add_listener(_write)
