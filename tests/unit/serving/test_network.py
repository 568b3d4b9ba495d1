"""Which addresses only this computer reaches, in every spelling.

Loopback: 127.0.0.0/8 (RFC 1122, 3.2.1.3) and ::1 (RFC 4291, 2.5.3); IPv4 in the spelling of IPv6: RFC 4291, 2.5.5.2;
private addresses: RFC 1918, RFC 4193; addresses for documentation: RFC 5737, RFC 3849.
"""

from __future__ import annotations

import socket

import pytest

from app.errors import HolewiseError
from app.serving import listening
from app.serving.network import is_everywhere, is_loopback, own_address, own_names, resolve


@pytest.mark.parametrize("number", ["127.0.0.1", "127.255.255.254", "::1", "::ffff:127.0.0.1", "0:0:0:0:0:0:0:1"])
def test_loopback_is_this_computer(number: str) -> None:
    assert is_loopback(number)


@pytest.mark.parametrize(
    "number",
    [
        "0.0.0.0",  # noqa: S104 - judged, not bound to
        "::",
        "::ffff:0.0.0.0",
        "128.0.0.1",
        "126.255.255.255",
        "192.168.1.7",
        "10.0.0.1",
        "::2",
        "::ffff:192.168.1.7",
        "::127.0.0.1",
        "fe80::1",
        "fe80::1%2",
        "fd00::1",
        "2001:db8::1",
        "192.0.2.1",
    ],
)
def test_any_other_number_is_reached_by_others(number: str) -> None:
    assert not is_loopback(number)


EVERYWHERE = ["0", "0.0", "0x0", "0.0.0.0", "::", "::0", "0:0:0:0:0:0:0:0", "::ffff:0.0.0.0", "::ffff:0:0"]  # noqa: S104


def known(host: str) -> None:
    """Skip where the operating system does not take a spelling at all: then nothing is served by it either."""
    try:
        resolve(host, 80)
    except HolewiseError:
        pytest.skip(f"{host} means nothing on this system")


@pytest.mark.parametrize("host", EVERYWHERE)
def test_every_interface_is_refused_in_every_spelling(host: str) -> None:
    known(host)
    assert is_everywhere(resolve(host, 80).number)
    with pytest.raises(HolewiseError, match=r"Others on the network could reach host .* add --allow-network"):
        listening.listen(host, 8642)


@pytest.mark.parametrize("host", ["192.0.2.77", "::ffff:192.0.2.77", "2001:db8::7", "198.51.100.1"])
def test_a_number_of_the_network_is_refused_before_it_is_bound(host: str, monkeypatch: pytest.MonkeyPatch) -> None:
    known(host)

    def bound(*_: object) -> None:
        raise AssertionError("nothing may listen there")

    monkeypatch.setattr(socket.socket, "bind", bound)
    with pytest.raises(HolewiseError, match="--allow-network"):
        listening.listen(host, None)


def test_a_name_is_judged_by_what_it_means(monkeypatch: pytest.MonkeyPatch) -> None:
    def means(number: str) -> None:
        found = [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (number, 80))]
        monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: found)

    means("192.168.1.7")
    with pytest.raises(HolewiseError, match=r"localhost.*192\.168\.1\.7.*--allow-network"):
        listening.listen("localhost", 80)
    means("127.0.0.1")
    assert is_loopback(resolve("anything.example", 80).number)


@pytest.mark.parametrize("host", ["127.0.0.1", "127.1", "2130706433", "localhost", "::ffff:127.0.0.1", "::1"])
def test_this_computer_is_listened_on_without_a_word(host: str) -> None:
    known(host)
    try:
        listener = listening.listen(host, None)
    except HolewiseError as error:
        if ":" in host and "--allow-network" not in str(error):
            pytest.skip("no IPv6 here")
        raise
    with listener:
        assert is_loopback(listener.getsockname()[0])


@pytest.mark.parametrize("host", ["0.0.0.0", "::"])  # noqa: S104 - asked for at 127.0.0.1 only
def test_with_leave_every_interface_is_listened_on(host: str) -> None:
    try:
        listener = listening.listen(host, None, allow_network=True)
    except HolewiseError:
        assert host == "::", "no IPv6 here"
        return
    with listener, socket.create_connection(("127.0.0.1", listener.getsockname()[1]), timeout=5) as asked:
        assert asked.getpeername()[0] == "127.0.0.1"


def test_what_is_printed_for_others_is_not_what_only_this_computer_can_open() -> None:
    found = own_address()
    if found == socket.gethostname():
        assert own_names()[0] == found.lower()
    else:
        assert not is_loopback(found)
        assert not is_everywhere(found)


def test_without_a_network_the_name_is_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    def unreachable(*_: object) -> None:
        raise OSError(101, "Network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", unreachable)
    monkeypatch.setattr(socket, "gethostname", lambda: "Bench")
    assert own_address() == "Bench"
    assert own_names() == ("bench", "bench.local")
