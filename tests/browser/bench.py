"""The board page as somebody at the bench uses it, and the second channel: the document the server keeps."""

from __future__ import annotations

import functools
import http.client
import io
import json
import re
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from playwright.sync_api import Locator, Page, Route, expect

from app import cli
from tests.reading.pages import Page as Sheets
from tests.reading.pages import Sheet
from tests.running import Server

_direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))


def fetch(url: str) -> bytes:
    """What the server answers somebody else who asks, outside the browser."""
    with _direct.open(url, timeout=30) as answer:
        return bytes(answer.read())


def holewise(*arguments: str) -> tuple[int, str]:
    """Exit code and output of the command line, as a plan maker's script would use it, without a process of its own."""
    said = io.StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        code = cli.main(arguments)
    return code, said.getvalue()


def frames(page: Page, many: int = 2) -> None:
    """Wait until the browser has painted so many pictures."""
    page.evaluate(
        "many => new Promise((done) => { let left = many;"
        " const next = () => (left-- > 0 ? requestAnimationFrame(next) : done()); next(); })",
        many,
    )


def answered(page: Page) -> None:
    """Wait until every request that the page made by now is answered."""
    page.evaluate(
        "async () => { const at = document.querySelector('script[type=module]').src;"
        " await (await import(at)).modules['forms/turns.js'].inTurn(() => {}); }"
    )


_PATIENCE = 600  # times two pictures: 20 s where 60 are painted in a second


def until(page: Page, true: Callable[[], bool]) -> None:
    """Wait until something outside the page is so, looking again after every other picture of the page."""
    for _ in range(_PATIENCE):
        if true():
            return
        frames(page)
    raise AssertionError("it never came to be")


class HeldBack:
    """Requests that are kept back until the test lets them go, as by a server that is slow.

    Args:
        page: the browser's page.
        pattern: of their addresses.
    """

    def __init__(self, page: Page, pattern: str) -> None:
        self.page = page
        self._held: list[Route] = []
        self._pattern = re.compile(pattern)
        page.route(self._pattern, self._keep)

    def _keep(self, route: Route) -> None:
        self._held.append(route)

    def __len__(self) -> int:
        return len(self._held)

    def release(self) -> None:
        """Hold none from now on, and let go of those that are held."""
        self.page.unroute(self._pattern)
        while self._held:
            self._held.pop(0).continue_()

    def next(self) -> Route:
        """The one that is held longest, waited for if there is none yet, and no longer held here."""
        until(self.page, lambda: bool(self._held))
        return self._held.pop(0)


@functools.lru_cache(maxsize=4)
def _form(url: str) -> Sheet:
    """The form for a new deck, which is the same on a shelf of any length."""
    return Sheets(fetch(url).decode("utf-8")).form("/designs")


_TYPED = "application/x-www-form-urlencoded"


def put_deck(url: str, **answers: str) -> str:
    """Id of a new deck: the form as it stands, with some answers of one's own."""
    sent = _form(url).sent(**answers | {"players": _PLAYERS[answers["players"]]} if "players" in answers else answers)
    return _posted(url, "/designs", urlencode(sent).encode(), _TYPED)


def _posted(url: str, path: str, body: bytes, kind: str) -> str:
    """Id of the design that an answer leads to."""
    link = http.client.HTTPConnection(url.removeprefix("http://"), timeout=30)
    try:
        link.request("POST", path, body, {"Content-Type": kind})
        answer = link.getresponse()
        found = re.fullmatch(r"/designs/([^/?#]+)", answer.getheader("Location", ""))
        assert found, (answer.status, answer.read())
        return found[1]
    finally:
        link.close()


def put_file(url: str, text: str) -> str:
    """Id of a design opened from a file, as the shelf's form sends it."""
    edge = "a-line-between-parts"
    head = f'--{edge}\r\nContent-Disposition: form-data; name="file"; filename="a.json"\r\n\r\n'
    body = f"{head}{text}\r\n--{edge}--\r\n".encode()
    return _posted(url, "/designs/open", body, f"multipart/form-data; boundary={edge}")


def put_copy(url: str, scenario: str) -> str:
    """Id of a copy of a scenario, by the name of its file."""
    return _posted(url, "/designs/scenario", urlencode({"name": scenario}).encode(), _TYPED)


