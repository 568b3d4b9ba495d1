"""The link that is printed, and the key in it."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlsplit

import pytest

from app import serving
from app.errors import HolewiseError
from app.serving.link import link, links, proxied, typed_name
from app.serving.settings import KEY_VARIABLE, Settings, key_for

EVERYWHERE = "0.0.0.0"  # noqa: S104 - nothing is bound


@pytest.fixture(autouse=True)
def no_key_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(KEY_VARIABLE, raising=False)


def test_this_computer_alone_needs_no_key() -> None:
    assert key_for(Settings()) == ""
    assert link("127.0.0.1", 8642) == "http://127.0.0.1:8642/"
    assert link("::1", 8642) == "http://[::1]:8642/"


@pytest.mark.parametrize(
    "settings", [Settings(allow_network=True), Settings(proxies=("10.0.0.1/32",)), Settings(hosts=("deck.example",))]
)
def test_where_others_may_come_there_is_a_new_key_at_each_start(settings: Settings) -> None:
    one, other = key_for(settings), key_for(settings)
    assert one != other
    # 32 random bytes in base64url without padding (RFC 4648, 5).
    assert re.fullmatch(r"[A-Za-z0-9_-]{43}", one)
    assert parse_qs(urlsplit(link("deck.example", 80, one)).query) == {"key": [one]}


def test_a_key_that_is_given_is_taken_and_always_needed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(KEY_VARIABLE, "0123456789-abcdefghi")
    assert key_for(Settings()) == key_for(Settings(allow_network=True)) == "0123456789-abcdefghi"


@pytest.mark.parametrize("given", ["short", "0123456789-abcdefgh", "with a space in it, and long", "ä" * 30, "x" * 201])
def test_a_key_that_could_be_guessed_or_not_be_linked_is_refused_unsaid(
    monkeypatch: pytest.MonkeyPatch, given: str
) -> None:
    monkeypatch.setenv(KEY_VARIABLE, given)
    with pytest.raises(HolewiseError, match=KEY_VARIABLE) as refused:
        key_for(Settings())
    assert given not in str(refused.value)


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("localhost", "localhost"),
        ("Deck.Example", "deck.example"),
        ("127.0.0.1", ""),
        ("0x7f000001", ""),
        ("2130706433", ""),
        ("127.1", ""),
        ("127.0x1", ""),
        ("::1", ""),
        ("*", ""),
        ("deck0x1", "deck0x1"),
    ],
)
def test_a_name_is_told_from_a_number(host: str, name: str) -> None:
    assert typed_name(host) == name


def test_the_link_is_one_that_people_can_open(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.serving.link.own_address", lambda: "192.168.1.7")
    assert links(Settings(host="0"), EVERYWHERE, 80, "k") == (
        "http://192.168.1.7:80/?key=k",
        "http://127.0.0.1:80/?key=k",
    )
    assert links(Settings(host="::0"), "::", 80, "k")[1] == "http://[::1]:80/?key=k"
    assert links(Settings(host="Deck.example"), "192.168.1.7", 80, "k")[0] == "http://deck.example:80/?key=k"
    assert links(Settings(host="0x7f000001"), "127.0.0.1", 80, "") == ("http://127.0.0.1:80/",) * 2


def test_behind_a_proxy_the_link_through_it_is_printed_too() -> None:
    behind = Settings(proxies=("10.0.0.1/32",), hosts=("deck.example", "other.example"))
    assert proxied(behind, "k") == "https://deck.example/?key=k"
    assert proxied(Settings(proxies=("10.0.0.1/32",)), "k") == proxied(Settings(hosts=("deck.example",)), "k") == ""


def test_the_caution_is_said_with_the_key_and_only_then(capsys: pytest.CaptureFixture[str]) -> None:
    serving._welcome(Settings(open_browser=False), "127.0.0.1", 8642, "")
    assert capsys.readouterr().out == "Holewise is at http://127.0.0.1:8642/ (Ctrl+C stops it)\n"
    serving._welcome(Settings(host="0", allow_network=True, open_browser=False), EVERYWHERE, 8642, "k")
    said = capsys.readouterr().out
    assert "?key=k " in said
    assert "Only this computer" not in said
    assert "plain http" in said and "https in front" in said and "change your designs" in said


def test_others_let_in_where_they_cannot_come_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    serving._welcome(Settings(allow_network=True, open_browser=False), "127.0.0.1", 8642, "k")
    assert "add --host 0.0.0.0" in capsys.readouterr().out
    behind = Settings(allow_network=True, proxies=("127.0.0.1/32",), hosts=("deck.example",), open_browser=False)
    serving._welcome(behind, "127.0.0.1", 8642, "k")
    said = capsys.readouterr().out
    assert "--host" not in said and "https://deck.example/?key=k" in said
