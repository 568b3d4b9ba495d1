"""Every form of the app sent as its page would send it, then spoilt: no answer is ever a fault of ours.

The forms are read from the pages themselves, so a new one is tested as soon as a page has it; a route that takes a form
no page shows is listed here, and a test asks for it. ``--hypothesis-profile=explore`` tries many more.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from urllib.parse import quote_from_bytes

import pytest
from fastapi import FastAPI
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Struct
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.service import new_design, open_workshop
from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.reading.pages import Page
from tests.web.conftest import BASE
from tests.web.routes import address_of, routes_of

Pairs = list[tuple[str, str]]

OUTLINE = "[[[0,0,0,0],[700,0,0,0],[700,300,20,20],[0,300,0,0]],[[10,10,0,0],[20,10,0,0],[20,20,0,0]]]"
SVG = b'<svg xmlns="http://www.w3.org/2000/svg" width="7in" height="3in"><rect width="672" height="288"/></svg>'
TOLD = (
    '{"face":"top","width":760,"depth":240,"marker":40,"box":[-20,-20,780,260],"printed":[1,1],"scale":4,"angle":3,'
    '"holes":[["a/hole-1/through","",127,130,28,0.4,0.6],["b/hole-1/through","vague",0,0,0,0,0]]}'
)
CARRIED = frozenset({"board", "arrangement", "face", "units", "to", "layers", "seen", "window", "page"})
"""Names of fields that every form carries along."""
POINTING = frozenset({"select", "station", "group", "hold", "ring", "index", "thing", "layer", "handle"})
"""Names of fields that say what a form is about; what is typed or chosen comes besides."""


class Bench(Struct, frozen=True):
    """The app with a design that has something of everything.

    Args:
        application, workshop, client: the app.
        design: id of the design.
        start: id of the revision every form is sent to.
        forms: address, fields and files of every form, each once.
    """

    application: FastAPI
    workshop: Workshop
    client: TestClient
    design: str
    start: str
    forms: tuple[tuple[str, dict[str, str], dict[str, bytes]], ...]

    def anew(self) -> None:
        """The design as it was when its pages were read, and nothing else on the shelf."""
        if self.workshop.design(self.design)[0].revision.id != self.start:
            self.workshop.go_to(self.design, self.start)
        self.workshop.put_back(self.design)
        for item in self.workshop.shelf.look().items:
            if item.row.id != self.design:
                self.workshop.remove(item.row.id)


def pages_of(design: str, first: str, second: str) -> list[str]:
    at = f"/designs/{design}"
    groups = ("size", "corners", "openings", "layers", "edges", "below", "clear", "shape")
    return [
        "/", at, f"{at}?select={first}", f"{at}?select={first}&to={second}", f"{at}?select={first},{second}",
        *(f"{at}/board?group={group}" for group in groups), f"{at}/board?group=corners&hold=corner-0-1",
        f"{at}/board?group=openings&hold=opening-1", f"{at}/board?group=clear&hold=clear-0",
        *(f"{at}/{page}" for page in ("shop", "paper", "printer", "stations", "outline", "timeline", "room")),
        f"{at}/legends", f"{at}/legends?select={second}",
        f"{at}/part/{first}", f"{at}/boards", f"{at}/steps", f"{at}/make/fan", f"{at}/made/fan",
        f"{at}/pattern", f"{at}/pattern/pattern", f"{at}/at-board", f"{at}/at-board?at={first}/hole-1/through&say=off",
        f"{at}/at-board?at={first}/hole-1/through", f"{at}/bench/drilling", f"{at}/bench/parts",
        f"{at}/wiring", f"{at}/built", f"{at}/coupon", f"{at}/compare", f"{at}/revisions", f"{at}/bring",
    ]  # fmt: skip


def unseen(design: str, placement: str) -> list[tuple[str, dict[str, str]]]:
    """Forms that scripts send, or a page shows only for a moment."""
    at = f"/designs/{design}"
    spot, drag = {"ring": "0", "index": "1"}, {"dx": "3", "dy": "-2"}
    return [
        (f"{at}/preview", {"select": placement, **drag}),
        (f"{at}/board/preview", {"handle": "corner-0-1", **drag}),
        (f"{at}/board/drag", {"handle": "edge-0-1", **drag}),
        (f"{at}/compare.pdf", {}),
        (f"{at}/outline/take", {"outline": OUTLINE, "name": "x.svg", "opening-0": "on"}),
        (f"{at}/put-back", {}),
        (f"{at}/bring", {"what": "board:deck,arrangement:deck/one", "into.0123456789ab": "on"}),
        (f"{at}/printer/forget", {"whose": "x", "kept-paper": "a4"}),
        (f"{at}/printer/keep", {"printer-name": "x", "paper": "a4"}),
        *((f"{at}/board/{verb}", spot) for verb in ("corner-add", "corner-remove")),
        (f"{at}/board/corner-cut", {**spot, "cut-before": "10", "cut-after": "10"}),
        (f"{at}/edit/counterbore-clear", {"select": placement}),
        (f"{at}/edit/recess-clear", {"select": placement}),
        (f"{at}/edit/withdraw", {"acceptance": "web"}),
        (f"{at}/edit/station-copy", {"station": "s1", "how": "mirror"}),
        (f"{at}/stations/station-lay-out", {"station": "s1", "pitch": "40", "buttons": "6", "rows": "2", "tilt": "5"}),
        (f"{at}/stations/station-reset", {"station": "s1"}),
        (f"{at}/legends/legend", {"placement": "b", "text": "GO", "place": "free", "x": "30", "y": "5", "turn": "9"}),
        (f"{at}/legends/lettering", {"height": "6", "colour": "white", "distance": "600"}),
        (f"{at}/legends/legends-letter", {}),
        (f"{at}/stations/station-remove", {"station": "s1"}),
        *(
            (f"{at}/steps/{verb}", {"which": "cut"})
            for verb in ("step-show", "step-reset", "step-remove", "steps-reset")
        ),
        (f"{at}/wiring/pins-free", {"placement": placement}),
        (f"{at}/built/photo-take", {"told": TOLD, "picture": "AAAA", f"take.{placement}/hole-1/through": "on"}),
        (f"{at}/nothing", {}),
    ]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    workshop = open_workshop(tmp_path_factory.mktemp("forms"))
    application = create_app(workshop, Address("127.0.0.1", 8123))
    with TestClient(application, base_url=BASE, follow_redirects=False) as client:
        design = workshop.create(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)).design.id
        at = f"/designs/{design}"
        first, second = (p.id for p in workshop.design(design)[1].boards[0].arrangements[0].placements[:2])
        box = {"x": "350", "y": "200", "width": "20", "height": "20"}
        for path, fields in (
            ("board/opening-add", {**box, "setback": "2"}),
            ("board/area-add", {**box, "face": "under", "label": "Bracket"}),
            ("pattern", {"order": "rings", "hole": "4", "pitch": "9", "shape": "circle", "width": "40"}),
            ("edit/lock", {"select": second, "lock": "on"}),
            ("edit/counterbore", {"select": first, "bore-diameter": "40", "bore-depth": "4"}),
            ("make/fan", {"on": "deck"}),
            ("bench/parts/column-add", {"name": "Price"}),
            ("wiring/encoder-add", {"parts": "encoder-32-screw"}),
            ("edit/move", {"select": first, "dx": "9", "dy": "9"}),
            ("undo", {}),
        ):
            assert client.post(f"{at}/{path}", data=fields).status_code == 303, path
        forms: dict[tuple[str, tuple[str, ...]], tuple[str, dict[str, str], dict[str, bytes]]] = {}
        for address in pages_of(design, first, second):
            for sheet in Page(client.get(address).text).forms:
                if sheet.method == "post":
                    buttons = {name: value for name, value, _ in sheet.buttons[:1] if name}
                    files = dict.fromkeys(sheet.files, SVG if "outline" in sheet.action else GOOD)
                    action, fields = sheet.action.partition("?")[0], {**sheet.fields, **buttons}
                    named = tuple(sorted({*fields, *files} - CARRIED))
                    forms.setdefault((action, named), (action, fields, files))
        for action, fields in unseen(design, first):
            forms[action, ()] = (action, fields, {})
        start = workshop.design(design)[0].revision.id
        yield Bench(application, workshop, client, design, start, tuple(forms.values()))
    workshop.close()


GOOD = dumps(new_design(NewDeck(title="Bench deck"))).encode()


def test_every_route_that_takes_a_form_is_sent_one(bench: Bench) -> None:
    sent = [action for action, _, _ in bench.forms]
    for path in routes_of(bench.application, "POST"):
        pattern = re.sub(r"\{\w+\}", "[^/]+", path)
        assert any(re.fullmatch(pattern, action) for action in sent), path
    assert len(bench.forms) > 50


def test_every_right_form_is_taken_and_one_without_its_fields_is_no_fault_of_ours(bench: Bench) -> None:
    taken = 0
    for action, fields, files in bench.forms:
        sent = [(name, (name, data)) for name, data in files.items()]
        answer = bench.client.post(action, data=fields, files=sent)
        assert answer.status_code < 500, (action, fields)
        taken += answer.status_code in {200, 303}
        bench.anew()
        for left in ({}, {name: value for name, value in fields.items() if name in CARRIED | POINTING}):
            answer = bench.client.post(action, data=left)
            assert answer.status_code < 500, (action, left)
        bench.anew()
    assert taken > len(bench.forms) / 2, "most of them are right as their pages have them"


# -- spoilt ------------------------------------------------------------------------------------------------

NASTY = st.one_of(
    st.sampled_from([
        "", " ", "0", "-0", "-1", "1e999", "-1e999", "nan", "inf", "-inf", "1/0", "0/0", "9" * 400, "9" * 5000,
        "0" * 5000 + "6", "1e308", "5e-324", "²", "٣", "½", "1,5", "1.2.3", "0x10", "1_000", "\x00", "a\x00b", "a\nb",
        "\r\n", "\x7f", "\ud800", "a\udfffb", "\ufeff", "\u202e", "true", "on", "null", "[]", "{}", "[[[]]]", "[[1]]",
        "..", "../x", "p1,p2", ",", ",,,", "a" * 5000, "<b>", "'\"&", "%00", "100000", "100001", "0.001", "20", "19.99",
        "5000", "5001", *(
            f"[[[{number},0,0,0],[1,0,0,0],[1,1,0,0]]]" for number in ("9" * 400, "9" * 5000, "NaN", '"1"', "1e5", "{}")
        ),
    ]),
    st.text(max_size=20),
    st.floats().map(str),
    st.integers(-(10**30), 10**30).map(str),
)  # fmt: skip

CHARSETS = st.sampled_from(
    ["utf-7", "utf-16", "utf-32", "undefined", "idna", "punycode", "unicode_escape", "raw_unicode_escape", "base64",
     "zlib", "rot13", "latin-1", "cp037", "nonsense", "\x00", "", "utf-8", "UTF-8", "'", "a" * 500]
)  # fmt: skip


def raw(text: str) -> bytes:
    """Bytes of any text, halves of surrogates too, which no honest sender can send."""
    return text.encode("utf-8", "surrogatepass")


def urlencoded(pairs: Pairs) -> bytes:
    return b"&".join(f"{quote_from_bytes(raw(n))}={quote_from_bytes(raw(v))}".encode() for n, v in pairs)


def multipart(pairs: Pairs, as_files: set[int]) -> bytes:
    """Fields of a form one by one, those numbered in ``as_files`` as files."""
    parts = []
    for k, (name, value) in enumerate(pairs):
        plain = raw(name).replace(b'"', b"").replace(b"\r", b"").replace(b"\n", b"")
        file = b'; filename="x.json"' if k in as_files else b""
        head = b'Content-Disposition: form-data; name="' + plain + b'"' + file
        parts.append(b"--edge\r\n" + head + b"\r\n\r\n" + raw(value) + b"\r\n")
    return b"".join(parts) + b"--edge--\r\n"


@st.composite
def spoilt(draw: st.DrawFn, fields: dict[str, str]) -> Pairs:
    """The fields of a form with one to three of them wrong, gone, or there twice."""
    pairs = list(fields.items())
    for _ in range(draw(st.integers(1, 3))):
        what = draw(st.sampled_from(["value", "value", "value", "value", "gone", "twice", "more", "changed"]))
        if what == "more" or not pairs:
            pairs.append((draw(st.sampled_from(["x", "units", "select", "board", "seen"]) | NASTY), draw(NASTY)))
            continue
        k = draw(st.integers(0, len(pairs) - 1))
        name, _ = pairs[k]
        if what == "gone":
            del pairs[k]
        elif what == "twice":
            pairs.insert(k, (name, draw(NASTY)))
        elif what == "changed":
            pairs.append((f"{name.removesuffix('.was')}.was", draw(NASTY)))
        else:
            pairs[k] = (name, draw(NASTY))
    return pairs


@given(data=st.data())
def test_no_spoilt_form_ends_in_a_fault_of_ours(bench: Bench, data: st.DataObject) -> None:
    action, fields, files = data.draw(st.sampled_from(bench.forms))
    whole = {**fields, **{name: body.decode() for name, body in files.items()}}
    for _ in range(3):
        pairs = data.draw(spoilt(whole))
        kind = data.draw(st.sampled_from(["plain", "plain", "parts", "charset", "broken"]))
        if kind == "plain":
            body, said = urlencoded(pairs), "application/x-www-form-urlencoded"
        else:
            chosen = st.sets(st.integers(0, 3), max_size=2)
            body, said = multipart(pairs, data.draw(chosen)), "multipart/form-data; boundary=edge"
        if kind == "charset":
            said = f"{said}; charset={data.draw(CHARSETS)}"
        if kind == "broken":
            body = body[: data.draw(st.integers(0, len(body)))] + raw(data.draw(NASTY))
        headers = {b"content-type": said.encode("latin-1")}
        if data.draw(st.booleans()):
            headers |= {b"hx-request": b"true", b"hx-target": b"bench"}
        answer = bench.client.post(action, content=body, headers=headers)
        assert answer.status_code < 500, (action, pairs, said)
        assert "Traceback" not in answer.text
        if answer.status_code == 303:
            # What was taken can be read again, and its page be shown.
            assert bench.client.get(f"/designs/{bench.design}").status_code == 200
            assert bench.client.get("/").status_code == 200
            bench.anew()


QUERY = (
    "board", "arrangement", "face", "units", "select", "to", "seen", "layers", "since", "own", "halted", "find",
    "group", "hold", "station", "scope", "rigid", "before", "revision", "leaf", "of", "paper", "kerf", "state",
    "printer", "margin", "overlap", "only", "correction",
)  # fmt: skip


@given(data=st.data())
def test_no_spoilt_address_ends_in_a_fault_of_ours(bench: Bench, data: st.DataObject) -> None:
    path = data.draw(st.sampled_from(routes_of(bench.application, "GET")))
    pairs = data.draw(st.lists(st.tuples(st.sampled_from(QUERY), NASTY), max_size=4))
    address = address_of(path, bench.design, data.draw(st.sampled_from(["a", "b", "zz", "%00", "²"])))
    method = data.draw(st.sampled_from(["GET", "HEAD"]))
    answer = bench.client.request(method, f"{address}?{urlencoded(pairs).decode()}")
    assert answer.status_code < 500, (address, pairs)
