"""A database that is away, in use, or too much asked of: a clear word meanwhile, and on as before afterwards."""

from __future__ import annotations

import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.errors import StoreError
from app.service.workshop import open_workshop
from app.store import Revision, Store, StoredChange, open_store
from app.store.engine import engines, turns
from app.web.app import create_app
from app.web.guards import Address
from tests.postgres import Server
from tests.tools import ROOT
from tests.unit.store.locked import locked

WRITER = """
import sys
from app.errors import StoreError
from app.store import StoredChange as Change, open_store
store = open_store(sys.argv[1])
design = sys.argv[2]
try:
    while True:
        head = store.edit(design, lambda r: Change(r.document + "x" * 997 + "\\n", "Added a line", "Test deck"))
        print(head.revision.number, flush=True)
except StoreError as error:
    sys.exit(str(error))
"""


def exclaiming(store: Store, design: str) -> str:
    return store.edit(design, lambda head: StoredChange(head.document + "!", "Added !", "Test deck")).revision.document


def test_a_server_killed_in_mid_write_has_every_step_that_was_confirmed(postgres: Server) -> None:
    url = postgres.new_schema()
    store = open_store(url)
    design = store.add("", "Test deck", "New deck").design.id
    command = [sys.executable, "-c", WRITER, url, design]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for _ in range(12):
            confirmed = int(process.stdout.readline())
        postgres.stop("immediate")
        said, told = process.communicate(timeout=60)
    confirmed = max([confirmed, *(int(line) for line in said.split())])
    assert process.returncode == 1
    assert "lost" in told or "cannot be reached" in told
    postgres.start()
    # The store that was open all the while finds the server again by itself.
    head = store.head(design)
    assert confirmed <= head.revision.number <= confirmed + 1
    assert len(head.revision.document) == (head.revision.number - 1) * 998
    assert [moment.number for moment in store.moments(design)] == list(range(1, head.revision.number + 1))
    assert exclaiming(store, design).endswith("\n!")
    store.close()


def test_a_server_that_goes_in_the_middle_of_a_change_is_said_to_leave_it_open(postgres: Server) -> None:
    store = open_store(postgres.new_schema())
    design = store.add("whole", "Test deck", "New deck").design.id

    def change(head: object) -> StoredChange:
        postgres.stop("immediate")
        return StoredChange("half", "Half", "Test deck")

    with pytest.raises(StoreError, match=r"lost.*check whether it was saved"):
        store.edit(design, locked(change))
    postgres.start()
    assert exclaiming(store, design) == "whole!"
    store.close()


def test_pages_say_that_the_server_is_away_and_come_back_with_it(postgres: Server) -> None:
    workshop = open_workshop(postgres.new_schema())
    design = workshop.create(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)).design.id
    pages = ("/", f"/designs/{design}")
    with TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url="http://127.0.0.1:8123") as client:
        assert [client.get(page).status_code for page in pages] == [200, 200]
        postgres.stop()
        for page in pages:
            answer = client.get(page)
            assert answer.status_code == 503
            assert "Check that its server is running" in answer.text
        postgres.start()
        assert [client.get(page).status_code for page in pages] == [200, 200]
    workshop.close()


@pytest.mark.parametrize("odd", ["%00", "no%00thing", "%ED%A0%BD", "x" * 2000, "%E2%80%B3"])
def test_an_address_that_names_nothing_is_not_found_on_either_database(database_url: str, odd: str) -> None:
    workshop = open_workshop(database_url)
    design = workshop.create(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0)).design.id
    with TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url="http://127.0.0.1:8123") as client:
        for page in (f"/designs/{odd}", f"/designs/{odd}/timeline", f"/designs/{design}/thumbnail.svg?revision={odd}"):
            assert client.get(page).status_code == 404
        assert client.get(f"/designs/{design}").status_code == 200
    workshop.close()


def test_who_waits_for_a_design_too_long_is_told_and_nothing_is_changed(
    database_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "LOCK_WAIT_S", 0.2)
    store, other = open_store(database_url), open_store(database_url)
    design = store.add("a", "Test deck", "New deck").design.id

    def slowly(head: object) -> StoredChange:
        with pytest.raises(StoreError, match=r"locked.*Nothing was changed"):
            exclaiming(other, design)
        assert other.head(design).revision.document == "a", "reading goes on meanwhile"
        return StoredChange("b", "Changed", "Test deck")

    store.edit(design, locked(slowly))
    assert exclaiming(other, design) == "b!"
    store.close()
    other.close()


def test_two_designs_are_changed_at_the_same_time_on_a_server(postgres: Server) -> None:
    url = postgres.new_schema()
    store, other = open_store(url), open_store(url)
    one, two = (store.add("a", "Test deck", "New deck").design.id for _ in range(2))

    def meanwhile(head: object) -> StoredChange:
        assert exclaiming(other, two) == "a!"
        assert exclaiming(store, two) == "a!!"
        return StoredChange("b", "Changed", "Test deck")

    assert store.edit(one, locked(meanwhile)).revision.document == "b"
    store.close()
    other.close()


def test_too_many_at_once_are_told_to_wait(database_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engines, "LOCK_WAIT_S", 0.2)
    store = open_store(database_url)
    with ExitStack() as held:
        for _ in range(15):  # as many connections as are made at most
            held.enter_context(store._database.reading())
        with pytest.raises(StoreError, match="Too many"):
            store.designs()
    assert store.designs() == ()
    store.close()


def crowd(store: Store, design: str, many: int) -> list[str]:
    """So many threads change a design at once, each for a tenth of a second; what each is told, empty if it is kept."""

    def slowly(head: Revision) -> StoredChange:
        time.sleep(0.1)
        return StoredChange(f"{head.document}!", "Changed", "Test deck")

    def one(_: int) -> str:
        try:
            store.edit(design, locked(slowly))
        except StoreError as error:
            return str(error)
        return ""

    with ThreadPoolExecutor(many) as pool:
        return list(pool.map(one, range(many)))


def test_writers_of_one_program_wait_for_each_other_longer_than_for_another_program(
    database_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engines, "LOCK_WAIT_S", 0.3)  # of 20 that take 0.1 s each, the last waits 1.9 s
    store = open_store(database_url)
    design = store.add("a", "Test deck", "New deck").design.id
    assert crowd(store, design, 20) == [""] * 20  # more than there are connections, which are 15
    assert store.head(design).revision.document == "a" + "!" * 20
    store.close()


def test_who_does_not_come_to_its_turn_hears_of_no_other_program(
    database_url: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(turns, "TURN_WAIT_S", 0.25)
    store = open_store(database_url)
    design = store.add("a", "Test deck", "New deck").design.id
    told = crowd(store, design, 8)
    refused = [words for words in told if words]
    assert 0 < len(refused) < 8
    assert all("still waiting" in words and "rogram" not in words for words in refused)
    assert store.head(design).revision.document == "a" + "!" * (8 - len(refused))
    assert crowd(store, design, 1) == [""], "who was refused can do it again"
    store.close()
