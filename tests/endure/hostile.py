"""Hostile documents, outlines, forms and addresses by the thousand: refused or taken, never a fault."""

from __future__ import annotations

import json
import random
import time
from dataclasses import dataclass
from functools import cache
from typing import Any
from urllib.parse import parse_qsl, quote, urlencode, urlsplit

from app.document.dump import dumps
from app.document.scenarios import load_scenario, scenario_list
from tests.endure.asking import Answer, Asker
from tests.endure.figures import Figures
from tests.endure.filling import own_files
from tests.endure.inside import Inside, inside
from tests.endure.places import Places
from tests.endure.rich import rich_design
from tests.endure.spoiling import spoilt_bytes, spoilt_document, spoilt_lines, spoilt_text
from tests.endure.walk import Sent, Walk
from tests.oracle.documents import document

LOT = 500
"""Inputs sent to one place before a new one is made: what was taken makes the shelf long."""

_ORACLES = 25
_LOOKED_AT = ("", "/board", "/stations", "/shop", "/paper", "/timeline", "/judged", "/outline", "/printer",
              "/drawing.svg", "/drawing.dxf", "/view.pdf", "/thumbnail.svg", "/sheet.svg", "/design.json",
              "/arrangement.svg", "?face=under", "?face=section", "?units=inch")  # fmt: skip


@dataclass
class Hostile:
    """Hostile inputs to one place after the other.

    Args:
        places: where new places are made.
        figures: what is noted.
        chance: what is spoilt, seeded.
    """

    places: Places
    figures: Figures
    chance: random.Random
    _forms: tuple[list[Sent], list[str], str] | None = None

    def run(self, until: float, walking: float) -> None:
        """Walk for at most ``walking`` seconds, then send until that moment of the monotonic clock, whole lots only."""
        while self._forms is None or time.monotonic() < until:
            where = self.places.new()
            with inside(where, self.figures) as window:
                design = window.post("/designs/open", files={"file": ("deck.json", rich_design())}).design
                if self._forms is None:
                    walk = Walk(window, self.figures)
                    walk.run([design], time.monotonic() + walking)
                    self._forms = walk.sent, walk.links, design
                first = window.get(f"/designs/{design}/now").text
                before = window.get(f"/designs/{design}/design.json").text
                for _ in range(LOT):
                    self._send_one(window, design)
                window.post(f"/designs/{design}/put-back")
                window.post(f"/designs/{design}/timeline", {"revision": first})
                after = window.get(f"/designs/{design}/design.json").text
                self.figures.hold(
                    after == before, f"the first moment of {design} is another after {LOT} hostile inputs"
                )
            self.places.drop(where)

    def sample(self, asker: Asker, many: int) -> None:
        """Send some over HTTP."""
        design = asker.post("/designs/open", files={"file": ("deck.json", rich_design())}).design
        for _ in range(many):
            self._send_one(asker, design)
        self.figures.hold(asker.get("/").status == 200, "the shelf does not open after hostile inputs")

    def _send_one(self, window: Inside | Asker, design: str) -> None:
        self.figures.count("hostile inputs")
        draw = self.chance.random()
        if draw < 0.5:
            self._document(window)
        elif draw < 0.65:
            self._outline(window, design)
        elif draw < 0.93 and self._forms is not None:
            self._form(window, design)
        elif self._forms is not None:
            self._address(window, design)

    def _document(self, window: Inside | Asker) -> None:
        data = spoilt_document(self.chance.choice(_documents()), self.chance)
        answer = window.post("/designs/open", files={"file": ("design.json", data)})
        self.figures.count(f"documents {'taken' if answer.status == 303 else 'refused'}")
        if answer.status == 303:
            # What is let in must be shown, drawn and printed.
            for page in self.chance.sample(_LOOKED_AT, 2):
                status = window.get(f"/designs/{answer.design}{page}").status
                self.figures.hold(
                    status < 500, f"{page} answered {status} for the document {data.decode(errors='replace')}"
                )
            window.post(f"/designs/{answer.design}/remove")

    def _outline(self, window: Inside | Asker, design: str) -> None:
        ending = self.chance.choice(("dxf", "svg", "svg"))
        spoil = spoilt_lines if ending == "dxf" and self.chance.random() < 0.5 else spoilt_bytes
        data = spoil(own_files()[ending], self.chance)
        answer = window.post(f"/designs/{design}/outline/look", files={"file": (f"deck.{ending}", data)})
        self.figures.count(f"outlines {'read' if answer.status == 200 else 'refused'}")

    def _form(self, window: Inside | Asker, design: str) -> None:
        assert self._forms is not None
        sent, _, own = self._forms
        form = self.chance.choice(sent)
        fields = {name: text for name, text in form.fields.items() if name not in {"seen", "said"}}
        names = sorted(fields)
        for name in self.chance.sample(names, min(len(names), self.chance.choice((1, 1, 2, 5)))):
            fields[name] = spoilt_text(fields[name], self.chance)
            if self.chance.random() < 0.1:
                del fields[name]
        files = {name: (file, spoilt_bytes(data, self.chance)) for name, (file, data) in form.files.items()}
        answer = window.post(form.address.replace(own, design), fields, files)
        self.figures.count(f"forms {'taken' if answer.status < 400 else 'refused'}")
        if answer.status == 303:
            self._look(window, answer)

    def _look(self, window: Inside | Asker, answer: Answer) -> None:
        if self.chance.random() < 0.2:
            window.get(answer.location)

    def _address(self, window: Inside | Asker, design: str) -> None:
        assert self._forms is not None
        _, links, own = self._forms
        split = urlsplit(self.chance.choice(links).replace(own, design))
        if "/room" in split.path or "/template" in split.path:
            return  # long work, the same whatever the address asks
        query = parse_qsl(split.query) or [("select", "a"), ("station", "s1"), ("paper", "a4"), ("of", "board")]
        at = self.chance.randrange(len(query))
        query[at] = (query[at][0], spoilt_text(query[at][1], self.chance))
        path = split.path
        if self.chance.random() < 0.3:
            *head, last = path.split("/")
            path = "/".join([*head, quote(spoilt_text(last, self.chance)[:300], errors="replace")])
        window.get(f"{path}?{urlencode(query, errors='replace')}")


@cache
def _documents() -> tuple[dict[str, Any], ...]:
    scenarios = (json.loads(dumps(load_scenario(scenario.id))) for scenario in scenario_list())
    return (*scenarios, *(document(seed) for seed in range(_ORACLES)))
