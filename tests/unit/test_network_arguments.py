"""The options about the network, as they are typed."""

from __future__ import annotations

import argparse

import pytest

from app.cli import make_parser
from app.network_arguments import LOG_VARIABLE, name_of, proxy_of, settings_of, workers_of
from app.serving.settings import Settings


def settings(*typed: str) -> Settings:
    return settings_of(make_parser().parse_args(["serve", *typed]), None)


@pytest.fixture(autouse=True)
def no_log_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(LOG_VARIABLE, raising=False)


def test_nothing_typed_is_this_computer_one_process_and_no_log() -> None:
    assert settings() == Settings()
    assert not Settings().others_come


def test_what_may_be_given_more_than_once_adds_up() -> None:
    found = settings("--trusted-proxy", "192.168.1.2", "--trusted-proxy", "fd00::/8", "--allow-host", "Deck.example",
                     "--allow-host", "deck.example:8443", "--workers", "3", "--allow-network")  # fmt: skip
    assert found.proxies == ("192.168.1.2/32", "fd00::/8")
    assert found.hosts == ("deck.example", "deck.example:8443")
    assert (found.workers, found.allow_network) == (3, True)


@pytest.mark.parametrize(("value", "wanted"), [("1", True), ("yes", True), ("0", False), ("", False)])
def test_the_log_is_wanted_by_an_option_or_the_environment(
    monkeypatch: pytest.MonkeyPatch, value: str, wanted: bool
) -> None:
    monkeypatch.setenv(LOG_VARIABLE, value)
    assert settings().log is wanted
    assert settings("--log").log


@pytest.mark.parametrize("text", ["proxy.example", "192.168.1.300", "", "10.0.0.0/33"])
def test_what_is_no_proxy_is_refused(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="not the address of a proxy"):
        proxy_of(text)


@pytest.mark.parametrize(
    "text", ["", "https://deck.example", "deck.example/x", "a@b", "deck example", "deck.example:x", "*"]
)
def test_what_is_no_name_is_refused(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="is not a name"):
        name_of(text)


@pytest.mark.parametrize("text", ["0", "-1", "65", "two", "1.5", ""])
def test_what_is_no_number_of_processes_is_refused(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError, match="1 to 64"):
        workers_of(text)
