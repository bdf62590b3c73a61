"""Leaves, scored tests, plans, homework and the lesson sheet over HTTP."""

import pytest

from analytics.scored_rules import built_in_rules
from api.app import make_app
from api.settings import Settings
from tests.api.client import client_of
from tests.invented_lesson import write_book

ADA = "/v1/players/pada1"
ROBIN = "/v1/players/robin1"


def mark(number, **said):
    said = said or {"leave": "4 ft", "clock": 5}
    return {
        "entry_id": f"phone-{number}",
        "at_utc": f"2026-05-04T17:{number:02}:00Z",
        "ball_number": number,
    } | said


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    folder = tmp_path_factory.mktemp("book")
    write_book(folder)
    with client_of(make_app(Settings(folder))) as made:
        yield made


def test_twenty_marks_sent_late_and_twice_arrive_once(client) -> None:
    marks = [mark(number) for number in range(1, 21)]
    first = client.post(f"{ADA}/marks", json={"marks": marks[:12]})
    assert first.status_code == 201
    assert first.json()["new"]
    again = client.post(f"{ADA}/marks", json={"marks": marks})
    assert again.status_code == 201
    assert client.post(f"{ADA}/marks", json={"marks": marks}).json()["new"] is False
    told = client.get(f"{ADA}/leaves").json()
    assert told["dry"]["n_shots"] == 20
    assert told["dry"]["shares"][1]["value"] == 1.0
    assert told["dry"]["shares"][0]["by_chance"] == pytest.approx(1 / 3)
    assert "tour professionals" in told["putting"]


def test_a_batch_with_an_impossible_mark_is_refused_whole(client) -> None:
    marks = [mark(1), mark(2, leave="far", clock=5)]
    answer = client.post(f"{ADA}/marks", json={"marks": marks})
    assert answer.status_code == 409
    assert "ball 2: 'far' is no length" in answer.json()["detail"]
    assert answer.json()["mend"]
    assert client.get(f"{ADA}/leaves").status_code == 404


def test_paces_are_those_of_the_person_who_measures(client) -> None:
    sent = {"marks": [mark(1, leave="4 paces", clock=6)], "pace_walks": "20 m: 25 26 25"}
    assert client.post(f"{ADA}/marks", json=sent).status_code == 201
    told = client.get(f"{ADA}/leaves").json()
    assert told["dry"]["median_leave_m"] == pytest.approx(4 * 20 / 25.33, abs=0.02)


def sitting(strokes, attempt="a-001", day=4):
    return {
        "test": "nine_station_hole_out@1",
        "attempt_id": attempt,
        "at_utc": f"2026-05-{day:02}T09:00:00Z",
        "balls": [{"station": i, "strokes": s} for i, s in enumerate(strokes, 1)],
    }


def test_a_sitting_is_scored_by_its_rules_and_kept_once(client) -> None:
    kept = client.post(f"{ADA}/test-scores", json=sitting([2, 3, 2, 2, 3, 2, 2, 3, 3]))
    assert (kept.status_code, kept.json()["total"]) == (201, 22)
    client.post(f"{ADA}/test-scores", json=sitting([2, 3, 2, 2, 3, 2, 2, 3, 3]))
    client.post(f"{ADA}/test-scores", json=sitting([2] * 9, "a-002", 11))
    told = client.get(f"{ADA}/test-scores").json()["tests"]
    assert [one["total"] for one in told[0]["sittings"]] == [22, 18]
    assert told[0]["verdict"] == "no change seen"
    assert told[0]["real_change"] >= 5


def test_a_station_scored_twice_is_refused(client) -> None:
    twice = sitting([2] * 9)
    twice["balls"][1]["station"] = 1
    answer = client.post(f"{ADA}/test-scores", json=twice)
    assert answer.status_code == 409
    assert "Station 1 is scored twice" in answer.json()["detail"]


CHIP = "edge_m=3&hole_m=12&green_speed_ft=9.5&slope_deg=1&fall_line_deg=90"


