"""Uploads: acknowledged, followed, answered, taken back; nothing half-written, nothing twice."""

import time

import pytest

from api import import_work
from api.app import make_app
from api.imports_seen import folder_of
from api.keys import create_key
from api.routers import set_aside
from api.service_state import ServiceState
from api.settings import Settings
from api.take_back import take_back
from ingest.hand_entry import enter
from ingest.import_file import import_file
from schemas.store_paths import uploads_dir
from tests.api.client import client_of
from tests.api.conftest import shot_rows

HEADER = "Shot,Local time,Club,Club speed (m/s),Carry (m)"
CSV = {"Content-Type": "text/csv"}


def export(n: int = 20, carry: str = "Carry (m)") -> bytes:
    """A plain launch export of `n` balls."""
    lines = [HEADER.replace("Carry (m)", carry)]
    lines += [
        f"{i},2026-05-04 17:{i:02d}:00,SW,{8 + i / 50:.2f},{7 + i / 25:.2f}" for i in range(n)
    ]
    return ("\n".join(lines) + "\n").encode()


@pytest.fixture
def client(store):
    """A client at the coach's machine, imports in a thread."""
    with client_of(make_app(Settings(store, import_process=False, watch_s=5))) as made:
        yield made


def send(client, body=None, player="pada1", wait=True, **options):
    headers = CSV | ({"Prefer": "wait=20"} if wait else {}) | options.pop("headers", {})
    query = "&".join([f"player_id={player}&name=monday.csv", *options.pop("said", [])])
    return client.post(f"/v1/imports?{query}", content=body or export(), headers=headers)


def done(client, job):
    end = time.monotonic() + 20
    while job["state"] not in {"finished", "failed"} and time.monotonic() < end:
        time.sleep(0.02)
        job = client.get(f"/v1/jobs/{job['job_id']}").json()
    return job


def test_an_upload_is_acknowledged_and_followed_to_its_rows(client):
    answer = send(client, wait=False)
    assert answer.status_code == 202
    assert answer.headers["location"].startswith("/v1/jobs/j")
    job = done(client, answer.json())
    assert job["state"] == "finished"
    seen = client.get(f"/v1/imports/{job['import_id']}").json()
    assert (seen["rows_in"], seen["rows_kept"], seen["standing"]) == (20, 20, True)
    assert len(client.get("/v1/players/pada1/shots").json()["items"]) == 20


def test_waiting_is_a_preference(client):
    answer = send(client)
    assert answer.headers["preference-applied"] == "wait=20"
    assert answer.json()["state"] == "finished"


def test_the_same_bytes_twice_are_one_import(client):
    first, again = send(client).json(), send(client).json()
    assert (first["new"], again["new"]) == (True, False)
    assert first["import_id"] == again["import_id"]


def test_an_idempotency_key_gets_the_first_job_again(client, store):
    first = send(client, headers={"Idempotency-Key": "k1"})
    again = send(client, headers={"Idempotency-Key": "k1"})
    assert again.json() == first.json()
    assert again.headers["idempotent-replayed"] == "true"
    other = send(client, body=export(3), headers={"Idempotency-Key": "k1"})
    assert other.status_code == 409
    assert not list(uploads_dir(store).glob("*"))


def test_undo_and_redo_are_one_step_each(client):
    job = send(client).json()
    place = f"/v1/imports/{job['import_id']}"
    assert client.post(f"{place}/undo").json()["standing"] is False
    assert client.get("/v1/players/pada1/shots").json()["items"] == []
    assert client.get("/v1/imports?player_id=pada1&undone=true").json()["items"]
    assert client.post(f"{place}/redo").json()["standing"] is True
    assert len(client.get("/v1/players/pada1/shots").json()["items"]) == 20


@pytest.mark.parametrize("body", [b"\x00\x01\x02" * 50, b"nothing,known\n1,2\n"])
def test_a_file_that_will_not_do_fails_with_a_mend_and_keeps_nothing(client, store, body):
    job = send(client, body=body).json()
    assert job["state"] == "failed"
    assert job["problem"]["code"]
    assert job["problem"]["mend"]
    assert client.get("/v1/imports?player_id=pada1").json()["items"] == []
    assert not list(uploads_dir(store).glob("*"))


def test_an_empty_upload_is_a_failed_job(client):
    answer = client.post(
        "/v1/imports?player_id=pada1", content=b"", headers=CSV | {"Prefer": "wait=20"}
    )
    assert answer.status_code == 202
    assert answer.json()["state"] == "failed"


def test_another_kind_of_body_is_415(client):
    answer = client.post("/v1/imports?player_id=pada1", json={"a": 1})
    assert answer.status_code == 415


def test_another_coachs_imports_and_jobs_do_not_exist(client, store):
    job = send(client).json()
    state = ServiceState(store)
    _, key = create_key(state, "t", ["import", "read:rows"], coach="mora")
    state.close()
    other = client.as_(key)
    assert other.get(f"/v1/jobs/{job['job_id']}").status_code == 404
    assert other.get(f"/v1/imports/{job['import_id']}").status_code == 404
    assert other.post(f"/v1/imports/{job['import_id']}/undo").status_code == 404
    assert send(other).status_code == 404


