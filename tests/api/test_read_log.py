"""The log of reads: nothing gathered is lost, and what is old goes."""

import sqlite3
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta

import pytest

from api import read_log
from api.access import Caller
from api.keys import as_text
from api.read_log import KEPT_FOR, ReadLog

APP = Caller("kapp", "", frozenset({"read:profiles"}))


@pytest.fixture
def log(tmp_path):
    opened = ReadLog(tmp_path)
    yield opened
    opened.close()


def test_reads_that_could_not_be_written_are_written_the_next_time(log, monkeypatch):
    for route in ("profile", "brackets"):
        log.note(APP, "pada1", route, 200)
    with monkeypatch.context() as broken:
        broken.setattr(read_log, "INSERT", "INSERT INTO no_such_table VALUES (1)")
        with pytest.raises(sqlite3.Error):
            log.write()
    log.note(APP, "pada1", "tempo", 200)
    assert [read.route for read in log.after(0, 10)] == ["profile", "brackets", "tempo"]


def test_reads_older_than_two_seasons_go(log, monkeypatch):
    then = as_text(datetime.now(UTC) - KEPT_FOR - timedelta(days=1))
    with monkeypatch.context() as long_ago:
        long_ago.setattr(read_log, "now", lambda: then)
        log.note(APP, "pada1", "profile", 200)
    log.note(APP, "pada1", "brackets", 200)
    assert [read.route for read in log.after(0, 10)] == ["brackets"]


def test_what_was_gathered_about_an_erased_player_goes_and_the_rest_stays_in_order(log):
    for player_id in ("pada1", "pben2", "pada1", "pcleo3"):
        log.note(APP, player_id, "profile", 200)
    log.forget_player("pada1")
    assert [read.player_id for read in log.after(0, 10)] == ["pben2", "pcleo3"]


def test_no_read_is_lost_while_another_thread_writes_and_a_third_forgets_a_player(log):
    def writing() -> None:
        for _ in range(1500):
            log.write()

    usual, most = sys.getswitchinterval(), 20_000
    sys.setswitchinterval(1e-6)
    try:
        with ThreadPoolExecutor(2) as threads:
            written = [threads.submit(writing) for _ in range(2)]
            for number in range(most):
                log.note(APP, "pada1", "profile", 200)
                if number % 5 == 0:
                    log.forget_player("pben2")
            for one in written:
                one.result()
    finally:
        sys.setswitchinterval(usual)
    assert len(log.after(0, 2 * most)) == most