def test_a_chip_is_planned_alike_each_time(book) -> None:
    one, two = (book.get(f"{ROBIN}/shot-plan?{CHIP}") for _ in range(2))
    assert one.status_code == 200
    assert one.content == two.content
    told = one.json()
    assert [club["strokes"] for club in told["clubs"]] == sorted(
        c["strokes"] for c in told["clubs"]
    )
    best = told["clubs"][0]
    assert best["leave_zone"]["low"] <= best["leave_zone"]["value"] <= best["leave_zone"]["high"]


@pytest.mark.parametrize(
    ("chip", "status"),
    [
        ("edge_m=3&hole_m=12&green_speed_ft=0", 422),
        ("edge_m=12&hole_m=3&green_speed_ft=9", 422),
        ("edge_m=60&hole_m=90&green_speed_ft=9", 422),
        ("edge_m=3&hole_m=12&green_speed_ft=14&slope_deg=6", 422),
    ],
)
def test_chips_that_cannot_be_are_refused(book, chip, status) -> None:
    answer = book.get(f"{ROBIN}/shot-plan?{chip}")
    assert answer.status_code == status
    assert answer.json()["mend"]


def test_a_chip_is_planned_as_the_store_stood_and_told_in_part(book) -> None:
    then = "2030-01-01T00:00:00Z"
    whole = book.get(f"{ROBIN}/shot-plan?{CHIP}&as_of={then}").json()
    assert whole["as_of"] == then
    assert whole["clubs"] == book.get(f"{ROBIN}/shot-plan?{CHIP}").json()["clubs"]
    assert book.get(f"{ROBIN}/shot-plan?{CHIP}&as_of=2001-01-01T00:00:00Z").status_code == 404
    part = book.get(f"{ROBIN}/shot-plan?{CHIP}&fields=state,putting").json()
    assert part == {name: whole[name] for name in ("state", "putting")}


@pytest.mark.parametrize(
    ("asked", "status"), [("no_such_test", 404), ("gate_twenty@9", 404), ("", 422), ("Gate!", 422)]
)
def test_a_test_that_nobody_made_is_refused(client, asked, status) -> None:
    answer = client.get(f"{ADA}/test-scores?test={asked}")
    assert answer.status_code == status
    assert status == 422 or "gate_twenty@1" in answer.json()["mend"]
    unknown = sitting([2] * 9) | {"test": asked}
    assert client.post(f"{ADA}/test-scores", json=unknown).status_code == status


def test_every_test_that_comes_along_can_be_asked_for_by_name_and_version(client) -> None:
    for key, rules in built_in_rules().items():
        for asked in (key, rules.name):
            told = client.get(f"{ADA}/test-scores?test={asked}").json()["tests"]
            assert [one["test"] for one in told] == [key]


def test_homework_is_proposed_given_and_reported(client) -> None:
    proposal = client.get(f"{ADA}/homework/proposal?cap=40").json()
    assert proposal["balls"] <= 40
    assert any("doctor" in caution for caution in proposal["cautions"])
    given = {"pieces": proposal["pieces"], "due_day": "2026-05-11", "by": "Mora"}
    assert client.post(f"{ADA}/homework", json=given).status_code == 201
    listed = client.get(f"{ADA}/homework").json()["homework"]
    piece = listed[0]["homework_id"]
    said = {"entry_id": "phone-r1", "outcome": "done", "balls_done": 27}
    for _ in range(2):
        sent = client.post(f"{ADA}/homework/{piece[:12]}/reports", json=said)
        assert sent.status_code == 201
    told = {one["homework_id"]: one for one in client.get(f"{ADA}/homework").json()["homework"]}
    assert (told[piece]["outcome"], told[piece]["balls_done"]) == ("done", 27)
    missing = client.post(f"{ADA}/homework/0000/reports", json=said | {"entry_id": "phone-r2"})
    assert missing.status_code == 404


def test_the_lesson_sheet_is_a_pdf(book) -> None:
    answer = book.get(f"{ROBIN}/lesson-sheet.pdf?paper=letter&length_unit=ft")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF")


@pytest.mark.parametrize("path", ["leaves", "test-scores", "homework", f"shot-plan?{CHIP}"])
def test_unknown_players_are_not_there(client, path) -> None:
    assert client.get(f"/v1/players/pnobody/{path}").status_code == 404