def test_a_job_left_behind_is_done_at_the_next_start(store):
    quick = Settings(store, import_process=False)
    state = ServiceState(store)
    uploads_dir(store).mkdir()
    job_id = "j" + "1" * 24
    (uploads_dir(store) / job_id).write_bytes(export())
    state.run(
        "INSERT INTO jobs VALUES (:id, 'import', 'pada1', 'owner', 'running', '2026', NULL,"
        """ '{"name": "a.csv", "options": {}}', NULL)""",
        id=job_id,
    )
    state.close()
    with client_of(make_app(quick)) as client:
        job = done(client, client.get(f"/v1/jobs/{job_id}").json())
    assert job["state"] == "finished"


def test_answers_are_up_to_date_when_the_job_is_done(client):
    path = "/v1/players/pada1/carry-curves"
    time.sleep(0.05)
    before = client.get(path)
    send(client)
    entry_ready = client.get("/metrics").text
    after = client.get(path)
    assert after.headers["etag"] != before.headers["etag"]
    served = "carrybook_answers_from_memory_total"
    assert figure(client.get("/metrics").text, served) == figure(entry_ready, served) + 1


def figure(text, name):
    return next(float(line.split()[1]) for line in text.splitlines() if line.startswith(name))


def test_imports_may_run_in_a_process_of_their_own(store):
    with client_of(make_app(Settings(store, import_process=True))) as client:
        assert send(client).json()["state"] == "finished"


def test_an_open_question_is_answered_and_the_rows_follow(client):
    job = send(client, body=export(carry="Carry")).json()
    seen = client.get(f"/v1/imports/{job['import_id']}").json()
    asked = [q for q in seen["questions"] if q["column"] == "carry_m"]
    assert asked
    answers = {"answers": {asked[0]["id"]: asked[0]["candidates"][0]}}
    again = client.post(f"/v1/imports/{job['import_id']}/answers", json=answers)
    assert again.status_code == 202
    followed = done(client, again.json())
    assert followed["state"] == "finished"
    newer = client.get(f"/v1/imports/{followed['import_id']}").json()
    assert newer["supersedes"] == job["import_id"]
    assert not [q for q in newer["questions"] if q["column"] == "carry_m"]


def test_rows_entered_by_hand_leave_nothing_to_answer(client, store):
    import_id = enter(store, "pada1", "shots", shot_rows(3)).import_id
    sent = {"answers": {"unit:carry_m": "m"}}
    job = done(client, client.post(f"/v1/imports/{import_id}/answers", json=sent).json())
    assert job["state"] == "failed"
    assert job["problem"]["code"] == "bad_option"
    assert client.get(f"/v1/imports/{import_id}").json()["standing"]


def test_nothing_is_at_an_address_that_names_no_import(client):
    for malformed in ("null", "0" * 31, "G" * 32):
        answer = client.get(f"/v1/imports/{malformed}")
        assert (answer.status_code, answer.json()["code"]) == (404, "not_found")


def test_rows_set_aside_are_told_with_reason_and_mend(client):
    body = export(3) + b"4,2026-05-04 17:40:00,SW,8.1,nonsense\n5,2026-05-04 17:41:00,SW,999,7\n"
    job = send(client, body=body).json()
    path = f"/v1/imports/{job['import_id']}"
    assert client.get(path).json()["rows_set_aside"] == 2
    answer = client.get(f"{path}/set-aside?limit=1")
    first = answer.json()["items"]
    assert [(one["source_line"], one["column"], one["value"]) for one in first] == [
        (5, "Carry (m)", "nonsense")
    ]
    assert all(first[0][name] for name in ("reason", "mend", "code"))
    following = client.get(answer.links["next"]["url"])
    assert [one["source_line"] for one in following.json()["items"]] == [6]
    assert "next" not in following.links
    assert client.get(f"{path}/set-aside?after=7").json()["items"] == []
    client.post(f"{path}/undo")
    assert len(client.get(f"{path}/set-aside").json()["items"]) == 2
    whole = send(client, export(5)).json()["import_id"]
    assert client.get(f"/v1/imports/{whole}/set-aside").json()["items"] == []


def test_answers_may_be_waited_for_and_the_replaced_import_says_so(client):
    asked = send(client, body=export(carry="Carry")).json()["import_id"]
    question = client.get(f"/v1/imports/{asked}").json()["questions"][0]
    answer = client.post(
        f"/v1/imports/{asked}/answers",
        json={"answers": {question["id"]: "[yd_i]"}},
        headers={"Prefer": "wait=20"},
    )
    assert (answer.status_code, answer.headers["preference-applied"]) == (202, "wait=20")
    replacing = answer.json()["import_id"]
    assert replacing
    assert client.get(f"/v1/imports/{asked}").json()["superseded_by"] == replacing
    listed = client.get("/v1/imports?player_id=pada1").json()["items"]
    assert [(one["import_id"], one["superseded_by"]) for one in listed] == [
        (replacing, None),
        (asked, replacing),
    ]
    client.post(f"/v1/imports/{replacing}/undo")
    assert client.get(f"/v1/imports/{asked}").json()["superseded_by"] is None


