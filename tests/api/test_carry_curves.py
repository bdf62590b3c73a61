"""Carry curves over HTTP and on the command line: the same numbers, units said, range kept."""

import json
import math
from datetime import timedelta

import numpy as np
import pytest
from click.testing import CliRunner

from api.cli import cli, main
from ingest.hand_entry import enter
from tests.api.conftest import START


@pytest.fixture
def calibrated(store):
    """Ada's sand wedge: carry = 11 m at 10 m/s, exponent 2, over four days, lengths named."""
    rng = np.random.default_rng(1)
    rows = [
        {
            "device_number": i,
            "struck_at_utc": START + timedelta(days=i % 4, minutes=i),
            "club": "SW",
            "club_text": "SW",
            "swing_length": "hip" if i < 20 else "chest",
            "club_speed_mps": float(6.0 + i / 10),
            "carry_m": float(11 * (0.6 + i / 100) ** 2 * math.exp(rng.normal(0, 0.05))),
        }
        for i in range(40)
    ]
    enter(store, "pada1", "shots", rows)
    return store


def test_curves_over_http(calibrated, client):
    body = client.get("/v1/players/pada1/carry-curves").json()
    (curve,) = body["curves"]
    assert curve["club"] == "SW"
    assert curve["state"] == "clear"
    assert math.exp(curve["log_level"]) == pytest.approx(11, rel=0.06)
    assert curve["points"][0]["speed_mps"] == pytest.approx(6.0)
    for point in curve["points"]:
        assert point["one_shot"]["low"] < point["centre"]["low"] < point["centre"]["value"]
        assert point["centre"]["unit"] == "m"


def test_curves_split_by_swing_length(calibrated, client):
    body = client.get("/v1/players/pada1/carry-curves?by_swing_length=true&club=SW").json()
    assert [curve["swing_length"] for curve in body["curves"]] == ["chest", "hip"]


def test_speed_for_a_carry(calibrated, client):
    body = client.get("/v1/players/pada1/carry-curves/SW/speed-for?carry_m=7.04").json()
    assert body["speed"]["value"] == pytest.approx(8.0, rel=0.05)
    assert body["speed"]["unit"] == "m/s"
    assert body["one_shot"]["low"] < 7.04 < body["one_shot"]["high"]


def test_the_balls_as_a_drawing(calibrated, client):
    body = client.get("/v1/players/pada1/carry-curves/SW/drawn").json()
    carries = [point["carry_m"] for point in body["points"]]
    assert carries == sorted(carries)
    assert body["n_shots"] >= 38
    assert body["bends"] is False
    assert client.get("/v1/players/pben2/carry-curves/SW/drawn").status_code == 404


def test_what_cannot_be_answered_is_a_problem(calibrated, client):
    beyond = client.get("/v1/players/pada1/carry-curves/SW/speed-for?carry_m=70")
    assert beyond.status_code == 422
    assert beyond.json()["code"] == "out_of_range"
    assert "0.7 to 1.4 times" in beyond.json()["detail"]
    assert client.get("/v1/players/pada1/carry-curves?club=7I").status_code == 404
    assert client.get("/v1/players/pben2/carry-curves").json()["curves"] == []


def run(*arguments):
    return CliRunner().invoke(cli, arguments)


def test_curve_on_the_command_line(calibrated):
    shown = run("curve", "--player", "Ada", "--store", str(calibrated), "--length-unit", "ft")
    assert shown.exit_code == 0, shown.output
    assert "SW: clear (" in shown.output
    assert "middle ft" in shown.output
    assert "speed error not corrected" in shown.output


def test_curve_as_json_is_in_si(calibrated):
    shown = run("curve", "--player", "Ada", "--store", str(calibrated), "--json")
    (curve,) = json.loads(shown.output)["curves"]
    assert curve["points"][0]["speed_mps"] == pytest.approx(6.0)
    assert curve["n_sessions"] == 4


def test_need_on_the_command_line(calibrated):
    shown = run(
        "need", "23.1", "--length-unit", "ft", "--player", "Ada", "--store", str(calibrated)
    )
    assert shown.exit_code == 0, shown.output
    assert "SW: 8." in shown.output
    assert "nearest swing length" in shown.output


def test_need_of_something_out_of_reach_ends_with_one(calibrated, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["need", "90", "--player", "Ada", "--store", str(calibrated)])
    assert stopped.value.code == 1
    assert "not from this club" in capsys.readouterr().out


def test_a_player_without_balls_is_told_so(calibrated):
    assert (
        "No ball with a speed" in run("curve", "--player", "Ben", "--store", str(calibrated)).output
    )


def test_a_club_not_hit_yet_on_the_command_line(calibrated):
    who = ("--player", "Ada", "--store", str(calibrated))
    shown = run("curve", *who, "--club", "LW", "--new-club", "--loft", "60")
    assert "LW: too early: 0 of 15 shots, 0 of 2 days" in shown.output
    assert run("curve", *who, "--new-club").exit_code == 2
