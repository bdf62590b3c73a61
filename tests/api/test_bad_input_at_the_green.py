"""The same bad input by command line and over HTTP: refused alike, in words, with nothing kept."""

import pytest

from analytics.db import open_store
from api.app import make_app
from api.cli import main
from api.settings import Settings
from ingest.import_file import import_file
from tests.api.client import client_of
from tests.invented_lesson import ROBIN as ROBIN_HERSELF
from tests.invented_lesson import write_book

ROBIN = "/v1/players/robin1"
AT = {"entry_id": "phone-0001", "at_utc": "2026-05-04T17:30:00Z", "ball_number": 1}
DAY = {"entry_id": "app-0001", "day": "2026-05-04"}
BALL = {"strokes": 2}


@pytest.fixture(scope="module")
def store(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bad")
    write_book(folder)
    return folder


@pytest.fixture(scope="module")
def client(store):
    with client_of(make_app(Settings(store))) as made:
        yield made


def counts(store) -> list[int]:
    with open_store(store, "robin1") as con:
        return [
            int(con.sql(f"SELECT count(*) FROM {table}").fetchall()[0][0])
            for table in ("marks", "scores", "sessions")
        ]


def mark(**said) -> tuple[str, dict]:
    return "marks", {"marks": [AT | said]}


def sitting(*stations: int) -> tuple[str, dict]:
    balls = [BALL | {"station": station} for station in stations]
    said = {"test": "nine_station_hole_out", "attempt_id": "again", "at_utc": AT["at_utc"]}
    return "test-scores", said | {"balls": balls}


CASES = {
    "a mark nowhere": (mark(note="windy"), "mark --ball 1", "neither where the ball landed"),
    "a leave beyond the green": (
        mark(leave="90 m", clock=6), "mark --ball 1 --leave 90m --clock 6", "between 0",
    ),
    "no hour of the clock": (
        mark(leave="4 ft", clock=13), "mark --ball 1 --leave 4ft --clock 13", "clock",
    ),
    "a finish told twice": (
        mark(leave="4 ft", holed=True), "mark --ball 1 --leave 4ft --holed", "two ways",
    ),
    "a length with two meanings": (
        mark(leave="1,250 m", clock=6), "mark --ball 1 --leave 1,250m --clock 6", "two ways",
    ),
    "no length": (mark(leave="far", clock=6), "mark --ball 1 --leave far --clock 6", "no length"),
    "tapes that do not meet": (
        mark(tape_to_hole="2 m", tape_to_peg="9 m", peg_side="left"),
        "mark --ball 1 --tape-to-hole 2m --tape-to-peg 9m --peg-side left",
        "miss each other",
    ),
    "one tape": (mark(tape_to_hole="2 m"), "mark --ball 1 --tape-to-hole 2m", "One tape"),
    "a station scored twice": (
        sitting(1, 2, 1), "score nine-station-hole-out 2 2 1=2", "scored twice",
    ),
    "a station that is none": (
        sitting(1, 12), "score nine-station-hole-out 2 12=2", "no station 12",
    ),
    "zero green speed": (
        ("sessions", DAY | {"green_speed_ft": 0}),
        "conditions --day 2026-05-04 --green-speed-ft 0",
        "3",
    ),
    "a near end beyond the far end": (
        ("sessions", DAY | {"window_near_m": 8, "window_far_m": 7}),
        "conditions --day 2026-05-04 --window-near 8m --window-far 7m",
        "at or beyond its far end",
    ),
    "an edge beyond the hole": (
        ("sessions", DAY | {"edge_m": 15, "hole_m": 14}),
        "conditions --day 2026-05-04 --edge 15m --hole 14m",
        "edge lies beyond the hole",
    ),
    "one roll of two": (
        ("sessions", DAY | {"roll_up_ft": 9}), "conditions --day 2026-05-04 --rolls-ft 0 9", "",
    ),
    "a green speed told twice": (
        ("sessions", DAY | {"green_speed_ft": 9, "roll_up_ft": 9, "roll_down_ft": 14}),
        "conditions --day 2026-05-04 --green-speed-ft 9 --rolls-ft 9 14",
        "two ways",
    ),
    "nothing": (("sessions", DAY), "conditions --day 2026-05-04", "Nothing is said"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_cannot_be_is_refused_by_command_and_over_http(case, store, client, capsys) -> None:
    (resource, body), words, why = CASES[case]
    before = counts(store)
    verb, *rest = words.split()
    with pytest.raises(SystemExit) as ended:
        main([verb, "--store", str(store), "--player", "Robin", *rest])
    assert ended.value.code == 2
    told = capsys.readouterr().err
    assert why in told
    answer = client.post(f"{ROBIN}/{resource}", json=body)
    assert answer.status_code in {409, 422}
    assert answer.json()["mend"]
    assert answer.status_code == 422 or why in answer.json()["detail"]
    assert counts(store) == before


PLANS = {
    "zero green speed": ("edge_m=3&hole_m=13&green_speed_ft=0", "--green-speed-ft 0", 422),
    "a target outside the curve": ("edge_m=70&hole_m=90", "--edge 70m --hole 90m", 422),
    "a hole before the edge": ("edge_m=13&hole_m=3", "--edge 13m --hole 3m", 422),
    "a slope that is no green": ("edge_m=3&hole_m=13&slope_deg=60", "--slope-deg 60", 422),
}


@pytest.mark.parametrize("case", PLANS)
def test_a_chip_that_cannot_be_planned_is_refused_alike(case, store, client, capsys) -> None:
    query, words, status = PLANS[case]
    usual = "--edge 3m --hole 13m" if "--edge" not in words else ""
    speed = "--green-speed-ft 10" if "--green-speed-ft" not in words else ""
    asked = f"{usual} {words} {speed}".split()
    with pytest.raises(SystemExit) as ended:
        main(["plan", "--store", str(store), "--player", "Robin", *asked])
    assert ended.value.code == 2
    assert "Mend" in capsys.readouterr().err
    green = "" if "green_speed" in query else "&green_speed_ft=10"
    answer = client.get(f"{ROBIN}/shot-plan?{query}{green}")
    assert answer.status_code == status
    assert answer.json()["mend"]


def test_a_speed_for_a_carry_outside_the_curve_is_refused(store, client, capsys) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["need", "--store", str(store), "--player", "Robin", "60", "--club", "SW"])
    assert ended.value.code == 1
    assert "beyond what SW can be asked" in capsys.readouterr().out
    answer = client.get(f"{ROBIN}/carry-curves/SW/speed-for?carry_m=60")
    assert (answer.status_code, answer.json()["code"]) == (422, "out_of_range")


def test_rows_of_a_sheet_that_cannot_be_are_set_aside_and_the_good_ones_land(store, tmp_path):
    sheet = tmp_path / "marks.csv"
    sheet.write_text(
        "Ball number,Local time,Landed past edge (ft),Left to hole (ft),Leave bearing (deg)\n"
        "1,2026-06-01 10:00,2,4,170\n"
        "2,2026-06-01 10:01,2,400,170\n"
        "3,2026-06-01 10:02,2,-4,170\n"
        "4,2026-06-01 10:03,2,4,500\n"
        "5,2026-06-01 10:04,2,far,170\n"
        "6,2026-06-01 10:05,2,0,\n"
    )
    told = import_file(store, sheet, ROBIN_HERSELF)
    assert (told.ledger.rows_kept, told.ledger.rows_set_aside) == (2, 4)
    with open_store(store, "robin1") as con:
        aside = con.sql(
            "SELECT source_line, reason, mend FROM set_aside ORDER BY source_line"
        ).fetchall()
    assert [line for line, _, _ in aside] == [3, 4, 5, 6]
    assert all(reason and mend for _, reason, mend in aside)
