"""Whether the app answers and whether it can work, told without details and without the key on this computer only."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.guards import Address

BASE = "http://127.0.0.1:8123"


def database(folder: Path) -> Path:
    return folder / "data" / "holewise.db"


def change(folder: Path, statement: str) -> None:
    with sqlite3.connect(database(folder)) as connection:
        connection.execute(statement)
    connection.close()


def test_a_server_that_works_says_so(client: TestClient) -> None:
    health, ready = client.get("/health"), client.get("/ready")
    assert (health.status_code, health.json()) == (200, {"status": "ok"})
    assert (ready.status_code, ready.json()) == (200, {"status": "ready"})
    assert ready.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE meta SET value = value + 1",
        "UPDATE meta SET value = value - 1",
        "DELETE FROM meta",
        "DROP TABLE window_steps",
        "ALTER TABLE profiles RENAME TO elsewhere",
    ],
)
def test_a_schema_that_is_not_right_is_not_ready(client: TestClient, tmp_path: Path, statement: str) -> None:
    change(tmp_path, statement)
    answer = client.get("/ready")
    assert (answer.status_code, answer.json()) == (503, {"status": "not ready"})
    assert client.get("/health").status_code == 200, "the process answers all the same"


def test_a_database_that_is_gone_or_damaged_is_not_ready(
    client: TestClient, workshop: Workshop, tmp_path: Path
) -> None:
    file = database(tmp_path)
    kept = file.rename(file.with_suffix(".aside"))
    assert client.get("/ready").status_code == 503
    assert not file.exists(), "looking makes none"
    kept.rename(file)
    assert client.get("/ready").status_code == 200
    workshop.close()
    for each in file.parent.glob("holewise.db*"):
        each.write_bytes(b"no database at all " * 100)
    answer = client.get("/ready")
    assert (answer.status_code, answer.json()) == (503, {"status": "not ready"})


def test_health_asks_no_database(client: TestClient, workshop: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    def asked(*_: object) -> None:
        raise AssertionError("the database was asked")

    with monkeypatch.context() as without:
        without.setattr("app.store.store.is_ready", asked)
        without.setattr(workshop._store, "_database", None)
        assert client.get("/health").status_code == 200


@pytest.mark.parametrize("path", ["/health", "/ready"])
@pytest.mark.parametrize(("peer", "headers", "status"), [
    ("127.0.0.1", {}, 200),
    ("::1", {}, 200),
    ("192.168.1.50", {}, 401),
    ("192.168.1.50", {"x-forwarded-for": "127.0.0.1"}, 401),
    ("10.0.0.1", {"x-forwarded-for": "127.0.0.1, 192.168.1.50"}, 401),
])  # fmt: skip
def test_without_the_key_only_this_computer_is_told(
    workshop: Workshop, path: str, peer: str, headers: dict[str, str], status: int
) -> None:
    app = create_app(workshop, Address("127.0.0.1", 8123), key="0123456789_of-the-test", proxies=["10.0.0.1"])
    with TestClient(app, base_url=BASE, client=(peer, 1)) as asking:
        assert asking.get(path, headers=headers).status_code == status
        assert asking.get(f"{path}/more", headers=headers).status_code == 401