def test_imports_are_paged_to_the_end(client):
    made = {send(client, export(n)).json()["import_id"] for n in (3, 4, 5)}
    found, path = [], "/v1/imports?player_id=pada1&limit=2"
    while path:
        page = client.get(path)
        found += [one["import_id"] for one in page.json()["items"]]
        path = page.links.get("next", {}).get("url")
    assert (len(found), set(found)) == (3, made)
    assert client.get(f"/v1/imports?player_id=pada1&after={'f' * 32}").status_code == 404


def test_an_import_taken_back_twice_does_not_turn_the_pages_in_a_circle(client):
    made = set()
    for body in (export(3), export(4), export(4)):
        made.add(send(client, body).json()["import_id"])
        for one in made:
            client.post(f"/v1/imports/{one}/undo")
    found, path = [], "/v1/imports?player_id=pada1&undone=true&limit=1"
    while path and len(found) < 5:
        page = client.get(path)
        found += [one["import_id"] for one in page.json()["items"]]
        path = page.links.get("next", {}).get("url")
    assert (len(found), set(found)) == (2, made)


def test_an_import_that_moves_while_its_rows_are_read_is_not_said_to_have_none(
    client, store, monkeypatch
):
    import_id = send(client, export(3) + b"4,soon,SW,1,x\n").json()["import_id"]
    path = f"/v1/imports/{import_id}"

    def moved_meanwhile(*asked):
        found = folder_of(*asked)
        take_back(store, import_id)
        return found

    monkeypatch.setattr(set_aside, "folder_of", moved_meanwhile)
    answer = client.get(f"{path}/set-aside")
    assert (answer.status_code, answer.json()["code"]) == (503, "rows_moved")
    monkeypatch.undo()
    assert client.get(f"{path}/set-aside").json()["items"]


def test_of_another_players_rows_an_import_tells_the_line_alone(client):
    table = ["Shot,Local time,Club,Carry (m),Player"]
    table += [
        f"{n},2026-05-04 17:{n:02d}:00,SW,7.{n},{'Ada' if n < 4 else 'Bo Berg'}" for n in range(8)
    ]
    asked = send(client, "\n".join([*table, ""]).encode()).json()["import_id"]
    answers = {"answers": {"whose:player": "Ada"}}
    path = f"/v1/imports/{asked}/answers"
    job = client.post(path, json=answers, headers={"Prefer": "wait=20"}).json()
    aside = client.get(f"/v1/imports/{job['import_id']}/set-aside").json()["items"]
    assert [(one["source_line"], one["code"]) for one in aside] == [
        (line, "other_player") for line in range(6, 10)
    ]
    assert {(one["value"], one["raw_text"]) for one in aside} == {(None, None)}
    page = client.get(f"/imports/{job['import_id']}", headers={"Accept": "text/html"})
    assert (page.status_code, "another player" in page.text) == (200, True)
    assert "Bo Berg" not in page.text


def test_nothing_comes_in_for_a_player_who_is_erased_meanwhile(client, store, monkeypatch):
    def erased_meanwhile(*given, **said):
        assert client.request("DELETE", "/v1/players/pada1").status_code == 204
        return import_file(*given, **said)

    monkeypatch.setattr(import_work, "import_file", erased_meanwhile)
    asked = {"name": "monday.csv", "options": {}}
    told = import_work.take_in_upload(store, "pada1", export(), asked)
    assert told["problem"]["code"] == "unknown_player"
    assert [path for path in store.rglob("*") if "pada1" in str(path)] == []
    assert {one["player_id"] for one in client.get("/v1/players").json()["items"]} == {
        "pben2", "pcleo3", "pdan4",
    }  # fmt: skip


def test_bytes_that_a_power_cut_left_half_are_not_taken_in(store):
    big = export(20) + b"\n" * 70_000
    state = ServiceState(store)
    _, secret = create_key(state, "app", ["import", "read:rows"])
    state.close()
    app = make_app(Settings(store, import_process=False, watch_s=5))
    service = app.state.service
    service.loops.remove(service._do_jobs)
    with client_of(app) as stopped:
        sent = stopped.as_(secret).post(
            "/v1/imports?player_id=pada1&name=big.csv", content=big, headers=CSV
        )
        assert sent.status_code == 202
    kept = uploads_dir(store) / sent.json()["job_id"]
    kept.write_bytes(big[:500])
    with client_of(make_app(Settings(store, import_process=False, watch_s=5))) as again:
        job = done(again, sent.json())
        assert (job["state"], job["problem"]["code"]) == ("failed", "upload_damaged")
        assert again.get("/v1/imports?player_id=pada1").json()["items"] == []
    assert not kept.exists()
