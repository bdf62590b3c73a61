"""Two questions at once: each reads its own player's rows and no others."""

import threading
from datetime import UTC, datetime, timedelta

import pytest

from analytics.db import open_store
from ingest.hand_entry import enter
from ingest.players import Player, save_player

PLAYERS = ("pada1", "pben2", "pcleo3")


@pytest.fixture
def store(tmp_path):
    for number, player_id in enumerate(PLAYERS, start=1):
        save_player(tmp_path, Player(player_id, player_id))
        start = datetime(2026, 5, number, 17, tzinfo=UTC)
        rows = [
            {"device_number": i, "struck_at_utc": start + timedelta(minutes=i), "carry_m": 7.0}
            for i in range(number)
        ]
        enter(tmp_path, player_id, "shots", rows)
    return tmp_path


def whose(connection):
    return connection.sql("SELECT player_id, count(*) FROM shots GROUP BY ALL").fetchall()


def test_a_connection_opened_later_changes_nothing_for_an_earlier_one(store):
    connections = [open_store(store, player_id) for player_id in PLAYERS]
    assert [whose(c) for c in connections] == [[("pada1", 1)], [("pben2", 2)], [("pcleo3", 3)]]
    for connection in connections:
        connection.close()


def test_many_threads_never_meet_anothers_rows(store):
    wrong = []

    def ask(number):
        for _ in range(12):
            with open_store(store, PLAYERS[number]) as connection:
                found = whose(connection)
            if found != [(PLAYERS[number], number + 1)]:
                wrong.append((PLAYERS[number], found))

    threads = [threading.Thread(target=ask, args=(number,)) for number in (0, 1, 2, 0, 1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not wrong
