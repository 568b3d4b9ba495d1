"""One hostile input after the other to one window: documents, outlines, forms, addresses; each answer is judged."""

from __future__ import annotations

import json
import random
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Generic, TypeVar
from urllib.parse import parse_qsl, quote, urlencode, urlsplit

from app.document.dump import dumps
from app.document.scenarios import load_scenario, scenario_list
from tests.endure.asking import Answer, Asker
from tests.endure.filling import own_files
from tests.endure.inside import Inside
from tests.endure.spoiling import spoilt_bytes, spoilt_document, spoilt_lines, spoilt_text
from tests.endure.walk import Sent, Walk
from tests.oracle.documents import document

_ORACLES = 25
_LOOKED_AT = (
    *((page, 0.01) for page in ("/board", "/stations", "/shop", "/paper", "/timeline", "/outline", "/printer",
                                "/drawing.svg", "/drawing.dxf", "/thumbnail.svg", "/sheet.svg", "/design.json")),
    *((page, 0.1) for page in ("/judged", "/view.pdf", "/arrangement.svg")),
    *((page, 1.0) for page in ("", "?face=under", "?face=section", "?units=inch")),  # with advice about every finding
)  # fmt: skip
"""Pages of what was let in, and about how long they take with much amiss on a board [s]."""

_OFTEN = ((0.03, 12), (0.3, 3), (float("inf"), 1))
"""How often in a round something is sent whose right answer took so many seconds at most."""

Item = TypeVar("Item")


class Deck(Generic[Item]):
    """Things drawn in turn: each at least once in a round, the cheap ones oftener, in a new order every round.

    Args:
        priced: things, and the seconds they cost.
        chance: draws the order.
    """

    def __init__(self, priced: Iterable[tuple[Item, float]], chance: random.Random) -> None:
        self._all = [item for item, cost in priced for _ in range(next(n for most, n in _OFTEN if cost <= most))]
        self._chance = chance
        self._left: list[Item] = []

    def draw(self) -> Item:
        """The next one."""
        if not self._left:
            self._left = self._chance.sample(self._all, len(self._all))
        return self._left.pop()


@dataclass
class Inputs:
    """Draws inputs and sends them.

    Args:
        forms: each form that was taken when it was filled in rightly, with the field of it to spoil.
        links: each address that was answered, with the part of its query to spoil; -1 if it has none.
        own: id of the design they are about.
        chance: what is spoilt, seeded.
        looks: pages of what was let in.
        told: what became of them, how many.
    """

    forms: Deck[tuple[Sent, str]]
    links: Deck[tuple[str, int]]
    own: str
    chance: random.Random
    looks: Deck[str]
    told: Counter[str] = field(default_factory=Counter)

    @classmethod
    def of(cls, walk: Walk, own: str, chance: random.Random) -> Inputs:
        """Inputs made of what a walk has found right."""
        forms = [((sent, name), sent.seconds) for sent in walk.sent for name in sorted(_spoilt_fields(sent)) or [""]]
        links = [((link, at), cost) for link, cost in walk.links for at in range(len(_query(link))) or (-1,)]
        return cls(Deck(forms, chance), Deck(links, chance), own, chance, Deck(_LOOKED_AT, chance))

    def send(self, window: Inside | Asker, design: str) -> None:
        """Send one about a design, and look at what came of it; an answer of 500 is noted by the window."""
        draw = self.chance.random()
        if draw < 0.27:
            self._document(window)
        elif draw < 0.45:
            self._outline(window, design)
        elif draw < 0.77:
            self._form(window, design)
        else:
            self._address(window, design)

    def _document(self, window: Inside | Asker) -> None:
        data = spoilt_document(self.chance.choice(_documents()), self.chance)
        answer = window.post("/designs/open", files={"file": ("design.json", data)})
        self.told[f"documents {'taken' if answer.status == 303 else 'refused'}"] += 1
        if answer.status == 303:
            # What is let in must be shown, drawn and printed.
            for _ in range(2):
                window.get(f"/designs/{answer.design}{self.looks.draw()}")
            window.post(f"/designs/{answer.design}/remove")

    def _outline(self, window: Inside | Asker, design: str) -> None:
        ending = self.chance.choice(("dxf", "svg", "svg"))
        spoil = spoilt_lines if ending == "dxf" and self.chance.random() < 0.5 else spoilt_bytes
        data = spoil(own_files()[ending], self.chance)
        answer = window.post(f"/designs/{design}/outline/look", files={"file": (f"deck.{ending}", data)})
        self.told[f"outlines {'read' if answer.status == 200 else 'refused'}"] += 1

    def _form(self, window: Inside | Asker, design: str) -> None:
        form, name = self.forms.draw()
        fields = _spoilt_fields(form)
        others = [other for other in sorted(fields) if other != name]
        for spoilt in (name, *self.chance.sample(others, min(len(others), self.chance.choice((0, 0, 1, 4))))):
            if spoilt in fields:
                fields[spoilt] = spoilt_text(fields[spoilt], self.chance)
                if self.chance.random() < 0.1:
                    del fields[spoilt]
        files = {key: (file, spoilt_bytes(data, self.chance)) for key, (file, data) in form.files.items()}
        answer = window.post(form.address.replace(self.own, design), fields, files)
        self.told[f"forms {'taken' if answer.status < 400 else 'refused'}"] += 1
        if answer.status == 303:
            self._look(window, answer)

    def _look(self, window: Inside | Asker, answer: Answer) -> None:
        if self.chance.random() < 0.2:
            window.get(answer.location)

    def _address(self, window: Inside | Asker, design: str) -> None:
        link, at = self.links.draw()
        split = urlsplit(link.replace(self.own, design))
        query = _query(link) or [("select", "a"), ("station", "s1"), ("paper", "a4"), ("of", "board")]
        at = at if at >= 0 else self.chance.randrange(len(query))
        query[at] = (query[at][0], spoilt_text(query[at][1], self.chance))
        path = split.path
        if self.chance.random() < 0.3:
            *head, last = path.split("/")
            path = "/".join([*head, quote(spoilt_text(last, self.chance)[:300], errors="replace")])
        status = window.get(f"{path}?{urlencode(query, errors='replace')}").status
        self.told[f"addresses {'answered' if status < 400 else 'refused'}"] += 1


def _spoilt_fields(form: Sent) -> dict[str, str]:
    """The fields of a form but for those that say which moment it was made for."""
    return {name: text for name, text in form.fields.items() if name not in {"seen", "said"}}


def _query(link: str) -> list[tuple[str, str]]:
    return parse_qsl(urlsplit(link).query)


@cache
def _documents() -> tuple[dict[str, Any], ...]:
    scenarios = (json.loads(dumps(load_scenario(scenario.id))) for scenario in scenario_list())
    return (*scenarios, *(document(seed) for seed in range(_ORACLES)))
