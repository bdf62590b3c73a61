"""What was acknowledged waits with its job or in a file until the job is done."""

import os
import sqlite3

import pytest

from api.app import make_app
from api.job_runner import drop_orphans
from api.service_state import ServiceState
from api.settings import Settings
from api.uploads import SMALL_BYTES
from schemas.store_paths import service_file, uploads_dir
from tests.api.client import client_of

HEAD = b"Shot,Local time,Club,Club speed (m/s),Carry (m)\n"
SMALL = HEAD + b"1,2026-05-04 17:00:00,SW,8.0,7.0\n"
LARGE = HEAD + b"".join(
    b"%d,2026-05-%02d %02d:%02d:%02d,SW,8.0,7.%d\n"
    % (n, 1 + n // 1000, 10 + n // 300 % 3, n // 5 % 60, n % 5 * 12, n % 10)
    for n in range(2500)
)
PATH = "/v1/imports?player_id=pada1&name=a.csv"


@pytest.fixture
def idle(store):
    """A service whose worker never begins."""
    app = make_app(Settings(store, import_process=False))
    app.state.service.loops = []
    with client_of(app) as client:
        yield client


@pytest.mark.parametrize(("body", "files"), [(SMALL, 0), (LARGE, 1)])
def test_an_upload_waits_for_a_service_that_starts_again(store, idle, body, files):
    assert len(LARGE) > SMALL_BYTES
    headers = {"Content-Type": "text/csv"}
    job = idle.post(PATH, content=body, headers=headers).json()
    assert job["state"] == "waiting"
    assert len(list(uploads_dir(store).glob("*"))) == files
    with client_of(make_app(Settings(store, import_process=False))) as client:
        while client.get(f"/v1/jobs/{job['job_id']}").json()["state"] in {"waiting", "running"}:
            pass
        done = client.get(f"/v1/jobs/{job['job_id']}").json()
        assert done["state"] == "finished", done
        rows = client.get("/v1/players/pada1/shots").json()["items"]
    assert len(rows) == min(body.count(b"\n") - 1, 1000)
    assert not list(uploads_dir(store).glob("*"))
    state = ServiceState(store)
    assert state.rows("SELECT * FROM job_uploads") == []
    state.close()


def test_a_player_erased_takes_waiting_uploads_along(store, idle):
    headers = {"Content-Type": "text/csv"}
    for body in (SMALL, LARGE):
        assert idle.post(PATH, content=body, headers=headers).status_code == 202
    assert idle.delete("/v1/players/pada1").status_code == 204
    assert not list(uploads_dir(store).glob("*"))
    with sqlite3.connect(service_file(store)) as connection:
        assert connection.execute("SELECT count(*) FROM job_uploads").fetchone() == (0,)
    written = [path.read_bytes() for path in store.glob("service.sqlite*")]
    assert not any(SMALL[:40] in one for one in written)


def test_what_was_written_is_brought_into_the_file_by_the_one_who_may_wait(store):
    state, other = ServiceState(store, tidies=False), ServiceState(store)
    log = service_file(store).with_name("service.sqlite-wal")
    kept = (
        "INSERT INTO replies(key_id, idempotency_key, fingerprint, at, body)"
        " VALUES ('k', :i, '', '', zeroblob(100000))"
    )
    for number in range(60):
        state.run(kept, i=str(number))
    assert log.stat().st_size > 5_000_000
    other.tidy()
    state.run(kept, i="last")
    assert state.row("PRAGMA wal_checkpoint(PASSIVE)")["log"] < 100
    state.close()
    other.close()


def test_uploads_that_a_killed_service_left_are_removed_after_a_day(tmp_path):
    folder = uploads_dir(tmp_path)
    folder.mkdir()
    for name in ("jold", "jwaiting", "jnew", "look-" + "0" * 32):
        (folder / name).write_bytes(b"rows")
    for name in ("jold", "jwaiting", "look-" + "0" * 32):
        os.utime(folder / name, (0, 0))
    drop_orphans(tmp_path, {"jwaiting"})
    assert {path.name for path in folder.iterdir()} == {"jwaiting", "jnew", "look-" + "0" * 32}