class Bench:
    """One design in the browser.

    Args:
        page: the browser's page.
        url: address of the server, without a slash at the end.
    """

    def __init__(self, page: Page, url: str) -> None:
        self.page = page
        self.url = url
        self.design = ""

    # -- getting there -------------------------------------------------------------------------------------

    def make_deck(self, **answers: str) -> None:
        """Fill in the new-deck form on the shelf as a user does, and wait for the board."""
        self.page.goto(self.url)
        form = self.page.get_by_role("region", name="New deck")
        for label, answer in answers.items():
            field = _FIELDS[label]
            if label == "players":
                form.get_by_role("radio", name=answer).check()
            elif label in {"shape", "material", "stick", "drilling", "units"}:
                form.get_by_label(field, exact=True).select_option(answer)
            else:
                form.get_by_label(field, exact=True).fill(answer)
        form.get_by_role("button", name="Make the deck").click()
        self.arrive()

    def put_deck(self, **answers: str) -> None:
        """Have the server make a deck of the same answers, without a hand in the form, and open its board."""
        self.open(put_deck(self.url, **answers))

    def open(self, design: str) -> None:
        """Open the board of a design."""
        self.page.goto(f"{self.url}/designs/{design}")
        self.arrive()

    def arrive(self) -> None:
        """Wait until a board is on screen, and remember whose it is by the address."""
        expect(self.drawing).to_be_visible()
        self.page.wait_for_load_state("load")  # the scripts have run
        found = re.search(r"/designs/([^/?#]+)", self.page.url)
        assert found, self.page.url
        self.design = found[1]

    # -- what is on screen ---------------------------------------------------------------------------------

    @property
    def drawing(self) -> Locator:
        """The board."""
        return self.page.locator("#board-svg")

    @property
    def verdict(self) -> Locator:
        """The one line above the cards that says whether the board fits."""
        return self.page.get_by_role("heading", name=re.compile("^Fit report"))

    @property
    def report(self) -> Locator:
        """The fit report."""
        return self.page.get_by_role("region", name=re.compile("^Fit report"))

    @property
    def card(self) -> Locator:
        """The card of what is selected."""
        return self.page.get_by_role("region", name=re.compile("^Selected"))

    @property
    def truth(self) -> Locator:
        """The line at the foot."""
        return self.page.get_by_label("What the board asks of the bench")

    def part(self, letter: str) -> Locator:
        """A part on the board, by its letter."""
        return self.drawing.get_by_role("button", name=re.compile(rf"^{re.escape(letter)}, "))

    def centre(self, letter: str) -> tuple[float, float]:
        """Middle of a part on screen [px]."""
        return self._centres(letter)[0]

    def _centres(self, *letters: str) -> list[tuple[float, float]]:
        """The same of several, asked for at once: to look for each by its role takes ten times as long."""
        found = self.page.evaluate(_MIDDLES, list(letters))
        if found is None:  # not drawn yet: wait for them
            for letter in letters:
                expect(self.part(letter)).to_be_visible()
            found = self.page.evaluate(_MIDDLES, list(letters))
        return [(x, y) for x, y in found]

    def scale(self) -> float:
        """Screen pixels for a millimetre, from two buttons whose places are known."""
        placed = {p["label"]: p for p in self.placements()}
        first, last = "B", "L" if "L" in placed else "G"
        across = abs(placed[last]["x"] - placed[first]["x"])
        (left, _), (right, _) = self._centres(first, last)
        return float(abs(right - left) / across)

    # -- what is done --------------------------------------------------------------------------------------

    def select(self, letter: str) -> None:
        """Press a part and wait for its card."""
        with self.changing():
            self.page.mouse.click(*self.centre(letter))
        expect(self.card.get_by_role("heading", name=f"Selected · {letter}", exact=True)).to_be_visible()

    def take(self, letter: str) -> tuple[float, float]:
        """Put the pointer on a part and press; returns where [px]."""
        x, y = self.centre(letter)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        return x, y

    def surround(self, first: tuple[float, float], last: tuple[float, float]) -> None:
        """Draw a box on the bare board from one corner to the other [px], which selects what is in it."""
        self.page.mouse.move(*first)
        self.page.mouse.down()
        self.page.mouse.move(*last, steps=6)
        with self.changing():
            self.page.mouse.up()

    def drag(self, letter: str, dx: float, dy: float) -> None:
        """Drag a part by ``dx`` to the right and ``dy`` to the back [mm on screen] and let go."""
        scale = self.scale()
        x, y = self.take(letter)
        self.page.mouse.move(x + dx * scale, y - dy * scale, steps=8)
        with self.changing():
            self.page.mouse.up()

    def press(self, name: str) -> None:
        """Press a button of the card and wait for what comes of it."""
        with self.changing():
            self.card.get_by_role("button", name=name, exact=True).click()

    def type(self, **fields: str) -> None:
        """Type into fields of the card, press the button that takes them and wait for the answer."""
        for name, text in fields.items():
            self.card.get_by_label(_CARD[name], exact=True).fill(text)
        with self.changing():
            self.card.get_by_role("button", name="Apply").click()

    def undo(self) -> None:
        """Take a step back."""
        with self.changing():
            self.page.get_by_role("button", name=re.compile("^Undo")).click()

    def redo(self) -> None:
        """Make it again."""
        with self.changing():
            self.page.get_by_role("button", name=re.compile("^Redo")).click()

    @contextmanager
    def changing(self) -> Iterator[None]:
        """Do something, then wait until the server answered and the bench on screen is what it said."""
        self.page.evaluate(
            "window.waiting = true; document.addEventListener('htmx:afterSettle',"
            " ({ detail }) => { if (detail.target.id === 'bench') window.waiting = false; })"
        )
        yield
        self.page.wait_for_function(
            "() => { const bench = document.getElementById('bench');"
            " return bench && !window.waiting && !bench.closest('.htmx-request')"
            " && document.readyState === 'complete'; }"
        )

    def quiet(self) -> None:
        """Wait until nothing is left to come of what was done.

        Nothing is in the hand, so a run of steps is put down; every request made by then is answered; and what
        was to be drawn with the next frame is drawn.
        """
        expect(self.page.locator(".dragging")).to_have_count(0)
        answered(self.page)
        frames(self.page)

    def advised(self) -> None:
        """Wait until the ways out of what was found are in the report: a press on it meanwhile may be lost."""
        expect(self.page.locator("#report")).not_to_have_attribute("aria-busy", "true")

    @contextmanager
    def resting(self) -> Iterator[None]:
        """Move what is in the hand, then wait until all that a resting hand is told of it is on the page."""
        self.page.evaluate(
            "() => { window.rested = new Promise((go) => {"
            " document.addEventListener('holewise:shown', (e) => e.detail.still && go()); }); }"
        )
        yield
        self.page.evaluate("window.rested")

    # -- the second channel --------------------------------------------------------------------------------

    def document(self) -> str:
        """The design as the server keeps it, asked for outside the browser."""
        return fetch(f"{self.url}/designs/{self.design}/design.json").decode("utf-8")

    def raw(self) -> dict[str, Any]:
        """The same as plain JSON."""
        read = json.loads(self.document())
        assert isinstance(read, dict)
        return read

    def placements(self, arrangement: int = 0) -> list[dict[str, Any]]:
        """Placements of one arrangement, as kept."""
        found = self.raw()["boards"][0]["arrangements"][arrangement]["placements"]
        assert isinstance(found, list)
        return found

    def placed(self, letter: str) -> dict[str, Any]:
        """One placement, as kept."""
        return next(p for p in self.placements() if p.get("label") == letter)

    def check(self, folder: Path, *more: str) -> int:
        """Exit code of ``holewise check`` on the kept document: 0 no stops, 1 stops."""
        file = folder / "kept.json"
        file.write_text(self.document(), "utf-8")
        code, said = holewise("check", str(file), *more)
        assert code in {0, 1}, said
        return code


_MIDDLES = """(letters) => {
  const found = letters.map((letter) => document.querySelectorAll(
    `#board-svg [role=button][aria-label^=${CSS.escape(`${letter}, `)}]`));
  return found.every((parts) => parts.length === 1) ? found.map(([part]) => {
    const { x, y, width, height } = part.getBoundingClientRect();
    return [x + width / 2, y + height / 2];
  }) : null;
}"""
_FIELDS = {
    "title": "Title",
    "players": "Players",
    "buttons": "Buttons per player",
    "shape": "Button layout",
    "width": "Board width",
    "depth": "Board depth",
    "thickness": "Thickness",
    "material": "Material",
    "stick": "Stick",
    "drilling": "Drilled",
    "units": "Show lengths in",
}
_PLAYERS = {"One player": "1", "Two players": "2", "Empty board": "0"}
_CARD = {"x": "From left edge", "y": "From front edge", "label": "Label", "angle": "Angle"}


def raft(page: Page, server: Server) -> Bench:
    """A copy of the scenario that breaks every rule, on the bench."""
    bench = Bench(page, server.url)
    bench.open(put_copy(server.url, "leaky-raft"))
    return bench
